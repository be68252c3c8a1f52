"""Free room on a sheet, as rows of bits.

Comes in: boxes and lines that are taken.  Goes out: where a box of a given size still fits, nearest first.
Next: `labels.py`.

The area is cut into square cells; a row of cells is one integer.  Where a box fits comes from shifting and or-ing
whole rows, so that a sheet is searched in a few hundred operations; places are worked out one by one as they are asked
for.  A cell that is touched counts as taken, so the answer errs on the side of room.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from heapq import heappop, heappush, heapreplace

from patchloom.drawing.scene import Box, Point

__all__ = ["Ground"]

_CELL = 2.0
_floor, _ceil = math.floor, math.ceil


class Ground:
    """Which cells of an area are taken."""

    def __init__(self, area: Box) -> None:
        self.area = area
        self.columns = max(0, int(area.wide / _CELL))
        self.rows = [0] * max(0, int(area.high / _CELL))
        self.full = [0] * len(self.rows)
        """Cells that one thing covers wholly: what touches such a cell touches the thing."""
        self.sheet = 0
        """All rows one after the other, in one number: what is the same for every row is done to all at once."""
        self._down = [0]  # the first bit of so many rows
        for row in range(len(self.rows)):
            self._down.append(self._down[-1] | 1 << row * self.columns)

    def _take(self, top: int, low: int, mask: int) -> None:
        """Mark the cells of a mask in some rows."""
        if low > top and mask:
            for row in range(top, low):
                self.rows[row] |= mask
            self.sheet |= mask * self._down[low - top] << top * self.columns

    def take(self, box: Box, more: float = 0.0) -> None:
        """Mark every cell that a box with `more` room on each side touches; and those it covers wholly without."""
        self._take(*self._touched(*(box.grown(more) if more else box)))
        left, right = math.ceil((box.x0 - self.area.x0) / _CELL), math.floor((box.x1 - self.area.x0) / _CELL)
        left, right = max(left, 0), min(right, self.columns)
        if right > left:
            mask = ((1 << (right - left)) - 1) << left
            first, last = math.ceil((box.y0 - self.area.y0) / _CELL), math.floor((box.y1 - self.area.y0) / _CELL)
            for row in range(max(first, 0), min(last, len(self.full))):
                self.full[row] |= mask

    def free(self, x0: float, y0: float, x1: float, y1: float) -> bool | None:
        """Return whether a box touches nothing for certain, or surely lies over something (False); None leaves it open.

        A box that leaves the area is not looked at beyond it.
        """
        top, low, mask = self._touched(x0, y0, x1, y1)
        for row in self.full[top:low]:
            if row & mask:
                return False
        for row in self.rows[top:low]:
            if row & mask:
                return None
        return True

    def struck(self, start: Point, end: Point, but: list[Box]) -> bool:
        """Return whether a line surely runs over something that is in none of the boxes `but`; False leaves it open."""
        steps = max(1, int(math.dist(start, end) / _CELL))
        x, y = (start[0] - self.area.x0) / _CELL, (start[1] - self.area.y0) / _CELL
        dx, dy = (end[0] - start[0]) / _CELL / steps, (end[1] - start[1]) / _CELL / steps
        for _ in range(steps - 1):
            x, y = x + dx, y + dy
            if 0 <= y < len(self.full) and x >= 0 and self.full[int(y)] >> int(x) & 1:
                at = (self.area.x0 + x * _CELL, self.area.y0 + y * _CELL)
                if not any(box.holds(at) for box in but):
                    return True
        return False

    def _touched(self, x0: float, y0: float, x1: float, y1: float) -> tuple[int, int, int]:
        """Return the first row, the row after the last, and the bits of the columns a box touches."""
        x, y, columns, rows = self.area.x0, self.area.y0, self.columns, len(self.rows)
        left, right = _floor((x0 - x) / _CELL), _ceil((x1 - x) / _CELL)
        top, low = _floor((y0 - y) / _CELL), _ceil((y1 - y) / _CELL)
        left, right = (left if left > 0 else 0), (right if right < columns else columns)
        top, low = (top if top > 0 else 0), (low if low < rows else rows)
        return top, low if low > 0 else 0, ((1 << (right - left)) - 1) << left if right > left else 0

    def take_line(self, start: Point, end: Point) -> None:
        """Mark every cell near a line."""
        if start[0] == end[0] or start[1] == end[1]:
            (x0, x1), (y0, y1) = sorted((start[0], end[0])), sorted((start[1], end[1]))
            self._take(*self._touched(x0 - 0.3, y0 - 0.3, x1 + 0.3, y1 + 0.3))
            return
        steps = max(1, math.ceil(math.dist(start, end) / (_CELL / 2)))
        for step in range(steps + 1):
            x = start[0] + (end[0] - start[0]) * step / steps
            y = start[1] + (end[1] - start[1]) * step / steps
            self._take(*self._touched(x - 0.3, y - 0.3, x + 0.3, y + 0.3))

    def fits(self, wide: float, high: float, near: Point, reach: float) -> Iterator[tuple[float, float, float]]:
        """Yield (distance, x, y) of top left corners where a box fits, no farther than `reach`, the nearest first."""
        across, down = math.ceil(wide / _CELL), math.ceil(high / _CELL)
        if across > self.columns or down > len(self.rows):
            return
        stride = self.columns
        blocked = _widened(_widened(self.sheet, across), down, stride)
        every = (1 << (self.columns - across + 1)) - 1
        x0, y0 = self.area.x0, self.area.y0
        split = min(max(int((near[0] - wide / 2 - x0) / _CELL) + 1, 0), self.columns)
        # One run of places to the left and one to the right in every row, each with its nearest place first; rows come in
        # as they are reached, for no place of a row is nearer than the row.
        last = len(self.rows) - down
        offs = [max(y0 + top * _CELL - near[1], near[1] - (y0 + top * _CELL) - high, 0.0) for top in range(last + 1)]
        rows = sorted(range(last + 1), key=offs.__getitem__, reverse=True)
        runs: list[tuple[float, float, float, int, int, float]] = []
        low = (1 << split) - 1
        while True:
            while rows and (off := offs[rows[-1]]) <= reach and (not runs or off <= runs[0][0]):
                top = rows.pop()
                free = every ^ (blocked >> top * stride & every)
                for side, mask in ((-1, free & low), (1, free >> split << split)):
                    found = _next(side, mask, x0, near[0], wide)
                    if found is not None:
                        heappush(runs, (off + found[0], found[1], y0 + top * _CELL, side, found[2], off))
            if not runs or runs[0][0] > reach:
                return
            away, x, y, side, mask, off = runs[0]
            yield away, x, y
            found = _next(side, mask, x0, near[0], wide)
            if found is None:
                heappop(runs)
            else:
                heapreplace(runs, (off + found[0], found[1], y, side, found[2], off))


def _next(side: int, mask: int, x0: float, near: float, wide: float) -> tuple[float, float, int] | None:
    """Return how far the nearest place of a run is, where, and the rest of the run; None when there is none."""
    if not mask:
        return None
    place = (mask & -mask).bit_length() - 1 if side > 0 else mask.bit_length() - 1
    x = x0 + place * _CELL
    return max(x - near, near - x - wide, 0.0), x, mask ^ (1 << place)


def _widened(cells: int, count: int, step: int = 1) -> int:
    """Return cells with a bit set wherever one of `count` cells from there on, `step` apart, is taken.

    With rows in one number the last places of a row see the next row; no box as wide as that starts there.
    """
    done = 1
    while done < count:
        more = min(done, count - done)
        cells |= cells >> more * step
        done += more
    return cells
