"""A table as typst source: heads on every sheet, blocks and pairs whole, a heavy rule between blocks.

Comes in: a `Table` and the width there is.  Goes out: source.  Next: `sheets.py`.

Rows that stay together are held by a cell of no width that spans them and must not break: typst then takes all of them
to the next sheet.  What is higher than a sheet may break, or nothing could be printed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patchloom.drawing.metrics import MM
from patchloom.pages import Cell, Column, Row, Table
from patchloom_pdf.columns import PAD, PAD_Y, ROW, Need, columns, kind_of, needs, set_of
from patchloom_pdf.words import Words, mm

__all__ = ["PREAMBLE", "grid"]

PREAMBLE = """
#let b(t) = text(weight: "bold", t)
#let s(t) = text(size: 12pt, weight: "bold", t)
#let g(t) = text(size: 14pt, weight: "bold", t)
#let m(t) = text(size: 16pt, weight: "bold", t)
#let h(t) = text(size: 9pt, weight: "bold", t)
#let q = box(width: 4.2mm, height: 4.2mm, stroke: 0.4mm, baseline: 0.7mm)
#let e = box(height: 1em, width: 0pt)
#let k(n) = table.cell(rowspan: n, breakable: false, inset: 0pt, stroke: none, [])
#let z = table.cell(inset: 0pt, stroke: none, [])
#let r = table.hline(stroke: 0.7mm)
"""
"""What the source of a table calls."""

_FULL = 0.8
"""Share of a sheet up to which rows are kept together."""


def grid(table: Table, wide: float, high: float, words: Words) -> str:
    """Return the source of a table that is `wide` mm wide, on sheets with room for `high` mm."""
    all_columns = columns(table)
    if not all_columns or not table.rows:
        return ""
    need = needs(table)
    widths = need.widths(wide)
    parts = [
        f"#table(columns: (0pt, {', '.join(map(mm, widths))}), stroke: 0.2mm",
        f"align: (left + horizon, {', '.join(_align(column) for column in all_columns)})",
        f"inset: (0pt, {', '.join(_inset(column, place == 0) for place, column in enumerate(all_columns))})",
    ]
    if any(column.title for column in all_columns):
        heads = ", ".join(
            f"h({words.fitted(column.title, size - 2 * PAD, 9, True)})" for column, size in zip(all_columns, widths, strict=True)
        )
        parts.append(f"table.header(z, {heads}, table.hline(stroke: 0.6mm))")
    else:
        parts.append("table.hline(stroke: 0.6mm)")
    body = _Body(table, need, widths, words)
    before: Row | None = None
    for rows in _units(table, body.heights, high * _FULL):
        first = table.rows[rows[0]]
        if before is not None and before.block != first.block:
            parts.append("r")
        held = sum(body.heights[place] for place in rows) <= high * _FULL
        parts.extend(body.rows(rows, held=held))
        before = table.rows[rows[-1]]
    return ",\n ".join(parts) + ")\n"


def _units(table: Table, heights: Sequence[float], most: float) -> Iterator[list[int]]:
    """Yield the places of rows that stay together: a block, or where that is too high its pairs, or one row."""
    unit: list[int] = []
    for place, row in enumerate(table.rows):
        if unit:
            before = table.rows[place - 1]
            block = row.block is not None and row.block == before.block
            pair = bool(row.keep) and row.keep == before.keep
            if not (block or pair):
                yield from _fitting(table, unit, heights, most)
                unit = []
        unit.append(place)
    if unit:
        yield from _fitting(table, unit, heights, most)


def _fitting(table: Table, unit: list[int], heights: Sequence[float], most: float) -> Iterator[list[int]]:
    """Yield a unit whole where a sheet can hold it, else its pairs and single rows."""
    if sum(heights[place] for place in unit) <= most:
        yield unit
        return
    kept: list[int] = []
    for place in unit:
        row = table.rows[place]
        if kept and not (row.keep and row.keep == table.rows[kept[-1]].keep):
            yield kept
            kept = []
        kept.append(place)
    yield kept


class _Body:
    """Rows of one table as source."""

    def __init__(self, table: Table, need: Need, widths: tuple[float, ...], words: Words) -> None:
        self.table, self.widths, self.words = table, widths, words
        self.columns = columns(table)
        self.heights = need.heights(widths)

    def rows(self, places: Sequence[int], *, held: bool) -> Iterator[str]:
        """Yield the cells of rows, held together or not."""
        if held:
            yield f"k({len(places)})"
        for place in places:
            if not held:
                yield "z"
            yield self._row(self.table.rows[place])

    def _row(self, row: Row) -> str:
        if row.kind == "section":
            text = " ".join(cell.text for cell in row.cells if cell.text)
            wide = sum(self.widths) - 2 * PAD
            call = f"s({self.words.fitted(text, wide, 12, True)})"
            return f"table.cell(colspan: {len(self.columns)}, align: left + horizon, {call})"
        cells = (*row.cells, row.cells[0]) if self.table.repeat_first and row.cells else row.cells
        cells = (*cells, *[Cell()] * (len(self.columns) - len(cells)))[: len(self.columns)]
        return ", ".join(self._cell(cell, place) for place, cell in enumerate(cells))

    def _cell(self, cell: Cell, place: int) -> str:
        if not cell.text:
            return "q" if "tick" in cell.marks else "e" if place == 0 else "[]"
        column = self.columns[place]
        kind = set_of(column, cell)
        text = self.words.fitted(cell.text, self.widths[place] - 2 * PAD, kind.points, kind.bold)
        call = {10: "b" if kind.bold else "", 12: "s", 14: "g", 16: "m"}[int(kind.points)]
        return f"{call}({text})" if call else text


def _align(column: Column) -> str:
    return {"number": "right", "tick": "center"}.get(column.kind, "left") + " + horizon"


def _inset(column: Column, first: bool) -> str:
    """Return the room round the text of a column: in the first, one line makes a row that can be written in."""
    return f"(x: {mm(PAD)}, y: {mm(max(PAD_Y, (ROW - kind_of(column).points * MM) / 2) if first else PAD_Y)})"
