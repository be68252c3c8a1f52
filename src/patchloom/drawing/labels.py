"""Labels beside the things they name, none over another, leaders that do not cross.

Comes in: anchors with their text and the boxes to keep clear of.  Goes out: placed labels, and those for which
there was no room.  Next: `plan.py` writes them, and prints the rest in a numbered key.

Greedy: the label with the most neighbours first, ties in the order given; for each, places around its symbol at
growing distances, then all over the area (`ground.py`).  About labels x places x boxes steps.
"""

from __future__ import annotations

from collections.abc import Iterator
from heapq import merge
from itertools import islice

import attrs

from patchloom.drawing.ground import Ground
from patchloom.drawing.metrics import LEAD, MM, width, wrap
from patchloom.drawing.scene import SMALLEST, Box, Point

__all__ = ["Label", "Placed", "Segment", "crosses", "place", "set_rows"]

_WIDTHS = (36.0, 27.0, 50.0)
_DISTANCES = (1.0, 2.5, 5.0, 8.0, 12.0)
_GAP, _ASIDE = 0.7, 1.8
"""Room between labels, one above and one beside the other."""
_REACH, _MOST_FAR, _MOST_FILLED = 75.0, 160, 0.55
_LEADER_FROM = 2.0
Segment = tuple[Point, Point]
Size = tuple[float, float, list[tuple[str, bool]]]
"""Width and height of a wrapped label, and its lines."""


@attrs.frozen
class Label:
    """Text that belongs to a symbol: rows of (words, bold), and the symbol's box."""

    key: str
    rows: tuple[tuple[str, bool], ...]
    symbol: Box
    inside: bool = False
    """Whether the label may lie within its own symbol (a riser, a walkway)."""


@attrs.frozen
class Placed:
    """A label with its box, its wrapped lines and its leader, if it needs one."""

    label: Label
    box: Box
    lines: tuple[tuple[str, bool], ...]
    leader: Segment | None = None
    anchor: str = "start"


def set_rows(rows: tuple[tuple[str, bool], ...], most: float, size: float = SMALLEST) -> list[tuple[str, bool]]:
    """Return the rows wrapped to a width in millimetres."""
    return [(line, bold) for words, bold in rows for line in wrap(words, most, size, bold)]


def place(
    labels: list[Label], area: Box, blocked: list[Box], ties: list[Segment] | None = None, most_left: int = 0
) -> tuple[list[Placed], list[Label]]:
    """Return placed labels in the order given, and the labels that found no place.

    `blocked` are boxes no text may touch; symbols of the labels themselves are added, save those that let text inside.
    `ties` are lines that no text may lie on.  Gives up, with what it has, when more than `most_left` find no place.
    """
    if len(labels) > most_left + 1 and _crowded(labels, area, blocked):
        return [], labels
    table = _Table(labels, area, blocked, ties or [])
    done: dict[str, Placed] = {}
    left: list[Label] = []
    for label in _hardest_first(labels):
        found = table.best(label)
        if found is not None:
            done[label.key] = found
            continue
        left.append(label)
        if len(left) > most_left:
            break
    order = {label.key: index for index, label in enumerate(labels)}
    left.sort(key=lambda label: order[label.key])
    return [done[label.key] for label in labels if label.key in done], left


def _crowded(labels: list[Label], area: Box, blocked: list[Box]) -> bool:
    """Return whether labels ask for more of the free room than labels beside their things have ever found."""
    asked = 0.0
    for label in labels:
        lines = set_rows(label.rows, _WIDTHS[0])
        wide = max(width(words, SMALLEST, bold) for words, bold in lines) + _ASIDE
        asked += wide * (len(lines) * LEAD * SMALLEST * MM + _GAP)
    taken = sum(box.wide * box.high for box in (*blocked, *(label.symbol for label in labels if not label.inside)))
    return asked > _MOST_FILLED * max(1.0, area.wide * area.high - taken)


def _hardest_first(labels: list[Label]) -> list[Label]:
    """Return labels by how many symbols stand near, the most crowded first."""
    near = {label.key: sum(label.symbol.meets(other.symbol, 12.0) for other in labels) for label in labels}
    order = {label.key: index for index, label in enumerate(labels)}
    return sorted(labels, key=lambda label: (label.inside, -near[label.key], order[label.key]))


