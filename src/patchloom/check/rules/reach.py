"""A cable that does not get from the source to its socket, or from device to device.

What it says: for every source that comes by cable, that nothing in the store is long enough, not even two joined; that
the cable the show names is shorter than the straight way; and the same for the cables of links whose ends have places.
Why: two metres short is found out with the doors open.
When it is no fault: a sub-snake or a local box stands between: then it is a device of the rig.
What data it needs: `stock` with lengths and connectors; `sources.at` (or a thing of the stage it belongs to, or its
zone's place) or `sources.cable_m`; `devices.place.at`; absent: not checked for those.  The way is taken straight, with a
fifth more and two metres for up and down; from the middle of a zone it is a warning.  Links are looked at where both
ends have a place of their own.
What to do: plug it into a nearer box, move the box, or bring a longer cable.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from patchloom.address import parse
from patchloom.check.cables import Places, Run, runs, stock_for, stock_left
from patchloom.check.look import Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["reach"]

_LONGER = "Take a longer cable, join another one to it, or move one of its ends."


def reach(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each source or link whose cable does not get there."""
    tally = Tally("reach", show, patch)
    for look in looks(rig, show, patch):
        longest, places = _Longest(look.rig), Places(look)
        for run in runs(look, places):
            tally.seen += 1
            _run(tally, look, run, longest, places)
        _links(tally, look)
    yield from tally.told("nothing is plugged in by a cable")


class _Longest:
    """The longest cable, and the longest two joined, that are left for a kind of socket."""

    def __init__(self, rig: Rig) -> None:
        self._rig = rig
        self._left = stock_left(rig)
        self._known: dict[str, tuple[float, float] | None] = {}

    def of(self, connector: str) -> tuple[float, float] | None:
        """Return (one, two joined) in metres; None where the store has nothing of the kind."""
        if connector not in self._known:
            lengths: list[float] = []
            for row in reversed(stock_for(self._rig, connector)):
                lengths += [float(row.length_m or 0)] * min(2, max(0, self._left[row.id]))
            self._known[connector] = (lengths[0], sum(lengths[:2])) if lengths else None
        return self._known[connector]


def _run(tally: Tally, look: Look, run: Run, longest: _Longest, places: Places) -> None:
    said = run.source.cable_m
    if said is not None and run.plan_m is not None and said < run.plan_m and not run.zone:
        told = f"{run.leg} has a cable of {said:g} m, and {run.socket} is {run.plan_m:.1f} m away in a straight line."
        tally.found(look.period, told, run.leg, run.socket, numbers=(("m", said), ("straight m", round(run.plan_m, 1))))
        return
    if not look.rig.stock:
        tally.lacks("stock", "what cables there are is unknown", run.leg)
        return
    if run.need_m is None:
        field, name = (
            ("sources.at", run.source.id) if places.device(run.socket.device)[0] else ("devices.place.at", run.socket.device)
        )
        tally.lacks(field, "where some sources, or the boxes they are plugged into, stand is unknown", name)
        return
    bank = look.ground.bank(run.socket.device, run.socket.bank)
    best = longest.of(bank.connector if bank is not None else "")
    if best is None:
        tally.lacks("stock.connectors", "which cables fit some sockets is unknown", f"{run.socket.device}.{run.socket.bank}")
    elif run.need_m > best[1]:
        told = f"{run.leg} needs {run.need_m:.1f} m to {run.socket}"
        told += f"; the longest cable is {best[0]:g} m, and two joined make {best[1]:g} m."
        rough = bool(run.zone) and said is None
        told += f" That is from the middle of zone {run.zone}." if rough else ""
        severity = "warn" if rough else ""
        numbers = (("needs m", round(run.need_m, 1)), ("longest m", best[0]), ("joined m", best[1]))
        tally.found(look.period, told, run.leg, run.socket, numbers=numbers, severity=severity)


def _links(tally: Tally, look: Look) -> None:
    stock = {row.id: row for row in look.rig.stock}
    for link in look.rig.links:
        ends = [_own(look.rig, parse(text).device) for text in link.join]
        plan = hypot(*(a - b for a, b in zip(ends[0], ends[1], strict=False))) if ends[0] and ends[1] else None
        for cable in link.cables:
            row = stock.get(cable.stock)
            if cable.length_m is None:
                continue
            if plan is not None and cable.length_m < plan:
                told = f"{link.id} has a cable of {cable.length_m:g} m, and its ends are {plan:.1f} m apart in a straight line."
                numbers = (("m", cable.length_m), ("straight m", round(plan, 1)))
                tally.found("", told, link.id, *link.join, numbers=numbers, todo=_LONGER)
            elif row is not None and row.length_m and cable.length_m > row.length_m * (cable.joints + 1):
                most = row.length_m * (cable.joints + 1)
                joints = f"{cable.joints or 'no'} joint{'s' if cable.joints > 1 else ''}"
                told = f"{link.id} is to be {cable.length_m:g} m; {row.id} is {row.length_m:g} m each: {most:g} m with {joints}."
                sizes = (("m", cable.length_m), ("each m", row.length_m), ("joined m", most))
                tally.found("", told, link.id, row.id, numbers=sizes, todo=_LONGER)


def _own(rig: Rig, device: str) -> tuple[float, ...] | None:
    place = rig.devices[device].place if device in rig.devices else None
    return place.at if place is not None else None
