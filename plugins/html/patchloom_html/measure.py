"""Width of text in the type of the papers, in mm, never less than a browser needs.

Comes in: text and a size.  Goes out: widths, wrapped lines.  Next: everything here that counts lines.

The papers bring their font along (`drawing.fonts.web`) for the letters of Western and Central Europe; any other letter is set
in a font of the machine and counted as wide as the widest of those asked for.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from patchloom.drawing import fonts, metrics

__all__ = ["advances", "width", "wrap"]

_MOST_KEPT = 65_536
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


class _Lines(dict[str, float]):
    """Widths of lines in mm at one point, worked out when they are first asked for; a good many kept."""

    def __init__(self, advance: Mapping[str, float]) -> None:
        super().__init__()
        self.advance = advance

    def __missing__(self, text: str) -> float:
        if len(self) > _MOST_KEPT:
            self.clear()
        wide = self[text] = sum(map(self.advance.__getitem__, text))
        return wide


_LINES = (_Lines(_REGULAR), _Lines(_BOLD))


def advances(bold: bool) -> Mapping[str, float]:
    """Return the widths of lines in mm at one point, by text."""
    return _LINES[bold]


def width(text: str, points: float, bold: bool = False) -> float:
    """Return the width of one line in mm."""
    return _LINES[bold][text] * points


@lru_cache(maxsize=65536)
def wrap(text: str, most: float, points: float, bold: bool = False) -> tuple[str, ...]:
    """Return the lines of a text no wider than `most` mm: broken at spaces, inside a word only where it must be."""
    if width(text, points, bold) <= most:
        return (text,)
    advances = _BOLD if bold else _REGULAR
    return metrics.broken(text, most / points, advances)
