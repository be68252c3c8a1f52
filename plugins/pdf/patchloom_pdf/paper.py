"""Sheets of paper, and the room on them.

Comes in: nothing.  Goes out: `Paper`s by the word people give.  Next: `sheets.py` chooses a shape for each page.

The room is that of the smaller paper in each dimension, so that A4 and Letter (and A3 and Tabloid) break their
pages at the same rows.
"""

from __future__ import annotations

import attrs

__all__ = ["MARGIN", "PAPERS", "Paper", "Shape"]

MARGIN = 10.0
"""The least margin, in mm."""


@attrs.frozen
class Shape:
    """A sheet, and the room inside its margins, in mm."""

    wide: float
    high: float
    room_wide: float
    room_high: float


def _shape(sheet: tuple[float, float], other: tuple[float, float]) -> Shape:
    """Return a shape whose room is that of the smaller of two sheets."""
    return Shape(*sheet, min(sheet[0], other[0]) - 2 * MARGIN, min(sheet[1], other[1]) - 2 * MARGIN)


_A4, _LETTER, _A3, _TABLOID = (210.0, 297.0), (215.9, 279.4), (420.0, 297.0), (431.8, 279.4)


@attrs.frozen
class Paper:
    """The sheets a file may use."""

    tall: Shape
    wide: Shape
    large: Shape
    plots_large: bool = False
    """Whether drawings and wide tables go on the large sheet even where the small one would do."""

    @classmethod
    def of(
        cls,
        small: tuple[float, float],
        other: tuple[float, float],
        large: tuple[float, float],
        far: tuple[float, float],
        plots_large: bool,
    ) -> Paper:
        """Return the paper of a small and a large sheet, each with the one it must agree with."""
        return cls(_shape(small, other), _shape(small[::-1], other[::-1]), _shape(large, far), plots_large)


PAPERS = {
    "a4": Paper.of(_A4, _LETTER, _A3, _TABLOID, False),
    "letter": Paper.of(_LETTER, _A4, _TABLOID, _A3, False),
    "a3": Paper.of(_A4, _LETTER, _A3, _TABLOID, True),
    "tabloid": Paper.of(_LETTER, _A4, _TABLOID, _A3, True),
}
