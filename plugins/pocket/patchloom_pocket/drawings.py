"""The drawings of a book, each part saying what it shows: once to be printed, once to be lit.

Comes in: a `Book`.  Goes out: SVG elements, and which of them are whose.  Next: `document` puts them into the file, the
script lights them.

On paper type must not shrink, so a large drawing comes in parts; a screen can be looked into, so a line is followed in one
large drawing.  Where one part is the whole, it serves for both; what one position's drawing shows, everybody's shows too.
"""

from __future__ import annotations

from typing import NamedTuple

from patchloom.drawing import INLINE, svgs
from patchloom.pages import Book

__all__ = ["ROOM", "Drawn", "drawings"]

ROOM = (420.0, 280.0)
"""Width and height of a drawing that is looked into, in mm."""


class Drawn(NamedTuple):
    """The drawings of one page, by number."""

    sheets: tuple[int, ...]
    """To be printed, at full size."""
    whole: tuple[int, ...]
    """To be lit; none where everybody's drawing is lit instead."""


def drawings(book: Book) -> tuple[list[str], dict[int, Drawn]]:
    """Return every drawing, and for the number of each drawn page which are its own.

    A page that cannot be drawn has none, and says so where it is shown; the book stays whole.
    """
    made: list[str] = []
    of_page: dict[int, Drawn] = {}
    common = {page.kind for page in book.pages if not page.position}
    for number, page in enumerate(book.pages):
        try:
            parts = svgs(page, room=INLINE, marked=True)
            lit = not page.position or page.kind not in common
            whole = svgs(page, room=ROOM, marked=True) if lit and len(parts) > 1 else parts
        except (ValueError, ArithmeticError):
            continue
        if parts:
            sheets = _added(made, parts)
            of_page[number] = Drawn(sheets, () if not lit else sheets if whole is parts else _added(made, whole))
    return made, of_page


def _added(made: list[str], parts: tuple[str, ...]) -> tuple[int, ...]:
    first = len(made)
    made.extend(parts)
    return tuple(range(first, len(made)))
