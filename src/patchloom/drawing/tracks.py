"""Lines of a layered diagram: how each hop runs from its left item to its right one.

Comes in: a `Layout`.  Goes out: the points of every hop.  Next: `diagram.py` draws them.
"""

from __future__ import annotations

from patchloom.drawing.layers import Hop, Layout
from patchloom.drawing.scene import Point

__all__ = ["route"]


def route(layout: Layout) -> dict[Hop, tuple[Point, ...]]:
    """Return the points of every hop: straight across where both ends are level, else with one turn down its track.

    Signs stand on the line near nodes, so the tracks lie in the middle of the gutter.
    """
    lines: dict[Hop, tuple[Point, ...]] = {}
    for hop in layout.hops:
        left, right = layout.ports[hop]
        x0, x1 = layout.boxes[hop.left].x1, layout.boxes[hop.right].x0
        if hop not in layout.tracks:
            lines[hop] = ((x0, left), (x1, right))
            continue
        start, end = layout.gutters[hop.column]
        step = layout.track_step[hop.column]
        count = 1 + max(track for other, track in layout.tracks.items() if other.column == hop.column)
        # Even columns hold nodes, whose signs need the room at their side of the gutter.
        first = end - 1.2 - step * (count - 1) if hop.column % 2 == 0 else start + 1.2
        x = first + step * layout.tracks[hop]
        lines[hop] = ((x0, left), (x, left), (x, right), (x1, right))
    return lines
