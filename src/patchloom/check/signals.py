"""What each slot carries: signals pushed through the rig, asked for from the far end.

Comes in: `Feeders`.  Goes out: a `Node` per slot asked about, a chain back to where the signal enters.
Next: `wants`, `destinations`, `routes`.

Slots are walked upstream once and remembered, so that all wants together cost the slots they use.
Out of a process bank a signal has come *after* something unless the tap is raw; a sum bank hands on the feed
mixed there and nothing that arrives at it.
"""

from __future__ import annotations

from typing import NamedTuple

from patchloom.address import Slot
from patchloom.check.feeders import Feeder, Feeders
from patchloom.check.report import Item

__all__ = ["CHAIN", "Node", "Signals"]

CHAIN = ("trim", "polarity", "filter", "delay", "insert", "processing", "mute", "fader")
"""What a tap may come after, in signal order (common practice)."""


class Node(NamedTuple):
    """One slot and what it carries; `leg` is empty where nothing does."""

    slot: Slot
    up: Node | None
    """The slot it takes from; None where the signal enters or the chain ends."""
    leg: str
    after: tuple[str, ...]
    """What the signal has come after, in the order met."""
    tapped: Slot | None
    """The first slot on the way that took it after something."""
    feeder: Feeder | None
    cause: Item | None
    """The item that explains a fault on the way here, the nearest to the source."""
    amp: Slot | None = None
    """The first preamp's socket on the way."""


