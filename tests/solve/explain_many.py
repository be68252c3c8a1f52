"""Many random small rigs, and whether every impossible one is explained as promised; prints the figures.

Comes in: how many impossible rigs, from which seed, of which size.  Goes out: lines on the screen; exit code 1 where one
is not irreducible or a way out does not work.

    python tests/solve/explain_many.py --count 500
"""

from __future__ import annotations

import argparse
import importlib.util
import sys
from collections import Counter
from pathlib import Path
from time import perf_counter
from typing import Any

import patchloom
from patchloom import Impossible, Undecided
from patchloom.model.period import in_period
from patchloom.solve.answer import solve as search
from patchloom.solve.explain.atoms import problem_of

HERE = Path(__file__).parent


def main() -> int:
    """Return 0 when every explanation holds."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--count", type=int, default=500)
    options.add_argument("--seed", type=int, default=0)
    options.add_argument("--size", default="tiny", choices=("tiny", "small"))
    given = options.parse_args()
    make = _maker()
    tally: Counter[str] = Counter()
    times: list[float] = []
    seed, bad = given.seed, 0
    while tally["impossible"] < given.count:
        case = make(seed, given.size)
        seed += 1
        rig = patchloom.read_rig(case.rig)
        show = patchloom.read_show(case.show, rig)
        began = perf_counter()
        try:
            patchloom.solve(rig, show)
            tally["solved"] += 1
        except Undecided:
            tally["undecided"] += 1
        except Impossible as proof:
            times.append(perf_counter() - began)
            tally["impossible"] += 1
            tally["proven smallest"] += proof.smallest
            tally["with a way out"] += bool(proof.ways)
            tally["ways out"] += len(proof.ways)
            tally["tests"] += proof.tests
            for words in wrong(rig, show, proof):
                bad += 1
                tally["wrong"] += 1
                print(f"{case.name}: {words}", flush=True)
    times.sort()
    print(f"{given.size}, seeds {given.seed} to {seed - 1}: " + ", ".join(f"{name} {count}" for name, count in tally.items()))
    print(f"seconds each: p50 {times[len(times) // 2]:.2f}, p95 {times[int(len(times) * 0.95)]:.2f}, most {times[-1]:.2f}")
    return 1 if bad else 0


def wrong(rig: Any, show: Any, proof: Impossible) -> list[str]:
    """Return what an explanation does not keep of its promises."""
    found = [] if len(proof.lines()) <= 7 else ["more than seven lines"]
    here, tonight = in_period(rig, show, proof.period)
    problem = problem_of(here, tonight)
    number = {(atom.drop, atom.key): n for n, atom in enumerate(problem.atoms)}
    kept = [number[part.drop, key] for fact in proof.facts for part in fact.parts for key in part.of[: part.enough]]
    rest = set(range(len(problem.atoms))) - set(kept)
    if verdict(*problem.without(rest)) != "impossible":
        found.append("the facts alone are not impossible")
    for one in kept:
        said = verdict(*problem.without(rest | {one}))
        if said == "impossible" or (proof.smallest and said != "solved"):
            found.append(f"{said} without {problem.atoms[one].drop} {problem.atoms[one].key}")
    for way in proof.ways:
        try:
            patchloom.solve(*way.apply(rig, show), explain=False)
        except (Impossible, Undecided) as outcome:
            found.append(f"{way} -> {type(outcome).__name__}: {str(outcome)[:200]!r}")
    return found


def verdict(rig: Any, show: Any) -> str:
    """Return `solved`, `impossible` or `undecided`, asked of the search itself."""
    try:
        search(rig, show, musts_only=True)
    except Impossible:
        return "impossible"
    except Undecided:
        return "undecided"
    return "solved"


def _maker() -> Any:
    spec = importlib.util.spec_from_file_location("oracle_rigs", HERE.parent / "oracle" / "oracle_rigs.py")
    assert spec is not None
    assert spec.loader is not None
    made = importlib.util.module_from_spec(spec)
    sys.modules["oracle_rigs"] = made
    spec.loader.exec_module(made)
    return made.make


if __name__ == "__main__":
    sys.exit(main())
