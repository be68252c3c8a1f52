"""Pages as HTML: self-contained files that print on A4 and on Letter without rescaling, and work offline.

Comes in: a `Book` and options.  Goes out: `Artifact`s of `text/html`: one file for each position, one for what
is everybody's, one with the whole book.  Next: a browser, a printer.

A file holds its style and its drawings; it has no script, loads nothing, and a content security policy says so.
Every text from rig or show is escaped and isolated, so that right-to-left and East Asian names come out right.

- `style`: the look, in one place; `words`: escaping; `grid`: tables, measured; `steps`: checklists, measured
- `deal`: pieces onto sheets; `head`: the stamp; `sheets`: a page as sheets

Options: `files`, any of `positions`, `shared`, `book` (default: all three).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from patchloom.collector import at_rest
from patchloom.errors import PluginError
from patchloom.pages import Artifact, Book
from patchloom.pages.files import file_stem
from patchloom_html.document import document
from patchloom_html.sheets import MadePage, made_page

__all__ = ["render"]

_FILES = ("positions", "shared", "book")


def render(book: Book, options: Mapping[str, Any] | None = None) -> Iterator[Artifact]:
    """Yield the HTML files of a book.  Raises PluginError for an unknown choice of files."""
    chosen = (options or {}).get("files", _FILES)
    chosen = (chosen,) if isinstance(chosen, str) else tuple(chosen)
    unknown = [word for word in chosen if word not in _FILES]
    if unknown:
        raise PluginError(f"html: no such choice of files: {', '.join(map(str, unknown))}; there are {', '.join(_FILES)}")
    with at_rest():
        # All pieces of the pages are gone again before the collector looks: it finds a few files and nothing else.
        files = _files(book, chosen)
    yield from files


def _files(book: Book, chosen: Sequence[str]) -> list[Artifact]:
    """Return the files chosen: the whole book, what is everybody's, one for each position."""
    made = [made_page(book, page, f"p{number}") for number, page in enumerate(book.pages, 1)]
    files: list[Artifact] = []
    taken = {"book", "stage"}
    if "book" in chosen:
        files.append(_file("book", book, made))
    shared = [each for each in made if not each.page.position]
    if "shared" in chosen and shared:
        files.append(_file("stage", book, shared))
    for position in dict.fromkeys(page.position for page in book.pages if page.position) if "positions" in chosen else ():
        stem = file_stem(position)
        while stem.lower() in taken:
            stem += "-"
        taken.add(stem.lower())
        files.append(_file(stem, book, [each for each in made if each.page.position == position]))
    return files


def _file(stem: str, book: Book, made: Sequence[MadePage]) -> Artifact:
    return Artifact(f"{stem}.html", "text/html; charset=utf-8", document(book, made).encode("utf-8"))
