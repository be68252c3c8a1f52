"""One measurement in a process of its own; prints one line of JSON.

    python tests/bench/worker.py mine|change|PEER KEY SECONDS

Next: `bench` reads the line.  Times are seconds of processor time; for a peer, of the clock where that is less (it may
have several threads, and a busy machine must not count against it).
"""

from __future__ import annotations

import json
import resource
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

from bench import documents

ENGINES = ("highspy", "networkx", "scipy", "ortools")


def warm(work: Callable[[], object], seconds: float = 10.0, most: int = 5) -> float:
    """Return the median time of a piece of work, some runs, fewer where they are long."""
    spent: list[float] = []
    while len(spent) < most and (not spent or sum(spent) + spent[-1] < seconds):
        start = time.process_time()
        work()
        spent.append(time.process_time() - start)
    return statistics.median(spent)


def mine(key: str, seconds: float) -> dict[str, Any]:
    """Return what the product takes: read, solve, verify; memory, engines loaded, wishes."""
    from patchloom import read_rig, read_show, verify
    from patchloom.errors import Impossible, Undecided
    from patchloom.model.period import acts, in_period
    from patchloom.solve import solve

    documents_of = documents(key)
    start = time.process_time()
    rig = read_rig(documents_of[0])
    show = read_show(documents_of[1], rig)
    read = time.process_time() - start
    start = time.perf_counter()
    try:
        patch = solve(rig, show, None, seconds)
    except (Impossible, Undecided) as wrong:
        return {"outcome": f"{type(wrong).__name__.lower()} after {time.perf_counter() - start:.0f} s", "seconds": None}
    engines = [name for name in ENGINES if name in sys.modules]
    found = [row for row in verify(rig, show, patch) if row.severity in ("stop", "safety")]
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    spent = warm(lambda: solve(rig, show, None, seconds))
    first = spent
    if acts(show):
        here, tonight = in_period(rig, show, acts(show)[0].id)
        first = warm(lambda: solve(here, tonight, None, seconds))
    return {
        "outcome": "solved",
        "wants": sum(len(row.routes) for row in patch.settings),
        "read": read,
        "solve": spent,
        "solve_first_act": first,
        "verify": warm(lambda: verify(rig, show, patch)),
        "mib": memory,
        "engines": engines,
        "objections": len(found),
        "wishes": f"{sum(row.proven for row in patch.wishes)} of {len(patch.wishes)} proven",
    }


def change(key: str, seconds: float) -> dict[str, Any]:
    """Return what one added source takes with the patch before it, and a full solve without."""
    from patchloom import read_rig, read_show, solve
    from patchloom.errors import Impossible, Undecided

    first, second = documents(key)
    added = next(row["wants"][0] for row in second["lists"] if row["wants"])
    rig = read_rig(first)
    after = read_show(second, rig)
    less = {**second, "lists": [{**row, "wants": [want for want in row["wants"] if want != added]} for row in second["lists"]]}
    try:
        before = solve(rig, read_show(less, rig), limit_s=seconds)
        patch = solve(rig, after, previous=before, limit_s=seconds)
        full = warm(lambda: solve(rig, after, limit_s=seconds))
    except (Impossible, Undecided) as wrong:
        return {"outcome": type(wrong).__name__.lower()}
    old, new = before.settings[0].plugs, patch.settings[0].plugs
    return {
        "outcome": "solved",
        "full": full,
        "added": warm(lambda: solve(rig, after, previous=before, limit_s=seconds)),
        "moved": sum(new.get(leg) != place for leg, place in old.items()),
    }


def main(task: str, key: str, seconds: float) -> None:
    """Measure and print."""
    if task == "mine":
        found = mine(key, seconds)
    elif task == "change":
        found = change(key, seconds)
    else:
        import peers

        peers.LIMIT_S = seconds
        found = peers.timed(task, *documents(key))
    print(json.dumps(found))


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], float(sys.argv[3]))
