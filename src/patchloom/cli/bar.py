"""A bar on a terminal for work that takes longer than a second.

Comes in: what shows one line there (`common.working`), and how many steps the work has.  Goes out: a function that says which
step has begun.  Next: `papers` and `demo` make papers under it.

The bar is drawn by a thread of its own, so that it also moves while one long step says nothing; the first second shows
nothing at all.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Event, Thread
from time import monotonic

__all__ = ["AFTER", "bar", "drawn"]

AFTER = 1.0
"""Seconds before anything is shown."""

_EVERY, _LONG = 0.2, 24


def drawn(done: int, steps: int, words: str, seconds: float) -> str:
    """Return the bar as one line: what is done of the steps, what is being done, for how long."""
    full = _LONG * done // max(1, steps)
    return f"[{'#' * full}{'.' * (_LONG - full)}] {done} of {steps}, {words} ({seconds:.0f} s)"


@contextmanager
def bar(tell: Callable[[str], None] | None, steps: int) -> Iterator[Callable[[str], None]]:
    """Give a function to call with a few words when a step begins; without a terminal (`tell` is None) it does nothing."""
    at: list[str] = []
    """The steps that have begun."""
    began, over = monotonic(), Event()

    def draw(show: Callable[[str], None]) -> None:
        wait = AFTER
        while not over.wait(wait):
            wait = _EVERY
            show(drawn(max(0, len(at) - 1), steps, at[-1] if at else "", monotonic() - began))

    painter = Thread(target=draw, args=(tell,), daemon=True) if tell is not None else None
    if painter is not None:
        painter.start()
    try:
        yield at.append
    finally:
        over.set()
        if painter is not None:
            painter.join()
