"""The symbols of a stage plan, in simple geometry of our own.

Comes in: a kind, a centre and a size on the sheet in millimetres, a turn in degrees clockwise (0 faces the
audience, down the page).  Goes out: shapes on a canvas, and the box to keep clear.  Next: `plan.py`.

A full outline is the house's gear, a dashed one the act's.  Every symbol also carries a text label elsewhere.
"""

from __future__ import annotations

from collections.abc import Callable

from patchloom.drawing.scene import Box, Canvas, Point, turned

__all__ = ["AREAS", "SYMBOLS", "draw", "named"]

_DASH = (1.4, 0.9)
Draw = Callable[[Canvas, Point, float, float, float, tuple[float, ...]], None]


def _box(at: Point, wide: float, deep: float) -> list[Point]:
    x, y = at
    left, right, top, low = x - wide / 2, x + wide / 2, y - deep / 2, y + deep / 2
    return [(left, top), (right, top), (right, low), (left, low)]


def _area(fill: str, dash: tuple[float, ...] = ()) -> Draw:
    def draw_area(c: Canvas, at: Point, wide: float, deep: float, turn: float, own: tuple[float, ...]) -> None:
        c.polygon(*turned(_box(at, wide, deep), at, turn), fill=fill, dash=own or dash)

    return draw_area


def _obstacle(c: Canvas, at: Point, wide: float, deep: float, turn: float, own: tuple[float, ...]) -> None:
    c.polygon(*turned(_box(at, wide, deep), at, turn), dash=own)
    (x, y), step = at, 2.0
    left, top, right, low = x - wide / 2, y - deep / 2, x + wide / 2, y + deep / 2
    run = step
    while run < wide + deep:
        start = (left + min(run, wide), top + max(run - wide, 0))
        end = (left + max(run - deep, 0), top + min(run, deep))
        if start[0] <= right and end[1] <= low:
            c.line(*turned([start, end], at, turn), weight=0.18)
        run += step


def _stairs(c: Canvas, at: Point, wide: float, deep: float, turn: float, own: tuple[float, ...]) -> None:
    c.polygon(*turned(_box(at, wide, deep), at, turn), dash=own)
    for step in range(1, 5):
        y = at[1] - deep / 2 + deep * step / 5
        c.line(*turned([(at[0] - wide / 2, y), (at[0] + wide / 2, y)], at, turn), weight=0.25)


def _drums(c: Canvas, at: Point, wide: float, deep: float, turn: float, own: tuple[float, ...]) -> None:
    r = min(wide, deep) / 2
    for dx, dy, part in ((0, 0.28, 0.36), (-0.42, -0.02, 0.24), (-0.16, -0.34, 0.2), (0.2, -0.34, 0.2), (0.5, 0.02, 0.27)):
        c.circle(turned([(at[0] + dx * r * 1.5, at[1] + dy * r * 1.6)], at, turn)[0], part * r * 1.15, fill="#fff", dash=own)


def _keys(c: Canvas, at: Point, wide: float, deep: float, turn: float, own: tuple[float, ...]) -> None:
    c.polygon(*turned(_box(at, wide, deep), at, turn), fill="#fff", dash=own)
    x, y = at
    c.line(*turned([(x - wide / 2, y - deep * 0.1), (x + wide / 2, y - deep * 0.1)], at, turn), weight=0.25)
    for part in range(1, 8):
        px = x - wide / 2 + wide * part / 8
        c.line(*turned([(px, y - deep / 2), (px, y - deep * 0.1)], at, turn), weight=0.25)


def _amp(c: Canvas, at: Point, wide: float, deep: float, turn: float, own: tuple[float, ...]) -> None:
    c.polygon(*turned(_box(at, wide, deep), at, turn), fill="#fff", dash=own)
    front = at[1] + deep / 2 + 1.0
    c.line(*turned([(at[0] - wide * 0.3, front), (at[0] + wide * 0.3, front)], at, turn), weight=0.6)


