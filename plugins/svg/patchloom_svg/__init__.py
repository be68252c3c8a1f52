"""Drawings as SVG files, one a sheet, with title, stamp and everything that must be printed on them.

Comes in: a `Book`.  Goes out: one `Artifact` for each sheet of each drawn page (plans and diagrams).

Tables and checklists are no drawings; they come as HTML, CSV or text.  A book without a drawn page gives nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

from patchloom.drawing import svgs
from patchloom.pages import Artifact

__all__ = ["render"]


def render(book: Any, options: Any = None) -> Iterator[Artifact]:
    """Yield the SVG of every sheet of every drawn page of a book, named for paper, subject and act.  `options` has none."""
    used: dict[str, int] = {}
    drawn = [page for page in book.pages if page.kind in ("plan", "diagram")]
    for index, page in enumerate(drawn):
        sheets = svgs(page, stamp=book.stamp, number=f"drawing {index + 1} of {len(drawn)}")
        name = _name((page.paper or page.title, page.subject, page.period), used)
        for number, text in enumerate(sheets):
            part = f"-{number + 1}" if len(sheets) > 1 else ""
            yield Artifact(f"{name}{part}.svg", "image/svg+xml; charset=utf-8", text.encode("utf-8"))


def _name(words: Iterable[str], used: dict[str, int]) -> str:
    """Return a file name of plain letters, numbered where it was given before."""
    name = "-".join(re.sub(r"[^A-Za-z0-9]+", "-", word).strip("-").lower() for word in words if word) or "drawing"
    used[name] = used.get(name, 0) + 1
    return name if used[name] == 1 else f"{name}-{used[name]}"
