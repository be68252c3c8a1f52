"""Proofs that routing rules leave no patch: nowhere to plug, no way past what is banned, nothing that two could keep apart by.

Comes in: a `Ruled`, a plan.  Goes out: facts, each of which rules every patch out; none where it cannot tell.
Next: `case.py` raises them.  What other signals take is left out of account, so that a fact holds whatever they do.
"""

from __future__ import annotations

from typing import NamedTuple

from patchloom.finding import Fact
from patchloom.model.routing import Declared, Hop, Places
from patchloom.solve.attempt import Plan
from patchloom.solve.path import BOUND
from patchloom.solve.ruled.rules import Ruled
from patchloom.solve.ruled.seats import parts, seats
from patchloom.solve.slot import Aim
from patchloom.solve.unit import Unit

__all__ = ["overruled"]

HOPS = 1024
"""Hops between two segments above which rules written in Python are not asked about all of them."""
WAYS = 4000
"""Ways of one signal, begun or ended, above which nothing is proven about a pair of them."""


def overruled(ruled: Ruled, plan: Plan) -> list[Fact]:
    """Return facts by which rules leave no patch; O(aims x segments) for the signals rules speak of."""
    found: list[Fact] = []
    proof = _Proof(ruled, plan)
    for unit in plan.units:
        for number, leg in enumerate(unit.legs):
            if not unit.allowed[number] and ruled.shut_out.get(leg):
                found.append(_nowhere(ruled, leg))
    if found:
        return found
    for unit in plan.units:
        for aim in unit.aims:
            if aim.must and aim.goals:
                found.extend(proof.no_way(unit, aim) or proof.past(unit, aim))
    return found or proof.entering() or seats(ruled, plan, proof.plugs) or proof.between()


def _nowhere(ruled: Ruled, leg: str) -> Fact:
    rules = [rule for rule in ruled.by_leg.get(leg, ()) if rule.strict]
    names = [rule.words() for rule in rules] + [rule.words for rule in ruled.on_plugs if rule.speaks(leg)]
    count = len(ruled.shut_out[leg])
    places = f"{count} place{'s' if count > 1 else ''}"
    text = f"{leg} may enter at {places}, and {' and '.join(names)} leave{'s' if len(names) == 1 else ''} none."
    return Fact("rule", text, 1, 0, 1, (leg, *(rule.name for rule in rules)), "", parts(rules))


class _Passed(NamedTuple):
    """What one way passes: the box it enters by; devices and links, the device it ends at left out."""

    box: str
    things: frozenset[str]


_WANTS = {"together": "together", "disjoint": "to share nothing", "apart": "on two boxes", "one-box": "on one box"}


