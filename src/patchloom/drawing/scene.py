"""A placed drawing: shapes and lines of text on a sheet, in millimetres from its top left corner.

Comes in: numbers from the layouts (`plan.py`, `diagram.py`, `sheet.py`).  Goes out: frozen `Scene` objects.
Next: `svg.py`, or any other renderer; whoever draws a scene measures and moves nothing.

Every text is horizontal, at least `SMALLEST` points and black or white; its box is known without a renderer.

What a shape or a text shows is its `of`, the ids the page gives, the same on every sheet: `node BOX1`, `edge K1`, or the ids
of things on a plan (several where they share a symbol, both ends of a tie); none for grid, head and legend.  `svg.py` can
write them, so that whoever shows a drawing finds the line of one link or the words of one device again.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import contextmanager
from typing import NamedTuple

import attrs

from patchloom.drawing.metrics import ASCENT, DESCENT, LEAD, MM, clean, width
from patchloom.pages.words import Say, say_in

__all__ = ["SMALLEST", "Box", "Canvas", "Point", "Scene", "Shape", "Text", "moved", "turned"]

SMALLEST = 9.0
"""The smallest type on a drawing, in points at printed size."""

Point = tuple[float, float]


class Box(NamedTuple):
    """A rectangle on the sheet."""

    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def centre(self) -> Point:
        """Return the middle of the box."""
        return ((self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2)

    @property
    def wide(self) -> float:
        """Return the width in millimetres."""
        return self.x1 - self.x0

    @property
    def high(self) -> float:
        """Return the height in millimetres."""
        return self.y1 - self.y0

    def meets(self, other: Box, gap: float = 0.0) -> bool:
        """Return whether two boxes share some area, or come nearer than `gap`."""
        return self.x0 < other.x1 + gap and other.x0 < self.x1 + gap and self.y0 < other.y1 + gap and other.y0 < self.y1 + gap

    def holds(self, point: Point) -> bool:
        """Return whether a point lies in the box."""
        return self.x0 <= point[0] <= self.x1 and self.y0 <= point[1] <= self.y1

    def inside(self, other: Box) -> bool:
        """Return whether this box lies wholly in the other."""
        return self.x0 >= other.x0 and self.y0 >= other.y0 and self.x1 <= other.x1 and self.y1 <= other.y1

    def grown(self, by: float) -> Box:
        """Return the box with `by` more on each side."""
        return Box(self.x0 - by, self.y0 - by, self.x1 + by, self.y1 + by)


class Shape(NamedTuple):
    """One shape: `line` (open), `polygon` (closed), `circle` (one point and a radius), `rect` (two corners) or `code`.

    A code is a square (two corners) so many units wide as its `radius` says, over which `path` is stroked one unit wide.
    """

    kind: str
    points: tuple[Point, ...]
    radius: float = 0.0
    stroke: str = "#000"
    fill: str = "none"
    weight: float = 0.35
    dash: tuple[float, ...] = ()
    of: tuple[str, ...] = ()
    """`node ID`, `edge ID` or ids of things it shows, for whoever lights them up; empty for what is nobody's."""
    path: str = ""
    """Data of an SVG path, in units of its own; of a code only."""

    def box(self) -> Box:
        """Return the box around the shape, without its stroke."""
        xs = [x for x, _ in self.points]
        ys = [y for _, y in self.points]
        more = self.radius if self.kind == "circle" else 0.0
        return Box(min(xs) - more, min(ys) - more, max(xs) + more, max(ys) + more)


class Text(NamedTuple):
    """One line of text with its baseline at `y`; `x` is its start, middle or end by `anchor`."""

    x: float
    y: float
    text: str
    size: float = SMALLEST
    bold: bool = False
    anchor: str = "start"
    colour: str = "#000"
    of: tuple[str, ...] = ()
    """Ids of the nodes, edges or things it speaks of."""

    @property
    def wide(self) -> float:
        """Return the measured width in millimetres."""
        return width(self.text, self.size, self.bold)

    def box(self) -> Box:
        """Return the measured box of the line."""
        wide = self.wide
        left = self.x - {"start": 0.0, "middle": wide / 2, "end": wide}[self.anchor]
        em = self.size * MM
        return Box(left, self.y - ASCENT * em, left + wide, self.y + DESCENT * em)


