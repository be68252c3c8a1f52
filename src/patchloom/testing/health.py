"""What drawing costs beside solving: `python -m patchloom.testing.health`.

Comes in: how many.  Goes out: printed figures, and an exit status that says whether a draw of default size costs at most a
tenth of solving it.  Next: whoever changes the strategies.  Times are processor time of this process.
"""

from __future__ import annotations

import argparse
import sys
from time import process_time
from typing import Any

from hypothesis import Phase, given, settings
from hypothesis import strategies as st

__all__ = ["figures", "main"]


def figures(count: int, **sizes: Any) -> tuple[float, float, float, int]:
    """Return seconds a draw, seconds a solve, sources a show, and how many were drawn."""
    from patchloom.pipeline import solve
    from patchloom.testing.strategies import pairs

    rows: list[Any] = []
    seconds: list[float] = []

    @st.composite
    def timed(draw: st.DrawFn) -> Any:
        began = process_time()
        row = draw(strategy)
        seconds.append(process_time() - began)
        return row

    strategy = pairs(**sizes)

    # Every health check is on: what Hypothesis would complain of ends the run.
    @settings(max_examples=count, deadline=None, database=None, derandomize=True, phases=[Phase.generate])
    @given(timed())
    def run(row: Any) -> None:
        rows.append(row)

    run()
    began = process_time()
    for rig, show in rows:
        solve(rig, show, explain=False)
    solving = process_time() - began
    number = len(rows)
    return sum(seconds) / len(seconds), solving / number, sum(len(show.sources) for _, show in rows) / number, number


def main(arguments: list[str] | None = None) -> int:
    """Print the figures; return 0 when a draw costs at most a tenth of a solve, else 1."""
    parser = argparse.ArgumentParser(prog="python -m patchloom.testing.health", description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--count", type=int, default=300, help="how many (300)")
    given_ = parser.parse_args(arguments)
    figures(5)  # what is loaded on first use is not counted
    draw, solve, sources, number = figures(given_.count)
    print(f"{number} rigs and shows of default size, {sources:.1f} sources each")
    print(f"draw {draw * 1e3:.2f} ms, solve {solve * 1e3:.2f} ms: 1 to {solve / draw:.1f}")
    return 0 if draw * 10 <= solve else 1


if __name__ == "__main__":
    sys.exit(main())
