"""The drawings of a book, as large as they need to stay whole, each part saying what it shows.

Comes in: a `Book`.  Goes out: SVG elements, and which page each belongs to.  Next: `document` puts them into the file, the
script lights them.
"""

from __future__ import annotations

from patchloom.drawing import svgs
from patchloom.pages import Book

__all__ = ["ROOM", "drawings"]

ROOM = (420.0, 280.0)
"""Width and height a drawing may take, in mm: a screen can be looked into, so one large drawing beats parts."""


def drawings(book: Book) -> tuple[list[str], dict[int, list[int]]]:
    """Return every drawing, and for the number of each drawn page the numbers of its drawings.

    A page that cannot be drawn has none, and says so where it is shown; the book stays whole.
    """
    made: list[str] = []
    of_page: dict[int, list[int]] = {}
    for number, page in enumerate(book.pages):
        try:
            parts = svgs(page, room=ROOM, marked=True)
        except (ValueError, ArithmeticError):
            continue
        for part in parts:
            of_page.setdefault(number, []).append(len(made))
            made.append(part)
    return made, of_page
