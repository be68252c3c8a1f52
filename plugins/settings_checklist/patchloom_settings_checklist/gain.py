"""Steps of phantom, owner gains and trims.

Comes in: a `Seat`.  Goes out: a `StepGroup` each.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.address import Slot
from patchloom.model.patch import GainSet, PhantomSet
from patchloom.pages import Step, StepGroup, View, list_id
from patchloom.pages.cells import decibels
from patchloom_settings_checklist.seat import Seat

__all__ = ["gains", "phantom", "trims"]

_WAIT = (
    "Muted, and in nobody's ears, before each change. Not into passive ribbons, line outputs or what is unknown. "
    "Wait 5-10 s before unmuting."
)


def phantom(seat: Seat) -> StepGroup:
    """Return the phantom switches these people move: all off, then on by list, unknown ones apart."""
    rows = seat.phantom()
    if not rows:
        return StepGroup("phantom", "Phantom (48 V)")
    on = [row for row in rows if row.on]
    off = [row for row in rows if not row.on and any(_need(seat.view, leg) == "never" for leg in _plugged(seat.view, row))]
    unknown = [row for row in rows if row.unknown]
    steps = [Step("Mute, then 48 V OFF on every socket.", caution=_WAIT)]
    if on:
        steps.append(Step("48 V ON:", lines=tuple(_line(seat.view, row) for row in on), caution=_WAIT))
    if off:
        steps.append(Step("Stays OFF, must never get 48 V:", lines=tuple(_line(seat.view, row) for row in off)))
    if unknown:
        steps.append(
            Step(
                "UNKNOWN, ask before switching anything:",
                lines=tuple(
                    seat.view.say(
                        "{names} at {socket}, set ON" if row.on else "{names} at {socket}, set off",
                        names=", ".join(map(seat.view.said, row.unknown)),
                        socket=_places(seat.view, row),
                    )
                    for row in unknown
                ),
            )
        )
    steps.append(Step("Wait 5-10 s, then look at every line that needs it."))
    return StepGroup("phantom", "Phantom (48 V)", "Mute, off everywhere, on by list, wait, look.", tuple(steps))


def _plugged(view: View, row: PhantomSet) -> tuple[str, ...]:
    return tuple(leg for at in row.at.slots() for leg in view.legs_at(at))


def _need(view: View, leg: str) -> str:
    source = view.source(leg)
    return source.phantom if source else "no"


def _places(view: View, row: PhantomSet) -> str:
    slots = list(row.at.slots())
    first = view.line(slots[0])
    if len(slots) == 1:
        return first
    return view.say("{first} to {last} (one switch)", first=first, last=view.mark(slots[-1]))


def _line(view: View, row: PhantomSet) -> str:
    names = ", ".join(view.said(leg) for leg in dict.fromkeys(row.because or _plugged(view, row)))
    return f"{_places(view, row)}  {names}"


def gains(seat: Seat) -> StepGroup:
    """Return the gain of every preamp these people own, and of the desk's own sockets."""
    lines, unknown, hears = [], [], {}
    for row in seat.view.setting.gains:
        if not _mine(seat, row.at):
            continue
        if row.gain_db is None:
            unknown.append(f"{seat.view.line(row.at)}  {seat.view.said(row.leg)}")
            continue
        room = ""
        if row.interval_db:
            low, high = map(decibels, row.interval_db[:2])
            room = " " + seat.view.say("(works from {low} to {high})", low=low, high=high)
        lines.append(f"{seat.view.line(row.at)}  {seat.view.said(row.leg)}  {decibels(row.gain_db, signed=True)} dB{room}")
        hears.update(dict.fromkeys(key for key in row.trims_db if key not in seat.positions))
    steps = []
    if lines:
        caution = "Others hear these too: tell them before you move one." if hears else ""
        steps.append(Step("Set the preamps:", lines=tuple(lines), caution=caution, hears=tuple(hears)))
    if unknown:
        steps.append(Step("Gain not known, set by ear with the others listening:", lines=tuple(unknown)))
    return StepGroup("gains", "Gains you own", "Owner first, then everybody's trim.", tuple(steps))


def _mine(seat: Seat, at: Slot) -> bool:
    row = seat.view.owner(at)
    if row is not None and row.owner:
        return row.owner in seat.positions
    return at.device == seat.desk


def trims(seat: Seat) -> StepGroup:
    """Return each list's trims, from zero, and whether they track."""
    steps = []
    for row in seat.lists():
        lines = list(_trims(seat, row.position, list_id(row)))
        if lines:
            words = seat.view.say("Trims of {list}, all from 0:", list=row.name or list_id(row))
            steps.append(Step(words, lines=tuple(lines)))
    tracking = seat.view.show.gain.tracking if seat.view.show.gain else "off"
    if steps:
        steps.append(Step("Gain tracking on." if tracking == "on" else "Gain tracking off."))
    return StepGroup("trims", "Your trims", "", tuple(steps))


def _trims(seat: Seat, position: str, key: str) -> Iterator[str]:
    seen: dict[Slot, GainSet] = {row.at: row for row in seat.view.setting.gains}
    for route in seat.view.setting.routes:
        at = seat.view.preamp_of(route) if route.to == key and not route.alternate else None
        gain = seen.get(at) if at is not None else None
        if gain is not None and gain.trims_db.get(position):
            trim = decibels(gain.trims_db[position], signed=True)
            yield f"{seat.view.mark(route.hops[-1])} {seat.view.said(route.leg)}  {trim} dB"