@attrs.frozen
class Scene:
    """One sheet with everything on it, painted in order."""

    title: str
    about: str
    wide: float
    high: float
    shapes: tuple[Shape, ...]
    texts: tuple[Text, ...]


class Canvas:
    """Collects shapes and texts for one sheet; `scene()` gives the frozen result."""

    def __init__(self, wide: float, high: float, say: Say | None = None) -> None:
        self.wide, self.high = wide, high
        self.say = say or say_in("en")
        self.shapes: list[Shape] = []
        self.texts: list[Text] = []
        self._of: tuple[str, ...] = ()

    @contextmanager
    def showing(self, *of: str) -> Iterator[None]:
        """Say what is shown by what is drawn inside: `node ID`, `edge ID`, or ids of things."""
        before, self._of = self._of, of
        yield
        self._of = before

    def line(self, *points: Point, weight: float = 0.35, dash: tuple[float, ...] = (), stroke: str = "#000") -> None:
        """Draw an open line through the points."""
        self.shapes.append(Shape("line", points, weight=weight, dash=dash, stroke=stroke, of=self._of))

    def polygon(
        self, *points: Point, fill: str = "none", weight: float = 0.35, dash: tuple[float, ...] = (), stroke: str = "#000"
    ) -> None:
        """Draw a closed polygon."""
        self.shapes.append(Shape("polygon", points, fill=fill, weight=weight, dash=dash, stroke=stroke, of=self._of))

    def circle(
        self,
        at: Point,
        radius: float,
        fill: str = "none",
        weight: float = 0.35,
        dash: tuple[float, ...] = (),
        stroke: str = "#000",
    ) -> None:
        """Draw a circle."""
        self.shapes.append(Shape("circle", (at,), radius=radius, fill=fill, weight=weight, dash=dash, stroke=stroke, of=self._of))

    def rect(
        self,
        box: Box,
        radius: float = 0.0,
        fill: str = "none",
        weight: float = 0.35,
        dash: tuple[float, ...] = (),
        stroke: str = "#000",
    ) -> None:
        """Draw a rectangle, with rounded corners where `radius` is above zero."""
        self.shapes.append(
            Shape(
                "rect",
                ((box.x0, box.y0), (box.x1, box.y1)),
                radius=radius,
                fill=fill,
                weight=weight,
                dash=dash,
                stroke=stroke,
                of=self._of,
            )
        )

    def text(
        self,
        x: float,
        y: float,
        words: str,
        size: float = SMALLEST,
        bold: bool = False,
        anchor: str = "start",
        colour: str = "#000",
    ) -> Text:
        """Write one line with its baseline at y and return it."""
        line = Text(x, y, clean(words), size, bold, anchor, colour, self._of)
        if line.text:
            self.texts.append(line)
        return line

    def lines(
        self, x: float, top: float, rows: list[str], size: float = SMALLEST, bold: bool = False, anchor: str = "start"
    ) -> float:
        """Write lines under one another from `top` and return where the next would start."""
        em = size * MM
        for row in rows:
            self.text(x, top + ASCENT * em, row, size, bold, anchor)
            top += LEAD * em
        return top

    def scene(self, title: str, about: str = "") -> Scene:
        """Return the frozen drawing."""
        return Scene(clean(title), clean(about), self.wide, self.high, tuple(self.shapes), tuple(self.texts))


def moved(scene: Scene, x: float, y: float) -> tuple[list[Shape], list[Text]]:
    """Return the shapes and texts of a scene, moved right and down."""
    shapes = [
        Shape(
            row.kind,
            tuple([(px + x, py + y) for px, py in row.points]),
            row.radius,
            row.stroke,
            row.fill,
            row.weight,
            row.dash,
            row.of,
            row.path,
        )
        for row in scene.shapes
    ]
    texts = [Text(row.x + x, row.y + y, row.text, row.size, row.bold, row.anchor, row.colour, row.of) for row in scene.texts]
    return shapes, texts


def turned(points: list[Point], centre: Point, degrees: float) -> list[Point]:
    """Return points turned clockwise on the sheet about a centre."""
    angle = math.radians(degrees)
    cos, sin = math.cos(angle), math.sin(angle)
    return [
        (centre[0] + (x - centre[0]) * cos - (y - centre[1]) * sin, centre[1] + (x - centre[0]) * sin + (y - centre[1]) * cos)
        for x, y in points
    ]
