"""Drawings: diagrams and plans placed in millimetres with measured text, once, for every renderer.

Comes in: a `Page` of `patchloom.pages` (kind diagram or plan).  Goes out: frozen `Scene`s, and their SVG.
Next: the renderer plugins.

- `metrics`: how wide text is (`widths.json`), where it breaks; `scene`: shapes and texts on a sheet
- `symbols`, `labels`: the signs of a stage plan, and labels that never collide
- `plan`, `zones`: a stage plan to scale, or by zone where places are unknown
- `diagram`, `layers`, `tracks`: nodes and edges in columns
- `fonts`: font files for renderers that bring their own
- `band`: notes and legend; `sheet`: sheets of paper with title and stamp; `svg`: scenes as SVG

Nothing on a drawing is under 9 pt, off the sheet, or over another text: the tests measure every box.
"""

from __future__ import annotations

from patchloom.drawing.scene import SMALLEST, Scene, Shape, Text
from patchloom.drawing.sheet import INLINE, SHEETS, scenes
from patchloom.drawing.svg import scene_svg
from patchloom.pages import Page, Stamp

__all__ = ["INLINE", "SHEETS", "SMALLEST", "Scene", "Shape", "Text", "scene_svg", "scenes", "svg", "svgs"]


def svgs(
    page: Page, *, stamp: Stamp | None = None, number: str = "", room: tuple[float, float] | None = None, marked: bool = False
) -> tuple[str, ...]:
    """Return the SVG text of every sheet of a drawn page; empty for a page that is no drawing.

    With `room` (width, height in mm; `INLINE` fits below the head of a landscape page) only the drawing, to stand inside a
    renderer's own page, without an XML header; otherwise whole sheets with title and stamp.  Sizes are in mm and must be
    kept on paper: the smallest type is 9 pt at that size.  `marked` says of each part which node, edge or thing it shows.
    """
    made = scenes(page, stamp=stamp, number=number, room=room)
    return tuple(scene_svg(scene, inline=room is not None, marked=marked) for scene in made)


def svg(page: Page, *, stamp: Stamp | None = None, number: str = "", room: tuple[float, float] | None = INLINE) -> str:
    """Return the drawing of a page as SVG elements one after the other, ready to stand inside HTML; empty for no drawing."""
    return "\n".join(svgs(page, stamp=stamp, number=number, room=room))
