"""Whether declared inserts have their send, and nothing else stands where they return.

Comes in: a `Scene`.  Goes out: items.  Next: `verify`.  Only where a row by 1 of the type could take the send from the
channel is it asked for: otherwise whoever mixes patches it by hand, and the patch names it as not honoured.
"""

from __future__ import annotations

from patchloom.address import Slot, Span
from patchloom.check.scene import Scene
from patchloom.check.signals import CHAIN
from patchloom.model.patch import Selection
from patchloom.model.show import Insert

__all__ = ["check_inserts"]


def check_inserts(scene: Scene) -> None:
    """Note sends that do not come from their channel before the insert point, and returns that something is plugged into."""
    plugged = {place: leg for leg, place in scene.setting.plugs.items()}
    for row in scene.show.inserts:
        for place in scene.slots([row.return_]):
            if place in plugged:
                scene.report.add(
                    "insert-return-taken",
                    f"The insert on {row.channel} returns by {scene.ground.say(place)}, and {plugged[place]} is plugged there.",
                    place,
                    plugged[place],
                )
        for channel, send in zip(scene.slots([row.channel]), scene.slots([row.send]), strict=False):
            taps = _taps(scene, channel, send)
            if taps and not any(fixed.into == row.send for fixed in scene.show.fixed):
                _check_send(scene, row, channel, send, taps)


def _check_send(scene: Scene, row: Insert, channel: Slot, send: Slot, taps: list[str]) -> None:
    feeder = scene.feeders.of(send)
    tap = feeder.choice.tap if feeder is not None and feeder.choice is not None else ""
    if feeder is not None and feeder.source == channel and tap in taps:
        return
    blamed = scene.feeders.blame.get((send, False))
    if blamed is not None:
        blamed.behind.setdefault(f"insert {row.channel}")
        return
    has = f"{feeder.source or feeder.leg}{f' at tap {tap}' if tap else ''}" if feeder is not None else "nothing"
    scene.report.add(
        "insert-send-wrong",
        f"The insert on {channel} sends by {scene.ground.say(send)}, which takes {has}; it should take {channel} before the "
        f"insert point, at tap {' or '.join(taps)}.",
        send,
        channel,
    )


def _taps(scene: Scene, channel: Slot, send: Slot) -> list[str]:
    """Return the taps before the insert point at which some row takes a channel to a send; empty where none does."""
    bank = scene.ground.bank(channel.device, channel.bank)
    if bank is None or channel.device != send.device:
        return []
    fitting, found = scene.feeders.fitting, []
    for name, after in bank.taps.items():
        choice = Selection(into=_span(send), from_=_span(channel), tap=name)
        row = fitting.fit(choice).row
        early = all(word in CHAIN and CHAIN.index(word) < CHAIN.index("insert") for word in after)
        if early and row is not None and row.by == 1 and not fitting.tap_words(choice, row):
            found.append(name)
    return found


def _span(place: Slot) -> Span:
    return Span(place.device, place.bank, place.number, place.number)
