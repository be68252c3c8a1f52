"""Why no patch exists, down to the facts that cannot be left out, and what would help.

Comes in: a rig, a show, the proof (`Impossible`) that the search raised, and a judge.  Goes out: another `Impossible`
that says the same in the fewest facts, with ways out that were solved again and found right by the judge.
Next: the pipeline raises it.

In order: `explain_atoms` (what could be otherwise), `explain_shrink` (what of it is in conflict), `explain_words` (in
words), `explain_ways` (what would help).  The solver is asked as it stands, counting first.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from patchloom.errors import Impossible, Undecided
from patchloom.finding import Fact
from patchloom.model.change import Change, apply
from patchloom.model.period import in_period
from patchloom.model.rig import Rig
from patchloom.model.show import Show
from patchloom.solve.answer import solve
from patchloom.solve.bounds import BOUNDS
from patchloom.solve.cutting import build_fabric
from patchloom.solve.explain_atoms import COUNTED, Problem, block_of, problem_of
from patchloom.solve.explain_shrink import OutOfTests, Tester, shrink
from patchloom.solve.explain_ways import Case, Judge, ways_out
from patchloom.solve.explain_words import CONTROLS, facts_of
from patchloom.solve.slot import aims, cut_at
from patchloom.solve.unit import units

__all__ = ["MOST_TESTS", "Oracle", "explain"]

MOST_TESTS = 600
"""Altered shows solved to find the smallest conflict, at most."""

class Oracle:
    """Says whether a rig and a show have a patch: the bound that ruled one out last is tried first, then the solver."""

    def __init__(self, rules: Sequence[Any] = ()) -> None:
        self.rules = rules
        self.last: Any = None

    def __call__(self, rig: Rig, show: Show) -> str:
        """Return `yes` (a patch was found), `no` (there is none) or `open`; for a show of one period."""
        counts = _Counts(rig, show)
        if self.last is not None and counts.facts(self.last):
            return "no"
        found = self.answer(rig, show)
        if isinstance(found, Impossible):
            counted = not found.facts or found.facts[0].limit.split()[0] not in CONTROLS
            self.last = next((bound for bound in BOUNDS if counts.facts(bound)), None) if counted else None
            return "no"
        return "open" if isinstance(found, Undecided) else "yes"

    def answer(self, rig: Rig, show: Show) -> Any:
        """Return a patch, or the Impossible or Undecided that stands in its place."""
        try:
            return solve(rig, show, None, None, self.rules, None, musts_only=True)
        except (Impossible, Undecided) as outcome:
            return outcome


class _Counts:
    """What the bounds need to know of a rig and a show."""

    def __init__(self, rig: Rig, show: Show) -> None:
        self.fabric = build_fabric(rig, cut_at(show))
        self.aims = aims(self.fabric, show)
        self.units = units(self.fabric, show, self.aims, {feed.id: show.desk_of(feed.mixed_at) for feed in show.feeds})

    def facts(self, bound: Any) -> list[Fact]:
        must = [aim for aim in self.aims if aim.must and aim.goals]
        return bound(self.fabric, must, self.units)  # type: ignore[no-any-return]


def explain(
    rig: Rig, show: Show, proof: Impossible, right: Judge, *, rules: Sequence[Any] = (), most: int = MOST_TESTS
) -> Impossible:
    """Return the proof in its fewest facts, with ways out; `right` judges a patch of a changed rig and show."""
    here, tonight = in_period(rig, show, proof.period)
    oracle = Oracle(rules)
    problem = problem_of(here, tonight)
    tester = Tester(problem, oracle, most)
    if tester.without(frozenset()) != "no":
        # Only after the periods before it is this one impossible, or the proof speaks of what no atom holds.
        note = "No smaller set of facts was looked for: alone, this period is not ruled out."
        return Impossible(proof.facts, period=proof.period, explained=True, notes=(note,))
    core = shrink(tester, proof.facts)
    short = _short(problem, tester, core.kept, proof.facts)
    facts, also = facts_of(problem, core, proof.facts, short)
    numbers = dict.fromkeys(n for kept in core.kept for n in core.alike.get(kept, (kept,)))
    lacks = next(iter(short.values()), None) or next((int(-(-fact.short // 1)) for fact in facts if fact.short), 1)
    case = Case(rig, show, proof.period, oracle.answer, right)
    ways = ways_out(case, [problem.atoms[n] for n in numbers], facts or also, lacks)
    return Impossible(
        tuple(facts or also),
        ways,
        period=proof.period,
        explained=True,
        smallest=core.smallest,
        also=tuple(also) if facts else (),
        notes=core.notes,
        tests=tester.count + case.tried,
    )


def _short(problem: Problem, tester: Tester, kept: tuple[int, ...], proof: Sequence[Fact]) -> dict[str, int]:
    """Return how much each counted limit of a conflict lacks for all that is asked.

    Found by solving again with so much more, on the rig as it is; where something else is in the way there, with all
    other limits left aside.  What the proof has counted is tried first.
    """
    guess = next((int(fact.short) for fact in proof if fact.short), 1)
    lifted = frozenset(n for n, atom in enumerate(problem.atoms) if atom.drop in COUNTED and n not in kept)
    found: dict[str, int] = {}
    for number in kept:
        atom = problem.atoms[number]
        if atom.drop not in COUNTED:
            continue
        for dropped in (frozenset[int](), lifted):
            try:
                lacks = _fewest_more(tester, problem.without(dropped), atom.drop, atom.key, guess)
            except OutOfTests:
                return found
            if lacks is not None:
                found[atom.key] = lacks
                break
    return found


def _fewest_more(tester: Tester, pair: tuple[Rig, Show], drop: str, key: str, guess: int) -> int | None:
    """Return how much more of a limit is enough, at most 64 times the guess; None where that is not."""
    unit = unit_of(pair[0], drop, key)
    known: dict[int, bool] = {}

    def enough(count: int) -> bool:
        if count not in known:
            known[count] = tester.ask(*apply(*pair, (Change(drop, (key,), count * unit),))) == "yes"
        return known[count]

    if guess > 1 and enough(guess) and not enough(guess - 1):
        return guess
    high = guess
    while not enough(high):
        high *= 2
        if high > 64 * guess:
            return None
    low = high // 2 if high > guess else 0
    while low + 1 < high:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high


def unit_of(rig: Rig, drop: str, key: str) -> int:
    """Return how many slots one more of a limit is: a block, a channel."""
    if drop != "slots":
        return 1
    device, _, bank = key.partition(".")
    return block_of(rig, device, bank)