class _Proof:
    """Ways with everything else left out."""

    def __init__(self, ruled: Ruled, plan: Plan) -> None:
        self.ruled = ruled
        self.fabric = ruled.fabric
        self.plan = plan
        self._open: dict[str, set[int]] = {}

    def plugs(self, unit: Unit, leg: str) -> set[int]:
        """Return the segments a leg may enter by from which each of its musts can be reached as its rules want it."""
        known = self._open.get(leg)
        if known is None:
            known = {segment for segment, _ in unit.allowed[unit.legs.index(leg)]}
            if leg in self.ruled.by_leg:
                aims = [aim for aim in unit.aims if aim.must and aim.goals and aim.leg == leg]
                known = {segment for segment in known if all(self._leads(unit, aim, segment) for aim in aims)}
            self._open[leg] = known
        return known

    def _leads(self, unit: Unit, aim: Aim, segment: int) -> bool:
        """Return whether a way leads from a segment to an aim that passes nothing forbidden and everything required."""
        banned = self.ruled.standing(aim.leg, aim.to)
        ends = self._ends(unit, aim, banned)
        come = self._from(unit, {segment}, banned, aim)
        if come.isdisjoint(ends):
            return False
        last = {segment for goal in aim.goals for segment in (*goal.segments, *(goal.tail if goal.tail != BOUND else ()))}
        for rule in self.ruled.by_leg.get(aim.leg, ()):
            if rule.kind == "require" and rule.places is not None and rule.speaks(aim.leg, aim.to):
                there = self.ruled.segments(rule.places)
                if last.isdisjoint(there) and self._from(unit, come & there, banned).isdisjoint(ends):
                    return False
        return True

    def entering(self) -> list[Fact]:
        """Return the facts that a leg has no place from which all who want it can be reached as its rules want it."""
        found = []
        for unit in self.plan.units:
            for leg in unit.legs:
                rules = [
                    rule
                    for rule in self.ruled.by_leg.get(leg, ())
                    if rule.kind in ("forbid", "survive", "require") and rule.places is not None
                ]
                if rules and unit.allowed[unit.legs.index(leg)] and not self.plugs(unit, leg):
                    wants = [aim for aim in unit.aims if aim.must and aim.goals and aim.leg == leg]
                    starts = {segment for segment, _ in unit.allowed[unit.legs.index(leg)]}
                    if not any(self._leads_anyhow(unit, wants, segment) for segment in starts):
                        continue
                    tos = ", ".join(dict.fromkeys(aim.to for aim in wants))
                    does = " and ".join(_does(rule) for rule in rules)
                    text = f"{leg} is wanted by {tos}, and {does}: from no place it may enter by does it come to all of them."
                    found.append(Fact("rule", text, 1, 0, 1, (leg, *(rule.name for rule in rules)), "", parts(rules)))
        return found

    def _leads_anyhow(self, unit: Unit, aims: list[Aim], segment: int) -> bool:
        come = self._from(unit, {segment}, frozenset())
        return all(not come.isdisjoint(self._ends(unit, aim, frozenset())) for aim in aims)

    def reaches(self, unit: Unit, aim: Aim, banned: frozenset[int]) -> bool:
        """Return whether an aim can be reached from any place its leg may enter by, were nothing else there."""
        start = {segment for segment, _ in unit.allowed[unit.legs.index(aim.leg)]}
        return not self._from(unit, start, banned).isdisjoint(self._ends(unit, aim, banned))

    def _from(self, unit: Unit, start: set[int], banned: frozenset[int], aim: Aim | None = None) -> set[int]:
        """Return the segments that can be reached from some, were nothing else there; with an aim, by hops no rule forbids."""
        todo = sorted(start - banned)
        seen = set(todo)
        asked = aim is not None and any(rule.speaks(aim.leg) for rule in self.ruled.on_hops)
        for segment in todo:
            for to in self._steps(unit, segment):
                if to not in seen and to not in banned and not (asked and aim is not None and self._shut(unit, aim, segment, to)):
                    seen.add(to)
                    todo.append(to)
        return seen

    def _shut(self, unit: Unit, aim: Aim, segment: int, to: int) -> bool:
        """Return whether rules written in Python forbid every hop from a segment to another."""
        fabric = self.fabric
        fed = fabric.fed_by[to]
        here, there = fabric.seg_length[segment], fabric.seg_length[to]
        if fed is not None and fed[0] == segment:
            return all(self._forbidden(aim, segment, offset, to, offset, fed[1], "") for offset in range(min(here, there)))
        if here * there > HOPS:
            return False
        bank = fabric.seg_bank[segment]
        rows = [fabric.rows[number] for number in fabric.singles_from[segment]]
        rows += [fabric.rows[number] for number, _ in fabric.blocks_from[segment]]
        taps = {tap for row in rows if (tap := fabric.raw_tap(bank, row, unit.allow, unit.feed)) is not None}
        return all(
            self._forbidden(aim, segment, one, to, other, "", tap)
            for one in range(here)
            for other in range(there)
            for tap in sorted(taps)
        )

    def _forbidden(self, aim: Aim, segment: int, offset: int, to: int, into: int, link: str, tap: str) -> bool:
        place = self.fabric.place
        hop = Hop(aim.leg, aim.to, aim.position, place(segment, offset), place(to, into), link, tap)
        return any(rule.veto(hop) for rule in self.ruled.on_hops)

    def _ends(self, unit: Unit, aim: Aim, banned: frozenset[int]) -> set[int]:
        """Return the segments from which a goal of an aim is one choice away, or that it lies in."""
        fabric = self.fabric
        ends: set[int] = set()
        for goal in aim.goals:
            if any(segment in banned for segment in goal.tail if goal.tail != BOUND):
                continue
            open_ = [segment for segment in goal.segments if segment not in banned]
            if goal.offset is None or goal.tail == BOUND:
                ends.update(open_)
                continue
            for segment in open_:
                for row in fabric.singles_into[segment]:
                    if fabric.rows[row].alternate == goal.alternate:
                        ends.update(fabric.rows[row].sources)
        return ends

    def _steps(self, unit: Unit, segment: int) -> list[int]:
        fabric = self.fabric
        found = [way.to for way in fabric.fixed[segment]]
        bank = fabric.seg_bank[segment]
        for number in fabric.singles_from[segment]:
            row = fabric.rows[number]
            if not row.alternate and fabric.raw_tap(bank, row, unit.allow, unit.feed) is not None:
                found.extend(row.into)
        for number, source in fabric.blocks_from[segment]:
            row = fabric.rows[number]
            if not row.alternate and fabric.raw_tap(bank, row, unit.allow, unit.feed) is not None:
                for run in row.into_runs:
                    found.extend(fabric.facing(segment, source, run))
        return found

    def no_way(self, unit: Unit, aim: Aim) -> list[Fact]:
        """Return the fact that rules leave a leg no way to an aim; none where one is left, or there is none anyway."""
        rules = [
            rule
            for rule in self.ruled.by_leg.get(aim.leg, ())
            if rule.kind in ("forbid", "survive") and rule.places is not None and rule.speaks(aim.leg, aim.to)
        ]
        asked = [rule for rule in self.ruled.on_hops if rule.speaks(aim.leg)]
        if not (rules or asked) or not self.reaches(unit, aim, frozenset()):
            return []
        banned = self.ruled.standing(aim.leg, aim.to)
        start = {segment for segment, _ in unit.allowed[unit.legs.index(aim.leg)]}
        if not self._from(unit, start, banned, aim).isdisjoint(self._ends(unit, aim, banned)):
            return []
        if rules and not self.reaches(unit, aim, banned):
            asked = []
        words = " and ".join([*map(_does, rules), *(f"{rule.words} forbids hops" for rule in asked)])
        text = f"{aim.to} wants {aim.leg}, and {words}: no way is left."
        names = (*(rule.name for rule in rules), *(rule.name for rule in asked))
        return [Fact("rule", text, 1, 0, 1, (aim.leg, aim.to, *names), aim.position, parts(rules))]

    def past(self, unit: Unit, aim: Aim) -> list[Fact]:
        """Return the fact that no way of a leg to an aim passes what a rule requires; none where it cannot tell."""
        banned = self.ruled.standing(aim.leg, aim.to)
        for rule in self.ruled.by_leg.get(aim.leg, ()):
            if rule.kind != "require" or rule.places is None or not rule.speaks(aim.leg, aim.to):
                continue
            ends = self._ends(unit, aim, banned)
            number = unit.legs.index(aim.leg)
            come = self._from(unit, {segment for segment, _ in unit.allowed[number]}, banned)
            here = (come & self.ruled.segments(rule.places)) - banned
            last = {segment for goal in aim.goals for segment in (*goal.segments, *(goal.tail if goal.tail != BOUND else ()))}
            if last.isdisjoint(self.ruled.segments(rule.places)) and ends.isdisjoint(self._from(unit, here, banned)):
                places = ", ".join(rule.places.texts)
                text = f"{aim.to} wants {aim.leg}, and {rule.words()} wants it to come through {places}: no way does."
                return [Fact("rule", text, 1, 0, 1, (aim.leg, aim.to, rule.name), aim.position, parts([rule]))]
        return []

    def between(self) -> list[Fact]:
        """Return the facts that two signals cannot go as a rule between them wants; none where it cannot tell."""
        aims: dict[tuple[str, str], tuple[Unit, Aim]] = {
            (aim.leg, aim.to): (unit, aim) for unit in self.plan.units for aim in unit.aims if aim.must and aim.goals
        }
        found: list[Fact] = []
        pairs: dict[tuple[str, str, str], None] = {}
        for rule in self.ruled.rules.declared:
            if rule.kind in ("disjoint", "together") and rule.places is None:
                for leg, to in aims:
                    others = rule.partners(leg) if rule.speaks(leg, to) else ()
                    pairs.update(((leg, other, to), None) for other in others if leg < other and (other, to) in aims)
            if rule.kind == "apart" and rule.places is not None:
                for place in rule.places.each():
                    found.extend(self._both_in(rule, place, aims))
        for leg, other, to in pairs:
            found.extend(self._pair(aims[leg, to], aims[other, to]))
        return found

    def _pair(self, one: tuple[Unit, Aim], other: tuple[Unit, Aim]) -> list[Fact]:
        """Return the fact that no two ways of two signals to a list suit all rules between them; none where two do."""
        legs, to = (one[1].leg, other[1].leg), one[1].to
        rules = [
            rule
            for rule in self.ruled.by_leg[legs[0]]
            if rule.kind in ("disjoint", "together", "apart", "one-box")
            and rule.places is None
            and legs[1] in rule.partners(legs[0])
            if rule.kind in ("apart", "one-box") or rule.speaks(legs[0], to)
        ]
        mine, theirs = self._ways(*one), self._ways(*other)
        if mine is None or theirs is None:
            mine, theirs = self._boxes(*one), self._boxes(*other)
        if not mine or not theirs or self._suit(rules, mine, theirs):
            return []
        for rule in list(rules):
            rest = [kept for kept in rules if kept is not rule]
            if not self._suit(rest, mine, theirs):
                rules = rest
        both = frozenset.intersection(*(way.things for way in (*mine, *theirs)))
        need = f" Both need {', '.join(sorted(both))}." if both and any(rule.kind == "disjoint" for rule in rules) else ""
        does = " and ".join(f"{rule.words()} wants them {_WANTS[rule.kind]}" for rule in rules)
        text = f"{legs[0]} and {legs[1]} have no two ways to {to} that do, and {does}.{need}"
        return [Fact("rule", text, 1, 0, 1, (*legs, to, *(rule.name for rule in rules)), one[1].position, parts(rules))]

    def _boxes(self, unit: Unit, aim: Aim) -> frozenset[_Passed]:
        """Return the boxes a leg may enter by, as ways about which no more is known."""
        banks = {self.fabric.seg_bank[segment] for segment in self.plugs(unit, aim.leg)}
        return frozenset(_Passed(self.fabric.banks[bank][0], frozenset()) for bank in banks)

    def _suit(self, rules: list[Declared], mine: frozenset[_Passed], theirs: frozenset[_Passed]) -> bool:
        kinds = {rule.kind for rule in rules}
        return any(
            ("together" not in kinds or here == there)
            and ("disjoint" not in kinds or not self._share(here.things, there.things))
            and ("apart" not in kinds or here.box != there.box)
            and ("one-box" not in kinds or here.box == there.box)
            for here in mine
            for there in theirs
        )

    def _share(self, one: frozenset[str], other: frozenset[str]) -> bool:
        supplies = self.ruled.rules.supplies
        tags = [{thing, *supplies.get(thing, ())} for thing in one]
        leaning = {name for thing in other for name in (thing, *supplies.get(thing, ()))}
        return any(not names.isdisjoint(leaning) for names in tags)

    def _end(self, aim: Aim) -> str:
        """Return the device a want of a list ends at."""
        return aim.slots[0].device

    def _ways(self, unit: Unit, aim: Aim) -> frozenset[_Passed] | None:
        """Return what each way of a leg to an aim passes, the device it ends at left out; None where there are too many."""
        fabric = self.fabric
        banned = self.ruled.standing(aim.leg, aim.to)
        ends, end = self._ends(unit, aim, banned), self._end(aim)
        if not aim.slots or aim.to in self.ruled.feeds or any(goal.tail and goal.tail != BOUND for goal in aim.goals):
            return None
        device = [fabric.banks[bank][0] for bank in fabric.seg_bank]
        todo = [
            (segment, _Passed(device[segment], frozenset((device[segment],)))) for segment in sorted(self.plugs(unit, aim.leg))
        ]
        seen = set(todo)
        found: set[_Passed] = set()
        for segment, way in todo:
            if segment in ends:
                found.add(way._replace(things=way.things - {end}))
            for to in self._steps(unit, segment):
                fed = fabric.fed_by[to]
                link = {f"link {fed[1]}"} if fed is not None and fed[0] == segment and fed[1] else set()
                state = (to, way._replace(things=way.things | {device[to]} | link))
                if to not in banned and state not in seen:
                    if len(seen) > WAYS:
                        return None
                    seen.add(state)
                    todo.append(state)
        return frozenset(found)

    def _both_in(self, rule: Declared, place: Places, aims: dict[tuple[str, str], tuple[Unit, Aim]]) -> list[Fact]:
        """Return the fact that two signals a rule keeps from meeting in a place both have to be there."""
        there = self.ruled.segments(place)
        dragged = self.ruled.upstream(there)
        bound = {}
        for (leg, to), (unit, aim) in aims.items():
            number = rule.side(leg)
            if number < 0 or number in bound:
                continue
            plugs = self.plugs(unit, leg)
            if plugs <= dragged or not self.reaches(unit, aim, self.ruled.standing(leg, to) | there):
                bound[number] = leg
        if len(bound) < 2:
            return []
        legs = list(bound.values())[:2]
        text = f"{legs[0]} and {legs[1]} both have to be in {place.texts[0]}, and {rule.words()} forbids that."
        return [Fact("rule", text, 2, 1, 1, (*legs, place.texts[0], rule.name), "", parts([rule]))]


def _does(rule: Declared) -> str:
    places = ", ".join(rule.places.texts) if rule.places is not None else ""
    if rule.kind == "survive":
        return f"must outlive the loss of {places}"
    return f"{rule.words()} {'forbids' if rule.kind == 'forbid' else 'wants it to come through'} {places}"
