"""Free room on a sheet, as rows of bits.

Comes in: boxes and lines that are taken.  Goes out: where a box of a given size still fits, nearest first.
Next: `labels.py`.

The area is cut into square cells; a row of cells is one integer.  Where a box fits comes from shifting and or-ing
whole rows, so that a sheet is searched in a few thousand operations.  A cell that is touched counts as taken, so the
answer errs on the side of room.
"""

from __future__ import annotations

import math

from patchloom.drawing.scene import Box, Point

__all__ = ["Ground"]

_CELL = 2.0


class Ground:
    """Which cells of an area are taken."""

    def __init__(self, area: Box) -> None:
        self.area = area
        self.columns = max(0, int(area.wide / _CELL))
        self.rows = [0] * max(0, int(area.high / _CELL))

    def take(self, box: Box) -> None:
        """Mark every cell a box touches."""
        left, right = self._cells(box.x0 - self.area.x0, box.x1 - self.area.x0, self.columns)
        top, low = self._cells(box.y0 - self.area.y0, box.y1 - self.area.y0, len(self.rows))
        if right > left:
            mask = ((1 << (right - left)) - 1) << left
            for row in range(top, low):
                self.rows[row] |= mask

    @staticmethod
    def _cells(start: float, end: float, most: int) -> tuple[int, int]:
        return min(max(math.floor(start / _CELL), 0), most), min(max(math.ceil(end / _CELL), 0), most)

    def take_line(self, start: Point, end: Point) -> None:
        """Mark every cell near a line."""
        steps = max(1, math.ceil(math.dist(start, end) / (_CELL / 2)))
        for step in range(steps + 1):
            x = start[0] + (end[0] - start[0]) * step / steps
            y = start[1] + (end[1] - start[1]) * step / steps
            self.take(Box(x - 0.3, y - 0.3, x + 0.3, y + 0.3))

    def fits(self, wide: float, high: float, near: Point, reach: float) -> list[tuple[float, float, float]]:
        """Return (distance, x, y) of top left corners where a box fits, no farther than `reach`, the nearest first."""
        across, down = math.ceil(wide / _CELL), math.ceil(high / _CELL)
        if across > self.columns or down > len(self.rows):
            return []
        taken = [_widened(row, across) for row in self.rows]
        every = (1 << (self.columns - across + 1)) - 1
        found = []
        for top in range(len(self.rows) - down + 1):
            y = self.area.y0 + top * _CELL
            off_y = max(y - near[1], near[1] - y - high, 0.0)
            if off_y > reach:
                continue
            blocked = 0
            for row in taken[top:top + down]:
                blocked |= row
            free = every & ~blocked
            while free:
                bit = free & -free
                free ^= bit
                x = self.area.x0 + (bit.bit_length() - 1) * _CELL
                away = off_y + max(x - near[0], near[0] - x - wide, 0.0)
                if away <= reach:
                    found.append((away, x, y))
        found.sort()
        return found


def _widened(row: int, across: int) -> int:
    """Return the row with a bit set wherever a run of `across` cells from there meets a taken one."""
    done = 1
    while done < across:
        step = min(done, across - done)
        row |= row >> step
        done += step
    return row
