"""Print how long things take, as ratios between two things measured on the same machine.

Run as `python tests/bench/ratios.py`.  Never part of the suite: a time is not a truth.  All times are processor
time, so that what else the machine does matters less; the median of several runs, the first one left out.

- `import patchloom` over a bare interpreter, in milliseconds;
- a first read, solve and verify of the demo, in a process of its own, against importing attrs, jsonschema and click;
- solving the demo once everything is loaded, against one networkx shortest path per want on its device graph.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from patchloom import Patch, Rig, Show

BARE = "pass"
IMPORT = "import patchloom"
BASIS = "import attrs, jsonschema, click"
FIRST = """
from importlib.resources import files
import patchloom
home = files("patchloom") / "demo"
rig = patchloom.read_rig((home / "rig.json").read_bytes())
show = patchloom.read_show((home / "show.json").read_bytes(), rig)
patchloom.verify(rig, show, patchloom.solve(rig, show))
"""


def _spent() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def process(code: str, runs: int) -> float:
    """Return the median time in milliseconds of a fresh interpreter that runs a piece of code."""
    times = []
    with tempfile.TemporaryDirectory() as cache:  # compiled modules, as any second run of an installed program has them
        env = {**os.environ, "PYTHONPYCACHEPREFIX": cache}
        env.pop("PYTHONDONTWRITEBYTECODE", None)
        for _ in range(runs + 1):
            start = _spent()
            subprocess.run([sys.executable, "-c", code], check=True, stdout=subprocess.DEVNULL, env=env)
            times.append((_spent() - start) * 1000)
    return statistics.median(times[1:])


def warm(work: Callable[[], object], runs: int = 9) -> float:
    """Return the median time in milliseconds of a piece of work done again and again."""
    times = []
    for _ in range(runs + 1):
        start = time.process_time()
        work()
        times.append((time.process_time() - start) * 1000)
    return statistics.median(times[1:])


def demo() -> tuple[Rig, Show]:
    """Return the demo's rig and show."""
    from importlib.resources import files

    import patchloom

    home = files("patchloom") / "demo"
    rig = patchloom.read_rig((home / "rig.json").read_bytes())
    return rig, patchloom.read_show((home / "show.json").read_bytes(), rig)


def paths(rig: Rig, patch: Patch, weight: str | None) -> tuple[int, Callable[[], object]]:
    """Return the yardstick: one shortest path for every leg delivered, on the graph of devices, and how many there are."""
    import networkx

    graph = networkx.Graph()
    for link in rig.links:
        graph.add_edge(*(end.split(".")[0] for end in link.join), ms=1.0)
    ends = [(route.hops[0].device, route.hops[-1].device) for row in patch.settings for route in row.routes]
    ends = [pair for pair in ends if all(graph.has_node(end) for end in pair)]
    return len(ends), lambda: [networkx.shortest_path(graph, *pair, weight=weight) for pair in ends]


def main() -> None:
    """Measure and print."""
    import patchloom

    bare, loaded = process(BARE, 15), process(IMPORT, 15)
    print(f"import patchloom: {loaded - bare:.1f} ms over a bare interpreter ({bare:.1f} ms); aim 60 ms at most")
    basis, first = process(BASIS, 9) - bare, process(FIRST, 9) - bare
    print(
        f"first read + solve + verify of the demo: {first:.0f} ms; importing attrs, jsonschema, click: {basis:.0f} ms; "
        f"ratio {first / basis:.2f}; aim 3 at most"
    )
    rig, show = demo()
    from patchloom.solve import solve as search

    searched, solved = warm(lambda: search(rig, show)), warm(lambda: patchloom.solve(rig, show))
    print(f"solving the demo, warm: the search {searched:.1f} ms, signed and judged {solved:.1f} ms; aim: 5 paths a want")
    for weight in (None, "ms"):
        count, work = paths(rig, patchloom.solve(rig, show), weight)
        yardstick = warm(work)
        print(
            f"  {count} shortest paths on the device graph, {'weighted' if weight else 'by hops'}: {yardstick:.1f} ms; "
            f"ratio of the search {searched / yardstick:.1f}, signed and judged {solved / yardstick:.1f}"
        )


if __name__ == "__main__":
    main()
