"""Pages as XLSX workbooks: real tables, with frozen heads, widths and filters, in cells a spreadsheet leaves alone.

Comes in: a `Book` and options.  Goes out: `Artifact`s: one workbook for each position, one for what is everybody's,
one with the whole book.  Next: any spreadsheet.

Needs the extra `papers`.  A sheet holds one table.  A text is a text, whatever it looks like: nothing becomes a formula, a
link, a date or another number (`=1+1`, `9/10`, `01`), and typing over it does not either; only whole numbers in a column
of numbers are numbers, so that they sort.  The same book gives the same bytes: the workbook says no time of making.

- `names`: names of sheets; `sheet`: one table on a sheet; `looks`: formats

Options: `files`, any of `positions`, `shared`, `book` (default: all three); `paper`, `a4` (default) or `letter`, for printing.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import Any

from patchloom.pages import Artifact, Book, Page
from patchloom.pages.extra import chosen, needed, one_of
from patchloom.pages.files import clean, file_stem
from patchloom_xlsx.looks import Looks
from patchloom_xlsx.names import Names
from patchloom_xlsx.sheet import write

__all__ = ["render"]

_FILES = ("positions", "shared", "book")
_MEDIA = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
_PAPERS = {"a4": 9, "letter": 1}


_NO_TIME = datetime(1980, 1, 1)
"""The time a workbook says it was made at, where the format asks for one: the earliest its zip can say."""


def render(book: Book, options: Mapping[str, Any] | None = None) -> Iterator[Artifact]:
    """Yield the workbooks of a book.  Raises PluginError for an unknown option, or where xlsxwriter is not installed."""
    choice = chosen(options, {"files": _FILES, "paper": "a4"}, "xlsx")
    wanted = (choice["files"],) if isinstance(choice["files"], str) else tuple(choice["files"])
    for word in wanted:
        one_of(word, _FILES, "xlsx: files")
    paper = _PAPERS[one_of(choice["paper"], _PAPERS, "xlsx: paper")]
    library = needed("xlsxwriter", "xlsx")
    taken = {"book", "stage"}
    if "book" in wanted:
        yield _workbook(library, "book", book, book.pages, paper)
    shared = tuple(page for page in book.pages if not page.position)
    if "shared" in wanted and shared:
        yield _workbook(library, "stage", book, shared, paper)
    for position in dict.fromkeys(page.position for page in book.pages if page.position) if "positions" in wanted else ():
        stem = file_stem(position)
        while stem.lower() in taken:
            stem += "-"
        taken.add(stem.lower())
        yield _workbook(library, stem, book, book.of(position=position).pages, paper)


def _workbook(library: Any, stem: str, book: Book, pages: Sequence[Page], paper: int) -> Artifact:
    out = io.BytesIO()
    made = library.Workbook(
        out,
        {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False},
    )
    show = clean(book.stamp.show) if book.stamp is not None else ""
    made.set_properties({"title": f"{show} papers".strip()[:255], "created": _NO_TIME})
    looks, names = Looks(made), Names()
    for page in pages:
        write(made, looks, names, book, page, paper)
    if not pages:
        made.add_worksheet("Nothing")
    made.close()
    return Artifact(f"{stem}.xlsx", _MEDIA, out.getvalue())
