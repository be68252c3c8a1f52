"""Many planted rigs solved and verified: how many, how long, which were not.

Comes in: the first seed and a count.  Goes out: printed lines and an exit status.  Next: whoever reads them.
Times are for people and take no part in any answer.
"""

from __future__ import annotations

from time import perf_counter

__all__ = ["run"]


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


def _part(times: list[float], part: float) -> float:
    return times[min(len(times) - 1, int(part * len(times)))]


def _try(seed: int, limit_s: float | None) -> tuple[float, str]:
    """Return the seconds one solve took, and why it is no success (empty when it is one)."""
    from patchloom.check.verify import verify
    from patchloom.errors import Impossible, Undecided
    from patchloom.pipeline import solve
    from patchloom.testing.generate import generate

    planted = generate(seed)
    began = perf_counter()
    try:
        patch = solve(planted.rig, planted.show, limit_s=limit_s)
    except (Impossible, Undecided) as wrong:
        return perf_counter() - began, f"{type(wrong).__name__}: {str(wrong)[:300]!r}"
    except Exception as wrong:  # a crash is a failure like any other, and the rest is still tried
        return perf_counter() - began, f"{type(wrong).__name__}: {wrong}"
    taken = perf_counter() - began
    found = [row for row in verify(planted.rig, planted.show, patch) if row.severity in ("stop", "safety")]
    return taken, str(found[0]) if found else ""
