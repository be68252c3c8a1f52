"""Something stands on a way that is kept clear.

What it says: a device, a source or a thing on the stage whose place lies inside a walkway or on stairs.
Why: people fall over it in the dark, or cannot get out.
When it is no fault: it is carried off before doors; sign it off with a waiver.
What data it needs: `stage.things.at` and `size` of walkways and stairs; absent: not checked for those.  Things without a
place of their own are left out.
What to do: move it.  Ways out and fire routes are the venue's: its rules, local law and competent people take precedence.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, radians, sin

from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show, Thing

__all__ = ["walkway_kept_clear"]

_CLEAR = ("walkway", "stairs")


def walkway_kept_clear(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each thing, device or source that stands on a walkway or on stairs."""
    tally = Tally("walkway-kept-clear", show, patch)
    things = show.stage.things if show.stage is not None else ()
    standing = list(_standing(rig, show, things))
    for way in things:
        if way.kind not in _CLEAR:
            continue
        tally.seen += 1
        name = way.name or way.id or way.kind
        lacking = [field for field, value in (("at", way.at), ("size", way.size)) if value is None]
        for field in lacking:
            tally.lacks(f"stage.things.{field}", "where some walkways and stairs are, or how large, is unknown", name)
        if lacking:
            continue
        for what, at in standing:
            if _inside(way, at):
                told = f"{what} stands at {at[0]:g}, {at[1]:g} m, on {name} ({way.kind}), which is kept clear."
                tally.found("", told, what, name, numbers=(("x m", at[0]), ("y m", at[1])))
    yield from tally.told("no walkway or stairs are on the plan")


def _standing(rig: Rig, show: Show, things: tuple[Thing, ...]) -> Iterator[tuple[str, tuple[float, ...]]]:
    for device in rig.devices.values():
        if device.place is not None and device.place.at is not None:
            yield device.id, device.place.at
    for source in show.sources:
        if source.at is not None:
            yield source.id, source.at
    for thing in things:
        if thing.kind not in (*_CLEAR, "riser", "power") and thing.at is not None:
            yield thing.name or thing.id or thing.kind, thing.at


def _inside(way: Thing, at: tuple[float, ...]) -> bool:
    """Return whether a place lies inside a rectangle turned about its centre."""
    assert way.at is not None
    assert way.size is not None
    turn = radians(way.turn_deg)
    x, y = at[0] - way.at[0], at[1] - way.at[1]
    along, across = x * cos(turn) - y * sin(turn), x * sin(turn) + y * cos(turn)
    return abs(along) < way.size[0] / 2 and abs(across) < way.size[1] / 2
