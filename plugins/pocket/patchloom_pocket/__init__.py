"""The pocket book: one HTML file with the whole book in it, for a phone, a tablet or a laptop, without network or server.

Comes in: a `Book` with its paths, and options.  Goes out: one `Artifact` of `text/html`.  Next: a browser, anywhere.

A reader picks a position and sees its list, finds a source at every desk, presses a line and sees its way hop by hop, in
the signal diagram and on the stage plot; ticks and notes of a line check stay on the device, go out as a file and are
merged; any paper is printed from it.

The file runs our own script and nothing else: a policy in it names script and style by their digest and forbids all that
loads or connects.  What rig and show say is data in a block no browser runs, and comes onto the page as text only.

- `data`: the book as data; `drawings`: its drawings, parts of them marked; `document`: the file and its policy
- `shell.html`, `style/`, `script/`: what the file is made of, as files to be read and changed
- `script/book.js` is where a newcomer starts

Options: `name`, the file's name without its ending (default `pocket`); `theme`, `dark` or `daylight`, what it opens in where
a reader has chosen nothing (default: what the device prefers).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from patchloom.pages import Artifact, Book
from patchloom.pages.extra import chosen, one_of
from patchloom.pages.files import file_stem
from patchloom_pocket.document import document

__all__ = ["render"]

_DEFAULTS = {"name": "pocket", "theme": ""}


def render(book: Book, options: Mapping[str, Any] | None = None) -> Iterator[Artifact]:
    """Yield the pocket book's file.  Raises PluginError for an option it does not have, or a theme there is not."""
    given = chosen(options, _DEFAULTS, "pocket")
    theme = one_of(given["theme"], ("", "dark", "daylight"), "pocket: theme")
    text = document(book, theme)
    yield Artifact(f"{file_stem(str(given['name']))}.html", "text/html; charset=utf-8", text.encode("utf-8"))
