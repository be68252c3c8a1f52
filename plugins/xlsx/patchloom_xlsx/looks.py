"""Formats of cells: black on white, nothing by colour alone.

Comes in: a workbook.  Goes out: its formats by what a cell is.  Next: `sheet.py`.
"""

from __future__ import annotations

from typing import Any

from patchloom.pages import Cell, Column

__all__ = ["POINTS", "Looks"]

POINTS = {"body": 10, "bold": 10, "strong": 12, "big": 14}
"""Sizes of type, in points."""


class Looks:
    """The formats of one workbook, each made once."""

    def __init__(self, workbook: Any) -> None:
        self._workbook = workbook
        self._made: dict[tuple[Any, ...], Any] = {}
        self._cells: dict[tuple[Any, ...], Any] = {}

    def _format(self, **how: Any) -> Any:
        key = tuple(sorted(how.items()))
        if key not in self._made:
            self._made[key] = self._workbook.add_format({"valign": "vcenter", **how})
        return self._made[key]

    def title(self) -> Any:
        """Return the format of a sheet's title."""
        return self._format(bold=True, font_size=14, num_format="@")

    def words(self, *, loud: bool = False) -> Any:
        """Return the format of running words."""
        return self._format(num_format="@", text_wrap=True, bold=loud, border=2 if loud else 0)

    def head(self) -> Any:
        """Return the format of a column's head."""
        return self._format(bold=True, num_format="@", text_wrap=True, bottom=2, valign="bottom")

    def cell(self, column: Column, cell: Cell, *, rule: bool, number: bool) -> Any:
        """Return the format of a cell; `rule` where a heavy rule parts its block from the one above."""
        key = (column.kind, column.size, "strong" in cell.marks, rule, number)
        if key not in self._cells:
            self._cells[key] = self._cell(*key)
        return self._cells[key]

    def _cell(self, kind: str, size: str, strong: bool, rule: bool, number: bool) -> Any:
        return self._format(
            num_format="0" if number else "@",
            font_size=POINTS.get(size, 10),
            bold=strong or size in ("bold", "strong", "big"),
            align={"number": "right", "tick": "center"}.get(kind, "left"),
            text_wrap=kind == "text",
            top=2 if rule else 1,
            bottom=1,
            left=1,
            right=1,
        )

    def section(self) -> Any:
        """Return the format of a row over the whole width."""
        return self._format(bold=True, num_format="@", font_size=12, top=1, bottom=1)
