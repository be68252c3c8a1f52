"""Python's cyclic collector, at rest while many small things are made at once.

Comes in: nothing.  Goes out: a context, also a decorator.  Everyone may import this module; it imports nobody.

Solving and judging make hundreds of thousands of small objects and no cycles among them, so that what the collector
does meanwhile is to look at all of them again and again: a third of the time of a big show.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager

__all__ = ["at_rest"]


@contextmanager
def at_rest() -> Iterator[None]:
    """Leave the collector alone inside, and put it back as it was found; what was not running stays so."""
    running = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if running:
            gc.enable()
