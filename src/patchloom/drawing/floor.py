"""The floor of a stage drawn to scale: grid, centre line, words at the edges, and the bar that says how long a metre is.

Comes in: a `Plan`, how its metres lie on the sheet, and the boxes for stage and bar.  Goes out: shapes and texts on a canvas.
Next: `plan.py` puts things on it.
"""

from __future__ import annotations

import attrs

from patchloom.drawing.band import ROW
from patchloom.drawing.metrics import wrap
from patchloom.drawing.scene import SMALLEST, Box, Canvas, Point
from patchloom.drawing.zones import edge_words
from patchloom.pages import Options, Plan
from patchloom.pages.words import Say

__all__ = ["View", "bar_high", "draw_bar", "draw_floor"]

FOOT = 0.3048
"""Metres in a foot (international foot, exact)."""

_GRID = {"metres": 1.0, "feet": 4 * FOOT}
"""From line to line of the grid, in metres; four feet is the side of many a deck."""

_BARS = {"metres": (1, 2, 5, 10, 20, 50), "feet": tuple(count * FOOT for count in (4, 8, 20, 40, 80, 160))}
_LEAST = 18.0


@attrs.frozen
class View:
    """How metres become millimetres on the sheet."""

    scale: int
    origin: Point

    def at(self, point: tuple[float, ...]) -> Point:
        """Return the place on the sheet: x positive to stage left is to the right, y positive upstage is up."""
        return (self.origin[0] + point[0] * 1000 / self.scale, self.origin[1] - point[1] * 1000 / self.scale)

    def mm(self, metres: float) -> float:
        """Return a length on the sheet."""
        return metres * 1000 / self.scale


def draw_floor(canvas: Canvas, plan: Plan, view: View, stage: Box, field: Box) -> list[Box]:
    """Draw stage, grid, centre line, sizes and the words at the edges; return the boxes of the words."""
    canvas.rect(stage, fill="#fff", weight=0.2)
    grid = _GRID[plan.units]
    lines = int((plan.width_m or 0) / grid) // 2
    for step in range(-lines, lines + 1):
        x = view.at((step * grid, 0))[0]
        if stage.x0 < x < stage.x1:
            canvas.line((x, stage.y0), (x, stage.y1), weight=0.12, stroke="#aaa")
    for step in range(1, int((plan.depth_m or 0) / grid) + 1):
        y = view.at((0, step * grid))[1]
        if stage.y0 < y < stage.y1:
            canvas.line((stage.x0, y), (stage.x1, y), weight=0.12, stroke="#aaa")
    canvas.rect(stage, weight=0.7)
    x = view.origin[0]
    canvas.line((x, stage.y0 - 2.0), (x, stage.y1 + 2.0), weight=0.3, dash=(4.0, 1.0, 0.8, 1.0))
    words = edge_words(canvas, stage, field, x)
    return [line.grown(0.5) for line in words]


def bar_high(plan: Plan, wide: float, say: Say) -> float:
    """Return the height of a bar with its words, in a width, whatever the scale turns out to be."""
    return 1.9 + len(wrap(_words(plan, max(_BARS[plan.units]), 1000, say), wide - 2.5 * _LEAST - 2.0, SMALLEST)) * ROW


def _words(plan: Plan, bar: float, scale: int, say: Say) -> str:
    length = Options(units=plan.units).length
    return say(
        "{bar} · scale 1:{scale} on paper at full size · grid {grid} · stage {wide} wide, {deep} deep · "
        "measured from the centre of the downstage edge: x to SL, y upstage",
        bar=length(bar),
        scale=scale,
        grid=length(_GRID[plan.units]),
        wide=length(round(plan.width_m or 0, 2)),
        deep=length(round(plan.depth_m or 0, 2)),
    )


def draw_bar(canvas: Canvas, plan: Plan, view: View, area: Box) -> None:
    """Draw a bar of whole metres or feet with the scale and the sizes in words, at the top left of the area."""
    bars = _BARS[plan.units]
    bar = next((metres for metres in bars if view.mm(metres) >= _LEAST), bars[-1])
    x0, y = area.x0, area.y0 + 1.5
    step = view.mm(bar) / 4
    for part in range(4):
        box = Box(x0 + part * step, y, x0 + (part + 1) * step, y + 1.8)
        canvas.rect(box, fill="#000" if part % 2 == 0 else "#fff", weight=0.25)
    left = x0 + 4 * step + 2.0
    canvas.lines(left, y - 1.2, wrap(_words(plan, bar, view.scale, canvas.say), area.x1 - left, SMALLEST))
