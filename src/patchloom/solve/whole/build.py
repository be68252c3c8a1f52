"""An answered programme built slot by slot, where every leg was counted by itself.

Comes in: a `Draft` with crowds of one, the values of its columns, the blueprint read from them, a try with nothing taken.
Goes out: whether every leg now stands in the try and has arrived wherever it must.  Next: `complete.py`, which asks where the
search did not find the way the programme counts on: a leg that must be in two slots of one bank, say.

Each leg's flow to each target is walked arc by arc.  Slots of a stretch are alike, so a leg that is put there slot by slot
takes the first free one, and takes it once for all targets that pass there, unless it has to arrive twice.
"""

from __future__ import annotations

from patchloom.model.patch import Setting
from patchloom.solve.attempt import Plan
from patchloom.solve.changes.replay import Before, Replay
from patchloom.solve.path import BOUND, Leg
from patchloom.solve.route import Net
from patchloom.solve.slot import Aim
from patchloom.solve.unit import Unit
from patchloom.solve.whole.blueprint import Blueprint, copies_at
from patchloom.solve.whole.crowd import FED, ONE, Place, Target, target_of
from patchloom.solve.whole.flows import SLOTWISE, TO_HUB, Arc
from patchloom.solve.whole.programme import Draft

__all__ = ["build"]


def build(draft: Draft, values: list[int], blueprint: Blueprint, plan: Plan, net: Net) -> Replay | None:
    """Return a try in which every leg goes the way the programme counts on; None where that cannot be taken."""
    attempt = Replay(draft.fabric, plan, net, Before(draft.fabric, plan, Setting(period="")))
    builder = _Builder(draft, values, blueprint, attempt)
    return attempt if builder.stand() and builder.all_arrive() else None