class _Table:
    """What lies on the sheet while labels are placed one after the other."""

    def __init__(self, labels: list[Label], area: Box, blocked: list[Box], ties: list[Segment]) -> None:
        self.area, self.ties = area, ties
        self.solid = [*blocked, *(label.symbol for label in labels if not label.inside)]
        self.floors = [label.symbol for label in labels if label.inside]
        self.placed: list[Placed] = []
        self.leaders: list[Segment] = []
        self.around: list[Box] = []
        """Boxes of what is placed, with the room other words must leave them."""
        self.words: list[Box] = []
        """Boxes of what is placed, with the room a leader must leave them."""
        self.ground = Ground(area)
        for box in self.solid:
            self.ground.take(box, 0.4)
        for tie in ties:
            self.ground.take_line(*tie)

    def best(self, label: Label) -> Placed | None:
        """Put the label at the cheapest place where it disturbs nothing and return it; None where there is none."""
        sizes: list[Size] = []
        for most in _WIDTHS:
            lines = set_rows(label.rows, most)
            if all(lines != known[2] for known in sizes):
                wide = max(width(words, SMALLEST, bold) for words, bold in lines)
                sizes.append((wide, len(lines) * LEAD * SMALLEST * MM, lines))
        # Words stand on a floor (a riser) only where their thing does; symbols that lie on this one a leader may leave over.
        own = label.symbol.centre
        floors = [box for box in self.floors if box != label.symbol and (label.inside or not box.holds(own))]
        passed = [box for box in self.solid if not box.meets(label.symbol)]
        under = [box for box in self.solid if box.meets(label.symbol)]
        near = sorted(
            (
                (cost + rank * 1.5, rank, box, anchor)
                for rank, (wide, high, _) in enumerate(sizes)
                for cost, box, anchor in _around(label, wide, high)
            ),
            key=lambda row: row[:2],
        )
        for candidates, free in ((near, self._free), (self._far(label, sizes), self._apart)):
            for _, rank, box, anchor in candidates:
                if free(label, box, floors):
                    leader = _leader(label, box)
                    if self._clear(box, leader, passed, under):
                        put = Placed(label, box, tuple(sizes[rank][2]), leader, anchor)
                        self._keep(put)
                        return put
        return None

    def _free(self, label: Label, box: Box, floors: list[Box]) -> bool:
        """Return whether a box beside its symbol touches nothing; looked up in the ground, and box by box where that is taken."""
        if not box.inside(self.area):
            return False
        free = self.ground.free(*box)
        if free is False or not self._apart(label, box, floors):
            return False
        return free or not (
            any(box.meets(other, 0.4) for other in self.solid)
            or any(box.meets(other) for other in self.around)
            or any(crosses(tie, box) for tie in self.ties)
        )

    @staticmethod
    def _apart(label: Label, box: Box, floors: list[Box]) -> bool:
        """Return whether a box keeps off the label's own symbol, and off floors its thing does not stand on."""
        return (label.inside or not box.meets(label.symbol, 0.4)) and not any(box.meets(other, 0.4) for other in floors)

    def _far(self, label: Label, sizes: list[Size]) -> Iterator[tuple[float, int, Box, str]]:
        """Yield places all over the area, the nearest first; worked out only when they are asked for."""
        middle = label.symbol.centre

        def ranked(rank: int) -> Iterator[tuple[float, int, float, float]]:
            for away, x, y in self.ground.fits(*sizes[rank][:2], middle, _REACH):
                yield away + rank * 1.5, rank, x, y

        every = [ranked(rank) for rank in range(len(sizes))]
        for cost, rank, x, y in islice(merge(*every), _MOST_FAR):
            wide, high, _ = sizes[rank]
            yield cost, rank, Box(x, y, x + wide, y + high), "start" if x + wide / 2 > middle[0] else "end"

    def _clear(self, box: Box, leader: Segment | None, solid: list[Box], under: list[Box]) -> bool:
        """Return whether box and leader disturb no leader, label or symbol that is there, those `under` the symbol aside."""
        if leader is not None and self.ground.struck(*leader, under):
            return False
        if self.leaders:
            around = box.grown(0.4)
            if any(crosses(other, around) for other in self.leaders):
                return False
        return leader is None or not (
            any(crosses(leader, other) for other in solid)
            or any(crosses(leader, other) for other in self.words)
            or any(_meet(leader, other) for other in self.leaders)
        )

    def _keep(self, put: Placed) -> None:
        self.placed.append(put)
        self.words.append(put.box.grown(0.3))
        around = Box(put.box.x0 - _ASIDE, put.box.y0 - _GAP, put.box.x1 + _ASIDE, put.box.y1 + _GAP)
        self.around.append(around)
        self.ground.take(around)
        if put.leader:
            self.leaders.append(put.leader)
            self.ground.take_line(*put.leader)


