"""Labels beside the things they name, none over another, leaders that do not cross.

Comes in: anchors with their text and the boxes to keep clear of.  Goes out: placed labels, and those for which
there was no room.  Next: `plan.py` writes them, and prints the rest in a numbered key.

Greedy: the label with the most neighbours first, ties in the order given; for each, places around its symbol at
growing distances, then all over the area (`ground.py`).  About labels x places x boxes steps.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import lru_cache
from heapq import merge
from itertools import islice
from operator import itemgetter
from typing import NamedTuple

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


@lru_cache(maxsize=1024)
def _sizes(rows: tuple[tuple[str, bool], ...]) -> tuple[Size, ...]:
    """Return the shapes a label may have, the best first, each once."""
    sizes: list[Size] = []
    for most in _WIDTHS:
        lines = set_rows(rows, most)
        if all(lines != known[2] for known in sizes):
            wide = max(width(words, SMALLEST, bold) for words, bold in lines)
            sizes.append((wide, len(lines) * LEAD * SMALLEST * MM, lines))
    return tuple(sizes)


class _Begun(NamedTuple):
    """Labels being placed."""

    table: _Table
    waiting: Iterator[Label]
    done: dict[str, Placed]
    left: list[Label]


_begun: dict[tuple[object, ...], _Begun] = {}
"""The last try that was given up: who asks for the same labels in the same room and bears more of them left goes on with it."""


def place(
    labels: list[Label],
    area: Box,
    blocked: list[Box],
    ties: list[Segment] | None = None,
    most_left: int = 0,
    lost: Callable[[list[Label]], bool] | None = None,
) -> tuple[list[Placed], list[Label]]:
    """Return placed labels in the order given, and the labels that found no place.

    `blocked` are boxes no text may touch; symbols of the labels themselves are added, save those that let text inside.
    `ties` are lines that no text may lie on.  Gives up, with what it has, when more than `most_left` find no place, or those
    that found none so far are too many by what `lost` says.
    """
    if len(labels) > most_left + 1 and _crowded(labels, area, blocked):
        return [], labels
    key = (tuple(labels), area, tuple(blocked), tuple(ties or ()))
    begun = _begun.pop(key, None)
    table, waiting, done, left = begun or _Begun(_Table(labels, area, blocked, ties or []), iter(_hardest_first(labels)), {}, [])
    if len(left) > most_left + 1:  # farther than was asked for now
        return place(labels, area, blocked, ties, most_left, lost)
    enough = bool(left) and (len(left) > most_left or (lost is not None and lost(left)))
    while not enough and (label := next(waiting, None)) is not None:
        found = table.best(label)
        if found is not None:
            done[label.key] = found
            continue
        left.append(label)
        enough = len(left) > most_left or (lost is not None and lost(left))
    if enough:
        _begun.clear()
        _begun[key] = _Begun(table, waiting, done, left)
    order = {label.key: index for index, label in enumerate(labels)}
    return [done[label.key] for label in labels if label.key in done], sorted(left, key=lambda label: order[label.key])


def _crowded(labels: list[Label], area: Box, blocked: list[Box]) -> bool:
    """Return whether labels ask for more of the free room than labels beside their things have ever found."""
    asked = 0.0
    for label in labels:
        wide, high, _ = _sizes(label.rows)[0]
        asked += (wide + _ASIDE) * (high + _GAP)
    taken = sum(box.wide * box.high for box in (*blocked, *(label.symbol for label in labels if not label.inside)))
    return asked > _MOST_FILLED * max(1.0, area.wide * area.high - taken)


def _hardest_first(labels: list[Label]) -> list[Label]:
    """Return labels by how many symbols stand near, the most crowded first."""
    near = {label.key: _count(label.symbol, labels, 12.0) for label in labels}
    order = {label.key: index for index, label in enumerate(labels)}
    return sorted(labels, key=lambda label: (label.inside, -near[label.key], order[label.key]))


def _count(box: Box, labels: list[Label], gap: float) -> int:
    """Return how many labels' symbols come nearer to a box than `gap`."""
    left, top, right, low = box
    more_right, more_low, count = right + gap, low + gap, 0
    for label in labels:
        x0, y0, x1, y1 = label.symbol
        count += left < x1 + gap and x0 < more_right and top < y1 + gap and y0 < more_low
    return count


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
        sizes = _sizes(label.rows)
        # Words stand on a floor (a riser) only where their thing does; symbols that lie on this one a leader may leave over.
        own = label.symbol.centre
        floors = [box for box in self.floors if box != label.symbol and (label.inside or not box.holds(own))]
        passed = [box for box in self.solid if not box.meets(label.symbol)]
        under = [box for box in self.solid if box.meets(label.symbol)]
        near = _near(label, sizes)
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
        x0, y0, x1, y1 = box
        area = self.area
        if x0 < area.x0 or y0 < area.y0 or x1 > area.x1 or y1 > area.y1:
            return False
        free = self.ground.free(x0, y0, x1, y1)
        if free is False or not self._apart(label, box, floors):
            return False
        return free or not (
            _touches(box, self.solid, 0.4) or _touches(box, self.around) or any(crosses(tie, box) for tie in self.ties)
        )

    @staticmethod
    def _apart(label: Label, box: Box, floors: list[Box]) -> bool:
        """Return whether a box keeps off the label's own symbol, and off floors its thing does not stand on."""
        return (label.inside or not box.meets(label.symbol, 0.4)) and not (floors and _touches(box, floors, 0.4))

    def _far(self, label: Label, sizes: tuple[Size, ...]) -> Iterator[tuple[float, int, Box, str]]:
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
            _runs_into(leader, solid) or _runs_into(leader, self.words) or any(_meet(leader, other) for other in self.leaders)
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


