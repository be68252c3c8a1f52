"""What is said, word for word, of clock, owners, gains and phantom: planted faults, and what lies just inside a limit.

Comes in: the right patches of `bases`, the faults of `faults`.  Goes out: `CASES`, each a name and a function that returns
text.  Next: `test_words.py` holds them against `words.txt`; `tests/mutation` asks them whether a changed line is noticed.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from patchloom.check.verify import verify
from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

from .bases import BASES
from .faults import FAULTS
from .planting import Data, Spoil, of

__all__ = ["CASES", "Case", "told"]

Case = Callable[[], str]
CASES: dict[str, Case] = {}
"""Name to the function that returns what is said."""

_SPOKEN = ("clock-", "owner-", "gain-", "phantom-", "device-absent", "no-such-place")


def told(base: str, spoil: Spoil) -> str:
    """Return what is said of clock, owners, gains and phantom once a right patch is spoiled, a line each."""
    rig, show, patch = BASES[base]()
    patch.update(rig="sha256:rig", show="sha256:show")
    setting = patch["settings"][0]
    rules: list[Any] = []
    setting["all"], setting["patch"], setting["rules"] = patch["settings"], patch, rules
    spoil(rig, show, setting)
    for key in ("all", "patch", "rules"):
        setting.pop(key)
    found = verify(build(Rig, rig), build(Show, show), build(Patch, patch), digests=("sha256:rig", "sha256:show"), rules=rules)
    return "".join(
        f"  {row.severity} {row.rule} {row.period}: {row.message} [{', '.join(row.where)}] {dict(row.numbers)}\n"
        for row in found
        if row.rule.startswith(_SPOKEN)
    )


def _enter(kind: str, base: str, spoil: Spoil) -> None:
    assert kind not in CASES, kind
    CASES[kind] = lambda: told(base, spoil)


def said(kind: str, base: str = "house") -> Callable[[Spoil], Spoil]:
    """Enter a function `(rig, show, setting)` that spoils a base."""

    def enter(spoil: Spoil) -> Spoil:
        _enter(kind, base, spoil)
        return spoil

    return enter


for _fault in FAULTS:
    if any(name.startswith(_SPOKEN) for name in _fault.found):
        _enter(_fault.kind, _fault.base, _fault.spoil)


def leader(setting: Data, number: int = 0) -> Data:
    """Return the row of a clock domain."""
    row: Data = setting["clock"][number]
    return row


def follower(setting: Data, device: str) -> Data:
    """Return the row of a follower in the first domain."""
    return of(leader(setting)["followers"], device, "device")
