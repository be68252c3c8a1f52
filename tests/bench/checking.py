"""How long all rules take over a patch, beside how long solving and verifying it took.

    python tests/bench/checking.py [FAMILY ...]

Comes in: names of families.  Goes out: a line each, and the slowest rules of it.  Checking may take as long as solving.
"""

from __future__ import annotations

import sys
from pathlib import Path
from time import process_time
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

from families import family

from patchloom import pipeline
from patchloom.check import check
from patchloom.check.look import looks


def timed(work: Any) -> tuple[float, Any]:
    """Return the seconds of processor time some work took, and what it gave."""
    began = process_time()
    made = work()
    return process_time() - began, made


def main(names: list[str]) -> None:
    """Print the times of families, in seconds of processor time."""
    rules = pipeline.installed_rules()
    for name in names or ["festival", "campus", "network"]:
        rig_data, show_data = family(name, 1)
        rig = pipeline.read_rig(rig_data)
        show = pipeline.read_show(show_data, rig)
        solving, patch = timed(lambda: pipeline.solve(rig, show))  # noqa: B023 - called at once
        verifying, judged = timed(lambda: pipeline.verify(rig, show, patch))  # noqa: B023
        checking, found = timed(lambda: check(rig, show, patch, rules))  # noqa: B023
        print(
            f"{name}: {len(show.sources)} sources, {len(show.lists)} lists; solve {solving:.2f} s, verify {verifying:.2f} s, "
            f"{len(rules)} rules {checking:.2f} s ({checking / solving:.2f} of solving); "
            f"{len(judged)} and {len(found)} findings",
            flush=True,
        )
        looks(rig, show, patch)
        each = sorted(((timed(lambda: list(rule(rig, show, patch)))[0], word) for word, rule in rules), reverse=True)  # noqa: B023
        print("  slowest: " + ", ".join(f"{word} {seconds:.2f} s" for seconds, word in each[:6]))


if __name__ == "__main__":
    main(sys.argv[1:])
