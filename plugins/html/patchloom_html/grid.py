"""A table, measured: how wide its columns are, how high its rows, and its HTML in pieces that stay whole.

Comes in: a `Table` and the width there is.  Goes out: a `Grid`.  Next: `sheets.py` deals its pieces.

Time: linear in the cells, the widest cost being the wrapping of each cell once.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from math import ceil

import attrs

from patchloom.pages import Cell, Column, Row, Table
from patchloom_html.deal import Piece
from patchloom_html.measure import width, wrap
from patchloom_html.style import BIG, BODY, HEAD, MARK, PAD_X, PAD_Y, ROW, RULE, STRONG, Shape, Type
from patchloom_html.words import attribute, inert, plain

__all__ = ["Grid", "readable"]

_SIZES = {"body": BODY, "bold": Type(BODY.points, True), "strong": STRONG, "big": BIG}
_CAP, _LEAST, _TICK = 52.0, 7.0, 8.0
_ROOM = 2 * PAD_X + 0.4
_BREAKS = 1.06  # words do not fill a line to its end
_STEPS, _TIE, _LITTLE = (2.0, 4.0, 8.0, 14.0), 0.02, 1e-9
_WHOLE, _BROKEN = 30.0, 4.0  # mm up to which an address stays whole; what breaking a name costs


def readable(tables: tuple[Table, ...], shape: Shape) -> bool:
    """Return whether no table must break words to stand on a sheet of this shape."""
    return all(sum(_least(table)) <= shape.wide for table in tables)


def _type(column: Column) -> Type:
    if column.size == "big" and column.kind == "address":
        return MARK
    return _SIZES.get(column.size, BODY)


def _longest_word(text: str, kind: Type) -> float:
    return max((width(word, kind.points, kind.bold) for word in text.replace("-", "- ").replace("/", "/ ").split()), default=0.0)


@lru_cache(maxsize=64)
def _least(table: Table) -> tuple[float, ...]:
    """Return the least width of each column in mm: its longest word, or its longest cell where figures line up."""
    if table.pitch_mm is not None:
        return (table.pitch_mm,) * len(_columns(table))
    least = []
    for place, column in enumerate(_columns(table)):
        cells = _down(table, place)
        one = max([_longest_word(column.title, HEAD), *(_longest_word(cell.text, _set(column, cell)) for cell in cells)])
        if column.kind in ("number", "address"):
            one = max([one, *(min(_wide(column, cell), _WHOLE) for cell in cells)])
        least.append(max(_TICK if column.kind == "tick" else _LEAST, min(one, _CAP) + _ROOM))
    return tuple(least)


def _set(column: Column, cell: Cell) -> Type:
    """Return the type a cell is set in: its column's, bold where the cell is marked strong."""
    kind = _type(column)
    if "big" in cell.marks:
        return BIG
    return kind if kind.bold or "strong" not in cell.marks else Type(kind.points, True)


def _wide(column: Column, cell: Cell) -> float:
    kind = _set(column, cell)
    return width(cell.text, kind.points, kind.bold)


def _down(table: Table, place: int) -> list[Cell]:
    """Return the cells of a column, section rows aside."""
    at = place % len(table.columns)
    return [row.cells[at] for row in table.rows if row.kind != "section" and at < len(row.cells)]


