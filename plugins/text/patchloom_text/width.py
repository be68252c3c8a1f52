"""Width of text in columns of a terminal.

Comes in: text.  Goes out: numbers, text cut or padded to a width.  Next: the renderer.

Source of the classes: Unicode Standard Annex 11 (East Asian Width), as in Python's `unicodedata`.
"""

from __future__ import annotations

import unicodedata

__all__ = ["cut", "isolated", "padded", "wide", "wrapped"]

_RTL = ("R", "AL", "AN")


def wide(text: str) -> int:
    """Return the columns a text takes: two for wide and full-width characters, none for combining ones."""
    if text.isascii():
        return len(text)
    return sum(_columns(sign) for sign in text)


def _columns(sign: str) -> int:
    if unicodedata.combining(sign) or unicodedata.category(sign) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(sign) in ("W", "F") else 1


def cut(text: str, width: int) -> str:
    """Return a text of at most `width` columns, an ellipsis at its end where something was cut."""
    if wide(text) <= width:
        return text
    kept, used = [], 0
    for sign in text:
        used += _columns(sign)
        if used > width - 1:
            break
        kept.append(sign)
    return "".join(kept) + "\u2026"


def padded(text: str, width: int, right: bool = False) -> str:
    """Return a text filled with spaces to a width, at its end or (`right`) before it."""
    space = " " * (width - wide(text))
    return space + text if right else text + space


def isolated(cell: str, text: str) -> str:
    """Return a cell between isolation marks where its text runs right to left, so that its neighbours keep their places."""
    if not text.isascii() and any(unicodedata.bidirectional(sign) in _RTL for sign in text):
        return f"\u2068{cell}\u2069"
    return cell


def wrapped(text: str, width: int) -> list[str]:
    """Return a text in lines of at most `width` columns, broken at spaces where it can be; its indent is kept."""
    indent = text[: len(text) - len(text.lstrip(" "))]
    lines, line = [], indent
    for word in text.split():
        if line.strip() and wide(line) + 1 + wide(word) > width:
            lines.append(line)
            line = indent
        line = f"{line} {word}" if line.strip() else f"{indent}{word}"
    return [*lines, line]
