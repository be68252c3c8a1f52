"""Pieces dealt onto sheets, in order, none cut.

Comes in: pieces of known height.  Goes out: lists of HTML, one a sheet.  Next: `sheets.py`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

__all__ = ["Deal", "Piece", "Unit"]


class Piece(NamedTuple):
    """Something that stays whole: its height in mm and its HTML."""

    high: float
    html: str


class Unit(NamedTuple):
    """Rows that stay together: whole, and as the pieces, so high at most, they may be cut into where no sheet can hold them."""

    whole: Piece
    pieces: Callable[[float], Sequence[Piece]]


class Deal:
    """Sheets being filled from the top; a piece that does not fit opens the next sheet."""

    def __init__(self, room: float) -> None:
        self.room = room
        self.sheets: list[list[str]] = [[]]
        self.left = room

    def next_sheet(self) -> None:
        """Open a new sheet unless the present one is still bare."""
        if self.sheets[-1]:
            self.sheets.append([])
            self.left = self.room

    def put(self, piece: Piece, *, after: float = 0.0) -> None:
        """Put a piece on the present sheet, or on the next where it does not fit together with `after` mm of what follows."""
        if piece.high + after > self.left:
            self.next_sheet()
        self.sheets[-1].append(piece.html)
        self.left -= piece.high

    def rows(self, head: Piece, foot: str, units: Sequence[Unit]) -> None:
        """Put the units of a table, each whole where a sheet can hold it.

        `head` is opened again on every sheet the table comes to, `foot` closes it.  A unit higher than a whole
        sheet is cut between its pieces.
        """
        opened = False
        for unit in units:
            for piece in (unit.whole,) if unit.whole.high + head.high <= self.room else unit.pieces(self.room - head.high):
                if opened and piece.high > self.left:
                    self.sheets[-1].append(foot)
                    self.next_sheet()
                    opened = False
                if not opened:
                    self.put(head, after=piece.high)
                    opened = True
                self.sheets[-1].append(piece.html)
                self.left -= piece.high
        if opened:
            self.sheets[-1].append(foot)