def _instrument(c: Canvas, at: Point, wide: float, deep: float, turn: float, own: tuple[float, ...]) -> None:
    x, y = at
    cut = min(wide, deep) * 0.3
    left, right, top, low = x - wide / 2, x + wide / 2, y - deep / 2, y + deep / 2
    c.polygon(
        *turned(
            [
                (left + cut, top),
                (right - cut, top),
                (right, top + cut),
                (right, low - cut),
                (right - cut, low),
                (left + cut, low),
                (left, low - cut),
                (left, top + cut),
            ],
            at,
            turn,
        ),
        fill="#fff",
        dash=own,
    )


def _performer(c: Canvas, at: Point, wide: float, deep: float, turn: float, own: tuple[float, ...]) -> None:
    r = wide / 2
    c.line(
        *turned(
            [
                (at[0] - r, at[1] + r * 0.2),
                (at[0] - r * 0.75, at[1] - r * 0.55),
                (at[0] + r * 0.75, at[1] - r * 0.55),
                (at[0] + r, at[1] + r * 0.2),
            ],
            at,
            turn,
        ),
        weight=0.5,
    )
    c.circle(at, r * 0.5, fill="#fff", weight=0.5)


def _mic(fill: str) -> Draw:
    def draw_mic(c: Canvas, at: Point, wide: float, deep: float, turn: float, own: tuple[float, ...]) -> None:
        r = wide * 0.32
        c.line(*turned([(at[0] - wide / 2, at[1] + wide / 2), at], at, turn), weight=0.5)
        c.circle(at, r, fill=fill, weight=0.5)

    return draw_mic


def _wedge(c: Canvas, at: Point, wide: float, deep: float, turn: float, own: tuple[float, ...]) -> None:
    x, y = at
    points = [(x - wide / 2, y - deep / 2), (x + wide / 2, y - deep / 2), (x, y + deep / 2)]
    c.polygon(*turned(points, at, turn), fill="#ddd", weight=0.5, dash=own)


def _di(c: Canvas, at: Point, wide: float, deep: float, turn: float, own: tuple[float, ...]) -> None:
    c.polygon(*_box(at, wide, deep), fill="#fff", weight=0.5, dash=own)
    c.line((at[0] - wide / 2, at[1] + deep / 2), (at[0] + wide / 2, at[1] - deep / 2), weight=0.35)


def _playback(c: Canvas, at: Point, wide: float, deep: float, turn: float, own: tuple[float, ...]) -> None:
    c.polygon(*_box(at, wide, deep), fill="#fff", weight=0.5, dash=own)
    x, y = at
    c.polygon((x - wide * 0.2, y - deep * 0.28), (x + wide * 0.28, y), (x - wide * 0.2, y + deep * 0.28), fill="#000", weight=0.1)


def _talkback(c: Canvas, at: Point, wide: float, deep: float, turn: float, own: tuple[float, ...]) -> None:
    c.circle(at, wide / 2, fill="#fff", weight=0.5)
    c.circle(at, wide / 5, fill="#000", weight=0.1)


def _ear(c: Canvas, at: Point, wide: float, deep: float, turn: float, own: tuple[float, ...]) -> None:
    x, y = at
    c.rect(Box(x - wide / 2, y - deep / 2, x + wide / 2, y + deep / 2), radius=deep * 0.35, fill="#fff", weight=0.5, dash=own)
    c.line((x + wide * 0.3, y - deep / 2), (x + wide * 0.3, y - deep), weight=0.5)


def _stage_box(c: Canvas, at: Point, wide: float, deep: float, turn: float, own: tuple[float, ...]) -> None:
    c.polygon(*turned(_box(at, wide, deep), at, turn), fill="#fff", weight=0.8, dash=own)
    c.polygon(*turned(_box(at, wide - 1.6, deep - 1.6), at, turn), weight=0.25)


def _sub_box(c: Canvas, at: Point, wide: float, deep: float, turn: float, own: tuple[float, ...]) -> None:
    c.polygon(*turned(_box(at, wide, deep), at, turn), fill="#fff", weight=0.8, dash=own)