def _eased(table: Table, widths: list[float], wide: float) -> list[float]:
    """Return widths widened where that lowers the rows most, a millimetre at a time spent on the dearest column.

    Lines are reckoned from the width of the text, not broken word by word.  Time: columns times rows times steps.
    """
    columns = _columns(table)
    needs = [[_wide(column, cell) * _BREAKS for cell in _down(table, place)] for place, column in enumerate(columns)]
    most = [max(need, default=0.0) for need in needs]
    lines = [(_type(column).line, _BROKEN if column.size in ("strong", "big") else 0.0) for column in columns]
    highs = [_highs(need, size, line) for need, size, line in zip(needs, widths, lines, strict=True)]
    while table.rows:
        tops = [sorted(row)[-2:] if len(row) > 1 else [0.0, row[0]] for row in zip(*highs, strict=True)]
        best: tuple[float, int, float] | None = None
        whole = sum(top[1] for top in tops)
        for place, high in enumerate(highs):
            if widths[place] - _ROOM >= most[place]:  # no cell of it breaks: nothing to gain
                continue
            now = whole + sum(high) * _TIE
            others = [top[0] if mine == top[1] else top[1] for mine, top in zip(high, tops, strict=True)]
            for more in _STEPS:
                if more > wide - sum(widths):
                    break
                trial = _highs(needs[place], widths[place] + more, lines[place])
                gain = (now - sum(map(max, trial, others)) - sum(trial) * _TIE) / more
                if gain > _LITTLE and (best is None or gain > best[0] + _LITTLE):
                    best = (gain, place, more)
        if best is None:
            break
        widths[best[1]] += best[2]
        highs[best[1]] = _highs(needs[best[1]], widths[best[1]], lines[best[1]])
    return widths


def _highs(needs: list[float], size: float, line: tuple[float, float]) -> list[float]:
    """Return the height each cell asks for at a width, a name that breaks counted dearer than it is high."""
    counts = [max(1, ceil(need / (size - _ROOM))) for need in needs]
    return [max(ROW - 2 * PAD_Y, count * line[0]) + (count - 1) * line[1] for count in counts]


def _columns(table: Table) -> tuple[Column, ...]:
    return (*table.columns, table.columns[0]) if table.repeat_first and table.columns else table.columns


