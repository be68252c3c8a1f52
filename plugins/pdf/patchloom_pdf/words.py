"""Text made inert for typst.

Comes in: any text.  Goes out: a typst string in which nothing is markup or code.  Next: everything that writes source.

A string of typst knows two signs of its own, `\\` and `"`; all else in it is text: `<`, `&`, `#`, `*`, `_`, `$`, `@`.
"""

from __future__ import annotations

from collections.abc import Callable

from patchloom.drawing import fonts
from patchloom.pages.files import clean

__all__ = ["BREAK", "Words", "mm"]

BREAK = "\u200b"
"""A place where a word may break and nothing is printed."""

_BOX = "\u25a1"


def mm(value: float) -> str:
    """Return a length as typst says it."""
    return f"{value:.2f}".rstrip("0").rstrip(".") + "mm"


class Words:
    """Text as strings of typst, letters that cannot be printed turned into boxes."""

    def __init__(self, lost: frozenset[str] = frozenset()) -> None:
        self._lost = dict.fromkeys(map(ord, sorted(lost)), _BOX)
        self._kept: dict[str, str] = {}

    def said(self, text: str) -> str:
        """Return a text as it will be printed."""
        done = self._kept.get(text)
        if done is None:
            done = clean(text)
            if self._lost and not done.isascii():
                done = done.translate(self._lost)
            self._kept[text] = done
        return done

    def quoted(self, text: str) -> str:
        """Return a text as a string of typst."""
        return self.raw(self.said(text))

    @staticmethod
    def raw(text: str) -> str:
        """Return a text that is clean already as a string of typst."""
        return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'

    def fitted(self, text: str, room: float, points: float, bold: bool) -> str:
        """Return a text as a string of typst, its words allowed to break where one is wider than the room."""
        words = self.said(text)
        if fonts.width(words, points, bold) <= room:
            return self.raw(words)
        return self.raw(" ".join(_broken(word, room, points, bold) for word in words.split(" ")))


def _broken(word: str, room: float, points: float, bold: bool, width: Callable[..., float] = fonts.width) -> str:
    """Return a word with places to break, at least one a line of `room` mm."""
    if width(word, points, bold) <= room:
        return word
    parts, line, used = [], "", 0.0
    for sign in word:
        more = width(sign, points, bold)
        if line and used + more > room * 0.97:
            parts.append(line)
            line, used = "", 0.0
        line += sign
        used += more
    return BREAK.join((*parts, line))
