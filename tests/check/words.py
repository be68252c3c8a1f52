"""What the judge says, word for word: planted faults, and what lies just inside a limit.

Comes in: the right patches of `bases`, the faults of `faults`.  Goes out: `CASES`, each a name and a function that returns
text.  Next: `test_words.py` holds them against `words.txt`; `tests/mutation` asks them whether a changed line is noticed.
"""

from __future__ import annotations

from collections.abc import Callable

from patchloom.check.verify import verify
from patchloom.finding import Finding

from .faults import FAULTS
from .planting import Data, Spoil, of, planted

__all__ = ["CASES", "Case", "told"]

Case = Callable[[], str]
CASES: dict[str, Case] = {}
"""Name to the function that returns what is said."""


def line(row: Finding) -> str:
    """Return all of a finding, next step and numbers too."""
    return f"  {row.severity} {row.rule} {row.period}: {row.message} {row.todo} [{', '.join(row.where)}] {dict(row.numbers)}\n"


def told(base: str, spoil: Spoil) -> str:
    """Return what the judge says once a right patch is spoiled, a line each."""
    made, rules = planted(base, spoil)
    return "".join(map(line, verify(*made, digests=("sha256:rig", "sha256:show"), rules=rules)))


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
    _enter(_fault.kind, _fault.base, _fault.spoil)


def leader(setting: Data, number: int = 0) -> Data:
    """Return the row of a clock domain."""
    row: Data = setting["clock"][number]
    return row


def follower(setting: Data, device: str) -> Data:
    """Return the row of a follower in the first domain."""
    return of(leader(setting)["followers"], device, "device")
