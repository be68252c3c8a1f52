"""How wide the columns of a table are.

Comes in: a `Table`, the width there is.  Goes out: widths in mm, and how much must break at them.  Next: `grid.py`.
"""

from __future__ import annotations

from functools import lru_cache
from math import ceil

import attrs

from patchloom.drawing.fonts import width
from patchloom.drawing.metrics import MM
from patchloom.pages import Cell, Column, Row, Table
from patchloom.pages.files import clean

__all__ = ["LEAD", "PAD", "PAD_Y", "ROW", "Need", "Type", "columns", "kind_of", "needs", "set_of"]

PAD, PAD_Y, ROW, LEAD = 1.1, 0.7, 6.5, 1.2
"""Room beside, above and below a cell's text, and the lowest row, in mm; from baseline to baseline, in type sizes."""

_LEAST, _TICK, _CAP, _WHOLE, _NAME, _SLACK = 7.0, 8.0, 48.0, 30.0, 40.0, 1.01
_BREAKS = 1.06
_STEPS, _TIE, _LITTLE = (2.0, 4.0, 8.0, 14.0), 0.02, 1e-9


@attrs.frozen
class Type:
    """A size of type."""

    points: float
    bold: bool = False

    @property
    def line(self) -> float:
        """Return the height of a line in mm."""
        return self.points * MM * LEAD


_SIZES = {"body": Type(10), "bold": Type(10, True), "strong": Type(12, True), "big": Type(14, True)}
_MARK, _HEAD = Type(16, True), Type(9, True)


def kind_of(column: Column) -> Type:
    """Return the type a column is set in."""
    return _MARK if column.size == "big" and column.kind == "address" else _SIZES.get(column.size, _SIZES["body"])


def set_of(column: Column, cell: Cell) -> Type:
    """Return the type a cell is set in: its column's, bold where the cell is marked strong."""
    kind = kind_of(column)
    if "big" in cell.marks:
        return _SIZES["big"]
    return kind if kind.bold or "strong" not in cell.marks else Type(kind.points, True)


def columns(table: Table) -> tuple[Column, ...]:
    """Return the columns as they are printed, the first once more at the right of wide rows."""
    return (*table.columns, table.columns[0]) if table.repeat_first and table.columns else table.columns


