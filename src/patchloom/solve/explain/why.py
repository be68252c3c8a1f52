"""Why no patch exists, down to the facts that cannot be left out, and what would help.

Comes in: a rig, a show, the proof (`Impossible`) that the search raised, and a judge.  Goes out: another `Impossible`
that says the same in the fewest facts, with ways out that were solved again and found right by the judge.
Next: the pipeline raises it.

In order: `explain_atoms` (what could be otherwise), `explain_shrink` (what of it is in conflict), `explain_words` (in
words), `explain_ways` (what would help).  The solver is asked as it stands, counting first.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from patchloom.errors import Impossible
from patchloom.finding import Fact
from patchloom.model.change import Change, apply
from patchloom.model.period import in_period
from patchloom.model.rig import Rig
from patchloom.model.show import Show
from patchloom.solve.explain.atoms import COUNTED, Problem, block_of, problem_of
from patchloom.solve.explain.oracle import Oracle, Progress
from patchloom.solve.explain.shrink import OutOfTests, Tester, shrink
from patchloom.solve.explain.ways import Case, Judge, ways_out
from patchloom.solve.explain.words import facts_of

__all__ = ["MOST_TESTS", "explain"]

MOST_TESTS = 240
"""Altered shows solved to find the smallest conflict, at most."""


def explain(
    rig: Rig,
    show: Show,
    proof: Impossible,
    right: Judge,
    *,
    rules: Sequence[Any] = (),
    most: int = MOST_TESTS,
    late: Callable[[], bool] = bool,
    progress: Progress | None = None,
) -> Impossible:
    """Return the proof in its fewest facts, with ways out; `right` judges a patch of a changed rig and show.

    At most `most` altered shows are solved for the facts, and none once `late` says so.
    """
    here, tonight = in_period(rig, show, proof.period)
    oracle = Oracle(rules, progress)
    problem = problem_of(here, tonight)
    tester = Tester(problem, oracle, most, late)
    if late() or tester.without(frozenset()) != "no":
        # Only after the periods before it is this one impossible, or the proof speaks of what no atom holds.
        note = "No smaller set of facts was looked for."
        return Impossible(proof.facts, period=proof.period, explained=True, notes=(note,))
    core = shrink(tester, proof.facts)
    short = _short(problem, tester, core.kept, proof.facts)
    facts, also = facts_of(problem, core, proof.facts, short)
    numbers = dict.fromkeys(n for kept in core.kept for n in core.alike.get(kept, (kept,)))
    lacks = abs(next(iter(short.values()), 0)) or next((int(-(-fact.short // 1)) for fact in facts if fact.short), 1)
    case = Case(rig, show, proof.period, oracle, right, late)
    ways = ways_out(case, [problem.atoms[n] for n in numbers], facts or also, lacks, proof.facts)
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
    """Return how much each counted limit of a conflict lacks for all that is asked; a link's way back as a negative number.

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
            pair = problem.without(dropped)
            try:
                lacks = _fewest_more(tester, pair, atom.drop, atom.key, guess)
                if lacks is not None:
                    found[atom.key] = _one_way(tester, pair, atom.key, lacks) if atom.drop == "channels" else lacks
                    break
            except OutOfTests:
                return found
    return found


def _one_way(tester: Tester, pair: tuple[Rig, Show], link: str, lacks: int) -> int:
    """Return how much a link lacks: as a negative number where that is from its second end to its first."""
    back = Change("channels", (link,), (0, lacks))
    return -lacks if tester.ask(*apply(*pair, (back,))) == "yes" else lacks


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
