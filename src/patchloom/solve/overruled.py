"""Proofs that routing rules leave no patch: nowhere to plug, no way past what is banned, nothing that two could keep apart by.

Comes in: a `Ruled`, a plan.  Goes out: facts, each of which rules every patch out; none where it cannot tell.
Next: `case.py` raises them.  What other signals take is left out of account, so that a fact holds whatever they do.
"""

from __future__ import annotations

from patchloom.finding import Fact, Part
from patchloom.model.routing import Declared
from patchloom.solve.attempt import Plan
from patchloom.solve.path import BOUND
from patchloom.solve.rules import Ruled
from patchloom.solve.slot import Aim
from patchloom.solve.unit import Unit

__all__ = ["overruled"]

_THINGS = 64
"""Devices, links and supplies above which pairs of signals are not asked what both need."""


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
                found.extend(proof.no_way(unit, aim))
    return found or proof.apart()


def _nowhere(ruled: Ruled, leg: str) -> Fact:
    rules = [rule for rule in ruled.by_leg.get(leg, ()) if rule.strict]
    words = " and ".join([rule.words() for rule in rules] + [rule.words for rule in ruled.on_plugs if rule.speaks(leg)])
    count = len(ruled.shut_out[leg])
    text = f"{leg} may plug into {count} place{'s' if count > 1 else ''}, and {words} leave{'s' if len(rules) == 1 else ''} none."
    return Fact("rule", text, 1, 0, 1, (leg, *(rule.name for rule in rules)), "", _parts(rules))


def _parts(rules: list[Declared]) -> tuple[Part, ...]:
    return tuple(Part("release", (rule.row,), 1) for rule in rules if not rule.row.startswith(("lists", "feeds")))


class _Proof:
    """Ways with everything else left out."""

    def __init__(self, ruled: Ruled, plan: Plan) -> None:
        self.ruled = ruled
        self.fabric = ruled.fabric
        self.plan = plan

    def reaches(self, unit: Unit, aim: Aim, banned: frozenset[int]) -> bool:
        """Return whether an aim can be reached from any place its leg may enter by, were nothing else there."""
        number = unit.legs.index(aim.leg)
        start = {segment for segment, _ in unit.allowed[number] if segment not in banned}
        ends = self._ends(unit, aim, banned)
        seen = set(start)
        todo = sorted(start)
        for segment in todo:
            if segment in ends:
                return True
            for to in self._steps(unit, segment):
                if to not in seen and to not in banned:
                    seen.add(to)
                    todo.append(to)
        return False

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
        if not rules or not self.reaches(unit, aim, frozenset()):
            return []
        if self.reaches(unit, aim, self.ruled.standing(aim.leg, aim.to)):
            return []
        words = " and ".join(_does(rule) for rule in rules)
        text = f"{aim.to} wants {aim.leg}, and {words}: no way is left."
        return [Fact("rule", text, 1, 0, 1, (aim.leg, aim.to, *(rule.name for rule in rules)), aim.position, _parts(rules))]

    def apart(self) -> list[Fact]:
        """Return the facts that two signals that must share nothing both need one thing."""
        ruled = self.ruled
        things = ruled.things()
        if len(things) > _THINGS:
            return []
        found = []
        aims: dict[tuple[str, str], tuple[Unit, Aim]] = {
            (aim.leg, aim.to): (unit, aim) for unit in self.plan.units for aim in unit.aims if aim.must and aim.goals
        }
        for rule in ruled.rules.declared:
            if rule.kind != "disjoint" or rule.places is not None:
                continue
            for (leg, to), (unit, aim) in aims.items():
                for other in rule.partners(leg) if rule.speaks(leg, to) else ():
                    pair = aims.get((other, to))
                    if pair is None or other < leg:
                        continue
                    both = self._both_need(unit, aim, *pair, things)
                    if both:
                        text = f"{leg} and {other} both need {both} on the way to {to}, and {rule.words()} forbids that."
                        found.append(Fact("rule", text, 2, 1, 1, (leg, other, both, to), aim.position, _parts([rule])))
        return found

    def _both_need(self, unit: Unit, aim: Aim, other: Unit, its: Aim, things: list[str]) -> str:
        end = {
            self.fabric.banks[self.fabric.seg_bank[segment]][0]
            for goal in (*aim.goals, *its.goals)
            for segment in (*goal.segments, *(goal.tail if goal.tail != BOUND else ()))
        }
        for thing in things:
            if thing in end:
                continue
            kept = {segment for device in end for segment in self.ruled.leaning(device)}
            banned = frozenset(self.ruled.leaning(thing) - kept)
            if not self.reaches(unit, aim, banned) and not self.reaches(other, its, banned):
                return thing
        return ""


def _does(rule: Declared) -> str:
    places = ", ".join(rule.places.texts) if rule.places is not None else ""
    return f"must outlive the loss of {places}" if rule.kind == "survive" else f"{rule.words()} forbids {places}"
