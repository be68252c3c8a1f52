"""The band under a drawing: notes and cautions on the left, the legend at the bottom right.

Comes in: texts, and legend rows with the sign to draw.  Goes out: shapes and texts on a canvas, and the band's
height beforehand.  Next: `plan.py` and `diagram.py` lay their drawing above it.
"""

from __future__ import annotations

from collections.abc import Callable

import attrs

from patchloom.drawing.metrics import LEAD, MM, width, wrap
from patchloom.drawing.scene import SMALLEST, Box, Canvas, Point

__all__ = ["ROW", "Band", "Sign"]

ROW = LEAD * SMALLEST * MM
"""Height of one line of the smallest type in millimetres."""

_SIGN = 9.0
_STEP = 5.4
_GAP = 4.0


@attrs.frozen
class Sign:
    """One row of a legend: how to draw the sign about a point, and its words."""

    draw: Callable[[Canvas, Point], None]
    words: str


class Band:
    """Notes and legend set to a width; `high` is known before anything is drawn."""

    def __init__(self, wide: float, texts: list[tuple[str, bool]], signs: list[Sign]) -> None:
        self.wide = wide
        self.signs = signs
        longest = max((width(sign.words, SMALLEST) for sign in signs), default=0.0)
        self.column = _SIGN + min(longest, 52.0) + 3.0
        self.rows = [wrap(sign.words, self.column - _SIGN - 2.0, SMALLEST) for sign in signs]
        self.steps = [max(_STEP, len(rows) * ROW + 1.0) for rows in self.rows]
        choices = [self._set(texts, columns) for columns in (1, 2, 3, 4) if columns <= max(1, len(signs))]
        self.high, self.columns, self.lines = min(choices, key=lambda choice: (choice[0], choice[1]))

    def _set(self, texts: list[tuple[str, bool]], columns: int) -> tuple[float, int, list[tuple[str, bool]]]:
        """Return (height, columns of the legend, wrapped notes) for a number of legend columns."""
        legend = columns * self.column + 4.0 if self.signs else 0.0
        room = self.wide - legend - _GAP
        if room < 50.0:
            return (1e9, columns, [])
        lines = [(line, bold) for words, bold in texts for line in wrap(words, room, SMALLEST, bold)]
        tall = max((sum(steps) for steps in self._parted(columns)), default=0.0) + (ROW + 3.5 if self.signs else 0.0)
        return (max(len(lines) * ROW + 1.0, tall), columns, lines)

    def _parted(self, columns: int) -> list[list[float]]:
        """Return the steps of each legend column, filled downward."""
        each = -(-len(self.steps) // columns)
        return [self.steps[start:start + each] for start in range(0, len(self.steps), each)] if self.steps else []

    def draw(self, canvas: Canvas, x0: float, y0: float) -> Box:
        """Draw the band with its top left corner at a point and return its box."""
        box = Box(x0, y0, x0 + self.wide, y0 + self.high)
        top = y0
        for line, bold in self.lines:
            top = canvas.lines(x0, top, [line], bold=bold)
        if self.signs:
            self._legend(canvas, box)
        return box

    def _legend(self, canvas: Canvas, box: Box) -> None:
        each = -(-len(self.signs) // self.columns)
        tall = max(sum(steps) for steps in self._parted(self.columns)) + ROW + 3.5
        frame = Box(box.x1 - self.columns * self.column - 3.0, box.y1 - tall, box.x1, box.y1)
        canvas.rect(frame, fill="#fff", weight=0.35)
        canvas.lines(frame.x0 + 2.0, frame.y0 + 0.8, ["LEGEND"], bold=True)
        for column in range(self.columns):
            x, y = frame.x0 + 2.0 + column * self.column, frame.y0 + ROW + 2.0
            for index in range(column * each, min((column + 1) * each, len(self.signs))):
                self.signs[index].draw(canvas, (x + _SIGN / 2 - 1.0, y + self.steps[index] / 2))
                top = y + (self.steps[index] - len(self.rows[index]) * ROW) / 2
                canvas.lines(x + _SIGN, top, self.rows[index])
                y += self.steps[index]