@attrs.frozen
class Grid:
    """A table set to a width."""

    table: Table
    wide: float
    widths: tuple[float, ...]

    @classmethod
    @lru_cache(maxsize=256)
    def of(cls, table: Table, wide: float) -> Grid:
        """Return the grid of a table: least widths first, what is left by need, then by share; a panel evenly."""
        least = _least(table)
        if table.pitch_mm is not None:  # a strip: cut out, and laid beside what it names
            return cls(table, sum(least), least)
        if not any(column.title for column in table.columns):  # a panel: its sockets are evenly spaced
            return cls(table, wide, (wide / max(1, len(least)),) * len(least))
        if sum(least) >= wide:
            return cls(table, wide, tuple(value * wide / sum(least) for value in least))
        widths = _eased(table, list(least), wide)
        rest = wide - sum(widths)
        shares = [column.width if column.kind == "text" else 0.0 for column in _columns(table)]
        total = sum(shares) or 1.0
        return cls(table, wide, tuple(value + rest * share / total for value, share in zip(widths, shares, strict=True)))

    def squeezed(self) -> float:
        """Return the share of rows in which a name breaks or a cell runs to three lines."""
        columns = _columns(self.table)
        broken = 0
        for row in self.table.rows:
            cells = self._cells(row) if row.kind != "section" else ()
            counts = [(columns[place], self._lines(cell, place)) for place, cell in enumerate(cells)]
            broken += any(count > (1 if column.size in ("strong", "big") else 2) for column, count in counts)
        return broken / len(self.table.rows) if self.table.rows else 0.0

    def _lines(self, cell: Cell, place: int) -> int:
        kind = _set(_columns(self.table)[place], cell)
        return len(wrap(cell.text, self.widths[place] - 2 * PAD_X - 0.2, kind.points, kind.bold))

    def css(self, name: str) -> str:
        """Return the rules that set the widths of the columns of tables of a class."""
        whole = f".{name}{{width:{self.wide:g}mm}}" if self.table.pitch_mm is not None else ""
        return whole + "".join(
            f".{name} .c{place}{{width:{value * 100 / sum(self.widths):.3f}%}}" for place, value in enumerate(self.widths)
        )

    def head(self, name: str) -> Piece:
        """Return the opening of the table, its heads included."""
        columns = _columns(self.table)
        if not any(column.title for column in columns):
            bare = "".join(f'<col class="c{place}">' for place in range(len(columns)))
            return Piece(0.6, f'<table class="{name} bare"><colgroup>{bare}</colgroup>')
        lines = max(
            (len(wrap(column.title, self.widths[place] - 2 * PAD_X, HEAD.points, True)) for place, column in enumerate(columns)),
            default=1,
        )
        cells = "".join(
            f'<th scope="col" class="c{place} {_classes(column)}">{plain(column.title)}</th>'
            for place, column in enumerate(columns)
        )
        return Piece(lines * HEAD.line + 2 * PAD_Y + 1.2, f'<table class="{name}"><thead><tr>{cells}</tr></thead>')

    def units(self) -> Iterator[list[Piece]]:
        """Yield the blocks of the table, each as pieces that must not be cut: single rows, or rows kept together."""
        unit: list[list[Row]] = []
        before: Row | None = None
        for row in self.table.rows:
            if before is not None and (row.block != before.block or (row.block is None and not _together(before, row))):
                yield self._unit(unit, before.block is not None and before is not self.table.rows[0])
                unit = []
            if before is not None and unit and _together(before, row):
                unit[-1].append(row)
            else:
                unit.append([row])
            before = row
        if unit:
            yield self._unit(unit, before is not None and before.block is not None)

    def _unit(self, groups: list[list[Row]], heavy: bool) -> list[Piece]:
        pieces = []
        for place, rows in enumerate(groups):
            block = ' class="block"' if heavy and place == 0 and rows[0] is not self.table.rows[0] else ""
            html = f"<tbody{block}>{''.join(self._row(row) for row in rows)}</tbody>"
            pieces.append(Piece(sum(self._high(row) for row in rows) + (0.7 if block else 0.0), html))
        return pieces

    def _high(self, row: Row) -> float:
        columns = _columns(self.table)
        most = 0.0
        if row.kind == "section":
            words = " ".join(cell.text for cell in row.cells if cell.text)
            return max(ROW, len(wrap(words, self.wide - 2 * PAD_X, STRONG.points, True)) * STRONG.line + 2 * PAD_Y + RULE)
        for place, cell in enumerate(self._cells(row)):
            most = max(most, self._lines(cell, place) * _type(columns[place]).line)
        return max(ROW, most + 2 * PAD_Y + RULE)

    def _cells(self, row: Row) -> tuple[Cell, ...]:
        again = self.table.repeat_first and row.kind != "section" and row.cells
        return (*row.cells, row.cells[0]) if again else row.cells

    def _row(self, row: Row) -> str:
        columns = _columns(self.table)
        if row.kind == "section":
            words = " ".join(cell.text for cell in row.cells if cell.text)
            return f'<tr><td class="section" colspan="{len(columns)}">{inert(words)}</td></tr>'
        kind = f' class="{attribute(row.kind)}"' if row.kind in ("empty",) else ""
        last = len(self.table.columns)
        cells = (_td(columns[place], cell, place, place >= last) for place, cell in enumerate(self._cells(row)))
        return f"<tr{kind}>{''.join(cells)}</tr>"


def _together(before: Row, row: Row) -> bool:
    return bool(row.keep) and row.keep == before.keep


def _classes(column: Column) -> str:
    return {"number": "number", "tick": "tick"}.get(column.kind, "text")


def _td(column: Column, cell: Cell, place: int, again: bool) -> str:
    size = column.size if column.size in ("strong", "big") else ""
    size = "big" if "big" in cell.marks else "mark" if size == "big" and column.kind == "address" else size
    loud = "loud" if column.size == "bold" or ("strong" in cell.marks and not size) else ""
    names = " ".join(word for word in (f"c{place}", _classes(column), size, loud, "again" if again else "") if word)
    inside = '<span class="box"></span>' if "tick" in cell.marks and not cell.text else inert(cell.text)
    return f'<td class="{names}" data-head="{attribute(column.title)}">{inside}</td>'
