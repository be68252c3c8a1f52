"""Many planted rigs solved and verified: how many, how long, which were not.

Comes in: the first seed and a count.  Goes out: printed lines and an exit status.  Next: whoever reads them.
Times are for people and take no part in any answer.
"""

from __future__ import annotations

from time import perf_counter
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from patchloom.model.rig import Rig
    from patchloom.model.show import Show

__all__ = ["run", "run_tight"]


def run(first: int, count: int, limit_s: float | None = None) -> int:
    """Solve `count` planted rigs from seed `first`; print the figures; return 0 when every one was solved and verified."""
    times: list[float] = []
    failures: list[str] = []
    for seed in range(first, first + count):
        taken, words = _try(seed, limit_s)
        times.append(taken)
        if words:
            failures.append(f"seed {seed}: {words}")
            print(failures[-1], flush=True)
    times.sort()
    print(f"solved and verified {count - len(failures)} of {count}, seeds {first} to {first + count - 1}")
    print(f"seconds: p50 {_part(times, 0.5):.3f}, p95 {_part(times, 0.95):.3f}, most {times[-1]:.3f}")
    return 1 if failures else 0


def run_tight(first: int, count: int, most: int, limit_s: float = 60.0) -> int:
    """Solve `count` tight rigs from seed `first`; print a table by kind and slack.

    Returns 0 when every one was solved, 3 when some were left undecided, 1 when anything worse was said of one.
    """
    from patchloom.testing.tight import KINDS, tight

    rows: dict[tuple[str, str], list[tuple[float, str]]] = {}
    for seed in range(first, first + count):
        drawn = tight(seed, most=most)
        taken, words = _judged(drawn.rig, drawn.show, limit_s, explain=False)
        if words:
            print(f"seed {seed} ({drawn.kind}, slack {drawn.slack}, {len(drawn.plugs)} legs): {words[:200]}", flush=True)
        said = "solved" if not words else words.partition(":")[0].lower()
        for key in ((drawn.kind, "all"), ("all", "slack" if drawn.slack else "no slack"), ("all", "all")):
            rows.setdefault(key, []).append((taken, said))
    print(f"tight rigs, seeds {first} to {first + count - 1}, at most {most} sockets, {limit_s:g} s each")
    words = f"{'solved':>8}{'undecided':>11}{'impossible':>12}{'other':>7}{'p50 s':>8}{'p95 s':>8}{'most s':>8}"
    print(f"{'kind':<8}{'slack':<10}{'rigs':>6}{words}")
    for kind, slack in [*((kind, "all") for kind in KINDS), ("all", "slack"), ("all", "no slack"), ("all", "all")]:
        if (kind, slack) in rows:
            print(_table_row(kind, slack, rows[kind, slack]))
    verdicts = {said for _, said in rows["all", "all"]}
    return 0 if verdicts <= {"solved"} else 3 if verdicts <= {"solved", "undecided"} else 1


def _table_row(kind: str, slack: str, row: list[tuple[float, str]]) -> str:
    counts = [sum(said == word for _, said in row) for word in ("solved", "undecided", "impossible")]
    times = sorted(taken for taken, _ in row)
    numbers = f"{counts[0]:>8}{counts[1]:>11}{counts[2]:>12}{len(row) - sum(counts):>7}"
    return f"{kind:<8}{slack:<10}{len(row):>6}{numbers}{_part(times, 0.5):>8.2f}{_part(times, 0.95):>8.2f}{times[-1]:>8.2f}"


def _part(times: list[float], part: float) -> float:
    return times[min(len(times) - 1, int(part * len(times)))]


def _try(seed: int, limit_s: float | None) -> tuple[float, str]:
    from patchloom.testing.generate import generate

    planted = generate(seed)
    return _judged(planted.rig, planted.show, limit_s)


def _judged(rig: Rig, show: Show, limit_s: float | None, explain: bool = True) -> tuple[float, str]:
    """Return the seconds one solve took, and why it is no success (empty when it is one)."""
    from patchloom.check.verify import verify
    from patchloom.errors import Impossible, Undecided
    from patchloom.pipeline import solve

    began = perf_counter()
    try:
        patch = solve(rig, show, limit_s=limit_s, explain=explain)
    except (Impossible, Undecided) as wrong:
        return perf_counter() - began, f"{type(wrong).__name__}: {str(wrong)[:300]!r}"
    except Exception as wrong:  # a crash is a failure like any other, and the rest is still tried
        return perf_counter() - began, f"{type(wrong).__name__}: {wrong}"
    taken = perf_counter() - began
    found = [row for row in verify(rig, show, patch) if row.severity in ("stop", "safety")]
    return taken, str(found[0]) if found else ""