def _around(label: Label, wide: float, high: float) -> Iterator[tuple[float, Box, str]]:
    """Yield (cost, box, anchor) of places around the symbol: right, below, left, above, then the corners."""
    s = label.symbol
    mx, my = s.centre
    if label.inside and wide < s.wide - 1 and high < s.high - 1:
        for index, (x, y) in enumerate(_inside(s, wide, high)):
            yield -10.0 + index * 0.5, Box(x, y, x + wide, y + high), "start"
    for d in _DISTANCES:
        spots = (
            (0.0, s.x1 + d, my - high / 2, "start"),
            (0.4, mx - wide / 2, s.y1 + d, "middle"),
            (0.2, s.x0 - d - wide, my - high / 2, "end"),
            (0.6, mx - wide / 2, s.y0 - d - high, "middle"),
            (1.0, s.x1 + d, s.y1, "start"),
            (1.1, s.x1 + d, s.y0 - high, "start"),
            (1.2, s.x0 - d - wide, s.y1, "end"),
            (1.3, s.x0 - d - wide, s.y0 - high, "end"),
            (1.4, s.x0, s.y1 + d, "start"),
            (1.5, s.x1 - wide, s.y1 + d, "end"),
            (1.6, s.x0, s.y0 - d - high, "start"),
            (1.7, s.x1 - wide, s.y0 - d - high, "end"),
        )
        for more, x, y, anchor in spots:
            yield d * 2 + more, Box(x, y, x + wide, y + high), anchor


def _inside(s: Box, wide: float, high: float) -> list[Point]:
    """Return top left corners inside a symbol: its corners, then along its top and bottom."""
    left, right = s.x0 + 0.8, s.x1 - 0.8 - wide
    top, low = s.y0 + 0.5, s.y1 - 0.5 - high
    middle = (left + right) / 2
    return [(left, top), (right, top), (left, low), (right, low), (middle, top), (middle, low)]


def _leader(label: Label, box: Box) -> Segment | None:
    """Return the line from symbol to label, or None where they stand close enough."""
    s = label.symbol
    if label.inside and box.meets(s):
        return None
    x = min(max(s.centre[0], box.x0), box.x1)
    y = min(max(s.centre[1], box.y0), box.y1)
    end = (min(max(x, box.x0), box.x1), y)
    start = (min(max(end[0], s.x0), s.x1), min(max(end[1], s.y0), s.y1))
    gap = ((start[0] - end[0]) ** 2 + (start[1] - end[1]) ** 2) ** 0.5
    return (start, end) if gap > _LEADER_FROM else None


def crosses(segment: Segment, box: Box) -> bool:
    """Return whether a segment enters a box (clipping by the box's four sides)."""
    (x0, y0), (x1, y1) = segment
    if (
        (x0 <= box.x0 and x1 <= box.x0)
        or (x0 >= box.x1 and x1 >= box.x1)
        or (y0 <= box.y0 and y1 <= box.y0)
        or (y0 >= box.y1 and y1 >= box.y1)
    ):
        return False
    low, high = 0.0, 1.0
    for start, delta, least, most in ((x0, x1 - x0, box.x0, box.x1), (y0, y1 - y0, box.y0, box.y1)):
        if abs(delta) < 1e-9:
            if start <= least or start >= most:
                return False
            continue
        a, b = sorted(((least - start) / delta, (most - start) / delta))
        low, high = max(low, a), min(high, b)
    return low < high


def _meet(one: Segment, two: Segment) -> bool:
    """Return whether two segments cross."""
    (a, b), (c, d) = one, two

    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0
