"""Width of text in the type of the papers, in mm, never less than a browser needs.

Comes in: text and a size.  Goes out: widths, wrapped lines.  Next: everything here that counts lines.

The papers are set in a condensed cut, nine tenths as wide as the font whose widths are on file, or in fonts no
wider; text with other letters than those of Europe is counted at the full width, because its font is not condensed.
"""

from __future__ import annotations

from functools import lru_cache

from patchloom.drawing import metrics

__all__ = ["width", "wrap"]

_CONDENSED, _SLACK = 0.9, 1.03  # a browser rounds; a line must not break where the measure said it fits
_LAST = 0x0530  # Latin, Greek, Cyrillic lie below


def _share(text: str) -> float:
    return (
        _CONDENSED * _SLACK
        if text.isascii() or all(ord(sign) < _LAST or sign in "\u2013\u2212\u2190\u2192\u201c\u201d" for sign in text)
        else _SLACK
    )


@lru_cache(maxsize=65536)
def width(text: str, points: float, bold: bool = False) -> float:
    """Return the width of one line in mm."""
    return metrics.width(text, points, bold) * _share(text)


@lru_cache(maxsize=65536)
def wrap(text: str, most: float, points: float, bold: bool = False) -> tuple[str, ...]:
    """Return the lines of a text no wider than `most` mm."""
    if width(text, points, bold) <= most:
        return (text,)
    return tuple(metrics.wrap(text, most / _share(text), points, bold))
