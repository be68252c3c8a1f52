"""Width of text in the type of the papers, in mm, never less than a browser needs.

Comes in: text and a size.  Goes out: widths, wrapped lines.  Next: everything here that counts lines.

The papers bring their font along (`drawing.fonts.web`) for the letters of Western and Central Europe; any other letter is set
in a font of the machine and counted as wide as the widest of those asked for.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from patchloom.drawing import fonts, metrics

__all__ = ["width", "widths", "wrap"]

_SLACK, _FOREIGN = 1.012, 1.03  # a browser rounds; a line must not break where the measure said it fits


class _Advances(dict[str, float]):
    """Advance of each letter in mm at one point, worked out when it is first asked for."""

    def __init__(self, bold: bool) -> None:
        super().__init__()
        self.bold = bold

    def __missing__(self, letter: str) -> float:
        if fonts.in_web(letter):
            wide = fonts.width(letter, 1.0, self.bold) * _SLACK
        else:
            wide = metrics.width(letter, 1.0, self.bold) * _FOREIGN
        self[letter] = wide
        return wide


_REGULAR, _BOLD = _Advances(False), _Advances(True)


@lru_cache(maxsize=65536)
def width(text: str, points: float, bold: bool = False) -> float:
    """Return the width of one line in mm."""
    return sum(map((_BOLD if bold else _REGULAR).__getitem__, text)) * points


def widths(texts: Iterable[str], points: float, bold: bool = False) -> dict[str, float]:
    """Return the widths of lines in mm, by text."""
    advance = (_BOLD if bold else _REGULAR).__getitem__
    return {text: sum(map(advance, text)) * points for text in texts}


@lru_cache(maxsize=65536)
def wrap(text: str, most: float, points: float, bold: bool = False) -> tuple[str, ...]:
    """Return the lines of a text no wider than `most` mm: broken at spaces, inside a word only where it must be."""
    if width(text, points, bold) <= most:
        return (text,)
    advances = _BOLD if bold else _REGULAR
    return metrics.broken(text, most / points, advances)
