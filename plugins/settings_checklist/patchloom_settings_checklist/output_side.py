"""Steps of the output side and of keeping it: taps, outputs, inserts, talkback, recall, saving, proof.

Comes in: a `Seat`.  Goes out: a `StepGroup` each.
"""

from __future__ import annotations

from patchloom.address import parse
from patchloom.model.patch import Selection
from patchloom.pages import Step, StepGroup
from patchloom.pages.cells import run
from patchloom.pages.desk import contents, leaving
from patchloom_settings_checklist.seat import Seat

__all__ = ["inserts", "outputs", "proof", "recall", "save", "talk", "taps"]


def _tapped(seat: Seat, row: Selection) -> bool:
    """Return whether a selection takes a named tap of a channel."""
    bank = seat.view.bank(seat.desk, row.from_.bank or "")
    return bank is not None and bank.does == "process" and bool(row.tap)


def taps(seat: Seat) -> StepGroup:
    """Return every tap taken of a channel, raw ones called raw."""
    kind, say = seat.view.type_of(seat.desk), seat.view.say
    lines = []
    for row in seat.selections():
        if not _tapped(seat, row):
            continue
        after = kind.banks[row.from_.bank or ""].taps.get(row.tap, ())
        words = say("after {what}", what=", ".join(say(word) for word in after)) if after else say("raw, before everything")
        tap = say("tap {tap}", tap=row.tap)
        lines.append(f"{run(row.from_)} \u2192 {run(row.into)}: {tap} ({words})  {contents(seat.view, row.into)}")
    steps = (Step("Set the tap of each copy taken from a channel:", lines=tuple(lines)),) if lines else ()
    return StepGroup("taps", "Tap points", "A tap after the fader or mute hands on what you do to the channel.", steps)


def outputs(seat: Seat) -> StepGroup:
    """Return the mixes made here and every selection that takes a signal out."""
    steps = []
    mixes = [
        (seat.view.setting.mixes[leg], leg) for feed in seat.feeds() for leg in feed.leg_ids() if leg in seat.view.setting.mixes
    ]
    if mixes:
        steps.append(Step("Mixes:", lines=tuple(f"{at.bank} {at.number}  {seat.view.said(leg)}" for at, leg in mixes)))
    lines = []
    for row in leaving(seat.view, seat.desk):
        if _tapped(seat, row):
            continue  # printed with its tap, one group before
        what = contents(seat.view, row.into)
        tap = seat.view.say(", tap {tap}", tap=row.tap) if row.tap else ""
        lines.append(f"{run(row.into)} \u2190 {run(row.from_)}{tap}{f'  ({what})' if what else ''}")
    if lines:
        steps.append(Step("Send them on:", lines=tuple(lines)))
    return StepGroup("outputs", "Outputs and what is passed on", "Mix, then output block, then socket.", tuple(steps))


def inserts(seat: Seat) -> StepGroup:
    """Return the declared inserts of these positions."""
    steps = tuple(
        Step(
            seat.view.say("{channel}: send {send}, return {back}", channel=row.channel, send=row.send, back=row.return_)
            + (f" ({row.what})." if row.what else "."),
            caution="A closed loop on purpose: in only once both ends are plugged.",
        )
        for row in seat.view.show.inserts
        if row.position in seat.positions
    )
    return StepGroup("inserts", "Inserts", "", steps)


def talk(seat: Seat) -> StepGroup:
    """Return who must be able to speak to whom from here, and where the talkback microphone comes in."""
    lines = [
        f"{seat.view.said(row.from_)} \u2192 {', '.join(row.to)}"
        for row in seat.view.show.talk
        if row.from_ in seat.positions or _stands_here(seat, row.from_)
    ]
    lines += [
        seat.view.say("{name} is plugged into {socket}", name=seat.view.said(leg), socket=seat.view.line(at))
        for leg, at in seat.view.setting.plugs.items()
        if at.device == seat.desk and (bank := seat.view.bank(at.device, at.bank)) is not None and bank.only_for == "talkback"
    ]
    steps = (
        (Step("Talkback and listen paths:", lines=tuple(lines), caution="Start with the talkback turned down."),) if lines else ()
    )
    return StepGroup("talk", "Talkback", "", steps)


def _stands_here(seat: Seat, key: str) -> bool:
    return any(leg.split(".")[0] == key and at.device == seat.desk for leg, at in seat.view.setting.plugs.items())


def recall(seat: Seat) -> StepGroup:
    """Return what to keep out of the reach of scene recall."""
    found = seat.view.type_of(seat.desk).recalls
    words = seat.view.say("Exclude from scene recall: {what}.", what=", ".join(seat.view.say(word) for word in found))
    steps = (Step(words),) if found else ()
    return StepGroup("recall", "Recall protection", "A recalled scene can overwrite this patch, or switch 48 V.", steps)


def save(seat: Seat) -> StepGroup:
    """Return the saving of the desk's own file."""
    text = "Save the desk's file with the revision of this sheet in its name; copy it to two places."
    return StepGroup("save", "Save", "", (Step(text),) if seat.positions and seat.view.type_of(seat.desk).role == "desk" else ())


def proof(seat: Seat) -> StepGroup:
    """Return the low-level proof: one line of every block first, then every line, then the outputs."""
    lines, blocks = [], set()
    for row in seat.lists():
        device = parse(row.at).device
        for route in seat.view.setting.routes:
            if route.to != (row.id or row.position) or route.alternate or len(route.hops) < 2:
                continue
            first = route.hops[0]
            block = (first.device, first.bank, (first.number - 1) // 8)
            if block not in blocks:
                blocks.add(block)
                place = seat.view.say("arrives at {place}", place=f"{device} {seat.view.mark(route.hops[-1])}")
                lines.append(f"{seat.view.line(first)}  {seat.view.said(route.leg)}  {place}")
    steps = []
    if lines:
        steps.append(Step("One line of each block, say the label aloud:", lines=tuple(lines)))
        steps.append(Step("Then every line, in the order of your list."))
    if seat.feeds():
        steps.append(
            Step("Then the outputs one at a time, at low level.", caution="Ear packs off heads; bring each up from silence.")
        )
    return StepGroup("proof", "One low-level proof", "One line of each block finds swapped blocks first.", tuple(steps))
