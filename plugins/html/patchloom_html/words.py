"""Text made inert for HTML.

Comes in: any text.  Goes out: HTML text in which nothing of it is markup, its direction kept to itself.
"""

from __future__ import annotations

import re
from html import escape

from patchloom.pages.files import clean

__all__ = ["CELLS", "attribute", "inert", "plain", "quoted", "simple"]

_MOST_KEPT = 20_000
_SIGNS = re.compile("[&<>\"']")


def plain(text: str) -> str:
    """Return a text escaped, for our own words."""
    return escape(clean(text), quote=True)


def inert(text: str) -> str:
    """Return a text escaped, and isolated where its direction could move a neighbour: beyond ASCII."""
    if text.isascii():
        return escape(clean(text), quote=True)
    return f"<bdi>{plain(text)}</bdi>"


def simple(text: str) -> bool:
    """Return whether a text stands in HTML as it is: printable ASCII without a sign of markup."""
    return text.isascii() and text.isprintable() and not _SIGNS.search(text)


def attribute(text: str) -> str:
    """Return a text for an attribute's value, quotes not included."""
    return plain(text)


def quoted(text: str) -> str:
    """Return a text as a string of CSS in which nothing is markup, in a style element as well."""
    return '"' + "".join(sign if sign.isalnum() or sign == " " else f"\\{ord(sign):x} " for sign in clean(text)) + '"'


class _Cells(dict[str, str]):
    """Cells of a table as HTML, by their text; made when first asked for, a few thousand kept."""

    def __missing__(self, text: str) -> str:
        if len(self) > _MOST_KEPT:
            self.clear()
        made = self[text] = f"<td>{text if simple(text) else inert(text)}</td>"
        return made


CELLS = _Cells()
