"""The band under a drawing: notes and cautions on the left, the legend at the bottom right.

Comes in: texts, and legend rows with the sign to draw.  Goes out: shapes and texts on a canvas, and the band's
height beforehand.  Next: `plan.py` and `diagram.py` lay their drawing above it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import attrs

from patchloom.drawing.metrics import LEAD, MM, width, wrap
from patchloom.drawing.scene import SMALLEST, Box, Canvas, Point
from patchloom.pages import Page, say_in

__all__ = ["ROW", "Band", "Lines", "Sign", "said"]

ROW = LEAD * SMALLEST * MM
"""Height of one line of the smallest type in millimetres."""

_SIGN = 9.0
_STEP = 5.4
_GAP = 4.0
Lines = list[tuple[str, bool]]


@attrs.frozen
class Sign:
    """One row of a legend: how to draw the sign about a point, and its words."""

    draw: Callable[[Canvas, Point], None]
    words: str


def said(page: Page) -> Lines:
    """Return the words under a drawing: notes, cautions, then what the checks and the solver have to say."""
    say = say_in(page.language)
    cautions = [(f"{say('Take care.')} " if index == 0 else "") + row.text for index, row in enumerate(page.cautions)]
    return [
        *((note, False) for note in page.notes),
        *((words, True) for words in cautions),
        *((f"{say(row.kind).upper()} {row.text}", row.kind in ("stop", "safety")) for row in page.remarks),
    ]


def _columns(texts: list[Lines], count: int) -> list[Lines]:
    """Return wrapped texts in columns as low as can be, none broken across columns."""
    total = sum(len(text) for text in texts)
    for goal in range(-(-total // count), total + 1):
        parts: list[Lines] = [[]]
        for text in texts:
            if parts[-1] and len(parts[-1]) + len(text) > goal:
                parts.append([])
            parts[-1].extend(text)
        if len(parts) <= count and all(len(part) <= goal for part in parts):
            return parts
    return [[line for text in texts for line in text]]


class Band:
    """Notes and legend set to a width; `high` is known before anything is drawn."""

    def __init__(self, wide: float, texts: list[tuple[str, bool]], signs: list[Sign], stacked: bool = False) -> None:
        self.wide = wide
        self.stacked = stacked
        """Whether the legend stands under the words, not beside them."""
        self.text_wide = wide
        self.signs = signs
        longest = max((width(sign.words, SMALLEST) for sign in signs), default=0.0)
        self.column = _SIGN + min(longest, 52.0) + 3.0
        self.rows = [wrap(sign.words, self.column - _SIGN - 2.0, SMALLEST) for sign in signs]
        self.steps = [max(_STEP, len(rows) * ROW + 1.0) for rows in self.rows]
        if stacked:
            self.high, self.columns, self.parts, self.text_wide = self._under(texts)
            return
        choices = [choice for columns in (1, 2, 3, 4) if columns <= max(1, len(signs)) for choice in self._set(texts, columns)]
        best = min(choices, key=lambda choice: (choice[0], choice[1], len(choice[2])))
        self.high, self.columns, self.parts, self.text_wide = best

    def _under(self, texts: list[tuple[str, bool]]) -> tuple[float, int, list[Lines], float]:
        """Return (height, columns of the legend, the wrapped notes, their width) with the legend under the notes."""
        rows = [(line, bold) for words, bold in texts for line in wrap(words, self.wide, SMALLEST, bold)]
        columns = max(1, min(len(self.signs), int((self.wide - 3.0) / self.column)))
        return len(rows) * ROW + 1.0 + self._tall(columns), columns, [rows], self.wide

    def _tall(self, columns: int) -> float:
        """Return the height of the legend in so many columns."""
        return max((sum(steps) for steps in self._parted(columns)), default=0.0) + (ROW + 3.5 if self.signs else 0.0)

    def _set(self, texts: list[tuple[str, bool]], columns: int) -> Iterator[tuple[float, int, list[Lines], float]]:
        """Yield (height, columns of the legend, columns of wrapped notes, their width) for a number of legend columns."""
        legend = columns * self.column + 4.0 if self.signs else 0.0
        room = self.wide - legend - _GAP
        tall = self._tall(columns)
        if not texts and (room >= 0 or columns == 1):
            yield (tall, columns, [], self.wide)
        for count in (1, 2, 3):
            wide = (room - (count - 1) * _GAP) / count
            if texts and (wide >= 60.0 or (count == 1 and columns == 1)):
                rows = [[(line, bold) for line in wrap(words, max(wide, 30.0), SMALLEST, bold)] for words, bold in texts]
                parts = _columns(rows, count)
                yield (max(max(len(part) for part in parts) * ROW + 1.0, tall), columns, parts, wide)

    def _parted(self, columns: int) -> list[list[float]]:
        """Return the steps of each legend column, filled downward."""
        each = -(-len(self.steps) // columns)
        return [self.steps[start : start + each] for start in range(0, len(self.steps), each)] if self.steps else []

    def draw(self, canvas: Canvas, x0: float, y0: float) -> Box:
        """Draw the band with its top left corner at a point and return its box."""
        box = Box(x0, y0, x0 + self.wide, y0 + self.high)
        for index, part in enumerate(self.parts):
            top = y0
            for line, bold in part:
                top = canvas.lines(x0 + index * (self.text_wide + _GAP), top, [line], bold=bold)
        if self.signs:
            self._legend(canvas, box)
        return box

    def _legend(self, canvas: Canvas, box: Box) -> None:
        each = -(-len(self.signs) // self.columns)
        tall = self._tall(self.columns)
        frame = Box(box.x1 - self.columns * self.column - 3.0, box.y1 - tall, box.x1, box.y1)
        canvas.rect(frame, fill="#fff", weight=0.35)
        canvas.lines(frame.x0 + 2.0, frame.y0 + 0.8, [canvas.say("LEGEND")], bold=True)
        for column in range(self.columns):
            x, y = frame.x0 + 2.0 + column * self.column, frame.y0 + ROW + 2.0
            for index in range(column * each, min((column + 1) * each, len(self.signs))):
                self.signs[index].draw(canvas, (x + _SIGN / 2 - 1.0, y + self.steps[index] / 2))
                top = y + (self.steps[index] - len(self.rows[index]) * ROW) / 2
                canvas.lines(x + _SIGN, top, self.rows[index])
                y += self.steps[index]
