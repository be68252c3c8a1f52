"""A better answer than the first: more wishes carried, dearest first, and then fewer blocks taken in.

Comes in: a case, a try that carries every must.  Goes out: the try that carries the dearest wishes, and which of the
others are proven impossible beside those; a try that is packed closer.  Next: `measure.py` counts.

A wish that is lost is asked for as if it were a must, beside all dearer ones.

Dearer is a lower priority number, then what comes first in the show.  A wish that is solved for is kept; one that is
impossible is out for good; one that stays open is left, and its row is not proven.  The number of times the period is
solved again is fixed, so the answer never depends on a clock.
"""

from __future__ import annotations

from functools import partial

from patchloom.errors import Impossible
from patchloom.solve.attempt import Placed
from patchloom.solve.case import Case, Wish
from patchloom.solve.slot import Aim
from patchloom.solve.whole.tight import tight
from patchloom.solve.wishes.blocks import blocks_least, blocks_taken, intakes
from patchloom.solve.wishes.carry import wished
from patchloom.solve.wishes.measure import pairs_kept
from patchloom.solve.wishes.pack import pack

__all__ = ["closer", "dearest"]

AGAIN = 24
"""Times a period is solved again for its wishes, at most."""
TRIES = 6
"""Tries of each."""
BIG = 400
"""Wants above which nothing is solved again for a wish."""
MANY = 128
"""Signals above which nothing is packed closer."""
EXACT = 96
"""Signals above which the exact programme is not asked for fewer blocks."""
WANTS = 200
"""Wants above which it is not asked either: it would be too large to be answered at once."""
SEEDS = (1,)
"""Seeds of the packings tried."""


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


def closer(case: Case, placed: Placed) -> tuple[Placed, int]:
    """Return a try that takes in fewer blocks and is no worse in any dearer wish, and how few blocks there must be.

    The same try where none is found.  First places are exchanged in a model; where that and counting leave a gap of more
    than a block for each intake, and the rig is small enough, the exact programme is asked.
    """
    least = blocks_least(case.fabric, case.plan, [aim for aim in case.aims if _is_carried(aim, placed)]) or 0
    if len(case.units) > MANY or not intakes(case.fabric):
        return placed, least
    asking = case.asking(frozenset(_carried(case, placed)))
    known = _standing(case, placed)
    intake = len(intakes(case.fabric))
    for ask in (*(partial(_packed, case, seed) for seed in SEEDS), partial(_exact, asking)):
        if -known[-1] <= (least if ask.func is _packed else least + intake):
            break
        bound, hints = ask(placed)
        least = max(least, bound)
        if hints is None:
            continue
        other = asking.place(tries=2, hints=hints)
        if other.failed is None and _standing(case, other) > known:
            placed, known = other, _standing(case, other)
    return placed, least


def _packed(case: Case, seed: int, placed: Placed) -> tuple[int, dict[str, tuple[int, int]] | None]:
    return 0, pack(case.fabric, case.plan, placed, seed)


def _exact(asking: Case, placed: Placed) -> tuple[int, dict[str, tuple[int, int]] | None]:
    found = tight(asking) if len(asking.units) <= EXACT and len(asking.aims) <= WANTS else None
    return (found.bound, found.hints) if found is not None else (0, None)


def _is_carried(aim: Aim, placed: Placed) -> bool:
    return f"{aim.to}: {aim.leg}" not in placed.unmet


def _standing(case: Case, placed: Placed) -> tuple[int, ...]:
    """Return how good a try is in the wishes up to blocks: more is better, the first counts most."""
    setting = case.setting("", placed)
    pairs = sum(value for _, value, _, _ in pairs_kept(case.fabric, case.plan, setting))
    return (-len(placed.unmet), int(pairs), len(setting.spares), -blocks_taken(case.fabric, setting))


def _carried(case: Case, placed: Placed) -> set[Wish]:
    gone = set(placed.unmet)
    return {(aim.to, aim.entry) for aim in case.aims if not aim.must} - {
        (aim.to, aim.entry) for aim in case.aims if not aim.must and f"{aim.to}: {aim.leg}" in gone
    }


def _solved(case: Case, musts: list[Wish]) -> Placed | bool:
    """Return a try that carries wishes as musts; False when there is proof against one, True when it is open."""
    asking = case.asking(frozenset(musts))
    if any(aim.must and not aim.goals for aim in asking.aims):
        return False  # it has no place
    try:
        placed = asking.place(tries=TRIES)
    except Impossible:
        return False
    return placed if placed.failed is None else True