class Signals:
    """What slots carry in one period."""

    def __init__(self, feeders: Feeders) -> None:
        self.feeders = feeders
        self.ground = feeders.ground
        self.report = feeders.report
        self._known: dict[tuple[Slot, bool], Node] = {}
        self._looked: set[tuple[str, ...]] = set()
        """Links and rows already looked at for domains that meet there."""

    def at(self, place: Slot, alternate: bool = False) -> Node:
        """Return the node of a slot, walking upstream as far as nothing is known yet."""
        found = self._known.get((place, alternate))
        if found is not None:
            return found
        steps: list[tuple[Slot, bool, Feeder | None]] = []
        seen: set[Slot] = set()
        here, turned = place, alternate
        up: Node | None = None
        while True:
            known = self._known.get((here, turned))
            if known is not None:
                up = known
                break
            if here in seen:
                steps = self._circle(steps, here)
                break
            seen.add(here)
            feeder = self.feeders.of(here, turned)
            steps.append((here, turned, feeder))
            if feeder is None or feeder.source is None:
                break
            here, turned = feeder.source, False
        for slot, side, feeder in reversed(steps):
            up = self._known[slot, side] = self._node(slot, side, feeder, up)
        assert up is not None
        return up

    def _circle(self, steps: list[tuple[Slot, bool, Feeder | None]], here: Slot) -> list[tuple[Slot, bool, Feeder | None]]:
        ring = [slot for slot, _, _ in steps]
        ring = ring[ring.index(here) :]
        item = self.report.add(
            "signal-loop",
            f"{', '.join(map(str, ring[::-1]))} feed each other in a circle of {len(ring)}.",
            *sorted(ring),
            key=min(ring),
            numbers=(("slots", len(ring)),),
        )
        self.feeders.blame.setdefault((steps[-1][0], steps[-1][1]), item)
        return [*steps[:-1], (steps[-1][0], steps[-1][1], None)]

    def _node(self, slot: Slot, alternate: bool, feeder: Feeder | None, up: Node | None) -> Node:
        cause = self.feeders.blame.get((slot, alternate))
        if feeder is None:
            return Node(slot, None, "", (), None, None, cause or self._empty(slot))
        if up is None:
            return Node(slot, None, feeder.leg, (), None, feeder, cause, self._amp(slot))
        if up.cause is not None:
            cause = up.cause
        leg, after, tapped = up.leg, up.after, up.tapped
        if feeder.link is not None:
            self._crossing(feeder, up.slot, slot)
        else:
            self._conversion(feeder, up.slot, slot)
            new = self._after(feeder, up)
            if new is None:
                return Node(slot, None, "", (), None, feeder, cause)
            if new:
                tapped = tapped or slot
                after = (*after, *new)
        return Node(slot, up, leg, after, tapped, feeder, cause, up.amp or self._amp(slot))

    def _amp(self, slot: Slot) -> Slot | None:
        return slot if self.ground.preamp(slot.device, slot.bank) is not None else None

    def _after(self, feeder: Feeder, up: Node) -> tuple[str, ...] | None:
        """Return what a copy comes after where it leaves a bank; None where the bank hands nothing on."""
        kind = self.ground.bank(*up.slot[:2])
        if kind is None or kind.does == "carry":
            return ()
        if kind.does == "sum" and (up.feeder is None or up.feeder.kind != "mix"):
            return None
        tap = feeder.choice.tap if feeder.choice is not None else ""
        allowed = feeder.row.select.taps if feeder.row is not None else ()
        names = [tap] if tap else [name for name in kind.taps if not allowed or name in allowed]
        if kind.does == "process" and not names:
            return None
        words = [tuple(kind.taps.get(name, ())) for name in names]
        if kind.does == "sum":
            return min(words, key=len, default=())
        return max(words, key=len)

    def _crossing(self, feeder: Feeder, here: Slot, there: Slot) -> None:
        link = feeder.link
        assert link is not None
        if (link.id, here.device) in self._looked:
            return
        self._looked.add((link.id, here.device))
        spoken = self.ground.rig.formats.get(link.format)
        if spoken is None or not spoken.digital:
            return
        one, two = self.ground.domain(here.device, here.bank), self.ground.domain(there.device, there.bank)
        if one is not two:
            self.report.add(
                "rate-crossing",
                f"Link {link.id} carries signal from domain {one.id} ({one.rate} Hz) into domain {two.id} ({two.rate} Hz).",
                link.id,
                here.device,
                there.device,
                numbers=(("from Hz", str(one.rate)), ("to Hz", str(two.rate))),
                key=link.id,
            )
        framing = link.framing
        if len(framing) == 2 and framing[0] != framing[1]:
            self.report.add(
                "framing-mismatch",
                f"Link {link.id} is set to framing {framing[0]} at {link.join[0]} and {framing[1]} at {link.join[1]}.",
                link.id,
            )
        for end, word in zip(self.ground.ends[link.id], framing * (2 // max(1, len(framing))), strict=False):
            have = (end.port.framings if end.port else ()) or spoken.framings
            if have and word not in have:
                self.report.add(
                    "framing-mismatch",
                    f"Link {link.id} is set to framing {word}, but {end.device}.{end.name} has {', '.join(have)}.",
                    link.id,
                )

    def _conversion(self, feeder: Feeder, here: Slot, there: Slot) -> None:
        row = feeder.row
        if row is None or (here.device, here.bank, there.bank, str(row.number)) in self._looked:
            return
        self._looked.add((here.device, here.bank, there.bank, str(row.number)))
        if row.select.converts or not self.ground.rig.type_of(here.device).clocks:
            return
        one, two = self.ground.domain(here.device, here.bank), self.ground.domain(there.device, there.bank)
        if one is not two:
            self.report.add(
                "converts-missing",
                f"{there.device}.{there.bank} takes {here.bank} across domains {one.id} and {two.id}, "
                f"and select row {row.number} does not convert.",
                f"{there.device}.{there.bank}",
                f"{here.device}.{here.bank}",
                numbers=(("from Hz", str(one.rate)), ("to Hz", str(two.rate))),
            )

    def _empty(self, slot: Slot) -> Item | None:
        """Return the item that explains why nothing arrives at a slot, where the rig itself explains it."""
        return self.feeders.beyond(slot) or self.feeders.unjoined(slot)
