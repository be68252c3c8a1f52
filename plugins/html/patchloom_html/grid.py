"""A table, measured: how wide its columns are, how high its rows, and its HTML in pieces that stay whole.

Comes in: a `Table` and the width there is.  Goes out: a `Grid`.  Next: `sheets.py` deals its pieces.

Time: linear in the cells, the widest cost being the wrapping of each cell once.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import attrs
from patchloom_html.deal import Piece
from patchloom_html.measure import width, wrap
from patchloom_html.style import BIG, BODY, HEAD, MARK, PAD_X, PAD_Y, ROW, RULE, STRONG, Shape, Type
from patchloom_html.words import attribute, inert, plain

from patchloom.pages import Cell, Column, Row, Table

__all__ = ["Grid", "readable"]

_SIZES = {"body": BODY, "strong": STRONG, "big": BIG}
_CAP, _LEAST, _TICK = 52.0, 7.0, 8.0


def readable(tables: tuple[Table, ...], shape: Shape) -> bool:
    """Return whether no table must break words to stand on a sheet of this shape."""
    return all(sum(_least_and_natural(table)[0]) <= shape.wide for table in tables)


def _type(column: Column) -> Type:
    if column.size == "big" and column.kind == "address":
        return MARK
    return _SIZES.get(column.size, BODY)


@lru_cache(maxsize=65536)
def _wide(text: str, points: float, bold: bool) -> float:
    return width(text, points, bold)


def _longest_word(text: str, kind: Type) -> float:
    return max((_wide(word, kind.points, kind.bold) for word in text.replace("-", "- ").replace("/", "/ ").split()), default=0.0)


@lru_cache(maxsize=64)
def _least_and_natural(table: Table) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return the least width of each column (its longest word) and the one at which no cell breaks, in mm."""
    least, natural = [], []
    for place, column in enumerate(_columns(table)):
        kind = _type(column)
        texts = [row.cells[at].text for row in table.rows if row.kind != "section" and (at := place % len(table.columns)) < len(row.cells)]
        head = _longest_word(column.title, HEAD)
        one = max([head, *(_longest_word(text, kind) for text in texts)])
        if column.kind in ("number", "address"):
            one = max([one, *(min(_wide(text, kind.points, kind.bold), _CAP) for text in texts)])
        all_ = max([one, *(_wide(text, kind.points, kind.bold) for text in texts)])
        room = 2 * PAD_X + 0.4
        floor = _TICK if column.kind == "tick" else _LEAST
        least.append(max(floor, min(one, _CAP) + room))
        natural.append(max(floor, min(all_, _CAP) + room))
    return tuple(least), tuple(natural)


def _columns(table: Table) -> tuple[Column, ...]:
    return (*table.columns, table.columns[0]) if table.repeat_first and table.columns else table.columns


@attrs.frozen
class Grid:
    """A table set to a width."""

    table: Table
    wide: float
    widths: tuple[float, ...]

    @classmethod
    def of(cls, table: Table, wide: float) -> Grid:
        """Return the grid of a table: least widths first, what is left by need, then by share."""
        least, natural = _least_and_natural(table)
        if sum(least) >= wide:
            return cls(table, wide, tuple(value * wide / sum(least) for value in least))
        need = sum(natural) - sum(least)
        ease = min(1.0, (wide - sum(least)) / need) if need else 1.0
        widths = [low + (high - low) * ease for low, high in zip(least, natural, strict=True)]
        rest = wide - sum(widths)
        shares = [column.width if column.kind == "text" else 0.0 for column in _columns(table)]
        total = sum(shares) or 1.0
        return cls(table, wide, tuple(value + rest * share / total for value, share in zip(widths, shares, strict=True)))

    def css(self, name: str) -> str:
        """Return the rules that set the widths of the columns of tables of a class."""
        return "".join(f".{name} .c{place}{{width:{value * 100 / sum(self.widths):.3f}%}}" for place, value in enumerate(self.widths))

    def head(self, name: str) -> Piece:
        """Return the opening of the table, its heads included."""
        columns = _columns(self.table)
        lines = max((len(wrap(column.title, self.widths[place] - 2 * PAD_X, HEAD.points, True)) for place, column in enumerate(columns)),
                    default=1)
        cells = "".join(f'<th scope="col" class="c{place} {_classes(column)}">{plain(column.title)}</th>' for place, column in enumerate(columns))
        return Piece(lines * HEAD.line + 2 * PAD_Y + 1.2, f'<table class="{name}"><thead><tr>{cells}</tr></thead>')

    def units(self) -> Iterator[list[Piece]]:
        """Yield the blocks of the table, each as pieces that must not be cut: single rows, or rows kept together."""
        unit: list[list[Row]] = []
        before: Row | None = None
        for row in self.table.rows:
            if before is not None and (row.block != before.block or row.block is None and not _together(before, row)):
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
        for place, cell in enumerate(self._cells(row)):
            kind = STRONG if row.kind == "section" else _type(columns[place])
            room = (self.wide if row.kind == "section" else self.widths[place]) - 2 * PAD_X - 0.2
            most = max(most, len(wrap(cell.text, room, kind.points, kind.bold)) * kind.line)
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
        return f"<tr{kind}>{''.join(_td(columns[place], cell, place, place >= last) for place, cell in enumerate(self._cells(row)))}</tr>"


def _together(before: Row, row: Row) -> bool:
    return bool(row.keep) and row.keep == before.keep


def _classes(column: Column) -> str:
    return {"number": "number", "tick": "tick"}.get(column.kind, "text")


def _td(column: Column, cell: Cell, place: int, again: bool) -> str:
    size = "mark" if column.size == "big" and column.kind == "address" else column.size if column.size in ("strong", "big") else ""
    loud = "loud" if "strong" in cell.marks and not size else ""
    names = " ".join(word for word in (f"c{place}", _classes(column), size, loud, "again" if again else "") if word)
    inside = '<span class="box"></span>' if "tick" in cell.marks and not cell.text else inert(cell.text)
    return f'<td class="{names}" data-head="{attribute(column.title)}">{inside}</td>'
