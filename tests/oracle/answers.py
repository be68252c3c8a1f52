"""Has rigs answered by one of three, each in a process of its own, and writes what it said as JSON lines.

Comes in: a file of cases, one JSON object a line.  Goes out: a file of answers, one a line.  Next: `agree.py` compares.

    python tests/oracle/answers.py solver|exact|model CASES ANSWERS

`solver` is the product, its patch held before the judge; `exact` the exhaustive search; `model` the slot-level model.
The model's engine and the product's do not load in one process.
"""

from __future__ import annotations

import json
import sys
import time
import traceback
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

__all__ = ["BY", "exact", "model", "solver"]

STEPS = 2_000
"""Steps of the exhaustive search; few rigs of the tiny size need more."""


def solver(rig: Any, show: Any) -> dict[str, Any]:
    """Return what the product says; an answer the judge objects to is `objected`, a fault `crash`."""
    from patchloom.check.verify import verify
    from patchloom.errors import Impossible, Undecided
    from patchloom.solve import solve

    try:
        patch = solve(rig, show)
    except Impossible as proof:
        return {"verdict": "impossible", "why": [str(fact) for fact in proof.facts][:3]}
    except Undecided as question:
        return {"verdict": "undecided", "why": [*question.known, *question.missing][:3]}
    except Exception:
        return {"verdict": "crash", "why": traceback.format_exc().strip().splitlines()[-4:]}
    grave = [str(row) for row in verify(rig, show, patch) if row.severity in ("stop", "safety")]
    if grave:
        return {"verdict": "objected", "why": grave[:3]}
    there = {(route.to, route.entry, route.leg) for route in patch.setting().routes}
    wishes = [[to, entry, rank] for to, entry, rank, legs in _wished(show) if all((to, entry, leg) in there for leg in legs)]
    said = {row.wish.rpartition(" ")[2]: row.proven for row in patch.wishes if row.wish.startswith("wishes of priority")}
    return {"verdict": "solved", "wishes": wishes, "proven": said}


def _wished(show: Any) -> list[tuple[str, int, int, tuple[str, ...]]]:
    """Return every wish: list or feed, entry, priority, legs."""
    signals = show.signals()
    found = []
    for item in show.lists:
        for entry, want in enumerate(item.wants, 1):
            if want is not None and want.priority is not None:
                legs = signals[want.signal].leg_ids()
                legs = (f"{want.signal}.{want.leg}",) if want.leg else legs
                legs = (legs[-1:] if want.fold == "right" else legs[:1]) if want.fold else legs
                found.append((item.id, entry, want.priority, legs))
    for feed in show.feeds:
        for entry, row in enumerate(feed.to, 1):
            if row.priority is not None:
                found.append((feed.id, entry, row.priority, feed.leg_ids()))
    return found


def exact(rig: Any, show: Any) -> dict[str, Any]:
    """Return what trying everything says; `open` where that takes too long."""
    from patchloom.solve.exact.tries import exact as try_everything

    try:
        answer = try_everything(rig, show, most=STEPS)
    except ValueError as error:
        return {"verdict": "open", "why": [str(error)]}
    return {"verdict": "solved" if answer.feasible else "impossible", "wishes": [list(wish) for wish in answer.wishes]}


def model(rig: Any, show: Any) -> dict[str, Any]:
    """Return what the slot-level model says; `judge` is what the judge has against the patch it found."""
    from oracle_model import answer

    from patchloom.check.verify import verify

    verdict, wishes, patch = answer(rig, show)
    if patch is None:
        return {"verdict": verdict, "wishes": wishes}
    rows = [row for row in verify(rig, show, patch) if row.severity in ("stop", "safety")]
    grave = [str(row) for row in rows if row.rule.partition("-")[0] not in _ASIDE]
    return {"verdict": verdict, "wishes": wishes, "judge": grave[:3]}


_ASIDE = ("clock", "follower", "gain", "leader", "owner")
"""What the judge says of questions the model leaves out."""

BY = {"solver": solver, "exact": exact, "model": model}


def main(who: str, cases: str, answers: str) -> None:
    """Write an answer for every case, in order."""
    from patchloom import read_rig, read_show

    with open(cases, encoding="utf-8") as given, open(answers, "w", encoding="utf-8") as out:
        for line in given:
            case = json.loads(line)
            rig = read_rig(case["rig"])
            show = read_show(case["show"], rig)
            start = time.perf_counter()
            said = BY[who](rig, show)
            row = {"name": case["name"], "wishes": [], **said, "seconds": round(time.perf_counter() - start, 4)}
            out.write(json.dumps(row) + "\n")
            out.flush()


if __name__ == "__main__":
    main(*sys.argv[1:])
