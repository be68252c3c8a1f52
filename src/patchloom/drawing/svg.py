"""SVG text of a placed drawing.

Comes in: a `Scene`.  Goes out: one `<svg>` element as text, the same bytes for the same scene, no ids (so that many
drawings can stand in one HTML page), no scripts, no style, no links out.  Next: the SVG and HTML renderers.

Written as text, not as a tree: every word that comes from a page goes through `_inert`, and nothing else does.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator
from html import escape
from itertools import groupby
from typing import Any

from patchloom.drawing.metrics import FONTS, MM, is_rtl
from patchloom.drawing.scene import Scene, Shape, Text

__all__ = ["scene_svg"]


def scene_svg(scene: Scene, *, inline: bool = False, family: str = FONTS, marked: bool = False) -> str:
    """Return the SVG text of a scene.

    `inline` leaves out the XML declaration, for embedding in HTML; the element is the same.
    `family` names the fonts, the measured one or one no wider.  Where `marked`, what shows a node, an edge or a thing stands
    in a group whose `data-of` is the JSON list of its ids (`Shape.of`), so that a script can light it.
    """
    wide, high = _number(scene.wide), _number(scene.high)
    parts = [
        "" if inline else '<?xml version="1.0" encoding="UTF-8"?>\n',
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" role="img" width="{wide}mm" height="{high}mm" '
        f'viewBox="0 0 {wide} {high}" font-family="{_inert(family)}">\n <title>{_inert(scene.title)}</title>',
        f"\n <desc>{_inert(scene.about)}</desc>" if scene.about else "",
        f'\n <rect width="{wide}" height="{high}" fill="#fff" />',
        *_grouped(scene.shapes, _shape, marked),
        *_grouped(scene.texts, _text, marked),
        "\n</svg>",
        "" if inline else "\n",
    ]
    return "".join(parts)


def _inert(words: str) -> str:
    """Return words in which nothing is markup; texts of a scene are free of what no XML may hold already."""
    return escape(words, quote=True)


class _Numbers(dict[float, str]):
    """Numbers with at most two decimals and no minus zero, each written when it is first asked for; a good many kept."""

    def __missing__(self, value: float) -> str:
        if len(self) > _MOST_KEPT:
            self.clear()
        words = f"{value:.2f}".rstrip("0").rstrip(".")
        made = self[value] = "0" if words in ("-0", "") else words
        return made


_MOST_KEPT = 20_000
_number = _Numbers().__getitem__


def _grouped(parts: Iterable[Any], write: Callable[[Any], str], marked: bool) -> Iterator[str]:
    """Yield the elements of shapes or texts, those of one thing in a group where they are to be marked."""
    if not marked:
        yield from map(write, parts)
        return
    for of, same in groupby(parts, lambda part: part.of):
        yield f'\n <g data-of="{_inert(json.dumps(of))}">' if of else ""
        yield from map(write, same)
        yield "\n </g>" if of else ""


def _shape(shape: Shape) -> str:
    if shape.kind == "code":
        (x, y), (right, _) = shape.points
        moved = f"translate({_number(x)} {_number(y)}) scale({(right - x) / shape.radius:.5f})"
        return f'\n <path transform="{moved}" d="{shape.path}" fill="none" stroke="{shape.stroke}" />'
    dash = f' stroke-dasharray="{" ".join(map(_number, shape.dash))}"' if shape.dash else ""
    join = ' stroke-linejoin="round"' if shape.kind in ("line", "polygon") else ""
    return (
        f'\n <{_geometry(shape)} fill="{shape.fill}" stroke="{shape.stroke}" stroke-width="{_number(shape.weight)}"'
        f"{dash}{join} />"
    )


def _geometry(shape: Shape) -> str:
    """Return the SVG element and the attributes that say where it is."""
    x, y = shape.points[0]
    if shape.kind == "circle":
        return f'circle cx="{_number(x)}" cy="{_number(y)}" r="{_number(shape.radius)}"'
    if shape.kind == "rect":
        right, low = shape.points[1]
        round_ = f' rx="{_number(shape.radius)}"' if shape.radius else ""
        return f'rect x="{_number(x)}" y="{_number(y)}" width="{_number(right - x)}" height="{_number(low - y)}"{round_}'
    points = " ".join([f"{_number(px)},{_number(py)}" for px, py in shape.points])
    return f'{"polyline" if shape.kind == "line" else "polygon"} points="{points}"'


def _text(text: Text) -> str:
    """Write one line; text that runs right to left hangs on its middle, where every renderer agrees."""
    x, anchor, way = text.x, text.anchor, ""
    if is_rtl(text.text):
        x, anchor, way = text.box().centre[0], "middle", ' direction="rtl"'
    hung = f' text-anchor="{anchor}"' if anchor != "start" else ""
    bold = ' font-weight="bold"' if text.bold else ""
    return (
        f'\n <text x="{_number(x)}" y="{_number(text.y)}" font-size="{text.size * MM:.3f}" fill="{text.colour}"'
        f"{way}{hung}{bold}>{_inert(text.text)}</text>"
    )
