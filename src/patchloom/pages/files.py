"""Names of files for pages, and text without what no paper can print.

Comes in: ids and names, hostile ones too.  Goes out: file names, clean text.  Next: renderer plugins.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator

from patchloom.pages.page import Book, Page

__all__ = ["clean", "file_names", "file_stem"]

_RESERVED = {"con", "prn", "aux", "nul", *(f"com{n}" for n in range(10)), *(f"lpt{n}" for n in range(10))}
_OTHER = re.compile("[^A-Za-z0-9_-]")
_KEPT = "\u200c\u200d\u2068\u2069"  # joiners that Persian, Indic scripts and compound signs need; isolation of a name


def clean(text: str) -> str:
    """Return a text on one line: control characters, surrogates and direction overrides gone or turned into spaces."""
    return text if text.isprintable() else text.translate(_PRINTED)  # what is printable has nothing of these


class _Printed(dict[int, str]):
    """What stands for each sign on paper, found out when it is first asked for."""

    def __missing__(self, code: int) -> str:
        sign = chr(code)
        kind = unicodedata.category(sign)
        if kind in ("Cc", "Zl", "Zp"):
            kept = " "
        elif kind == "Cs":
            kept = "\ufffd"
        else:
            kept = "" if kind == "Cf" and sign not in _KEPT else sign
        self[code] = kept
        return kept


_PRINTED = _Printed()


def file_stem(text: str) -> str:
    """Return a text as a file name without its ending: letters, digits, `-` and `_`, never empty, never a device's name."""
    stem = _OTHER.sub("-", text).strip("-")[:80] or "page"
    return f"{stem}-" if stem.lower() in _RESERVED else stem


def file_names(book: Book) -> Iterator[tuple[str, Page]]:
    """Yield each page with a file name of its own, without ending: `input-list-foh`, the act after it where there are several."""
    acts = {page.period for page in book.pages}
    taken: set[str] = set()
    for page in book.pages:
        parts = (page.paper or page.title.lower(), page.subject, page.period if len(acts) > 1 else "")
        stem = "-".join(file_stem(part) for part in parts if part)
        name, count = stem, 2
        while name.lower() in taken:
            name, count = f"{stem}-{count}", count + 1
        taken.add(name.lower())
        yield name, page
