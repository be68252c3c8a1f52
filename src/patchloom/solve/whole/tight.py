"""The fewest blocks there can be, asked of the exact programme: a bound, and the places that reach it.

Comes in: a case in which every wish that is carried is a must.  Goes out: the bound and places to hint at, or nothing where
the programme would be large.  Next: `better.py`, which asks only after counting has left a gap.

The programme lets legs that are alike trade places, so what it finds may ask for less than the show does: its bound holds,
its places are hints.  The number of columns and of branches is fixed, so the answer never depends on a clock.
"""

from __future__ import annotations

from math import ceil, floor
from typing import TYPE_CHECKING, NamedTuple

from patchloom.solve.route import Net
from patchloom.solve.wishes.blocks import intakes

if TYPE_CHECKING:
    from patchloom.solve.case import Case

__all__ = ["Tight", "tight"]

COLUMNS = 1_200
"""Columns up to which the programme is asked."""
NODES = 5
"""Branches looked at, at most."""


class Tight(NamedTuple):
    """No patch takes in fewer blocks than `bound`; `hints` are places that may reach it, None where none were found."""

    bound: int
    hints: dict[str, tuple[int, int]] | None


def tight(case: Case) -> Tight | None:
    """Return the fewest blocks there can be, pairs apart or not; None where the programme is too large or says nothing."""
    from patchloom.solve.whole.blueprint import read
    from patchloom.solve.whole.crowd import asked_exactly, crowds
    from patchloom.solve.whole.highs import TooMany
    from patchloom.solve.whole.lattice import TooWide
    from patchloom.solve.whole.programme import Draft

    fabric, plan = case.fabric, case.plan
    ground = Net(fabric, {})
    case.ground.make_ready(ground)
    kept = frozenset(ground.reserved) & asked_exactly(plan)
    found = crowds(fabric, plan, kept, False, frozenset())
    try:
        draft = Draft(fabric, plan, found, kept, ground.fixed_run, COLUMNS)
    except (TooMany, TooWide):
        return None
    into = intakes(fabric)
    for copy in draft.lattice.copies:
        if fabric.runs[draft.grain.kinds[copy.kind].runs[0]].bank in into:
            draft.programme.price[draft.brought[copy.number]] = 1.0
    verdict = draft.programme.solve(nodes=NODES)
    if verdict.bound is None:
        return None
    bound = max(0, ceil(floor(verdict.bound * 1e6 + 0.5) / 1e6 - 1e-6))
    return Tight(bound, dict(read(draft, verdict.values, {}).places) if verdict.values is not None else None)
