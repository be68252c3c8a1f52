"""Pages as PDF: A4 or US Letter from one layout, larger sheets for what needs them, set by typst in fonts brought along.

Comes in: a `Book` and options.  Goes out: `Artifact`s of `application/pdf`: one file for each position, one for what
is everybody's, one with the whole book.  Next: a printer, a tablet.

Needs the extra `papers`.  Nothing is fetched, no clock is read: the same book gives the same bytes.  Letters that the
fonts brought along lack (East Asian ones, say) are set in a font of this machine that has them; where none has, the
paper names the script and shows a box for each letter.

- `paper`: sheets and their room; `words`: text made inert for typst; `letters`: which letters can be printed
- `columns`: widths of columns; `grid`: tables; `checklist`: steps; `head`: the stamp with its code
- `sheets`: a page as typst source; `document`: a whole file

Options: `files`, any of `positions`, `shared`, `book` (default: all three); `paper`, `a4` (default), `letter`, or `a3` and
`tabloid`: lists on A4 or Letter, plots and wide tables on A3 or Tabloid; `fonts`, a folder with more fonts, or `shipped`
for the fonts brought along and no others, whatever machine it is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from patchloom.errors import PluginError
from patchloom.pages import Artifact, Book, Page
from patchloom.pages.extra import chosen, needed, one_of
from patchloom.pages.files import file_stem
from patchloom_pdf.document import Setter
from patchloom_pdf.paper import PAPERS

__all__ = ["render"]

_FILES = ("positions", "shared", "book")
_DEFAULTS = {"files": _FILES, "paper": "a4", "fonts": ""}


def render(book: Book, options: Mapping[str, Any] | None = None) -> Iterator[Artifact]:
    """Yield the PDF files of a book.  Raises PluginError for an unknown option, or where typst is not installed."""
    choice = chosen(options, _DEFAULTS, "pdf")
    wanted = (choice["files"],) if isinstance(choice["files"], str) else tuple(choice["files"])
    for word in wanted:
        one_of(word, _FILES, "pdf: files")
    paper = PAPERS[one_of(choice["paper"], PAPERS, "pdf: paper")]
    typst = needed("typst", "pdf")
    setter = Setter(typst, book, paper, str(choice["fonts"]))
    for stem, pages in _files(book, wanted):
        try:
            yield Artifact(f"{stem}.pdf", "application/pdf", setter.pdf(pages))
        except typst.TypstError as problem:
            raise PluginError(f"pdf: {stem}.pdf could not be set: {problem.message}") from problem


def _files(book: Book, wanted: tuple[str, ...]) -> Iterator[tuple[str, tuple[Page, ...]]]:
    """Yield the stem and the pages of each file."""
    taken = {"book", "stage"}
    if "book" in wanted:
        yield "book", book.pages
    shared = tuple(page for page in book.pages if not page.position)
    if "shared" in wanted and shared:
        yield "stage", shared
    for position in dict.fromkeys(page.position for page in book.pages if page.position) if "positions" in wanted else ():
        stem = file_stem(position)
        while stem.lower() in taken:
            stem += "-"
        taken.add(stem.lower())
        yield stem, book.of(position=position).pages
