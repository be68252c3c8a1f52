"""Stages of boxes by counting: when a way is always free, when moving others makes room, how many bundles are needed.

Comes in: numbers of lines, middle boxes and outer boxes, or pairs that are to be joined.  Goes out: yes or no, counts.
Next: people who plan a house's tie lines before there is a show; tests that hold the solver against these.

Three stages: `outer` boxes of `lines` inputs each, `middles` boxes between, and as many outer boxes of as many outputs;
one line from every outer box to every middle one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

__all__ = ["always_free", "bundles_needed", "crosspoints", "free_by_moving"]


def always_free(lines: int, middles: int, outer: int) -> bool:
    """Return whether a new pair finds a way whatever was joined before, without moving any: 2n - 1 middle boxes.

    C. Clos 1953; with one outer box n suffice.
    """
    return middles >= (lines if outer == 1 else 2 * lines - 1)


def free_by_moving(lines: int, middles: int) -> bool:
    """Return whether every pairing can be joined, others being moved where needed: n middle boxes (Slepian, Duguid)."""
    return middles >= lines


def crosspoints(lines: int, middles: int, outer: int) -> int:
    """Return the crosspoints of the three stages; one square matrix has (lines * outer) squared."""
    return 2 * outer * lines * middles + middles * outer * outer


def bundles_needed(pairs: Iterable[tuple[str, str]]) -> int:
    """Return how many bundles carry all pairs when each bundle takes one line from each side's boxes.

    The most pairs any one box has: Koenig's theorem on colouring the lines of a bipartite multigraph.
    """
    ends = Counter(end for one, other in pairs for end in (("one", one), ("other", other)))
    return max(ends.values(), default=0)
