"""Which socket each source takes and which slot each mix is made on, and then every route: one try after another.

Comes in: fabric, show, aims, hints from a previous answer.  Goes out: a `Net` in which every must is carried, or
what stood in the way of the best try.  Next: `emit.py`.

Units (a signal with its legs) are placed one by one and routed at once, so that a placement is judged by what it
costs to carry on: scarce blocks above all.  Fixed choices come first, then units with few places, then the widest
wanted.  When a unit finds no way, it moves to the front and the try starts again; later tries shuffle ties by a
seeded generator, so the same rig always sees the same tries.  When a few tries have found nothing, the exact programme
of `complete.py` says what is true; only what it cannot say leaves the rest to more tries.
"""

from __future__ import annotations

import random
from collections import deque
from collections.abc import Callable
from time import monotonic
from typing import Any

from patchloom.errors import Impossible
from patchloom.solve.attempt import Placed, Plan
from patchloom.solve.fabric import Fabric
from patchloom.solve.ripup import RipUp
from patchloom.solve.route import Net
from patchloom.solve.unit import Unit
from patchloom.solve.wishes.carry import carry_wishes

__all__ = ["place_all"]

TRIES = 40
FEW = 2
"""Tries before the exact programme is asked."""
PATIENCE = 4.0
"""How often, for each unit, others may be taken out in one try."""
HASTE = 0.25
"""The same while the exact programme is still to come."""
NOISE = 20.0


def place_all(
    fabric: Fabric,
    plan: Plan,
    prepare: Callable[[Net], None],
    spares: list[Unit],
    progress: Callable[[str], None] | None,
    disprove: Callable[[], None],
    tries: int = TRIES,
    end: float | None = None,
    lenient: bool = True,
) -> Placed:
    """Return the first try that carries every must (and then what wishes it can), or the one that came furthest.

    `disprove` is asked once, after the first try has failed: it raises when it can prove that none will do.  After `FEW`
    tries the exact programme is asked; raises Impossible when it proves that there is no patch.  With `lenient`, a source
    that no must wants and that was plugged, or is said to plug somewhere, may stay out from then on.  `end` (of
    `time.monotonic`) is looked at between tries.
    """
    reach: dict[tuple[int, ...], dict[int, float]] = {}
    weight: dict[str, int] = {}
    best: tuple[int, Placed] | None = None
    for number in range(tries):
        if number and end is not None and monotonic() > end:
            break
        if number == FEW:
            placed = _exactly(fabric, plan, prepare, progress, end)
            if placed is not None:
                return _with_wishes(placed, plan, spares)
        plan.seed = number if number > 2 else 0
        net = Net(fabric, reach)
        net.quick = number == 0
        if number > 1:
            draw = random.Random(number)
            net.noise = [draw.random() * NOISE for _ in fabric.seg_bank]
        prepare(net)
        run = RipUp(fabric, plan, net)
        keep = spares if number % 2 == 0 else []
        if progress and number:
            progress(f"try {number + 1} of {tries}")
        loose = lenient and number >= FEW
        order = _order(plan, keep, weight, number, loose)
        if _settle(run, order, HASTE if number < FEW < tries else PATIENCE, loose):
            return _with_wishes(run, plan, [] if keep else spares)
        failed = run.out.failed
        assert failed is not None
        if number == 0:
            disprove()
        weight[failed.name] = weight.get(failed.name, 0) + 1
        done = len(run.net.legs)
        if best is None or done > best[0]:
            run.out.missing = [f"{failed.name} (wanted by {', '.join(failed.signature)})"]
            best = (done, run.out)
    assert best is not None
    return best[1]


def _exactly(
    fabric: Fabric,
    plan: Plan,
    prepare: Callable[[Net], None],
    progress: Callable[[str], None] | None,
    end: float | None,
) -> RipUp | None:
    """Return the try the exact programme leads to, None where it leaves the question open; raise on its proof."""
    from patchloom.solve.whole.complete import complete

    if progress:
        progress("looking at everything at once")

    def settle(run: RipUp, mine: Plan) -> bool:
        return _settle(run, _order(mine, [], {}, 0, True), 1.0, True)

    def left() -> float | None:
        return max(0.1, end - monotonic()) if end is not None else None

    plan.seed = 0
    outcome = complete(fabric, plan, prepare, settle, left)
    if outcome.facts:
        raise Impossible(outcome.facts)
    return outcome.run


def _with_wishes(run: RipUp, plan: Plan, spares: list[Unit]) -> Placed:
    """Return a try in which every must stands, with the spare lines and the wishes that still find a way."""
    for unit in spares:
        run.put(unit)
    run.out.failed = None
    carry_wishes(run, plan)
    return run.out


def _settle(run: RipUp, order: list[Unit], patience_each: float, lenient: bool = False) -> bool:
    """Place units one by one; whoever finds no way takes it from others, who are placed again.  Return whether all stand."""
    queue = deque(order)
    patience = patience_each * len(order)
    while queue:
        unit = queue.popleft()
        if run.put(unit) or (unit.optional and (lenient or not unit.kept)):
            continue
        run.net.quick = False
        patience -= 1
        victims = run.force(unit) if patience > 0 else None
        if victims is None:
            return False
        queue.extendleft(reversed(victims))
    return True


def _order(plan: Plan, spares: list[Unit], weight: dict[str, int], number: int, lenient: bool = False) -> list[Unit]:
    """Return the units in the order to place them; with `lenient`, those that may stay out come last."""
    blocks = any(row.by > 1 for row in plan.fabric.rows)
    in_order = number == 0 and any(not aim.free for aim in plan.aims)
    spread = random.Random(number)
    noise = {unit.name: spread.random() if number > 3 else 0.0 for unit in plan.units}

    def key(unit: Unit) -> tuple[Any, ...]:
        hinted = all(leg in plan.hints for leg in unit.legs)
        first = (0 if unit.bound else 1, 0 if unit.fixed else 1, -weight.get(unit.name, 0), 0 if hinted else 1, unit.feed)
        if number > 4 and number % 2:
            # Weights alone can send the same few units round in a ring: half of the later tries forget them.
            return (0 if unit.fixed and not unit.feed else 1, unit.feed and not unit.bound, noise[unit.name], unit.number)
        if in_order or not blocks:
            return (*first, 0 if len(unit.allowed[0]) < 16 else 1, noise[unit.name] if number > 3 else 0.0, unit.number)
        wide = -len(unit.signature)
        if number % 3 == 2:
            wide += round(noise[unit.name] * 2)
        return (
            *first,
            len(unit.allowed[0]) // 16,
            0 if unit.prefer else 1,
            wide,
            unit.signature,
            -len(unit.legs) if number else 0,
            0 if unit.phantom == "need" else 1,
            noise[unit.name] if number % 3 == 1 else 0.0,
            unit.number,
        )

    ordered = sorted(plan.units, key=lambda unit: (unit.optional and (lenient or not unit.kept), *key(unit)))
    if not spares:
        return ordered
    last_wide = max(
        (i for i, unit in enumerate(ordered) if not unit.feed and set(spares[0].signature) <= set(unit.signature)),
        default=len(ordered) - 1,
    )
    return [*ordered[: last_wide + 1], *spares, *ordered[last_wide + 1 :]]
