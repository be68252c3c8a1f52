"""A cable that is longer than its medium allows in this format, or close to that, or of a kind the format is not made for.

What it says: for every cable of a link, its length held against the format's longest run for that medium; a warning from
the length the format asks care from, or from 80 % of the longest where it does not say.
Why: faults that come and go, most of all when the cables are warm.
When it is no fault: a repeater or an active extender stands on the way; then it is a device, and there are two links.
What data it needs: `links.cables.length_m` (joints and patch cords included), `links.cables.medium`,
`formats.most_m`; absent: not checked.
What to do: take a shorter way, another medium, or a device in between.
Source: each format's own, named there (AES3, AES10, category cabling); the 80 % are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.library import formats
from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.rig import Cable, Format, Link, Rig
from patchloom.model.show import Show

__all__ = ["length_within_medium"]

_CARE = 0.8
"""Part of the longest run from which to take care, where the format does not say (common practice, no source)."""


def length_within_medium(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each cable that is too long, nearly so, or of a kind its format is not made for."""
    tally = Tally("length-within-medium", show, patch)
    for link in rig.links:
        spoken = rig.formats.get(link.format) or (_analogue() if not link.format else None)
        if spoken is not None:
            tally.seen += 1
            _link(tally, link, spoken)
    yield from tally.told("there are no links")


def _analogue() -> Format:
    found: Format = build(Format, formats()["analogue"], id="analogue")
    return found


def _link(tally: Tally, link: Link, spoken: Format) -> None:
    if not link.cables and spoken.digital:
        tally.lacks("links.cables", "what some links run over is unknown", link.id)
    over: list[_Length] = []
    care: list[_Length] = []
    for number, cable in enumerate(link.cables, 1):
        where = f"cable {number} of {link.id}" if len(link.cables) > 1 else link.id
        if cable.medium and spoken.digital and spoken.medium and cable.medium not in spoken.medium:
            told = f"{where} is {cable.medium}; {spoken.id} is made for {', '.join(spoken.medium)}."
            tally.found("", told, link.id, severity="warn", todo="Use a cable the format is made for.")
        elif (row := _length(tally, link, spoken, cable, where)) is not None:
            (over if row.m > row.most else care if row.m >= row.care else []).append(row)
    _say(tally, link, spoken, over, care)


class _Length(NamedTuple):
    where: str
    m: float
    care: float
    most: float
    medium: str


def _length(tally: Tally, link: Link, spoken: Format, cable: Cable, where: str) -> _Length | None:
    """Return how long a cable is and may be; None where that is unknown, and noted."""
    most = _at(spoken.most_m, cable.medium)
    if isinstance(spoken.most_m, Mapping) and not cable.medium:
        tally.lacks("links.cables.medium", "the longest run depends on the cable, and that is unknown", link.id)
    elif most is None and spoken.digital:
        tally.lacks("formats.most_m", "how far some formats go is unknown", spoken.id)
    elif cable.length_m is None:
        tally.lacks("links.cables.length_m", "how long some cables are is unknown", link.id)
    elif most is not None:
        care = _at(spoken.caution_m, cable.medium)
        return _Length(where, float(cable.length_m), _CARE * most if care is None else float(care), float(most), cable.medium)
    return None


def _say(tally: Tally, link: Link, spoken: Format, over: list[_Length], care: list[_Length]) -> None:
    """Say one thing of a link's cables that are too long, one of those that need care, the longest first."""
    for rows, severity in ((over, ""), (care, "warn")):
        if not rows:
            continue
        rows = sorted(rows, key=lambda row: -row.m)
        worst = rows[0]
        kind = f" of {worst.medium}" if worst.medium else ""
        told = f"{worst.where} is {worst.m:g} m{kind}; {spoken.id} "
        told += f"asks for care from {worst.care:g} m and " if severity else ""
        told += f"goes {worst.most:g} m at most."
        told += "".join(f" Beside it {row.where}, {row.m:g} m." for row in rows[1:])
        numbers = (("m", worst.m), ("care from m", round(worst.care, 1)), ("most m", worst.most))
        todo = "Keep a shorter one ready, and test it warm." if severity else ""
        tally.found("", told, link.id, numbers=numbers, severity=severity, todo=todo)


def _at(size: Any, medium: str) -> Any:
    return size.get(medium) if isinstance(size, Mapping) else size
