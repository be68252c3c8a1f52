"""The wishes of a show: carried dearest first, measured on a finished try, bounded by counting.

Comes in: a try in which every must is carried.  Goes out: the same with what wishes it could carry besides, and
a `WishValue` for each kind of wish.  Next: `answer.py` puts them into the patch.
"""

from __future__ import annotations

from patchloom.solve.attempt import Attempt, Plan
from patchloom.solve.path import Leg
from patchloom.solve.slot import Aim

__all__ = ["carry_wishes", "wished"]


def wished(plan: Plan) -> list[tuple[Aim, ...]]:
    """Return the wants that are wishes, each with all its legs, the dearest first, then in the order of the show."""
    found: dict[tuple[str, int, bool], list[Aim]] = {}
    for aim in plan.aims:
        if not aim.must:
            found.setdefault((aim.to, aim.entry, aim.alternate), []).append(aim)
    return sorted(map(tuple, found.values()), key=lambda aims: (aims[0].priority, aims[0].number))


def carry_wishes(run: Attempt, plan: Plan) -> None:
    """Carry the wants that are wishes where a way is left, all legs or none, the dearest first; name those that find none."""
    for aims in wished(plan):
        if any(aim.number not in run.out.arrived for aim in aims) and not _carry(run, aims):
            run.out.unmet.extend(f"{aim.to}: {aim.leg}" for aim in aims)


def _carry(run: Attempt, aims: tuple[Aim, ...]) -> bool:
    """Carry every leg of a wish; return whether all arrived, with nothing changed when not."""
    marks: list[tuple[Leg, int, int, int]] = []
    for aim in aims:
        if aim.number in run.out.arrived:
            continue
        leg = run.net.legs.get(aim.leg)
        if leg is not None:
            marks.append((leg, len(leg.slot_holds), len(leg.block_holds), len(leg.parent)))
        found = run.carry(leg, aim) if leg is not None else None
        if found is None:
            for other in aims:
                run.out.arrived.pop(other.number, None)
            for taken, slots, blocks, places in reversed(marks):
                run.net.undo(taken, slots, blocks, list(taken.parent)[places:])
            return False
        run.out.arrived[aim.number] = found
    return True
