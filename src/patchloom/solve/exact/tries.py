"""Whether a tiny rig can carry a show, and which of its wishes: by trying everything there is to try.

Comes in: a rig and a show of a few signals.  Goes out: an `Answer`.  Next: nobody in a solve; tests hold the search
against it.

Wants are walked back from where they must land, slot by slot, through every choice that could feed the slot, to every
place the signal may enter by; what was chosen for one want holds for the next.  No price, no order of preference, no
counting proof: a dead end is left only because a want has no way at all any more.  The time grows as the choices
multiply, hence the limit on steps.

Asked are the signals: plugs where the show lets them be, every want on its slot, every destination, pools, fixed
choices, phantom switched together, one-box groups.  Clock, owners and gains are other questions, with proofs of their own.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import NamedTuple

from patchloom.model.rig import Rig
from patchloom.model.show import Show
from patchloom.solve.exact.slots import Choice, Slots
from patchloom.solve.exact.wants import Need, fixed_rows, needs_of, places_of

__all__ = ["MOST", "Answer", "Carried", "exact"]

MOST = 60_000
"""Steps of the search, at most, for each question whether something is possible."""
LEGS = 12
"""Legs of one show, at most."""


class Carried(NamedTuple):
    """A wish that is carried: its list or feed, which entry of it, its priority."""

    to: str
    entry: int
    priority: int


class Answer(NamedTuple):
    """Whether every must can be carried, and the wishes that can be besides.

    As many of the dearest as can be carried at all, then as many of the next beside those, and so on: lower priority
    numbers are dearer.  Of equal numbers of them, those that come first in the show are named.
    """

    feasible: bool
    wishes: tuple[Carried, ...] = ()


def exact(rig: Rig, show: Show, *, most: int = MOST) -> Answer:
    """Return the answer for a rig and show without periods.

    Raises ValueError when the show asks for what is not known here, or is too big: more than `LEGS` legs, or a question
    that takes more than `most` steps.  Exponential in legs times choices.
    """
    _refuse(show)
    slots = Slots(rig)
    needs = needs_of(slots, show)
    if needs is None:
        return Answer(False)
    musts = [need for need in needs if need.priority is None]
    search = _Search(slots, show, most)
    if not search.possible(musts):
        return Answer(False)
    kept: list[Carried] = []
    wishes = list(dict.fromkeys(Carried(n.to, n.entry, n.priority) for n in needs if n.priority is not None))
    for priority in sorted({wish.priority for wish in wishes}):
        level = [wish for wish in wishes if wish.priority == priority]
        for some in (some for count in range(len(level), 0, -1) for some in combinations(level, count)):
            rows = [need for need in needs if (need.to, need.entry) in {wish[:2] for wish in some}]
            if search.possible([*musts, *rows]):
                musts += rows
                kept += some
                break
    return Answer(True, tuple(kept))


def _refuse(show: Show) -> None:
    if show.periods:
        raise ValueError("the show has periods; ask for one of them at a time (patchloom.model.period.in_period)")
    other = [row.relation for row in show.groups if row.relation != "one-box"] + [row.rule for row in show.routing]
    if other:
        raise ValueError(f"the exhaustive search knows the relation one-box only, and the show has {', '.join(other)}")
    if any(item.survives for item in show.lists) or any(feed.survives for feed in show.feeds):
        raise ValueError("the exhaustive search knows nothing of surviving a loss; leave `survives` out")
    if show.inserts:
        raise ValueError("the exhaustive search knows nothing of inserts; leave them out")
    legs = sum(len(item.leg_ids()) for item in show.signals().values())
    if legs > LEGS:
        raise ValueError(f"the show has {legs} legs, and the exhaustive search takes {LEGS} at most")


class _Search:
    """One rig and show, and how far the choices made on the way have come."""

    def __init__(self, slots: Slots, show: Show, most: int) -> None:
        self.slots = slots
        self.most = most
        self.sums = {n for n, name in enumerate(slots.names) if (kind := slots.bank[name[:2]]) is not None and kind.does == "sum"}
        """Slots that mix what comes there, and so hand on nothing but what is mixed on them."""
        self.places = places_of(slots, show)
        self.fixed = fixed_rows(slots, show)
        self.phantom = {
            leg: "no" if source.phantom == "need" and source.powered_by in ("battery", "mains") else source.phantom
            for source in show.sources
            for leg in source.leg_ids()
        }
        self.boxes = [{leg for source in show.sources if source.id in row.of for leg in source.leg_ids()} for row in show.groups]
        self.feeder: dict[int, Choice | str] = {}
        """Slot to the choice that feeds it, or the leg that enters there."""
        self.entered: dict[str, int] = {}
        self.landed: dict[Need, int] = {}
        self.steps = 0

    def possible(self, needs: list[Need]) -> bool:
        """Return whether all needs can be carried at once."""
        self.steps = 0
        self.feeder, self.entered, self.landed = {}, {}, {}
        if self.fixed is None:
            return False
        return any(True for _ in self._set(0, needs))

    def _set(self, number: int, needs: list[Need]) -> Iterator[None]:
        """Set the fixed choices from `number` on, then carry the needs; yield once a way is found for everything."""
        assert self.fixed is not None
        if number == len(self.fixed):
            yield from self._carry(needs)
            return
        place, options = self.fixed[number]
        have = self.feeder.get(place)
        if have is not None:
            if have in options:
                yield from self._set(number + 1, needs)
            return
        for choice in options:
            if self._choose(choice):
                yield from self._set(number + 1, needs)
                self._drop(choice)

    # carrying

    def _carry(self, needs: list[Need]) -> Iterator[None]:
        """Carry the need with the fewest slots to land on next; a need without any way at all is a dead end."""
        self.steps += 1
        if self.steps > self.most:
            raise ValueError(f"the rig is too big for the exhaustive search: more than {self.most} steps")
        if not self._pools_hold():
            return
        if not needs:
            yield
            return
        open_: list[tuple[int, int]] = []
        for number, need in enumerate(needs):
            landings = [place for place in need.targets if self._may_land(need, place) and self._way(need, place, set())]
            if not landings:
                return
            open_.append((len(landings) if need.leg not in self.entered else 0, number))
        need = needs[min(open_)[1]]
        rest = [other for other in needs if other is not need]
        for place in need.targets:
            if not self._may_land(need, place):
                continue
            self.landed[need] = place
            for _ in self._climb(need, place, set()):
                yield from self._carry(rest)
            del self.landed[need]

    def _may_land(self, need: Need, place: int) -> bool:
        """Return whether a leg may land: siblings in order, and no slot twice where a destination of a feed leaves a choice."""
        here = self.slots.names[place] if place < self.slots.count else None
        for other, at in self.landed.items():
            if other.to != need.to or not (need.rising or other.rising) or here is None:
                continue
            if at == place:
                return False
            there = self.slots.names[at]
            if other.entry == need.entry and here[:2] == there[:2] and (other.part < need.part) != (at < place):
                return False
        return True

    def _climb(self, need: Need, place: int, seen: set[int]) -> Iterator[None]:
        """Yield for every way a leg can come to a slot, with the choices of that way made."""
        if place in seen:
            return
        mixed = bool(seen) and place in self.sums
        seen = seen | {place}
        step = self._fed(place)
        if step is not None:
            if self._arrives(need, place):
                yield
            elif mixed:
                return
            elif step[0] >= 0 and self._passes(need, step):
                yield from self._climb(need, step[0], seen)
            return
        if self._may_enter(need.leg, place):
            self.feeder[place] = need.leg
            self.entered[need.leg] = place
            if self._entries_agree():
                yield
            del self.feeder[place], self.entered[need.leg]
        for choice in () if mixed else self.slots.choices.get(place, ()):
            if self._passes(need, (choice.takes[place], choice.after)) and self._choose(choice):
                yield from self._climb(need, choice.takes[place], seen)
                self._drop(choice)

    def _way(self, need: Need, place: int, seen: set[int]) -> bool:
        """Return whether a leg has a way to a slot if nobody else chose anything more."""
        if place in seen:
            return False
        mixed = bool(seen) and place in self.sums
        seen.add(place)
        step = self._fed(place)
        if self._arrives(need, place):
            return True
        if step is not None:
            return not mixed and step[0] >= 0 and self._passes(need, step) and self._way(need, step[0], seen)
        if self._may_enter(need.leg, place):
            return True
        return not mixed and any(
            self._passes(need, (choice.takes[place], choice.after))
            and all(cover not in self.feeder for cover in choice.covers)
            and self._way(need, choice.takes[place], seen)
            for choice in self.slots.choices.get(place, ())
        )

    def _fed(self, place: int) -> tuple[int, tuple[str, ...] | None] | None:
        """Return what feeds a slot and what comes between; (-1, None) where a leg enters or nothing comes; None where open."""
        if place in self.slots.wire:
            return self.slots.wire[place]
        feeder = self.feeder.get(place)
        if feeder is None:
            return None
        if isinstance(feeder, str) or place not in feeder.takes:
            return (-1, None)
        return feeder.takes[place], feeder.after

    def _arrives(self, need: Need, place: int) -> bool:
        return self.feeder.get(place) == need.leg

    def _passes(self, need: Need, step: tuple[int, tuple[str, ...] | None]) -> bool:
        """Return whether a leg may take a step: not after too much, and out of a mix only where it is mixed there."""
        source, after = step
        if after is None or (after and not need.allows(after)):
            return False
        return source not in self.sums or (need.feed and source in self.places[need.leg])

    def _may_enter(self, leg: str, place: int) -> bool:
        return place in self.places[leg] and leg not in self.entered and place not in self.feeder

    # choices

    def _choose(self, choice: Choice) -> bool:
        if any(cover in self.feeder or cover in self.slots.wire for cover in choice.covers):
            return False
        for cover in choice.covers:
            self.feeder[cover] = choice
        return True

    def _drop(self, choice: Choice) -> None:
        for cover in choice.covers:
            del self.feeder[cover]

    # what holds for all together

    def _entries_agree(self) -> bool:
        """Return whether what is plugged so far can stand together: boxes, and phantom of every group."""
        for box in self.boxes:
            if len({self.slots.names[self.entered[leg]].device for leg in box if leg in self.entered}) > 1:
                return False
        plugged = {leg: place for leg, place in self.entered.items() if leg in self.phantom}
        return self._phantom_works(plugged)

    def _phantom_works(self, plugged: dict[str, int]) -> bool:
        """Return whether some setting of the switches serves who needs phantom and spares who must not have it."""
        switches: dict[tuple[str, str, int], set[str]] = {}
        supplies = {leg: self._supplies(place) for leg, place in plugged.items()}
        for leg, place in plugged.items():
            group = self._group(place)
            if group is not None:
                switches.setdefault(group, set()).add(self.phantom[leg])
        if any({"need", "never"} <= words for words in switches.values()):
            return False
        groups = sorted({group for rows in supplies.values() for group in rows})
        for on in range(1 << len(groups)):
            live = {group for bit, group in enumerate(groups) if on >> bit & 1}
            counts = {leg: len(live.intersection(rows)) for leg, rows in supplies.items()}
            if all(
                count <= (0 if self.phantom[leg] == "never" else 1) and count >= (1 if self.phantom[leg] == "need" else 0)
                for leg, count in counts.items()
            ):
                return True
        return False

    def _group(self, place: int) -> tuple[str, str, int] | None:
        name = self.slots.names[place]
        kind = self.slots.bank[name[:2]]
        preamp = self.slots.rig.type_of(name.device).preamps.get(kind.preamp) if kind is not None and kind.preamp else None
        if preamp is None or not preamp.phantom_by:
            return None
        return (name.device, name.bank, (name.number - 1) // preamp.phantom_by)

    def _supplies(self, place: int) -> list[tuple[str, str, int]]:
        """Return the switches whose direct current reaches a socket over its copper."""
        found: list[tuple[str, str, int]] = []
        todo, seen = [place], {place}
        for here in todo:
            kind = self.slots.bank[self.slots.names[here][:2]]
            if kind is not None and kind.preamp:
                group = self._group(here)
                found.extend([group] if group is not None and group not in found else [])
                continue
            for there, dc in self.slots.copper.get(here, ()):
                if dc == "yes" and there not in seen:
                    seen.add(there)
                    todo.append(there)
        return found

    def _pools_hold(self) -> bool:
        """Return whether no pool is exceeded by what is fed so far; more choices only feed more."""
        for spans, most, count, by in self.slots.pools:
            used = [
                self.slots.names[place]
                for place in self.feeder
                if place < self.slots.count
                and any(span.holds(self.slots.names[place]) for span in spans)
                and self._carries(place)
            ]
            if (len({(place.bank, (place.number - 1) // by) for place in used}) if count == "blocks" else len(used)) > most:
                return False
        return True

    def _carries(self, place: int) -> bool:
        """Return whether something comes to a slot by what is chosen so far."""
        seen: set[int] = set()
        while place not in seen:
            seen.add(place)
            feeder = self.feeder.get(place)
            if isinstance(feeder, str):
                return True
            step = self._fed(place)
            if step is None or step[0] < 0 or step[1] is None:
                return False
            if step[0] in self.sums and not isinstance(self.feeder.get(step[0]), str):
                return False
            place = step[0]
        return False
