"""Text made inert for HTML.

Comes in: any text.  Goes out: HTML text in which nothing of it is markup, its direction kept to itself.
"""

from __future__ import annotations

from html import escape

from patchloom.pages.files import clean

__all__ = ["attribute", "inert", "plain"]


def plain(text: str) -> str:
    """Return a text escaped, for our own words."""
    return escape(clean(text), quote=True)


def inert(text: str) -> str:
    """Return a text escaped and isolated: its direction is its own and moves no neighbour."""
    return f"<bdi>{plain(text)}</bdi>" if text else ""


def attribute(text: str) -> str:
    """Return a text for an attribute's value, quotes not included."""
    return plain(text)