class _Builder:
    """The try under way, and which slots of a stretch each leg holds."""

    def __init__(self, draft: Draft, values: list[int], blueprint: Blueprint, attempt: Replay) -> None:
        self.draft, self.values, self.blueprint, self.attempt = draft, values, blueprint, attempt
        self.fabric = draft.fabric
        self.sources = copies_at(draft, values, attempt.net.hint_run)
        """Copy to the run it came to."""
        self.number_of = {legs[0]: number for number, crowd in enumerate(draft.crowds) for legs in crowd.legs}
        self.slots: dict[tuple[str, int], list[Place]] = {}
        """(leg, node) to the slots it holds there."""
        self.gone: dict[tuple[str, Target], set[Place]] = {}
        """(leg, target) to the slots it came by."""
        self.arcs: dict[tuple[int, int], list[Arc]] = {}
        """(crowd, target) to the arcs taken."""
        for number, which, arc in draft.ways_taken(values):
            self.arcs.setdefault((number, which), []).append(arc)
        self.unit_of: dict[str, Unit] = {}

    def stand(self) -> bool:
        """Put every leg on the place it enters by; return whether all are free."""
        for unit in self.attempt.plan.units:
            if unit.optional:
                continue
            places = [self.blueprint.places.get(leg) for leg in unit.legs]
            found = [place for place in places if place is not None]
            if len(found) != len(unit.legs) or not self.attempt.stand(unit, found):
                return False
            self.unit_of.update(dict.fromkeys(unit.legs, unit))
        return True

    def all_arrive(self) -> bool:
        """Carry every leg to its targets, exact slots first; return whether all arrive."""
        asked = [(leg, which, aims) for leg in self.unit_of for which, aims in self._asked(leg)]
        exact = [row for row in asked if self._target(row[0], row[1]).how == ONE]
        rest = [row for row in asked if self._target(row[0], row[1]).how != ONE]
        return all(self._carry(leg, which, aim) for leg, which, aims in (*exact, *rest) for aim in aims)

    def _asked(self, leg: str) -> list[tuple[int, list[Aim]]]:
        """Return each target of a leg by its number, with the wants it stands for; one asked for twice is there twice."""
        unit, plan = self.unit_of[leg], self.attempt.plan
        grouped: dict[Target, list[Aim]] = {}
        for aim in unit.aims:
            if aim.leg == leg and aim.must and aim.goals:
                grouped.setdefault(target_of(self.fabric, plan, unit, aim), []).append(aim)
        found: list[tuple[int, list[Aim]]] = []
        targets = self.draft.crowds[self.number_of[leg]].targets
        for target, aims in grouped.items():
            places = [which for which, other in enumerate(targets) if other == target]
            if len(places) == 1:
                found.append((places[0], aims))
            else:
                found.extend((which, [aim]) for which, aim in zip(places, aims, strict=True))
        return found

    def _target(self, leg: str, which: int) -> Target:
        return self.draft.crowds[self.number_of[leg]].targets[which]

    def _carry(self, leg: str, which: int, aim: Aim) -> bool:
        attempt = self.attempt
        standing = attempt.net.legs[leg]
        standing.allow = aim.allow or standing.tap
        way = self._way(standing, which, aim)
        if way is None or not attempt.follow(standing, way, aim.goals[0].alternate, 0, aim):
            return False
        attempt.out.arrived[aim.number] = (*way[-1], 0)
        goal = aim.goals[0]
        end = (goal.tail[-1], way[-1][1]) if goal.tail and goal.tail != BOUND else way[-1]
        if aim.place is None:
            attempt.note_landing(aim, end)
        if aim.place is None or goal.offset is None:
            standing.ends[end] = way[-1]
        return True

    def _way(self, leg: Leg, which: int, aim: Aim) -> list[Place] | None:
        """Return the places a leg passes to a want, its first place included; None where the flow cannot be walked."""
        draft, number = self.draft, self.number_of[leg.name]
        target = draft.crowds[number].targets[which]
        sinks = draft.sinks_of(number, which, self.values)
        ahead: dict[int, list[Arc]] = {}
        for arc in self.arcs.get((number, which), ()):
            ahead.setdefault(arc[0], []).append(arc)
        assert leg.origin is not None
        enters = [cell for (who, cell), column in draft.enters.items() if who == number and self.values[column]]
        node = draft.cells[enters[0]].node
        way, hub_row = [leg.origin], -1
        for _ in range(len(draft.lattice.nodes)):
            done = self._land(leg, way, target, aim) if node in sinks else None
            if done is not None:
                return done
            if not ahead.get(node):
                return None
            _, node, copy = ahead[node].pop(0)
            if copy == TO_HUB:
                hub_row = next(row for row, (hub, _) in draft.lattice.hubs.items() if hub == node)
                continue
            step = self._onto(leg, way[-1], node, hub_row, target, aim) if copy == SLOTWISE else self._through(way[-1], copy)
            if step is None:
                return None
            way.extend(step)
        return None

    def _land(self, leg: Leg, way: list[Place], target: Target, aim: Aim) -> list[Place] | None:
        """Return a way with its last steps, by wires to a wanted slot or by the row that feeds it; None where none is left."""
        goal, fabric = aim.goals[0], self.fabric
        offset = way[-1][1]
        if target.how == FED:
            assert goal.offset is not None
            rows = {row for row, _ in target.where}
            for segment in self.draft.grain.tree(way[-1][0]):
                if rows & set(fabric.singles_from[segment]):
                    steps = self._along(way[-1], segment)
                    return [*way, *steps, (goal.segments[0], goal.offset)] if steps is not None else None
            return None
        wanted = set(goal.segments)
        for segment in self.draft.grain.tree(way[-1][0]):
            fits = segment in wanted and (goal.offset is None or goal.offset == offset)
            if fits and (aim.place is not None or (segment, offset) not in leg.ends):
                steps = self._along(way[-1], segment)
                return [*way, *steps] if steps is not None else None
        return None

    def _along(self, here: Place, segment: int) -> list[Place] | None:
        """Return the places wires lead to from one on the way to a segment, the last included."""
        before: dict[int, int] = {here[0]: -1}
        todo = [here[0]]
        for at in todo:
            for way in self.fabric.fixed[at]:
                if way.to not in before:
                    before[way.to] = at
                    todo.append(way.to)
        if segment not in before:
            return None
        chain = [segment]
        while before[chain[-1]] >= 0:
            chain.append(before[chain[-1]])
        return [(at, here[1]) for at in chain[-2::-1]]

    def _through(self, here: Place, copy: int) -> list[Place] | None:
        """Return the places from one on to where a block takes it."""
        run = self.sources.get(copy)
        source = self.blueprint.runs.get(run, -1) if run is not None else -1
        if run is None or source < 0:
            return None
        for segment in self.fabric.runs[source].segments:
            steps = self._along(here, segment)
            if steps is not None:
                there = self.fabric.through(segment, here[1], source, run)
                return [*steps, there] if there is not None else None
        return None

    def _onto(self, leg: Leg, here: Place, node: int, row: int, target: Target, aim: Aim) -> list[Place] | None:
        """Return the places from one on to a slot of a stretch that a row feeds slot by slot."""
        taken = [at for at in self.draft.grain.tree(here[0]) if row in self.fabric.singles_from[at]]
        steps = self._along(here, taken[0]) if taken else None
        place = self._slot(leg, node, target, aim)
        if steps is None or place is None:
            return None
        return [*steps, place]

    def _slot(self, leg: Leg, node: int, target: Target, aim: Aim) -> Place | None:
        """Return the slot of a stretch a leg takes: the one it must land on, one it holds and may use again, or a free one."""
        net, goal = self.attempt.net, aim.goals[0]
        segment, first = self.draft.lattice.nodes[node].images[0]
        mine = self.slots.setdefault((leg.name, node), [])
        if target.how == ONE and goal.segments[0] == segment and goal.offset is not None:
            place = (segment, goal.offset)
            if place not in mine:
                mine.append(place)
            return place
        gone = self.gone.setdefault((leg.name, target), set())
        free = [(segment, first + step) for step in range(self.draft.lattice.nodes[node].length)]
        free = [place for place in free if place not in net.held and place not in net.reserved and place not in mine]
        found = next((place for place in (*mine, *free) if place not in gone), mine[0] if mine else None)
        if found is not None:
            gone.add(found)  # who is asked for here again comes by another slot where there is one
            if found not in mine:
                mine.append(found)
        return found
