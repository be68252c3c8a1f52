"""Drawings as SVG files, one a sheet, with title, stamp and everything that must be printed on them.

Comes in: a `Book`.  Goes out: one `Artifact` for each sheet of each drawn page (plans and diagrams).  Next: a
browser, a print shop, any program that takes SVG.

Tables and checklists are no drawings: they come as HTML, CSV or text, and give nothing here.  Each file says the
paper it is to be printed on, at full size.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import attrs

from patchloom.collector import at_rest
from patchloom.drawing import svgs
from patchloom.pages import Artifact, say_in
from patchloom.pages.files import file_names

__all__ = ["render"]


def render(book: Any, options: Any = None) -> Iterator[Artifact]:
    """Yield the SVG of every sheet of every drawn page of a book, in its order.  There are no `options`."""
    for index, (name, page) in enumerate(file_names(book)):
        if page.kind not in ("plan", "diagram"):
            continue
        told = attrs.evolve(page, remarks=(*book.faults, *page.remarks))
        with at_rest():
            sheets = svgs(told, stamp=book.stamp, number=_number(page, index + 1, len(book.pages)))
        for number, text in enumerate(sheets):
            part = f"-{number + 1}" if len(sheets) > 1 else ""
            yield Artifact(f"{name}{part}.svg", "image/svg+xml; charset=utf-8", text.encode("utf-8"))


def _number(page: Any, number: int, count: int) -> str:
    """Return which page of the book it is, in the page's language."""
    return say_in(page.language)("page {number} of {count}", number=number, count=count)
