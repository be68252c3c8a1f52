"""Steps of the input side: blocks that come in, slots that choose from them, labels.

Comes in: a `Seat`.  Goes out: a `StepGroup` each.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.address import Span
from patchloom.model.patch import Selection
from patchloom.pages import Step, StepGroup, View, list_id
from patchloom.pages.cells import labels as label_words
from patchloom.pages.cells import run
from patchloom.pages.desk import contents, incoming
from patchloom.pages.lines import short_length
from patchloom_settings_checklist.seat import Seat

__all__ = ["blocks", "labels", "slots"]


def blocks(seat: Seat) -> StepGroup:
    """Return the blocks taken in, each with what is wanted of it."""
    steps = tuple(
        Step(
            seat.view.say("{into} takes {from_}{far}.", into=run(row.into), from_=run(row.from_), far=_far(seat.view, row.from_)),
            lines=_lines(seat.view, contents(seat.view, row.into)),
        )
        for row in incoming(seat.view, seat.desk)
        if seat.view.blocks(row.into) > 1
    )
    return StepGroup(
        "blocks",
        "Blocks taken in",
        "First which blocks come in, then which channel takes what.",
        tuple(_at(seat, step) for step in steps),
    )


def slots(seat: Seat) -> StepGroup:
    """Return the slots chosen one by one, a step for each bank, a line for each slot."""
    rows = [row for row in incoming(seat.view, seat.desk) if seat.view.blocks(row.into) == 1]
    steps = []
    for bank in dict.fromkeys(row.into.bank for row in rows):
        lines = [line for row in rows if row.into.bank == bank for line in _choices(seat.view, row)]
        steps.append(Step(seat.view.say("Choose the input of every slot of {bank}:", bank=bank), lines=tuple(lines)))
    return StepGroup("slots", "Inputs one by one", "", tuple(_at(seat, step) for step in steps))


def _choices(view: View, row: Selection) -> Iterator[str]:
    for into, from_ in zip(row.into.slots(), row.from_.slots(), strict=True):
        legs = view.legs_at(into)
        tap = view.say(", tap {tap}", tap=row.tap) if row.tap else ""
        other = f" ({view.say('alternate input')})" if row.alternate else ""
        name = f"  {view.said(legs[0])}" if legs else ""
        yield f"{view.mark(into)} \u2190 {from_.bank} {view.mark(from_)}{tap}{other}{name}"


def _lines(view: View, words: str) -> tuple[str, ...]:
    return (view.say("brings: {names}", names=words),) if words else ()


def _far(view: View, span: Span) -> str:
    port = (span.bank or "").partition(".")
    link = view.rig.link_at(span.device, port[0]) if port[1] else None
    if link is None:
        return ""
    other = next((end for end in link.join if end != f"{span.device}.{port[0]}"), "")
    return " " + view.say("(link {link} from {other})", link=link.id, other=other)


def _at(seat: Seat, step: Step) -> Step:
    return step if seat.positions else Step(f"{seat.desk}: {step.text}", step.lines, seat.desk, step.caution, step.hears)


def labels(seat: Seat) -> StepGroup:
    """Return a label for every channel in use, none alike, no longer than the desk's labels."""
    steps = []
    for row in seat.lists():
        landed = [(at, route) for at in seat.view.run(row) if (route := seat.view.landed(list_id(row), at)) is not None]
        names = []
        for at, route in landed:
            want, signal = seat.view.want(row, route), seat.view.signal(route.leg)
            names.append(
                (str(at.number), seat.view.name(route.leg, (want.name if want else "") or (signal.short if signal else "")))
            )
        if not names:
            continue
        length = short_length(seat.view, row)
        found = label_words(names, length)
        steps.append(
            Step(
                seat.view.say("Labels of {list} (at most {length} characters):", list=row.name or list_id(row), length=length),
                lines=tuple(f"{seat.view.mark(at)} {found[str(at.number)]}" for at, _ in landed),
            )
        )
    return StepGroup("labels", "Labels and colours", "Before gains, so that the line check catches a wrong one.", tuple(steps))
