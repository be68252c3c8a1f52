"""What a unit may choose among: prices of several ways together, options looked at only when they are needed.

Comes in: searched ways, functions that make options.  Goes out: one price; an iterable.  Next: `attempt.py` and `ripup.py`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

__all__ = ["Lazy", "union_price"]


def union_price(done: dict[int, tuple[float, list[Any], int]]) -> float:
    """Return the price of several paths from one place, what they share counted once."""
    total = 0.0
    seen: set[tuple[int, int]] = set()
    for number in sorted(done):
        cost, steps, _ = done[number]
        shared = sum(1 for step in steps if (step.to, step.run) in seen)
        total += cost * (1 - shared / (len(steps) or 1))
        seen.update((step.to, step.run) for step in steps)
    return total


class Lazy:
    """The first options, and the rest only when they are asked for."""

    def __init__(self, first: list[Any], rest: Callable[[], list[Any]]) -> None:
        self.first = first
        self.rest = rest

    def __iter__(self) -> Iterator[Any]:
        yield from self.first
        yield from self.rest()
