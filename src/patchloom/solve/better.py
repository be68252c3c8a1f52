"""Wishes beyond what the first answer carries: each asked for as if it were a must, beside all dearer ones.

Comes in: a case, a try that carries every must.  Goes out: the try that carries the dearest wishes, and which of the
others are proven impossible beside those.  Next: `measure.py` counts them.

Dearer is a lower priority number, then what comes first in the show.  A wish that is solved for is kept; one that is
impossible is out for good; one that stays open is left, and its row is not proven.  The number of times the period is
solved again is fixed, so the answer never depends on a clock.
"""

from __future__ import annotations

from patchloom.errors import Impossible
from patchloom.solve.attempt import Placed
from patchloom.solve.case import Case, Wish
from patchloom.solve.wishes import wished

__all__ = ["dearest"]

AGAIN = 24
"""Times a period is solved again for its wishes, at most."""
TRIES = 6
"""Tries of each."""
BIG = 400
"""Wants above which nothing is solved again."""


def dearest(case: Case, placed: Placed) -> tuple[Placed, frozenset[Wish]]:
    """Return the try that carries the dearest wishes found, and the wishes proven impossible beside dearer ones."""
    order = [(aims[0].to, aims[0].entry) for aims in wished(case.plan)]
    order = list(dict.fromkeys(order))
    lost: set[Wish] = set()
    if len(case.aims) > BIG or not placed.unmet:
        return placed, frozenset()
    kept: list[Wish] = []
    left = AGAIN
    carried = _carried(case, placed)
    if len(order) - len(carried) > 1:
        left -= 1
        everything = _solved(case, order)
        if isinstance(everything, Placed):
            return everything, frozenset()
    for wish in order:
        if wish in carried:
            kept.append(wish)
            continue
        if left == 0:
            continue
        left -= 1
        found = _solved(case, [*kept, wish])
        if isinstance(found, Placed):
            placed, carried = found, _carried(case, found)
            kept.append(wish)
        elif found is False:
            lost.add(wish)
    return placed, frozenset(lost)


def _carried(case: Case, placed: Placed) -> set[Wish]:
    gone = set(placed.unmet)
    return {(aim.to, aim.entry) for aim in case.aims if not aim.must} - {
        (aim.to, aim.entry) for aim in case.aims if not aim.must and f"{aim.to}: {aim.leg}" in gone
    }


def _solved(case: Case, musts: list[Wish]) -> Placed | bool:
    """Return a try that carries wishes as musts; False when there is proof against one, True when it is open."""
    try:
        placed = case.asking(frozenset(musts)).place(tries=TRIES)
    except Impossible:
        return False
    return placed if placed.failed is None else True