@attrs.frozen
class Need:
    """What the columns of a table ask for, in mm: words whole, and cells on one line."""

    table: Table
    least: tuple[float, ...]
    ideal: tuple[float, ...]
    cells: tuple[tuple[float, ...], ...]
    """Width of every cell on one line, row by row, section rows aside."""
    lines: tuple[float, ...]
    """Height of a line of each column."""

    def widths(self, wide: float) -> tuple[float, ...]:
        """Return widths that fill `wide`: words whole first, then cells on one line, then by the columns' shares."""
        if self.table.pitch_mm is not None:  # a strip: cut out, and laid beside what it names
            return (self.table.pitch_mm,) * len(self.least)
        if not any(column.title for column in self.table.columns):  # a panel: its sockets are evenly spaced
            return (wide / max(1, len(self.least)),) * len(self.least)
        least, ideal = sum(self.least), sum(self.ideal)
        if least >= wide:
            return tuple(value * wide / least for value in self.least)
        if ideal > wide:
            return self._eased(wide)
        free = [column.width if column.kind == "text" else 0.0 for column in columns(self.table)]
        total = sum(free)
        if not total:
            return tuple(value * wide / ideal for value in self.ideal)
        return tuple(value + (wide - ideal) * part / total for value, part in zip(self.ideal, free, strict=True))

    def _eased(self, wide: float) -> tuple[float, ...]:
        """Return the least widths, widened where that lowers the rows most, a step at a time spent on the dearest column."""
        widths, left = list(self.least), wide - sum(self.least)
        down = [[row[place] for row in self.cells if place < len(row)] for place in range(len(widths))]
        highs = [self._column(down[place], widths[place], place) for place in range(len(widths))]
        whole = all(len(column) == len(down[0]) for column in down)
        while whole and down[0] and left > _STEPS[0]:
            tops = [sorted(row)[-2:] if len(row) > 1 else [0.0, row[0]] for row in zip(*highs, strict=True)]
            best: tuple[float, int, float, list[float]] | None = None
            for place, high in enumerate(highs):
                if widths[place] >= self.ideal[place]:
                    continue
                now = sum(top[1] for top in tops) + sum(high) * _TIE
                for more in _STEPS:
                    if more > left:
                        break
                    trial = self._column(down[place], widths[place] + more, place)
                    after = sum(
                        max(one, top[0] if mine == top[1] else top[1]) for one, mine, top in zip(trial, high, tops, strict=True)
                    )
                    gain = (now - after - sum(trial) * _TIE) / more
                    if gain > _LITTLE and (best is None or gain > best[0] + _LITTLE):
                        best = (gain, place, more, trial)
            if best is None:
                break
            widths[best[1]] += best[2]
            highs[best[1]] = best[3]
            left -= best[2]
        return tuple(value + left / len(widths) for value in widths)

    def _column(self, cells: list[float], size: float, place: int) -> list[float]:
        """Return the height each cell of a column asks for at a width."""
        room, line = size - 2 * PAD, self.lines[place]
        return [ROW if need <= room else max(ROW, ceil(need * _BREAKS / room) * line + 2 * PAD_Y) for need in cells]

    def high(self, widths: tuple[float, ...]) -> float:
        """Return about how high the rows are together at some widths."""
        return sum(self.heights(widths))

    def heights(self, widths: tuple[float, ...]) -> list[float]:
        """Return about how high each row is at some widths."""
        found = []
        for row in self.cells:
            counts = (
                ceil(need * _BREAKS / (size - 2 * PAD)) if need > size - 2 * PAD else 1
                for need, size in zip(row, widths, strict=False)
            )
            found.append(
                max((max(ROW, count * line + 2 * PAD_Y) for count, line in zip(counts, self.lines, strict=False)), default=ROW)
            )
        return found


@lru_cache(maxsize=512)
def needs(table: Table) -> Need:
    """Return what the columns of a table ask for."""
    all_columns = columns(table)
    least = [_least_head(column) for column in all_columns]
    ideal = list(least)
    rows: list[tuple[float, ...]] = []
    for row in table.rows:
        if row.kind == "section":
            rows.append(())
            continue
        sizes = []
        for place, cell in enumerate(_cells(table, row)):
            if place >= len(all_columns):
                break
            column, kind = all_columns[place], set_of(all_columns[place], cell)
            words = clean(cell.text)
            one = width(words, kind.points, kind.bold) * _SLACK
            sizes.append(one)
            whole = (column.kind in ("number", "address") and one <= _WHOLE) or (
                column.size in ("strong", "big") and one <= _NAME
            )
            low = one if whole else max((width(word, kind.points, kind.bold) for word in words.split()), default=0.0) * _SLACK
            least[place] = max(least[place], min(low, _CAP) + 2 * PAD)
            ideal[place] = max(ideal[place], min(one, 2 * _CAP) + 2 * PAD)
        rows.append(tuple(sizes))
    if table.pitch_mm is not None:
        least = ideal = [table.pitch_mm] * len(all_columns)
    return Need(table, tuple(least), tuple(ideal), tuple(rows), tuple(kind_of(column).line for column in all_columns))


def _cells(table: Table, row: Row) -> tuple[Cell, ...]:
    return (*row.cells, row.cells[0]) if table.repeat_first and row.cells else row.cells


def _least_head(column: Column) -> float:
    words = max((width(word, _HEAD.points, True) for word in clean(column.title).split()), default=0.0)
    return max(_TICK if column.kind == "tick" else _LEAST, words * _SLACK + 2 * PAD)