def _touches(box: Box, others: list[Box], gap: float = 0.0) -> bool:
    """Return whether a box shares some area with one of others, or comes nearer than `gap`."""
    left, top, right, low = box
    for x0, y0, x1, y1 in others:  # noqa: SIM110 - any() with a generator takes twice as long, and this is asked for most
        if left < x1 + gap and x0 < right + gap and top < y1 + gap and y0 < low + gap:
            return True
    return False


def _runs_into(segment: Segment, boxes: list[Box]) -> bool:
    """Return whether a segment enters one of the boxes."""
    (ax, ay), (bx, by) = segment
    left, right = (ax, bx) if ax <= bx else (bx, ax)
    top, low = (ay, by) if ay <= by else (by, ay)
    for box in boxes:
        x0, y0, x1, y1 = box
        if right > x0 and left < x1 and low > y0 and top < y1 and crosses(segment, box):
            return True
    return False


_SPOTS = (0.0, 0.4, 0.2, 0.6, 1.0, 1.1, 1.2, 1.3, 1.4, 1.5, 1.6, 1.7)
"""What each place around a symbol costs more than the best: right, below, left, above, then the corners."""


@lru_cache(maxsize=8)
def _order(sizes: int) -> tuple[tuple[float, int, float, int], ...]:
    """Return the places around a symbol for so many sizes of a label, the cheapest first: cost, size, distance, place."""
    every = [
        (d * 2 + more + rank * 1.5, rank, d, spot)
        for rank in range(sizes)
        for d in _DISTANCES
        for spot, more in enumerate(_SPOTS)
    ]
    return tuple(sorted(every, key=itemgetter(0, 1)))


def _near(label: Label, sizes: tuple[Size, ...]) -> Iterator[tuple[float, int, Box, str]]:
    """Yield (cost, size, box, anchor) of places in and around the symbol, the cheapest first, as they are asked for."""
    s = label.symbol
    if label.inside:
        spots = [
            (-10.0 + index * 0.5 + rank * 1.5, rank, Box(x, y, x + wide, y + high), "start")
            for rank, (wide, high, _) in enumerate(sizes)
            if wide < s.wide - 1 and high < s.high - 1
            for index, (x, y) in enumerate(_inside(s, wide, high))
        ]
        yield from sorted(spots, key=itemgetter(0, 1))
    for cost, rank, d, spot in _order(len(sizes)):
        wide, high, _ = sizes[rank]
        x, y, anchor = _beside(s, d, spot, wide, high)
        yield cost, rank, Box(x, y, x + wide, y + high), anchor


def _beside(s: Box, d: float, spot: int, wide: float, high: float) -> tuple[float, float, str]:
    """Return the top left corner of a place at a distance from a symbol, and which end of the words is at it."""
    x0, y0, x1, y1 = s
    if spot < 4:
        if spot % 2 == 0:
            y = (y0 + y1) / 2 - high / 2
            return (x1 + d, y, "start") if spot == 0 else (x0 - d - wide, y, "end")
        return (x0 + x1) / 2 - wide / 2, y1 + d if spot == 1 else y0 - d - high, "middle"
    if spot < 8:
        return x1 + d if spot < 6 else x0 - d - wide, y1 if spot % 2 == 0 else y0 - high, "start" if spot < 6 else "end"
    x = x0 if spot % 2 == 0 else x1 - wide
    return x, y1 + d if spot < 10 else y0 - d - high, "start" if spot % 2 == 0 else "end"


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
