"""Whether there is a patch at all: found where it exists, proven where it does not.

Comes in: fabric, plan, what every try begins with.  Goes out: a finished try, or facts that prove there is none, or neither
with the reason.  Next: `place.py`, which asks only after counting and a few quick tries have left something open.

The ladder: crowds whose pairs stay side by side; then leg by leg; then with only those slots kept that musts want exactly,
where *none* is a proof.  An answer is carried out by the search over exactly the blocks it names.  Where that fails, the
units at fault are counted one by one and it is asked again, a few times; then the question stays open.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from copy import copy
from typing import NamedTuple

from patchloom.finding import Fact
from patchloom.solve.attempt import Plan
from patchloom.solve.counting.reach import names, short
from patchloom.solve.fabric import Fabric
from patchloom.solve.ripup import RipUp
from patchloom.solve.route import Net
from patchloom.solve.whole.blueprint import Blueprint, read, ways
from patchloom.solve.whole.build import build
from patchloom.solve.whole.crowd import Place, asked_exactly, crowds
from patchloom.solve.whole.highs import TooMany
from patchloom.solve.whole.lattice import TooWide
from patchloom.solve.whole.programme import Draft

__all__ = ["Outcome", "complete"]

NOBODY = -2
"""Source run of a run that is to stay empty."""
ROUNDS = 3
LENIENT = 8_000
"""Columns up to which it is asked what is short."""
NODES = 300
MOST = 20_000
"""Columns up to which every leg is counted by itself."""
BRANCHES = 2_000


class Outcome(NamedTuple):
    """A finished try, or facts that prove there is none, or why it stays open."""

    run: RipUp | None = None
    facts: tuple[Fact, ...] = ()
    open: str = ""


Settle = Callable[[RipUp, Plan], bool]


def complete(
    fabric: Fabric,
    plan: Plan,
    prepare: Callable[[Net], None],
    settle: Settle,
    left: Callable[[], float | None] = lambda: None,
) -> Outcome:
    """Return what is true of a period; `left` says how many seconds there are, None for as many as it takes."""
    ground = Net(fabric, {})
    prepare(ground)
    kept = frozenset(ground.reserved)
    hard = kept & asked_exactly(plan)
    rungs = [(True, kept)] if any(len(unit.legs) > 1 and not unit.fixed for unit in plan.units) else []
    rungs += [(False, kept)] if hard != kept else []
    try:
        for joined, reserved in [*rungs, (False, hard)]:
            last = reserved == hard and not joined
            outcome = _Rung(fabric, plan, prepare, settle, left, ground, joined, reserved).climb(last)
            if outcome is not None:
                return outcome
    except TooWide:
        return Outcome(open="the rig has more ways than can be looked at exactly")
    return Outcome(open="the ways found for the signals could not be taken at once")


class _Rung:
    """One way to ask: legs of a signal side by side or not, and which slots are kept."""

    def __init__(
        self,
        fabric: Fabric,
        plan: Plan,
        prepare: Callable[[Net], None],
        settle: Settle,
        left: Callable[[], float | None],
        ground: Net,
        joined: bool,
        reserved: frozenset[Place],
    ) -> None:
        self.fabric, self.plan, self.prepare, self.settle, self.left = fabric, plan, prepare, settle, left
        self.ground, self.joined, self.reserved = ground, joined, reserved
        self.loners: frozenset[str] = frozenset()

    def climb(self, last: bool) -> Outcome | None:
        """Return what this way of asking leads to; None where it leads to nothing. Only the `last` proves that there is none."""
        for _ in range(ROUNDS):
            found = crowds(self.fabric, self.plan, self.reserved, self.joined, self.loners)
            draft = Draft(self.fabric, self.plan, found, self.reserved, self.ground.fixed_run)
            verdict = draft.programme.solve(seconds=self.left())
            if verdict.values is None:
                if not verdict.proven:
                    return Outcome(open="the time given was over")
                return Outcome(facts=self._facts(draft)) if last else None
            attempt = self.carry_out(read(draft, verdict.values, self.ground.hint_run))
            failed = attempt.out.failed
            if failed is None:
                return Outcome(attempt)
            if failed.name in self.loners:
                break
            self.loners |= {failed.name}
        return self._guided() if last else None

    def _guided(self) -> Outcome | None:
        """Return what becomes of it when no two legs are counted as alike, and each takes the very way it is counted on."""
        every = frozenset(unit.name for unit in self.plan.units)
        try:
            found = crowds(self.fabric, self.plan, self.reserved, False, every)
            draft = Draft(self.fabric, self.plan, found, self.reserved, self.ground.fixed_run, MOST)
        except TooMany:
            return None
        verdict = draft.programme.solve(nodes=BRANCHES, seconds=self.left())
        if verdict.values is None:
            return Outcome(facts=self._facts(draft)) if verdict.proven else None
        blueprint = read(draft, verdict.values, self.ground.hint_run)
        attempt = self.carry_out(blueprint, ways(draft, verdict.values, self.ground.hint_run))
        if attempt.out.failed is None:
            return Outcome(attempt)
        built = build(draft, verdict.values, blueprint, self.plan, self._net(blueprint))
        if built is None:
            return None
        for unit in self.plan.units:
            if unit.optional:
                built.put(unit)
        built.out.failed = None
        return Outcome(built)

    def carry_out(self, blueprint: Blueprint, guide: dict[str, dict[int, int]] | None = None) -> RipUp:
        """Return a try over exactly the blocks of a blueprint, every leg where the blueprint says if that works.

        With a `guide`, every leg keeps to the slots it names.
        """
        plan = copy(self.plan)
        plan.hints = dict(blueprint.places)
        net = self._net(blueprint)
        net.guide = guide
        attempt = RipUp(self.fabric, plan, net)
        if self.settle(attempt, plan):
            attempt.out.failed = None
        return attempt

    def _net(self, blueprint: Blueprint) -> Net:
        """Return a try's net with nothing taken, on which every run may take what a blueprint says and nothing else."""
        net = Net(self.fabric, {})
        self.prepare(net)
        for segment, offset in sorted(net.reserved - self.reserved):
            net.reserved.discard((segment, offset))
            net.open[segment] |= 1 << offset
        net.quick = False
        taken = {run for row in self.fabric.rows for run in row.into_runs}
        net.fixed_run = {run: blueprint.runs.get(run, NOBODY) for run in sorted(taken)}
        return net

    def _facts(self, draft: Draft) -> tuple[Fact, ...]:
        """Return which runs are too few, where more of them would do; else that everything was ruled out together."""
        short_of: tuple[Fact, ...] = ()
        if len(draft.programme.low) <= LENIENT:
            lenient = Draft(self.fabric, self.plan, draft.crowds, self.reserved, self.ground.fixed_run, lenient=True)
            values = lenient.programme.solve(nodes=NODES, seconds=self.left()).values
            short_of = tuple(_too_few(lenient, values)) if values is not None else ()
        legs = tuple(leg for crowd in draft.crowds for members in crowd.legs for leg in members if crowd.targets)
        return short_of or (
            Fact(
                limit="the rig as a whole",
                text=f"No choice of sockets, blocks and slots carries all {len(legs)} signals that are wanted: each count by "
                "itself has room, all of them together have none (every choice was ruled out).",
                members=legs,
            ),
        )


def _too_few(draft: Draft, values: list[int]) -> Iterator[Fact]:
    """Yield a fact for each kind of run there would have to be more of."""
    fabric = draft.fabric
    for kind, column in (draft.more or {}).items():
        if not values[column]:
            continue
        runs = draft.grain.kinds[kind].runs
        bank, _, length, _ = fabric.runs[runs[0]]
        where = ".".join(fabric.banks[bank])
        carried = {
            number for number, _, arc in draft.ways_taken(values) if arc[2] >= 0 and draft.lattice.copies[arc[2]].kind == kind
        }
        legs = [leg for number in sorted(carried) for members in draft.crowds[number].legs for leg in members]
        words = f"however sources are placed, {where} takes in too few different blocks of {length} for {names(legs)}"
        yield short(where, words, len(runs) + values[column], len(runs), legs)