def _desk(c: Canvas, at: Point, wide: float, deep: float, turn: float, own: tuple[float, ...]) -> None:
    c.polygon(*turned(_box(at, wide, deep), at, turn), fill="#fff", weight=0.5, dash=own)
    for part in range(1, 6):
        x = at[0] - wide / 2 + wide * part / 6
        c.line(*turned([(x, at[1] - deep * 0.1), (x, at[1] + deep * 0.35)], at, turn), weight=0.25)


def _power(c: Canvas, at: Point, wide: float, deep: float, turn: float, own: tuple[float, ...]) -> None:
    x, y = at
    c.polygon(*_box(at, wide, deep), fill="#fff3c4", weight=0.6, stroke="#8a0000")
    bolt = [(0.1, -0.42), (-0.25, 0.08), (-0.02, 0.08), (-0.1, 0.42), (0.25, -0.08), (0.02, -0.08)]
    c.polygon(*[(x + dx * wide, y + dy * deep) for dx, dy in bolt], fill="#8a0000", weight=0.1, stroke="#8a0000")


AREAS = ("riser", "walkway")
"""Kinds that are floor: drawn first, other things and text may lie on them."""

SYMBOLS: dict[str, tuple[str, float, float, Draw]] = {
    "riser": ("riser", 20.0, 14.0, _area("#eee")),
    "walkway": ("walkway, keep clear", 16.0, 8.0, _area("#fafafa", (3.0, 1.2))),
    "obstacle": ("obstacle", 7.0, 6.0, _obstacle),
    "stairs": ("access stairs", 7.0, 6.0, _stairs),
    "table": ("table", 9.0, 5.0, _area("#fff")),
    "drums": ("drum kit", 13.0, 12.0, _drums),
    "keys": ("keys", 12.0, 4.5, _keys),
    "amp": ("amp, bar = front", 7.0, 4.5, _amp),
    "instrument": ("instrument", 5.5, 5.5, _instrument),
    "performer": ("performer", 6.5, 5.0, _performer),
    "box": ("stage box, split, multicore", 7.0, 6.0, _stage_box),
    "sub-box": ("sub-box", 6.0, 5.0, _sub_box),
    "desk": ("desk", 8.0, 5.5, _desk),
    "wedge": ("wedge, point = the way it plays", 5.5, 5.0, _wedge),
    "ear": ("ear pack or transmitter", 6.0, 3.8, _ear),
    "mic": ("mic on a cable", 4.2, 4.2, _mic("#000")),
    "radio": ("radio mic", 4.2, 4.2, _mic("#fff")),
    "di": ("DI or line", 3.8, 3.8, _di),
    "playback": ("playback", 4.6, 4.6, _playback),
    "talkback": ("talkback", 4.4, 4.4, _talkback),
    "power": ("power drop requested", 5.6, 5.6, _power),
    "other": ("other", 5.0, 4.0, _area("#fff")),
}
"""Kind to (words of the legend, width, depth in millimetres where the real size is unknown, how to draw it)."""


def named(kind: str) -> str:
    """Return the kind, or `other` when there is no symbol of that name."""
    return kind if kind in SYMBOLS else "other"


def draw(
    canvas: Canvas,
    kind: str,
    at: Point,
    wide: float | None = None,
    deep: float | None = None,
    turn: float = 0.0,
    own: str = "house",
) -> Box:
    """Draw a symbol and return the box to keep clear; sizes absent are the symbol's usual ones."""
    _, usual_wide, usual_deep, how = SYMBOLS[named(kind)]
    first = len(canvas.shapes)
    how(canvas, at, wide or usual_wide, deep or usual_deep, turn, _DASH if own == "act" else ())
    boxes = [shape.box() for shape in canvas.shapes[first:]]
    return Box(min(b.x0 for b in boxes), min(b.y0 for b in boxes), max(b.x1 for b in boxes), max(b.y1 for b in boxes))
