"""Drawn pages on sheets of paper.

Comes in: a `Page` of kind plan or diagram, and the stamp for a whole sheet, or the room a renderer leaves inside
its own page.  Goes out: `Scene`s, one for each sheet.  Next: `svg.py` and the renderer plugins.

A sheet is the smaller of two papers in each dimension (A4 and Letter, A3 and Tabloid), so that it prints on
either without rescaling.  What does not fit is cut into parts or set on the next larger sheet; type never shrinks.
"""

from __future__ import annotations

from collections.abc import Callable

import attrs

from patchloom.drawing.band import ROW
from patchloom.drawing.diagram import lay_diagram
from patchloom.drawing.metrics import ASCENT, MM, wrap
from patchloom.drawing.plan import drawn_to_scale, lay_plan, objects, parts_of
from patchloom.drawing.scene import Box, Canvas, Scene
from patchloom.pages import Page, Plan, Stamp

__all__ = ["INLINE", "SHEETS", "scenes", "stamp_lines"]

SHEETS = (("A4 or Letter", 279.0, 210.0), ("A3 or Tabloid", 420.0, 279.0), ("A2", 594.0, 420.0), ("A1", 841.0, 594.0))
"""Sheets, landscape, in millimetres."""

INLINE = (255.0, 150.0)
"""Room of a drawing inside a renderer's own A4 or Letter landscape page, below its head, in millimetres."""

_MARGIN = 10.0
Lay = Callable[[Box, float, float], Canvas | None]


def scenes(page: Page, *, stamp: Stamp | None = None, number: str = "", room: tuple[float, float] | None = None) -> tuple[Scene, ...]:
    """Return the drawing of a page, one scene a sheet; empty for a page that is no drawing.

    With `room` (width, height in mm) only the drawing, for a renderer that prints title, stamp, notes, cautions and
    remarks itself; otherwise whole sheets with title, `stamp` and `number` (such as `page 3 of 12`).  A drawing that `room` cannot hold in
    readable type is cut into parts; one that cannot be cut is drawn as large as it needs.
    """
    if room is not None:
        page = _bare(page)
    if page.plan is not None:
        return tuple(_plan_scenes(page, page.plan, stamp, number, room))
    if page.diagram is not None:
        return (_sheet(page, "", stamp, number, room, (lambda area, wide, high: lay_diagram(page, area, wide, high),)),)
    return ()


def _plan_scenes(page: Page, plan: Plan, stamp: Stamp | None, number: str, room: tuple[float, float] | None) -> list[Scene]:
    """Return the plan on as few sheets as it takes: a part that does not fit is halved, and halved again."""
    waiting, parts = parts_of(plan), []
    while waiting:
        part = waiting.pop(0)
        halves = parts_of(part, max(1, objects(part) // 2))
        if len(halves) > 1 and _try(page, "part 99 of 99", stamp, number, room, _plan_layer(page, part), last=False) is None:
            waiting[:0] = halves
        else:
            parts.append(part)
    return [_sheet(page, f"part {index + 1} of {len(parts)}" if len(parts) > 1 else "", stamp, number, room, _plan_layer(page, part))
            for index, part in enumerate(parts)]


def _plan_layer(page: Page, part: Plan) -> tuple[Lay, ...]:
    """Return the ways to lay a part of a plan, the clearer first: every label at its thing, or some in a key."""
    ways: list[Lay] = [lambda area, wide, high: lay_plan(page, part, area, wide, high)]
    if drawn_to_scale(part):
        ways.append(lambda area, wide, high: lay_plan(page, part, area, wide, high, keyed=True))
    return tuple(ways)


def _bare(page: Page) -> Page:
    """Return the page without the words that a renderer prints around the drawing."""
    return attrs.evolve(page, notes=(), cautions=(), remarks=())


def _try(page: Page, part: str, stamp: Stamp | None, number: str, room: tuple[float, float] | None, ways: tuple[Lay, ...], *,
         last: bool) -> Scene | None:
    """Return the scene on the first sheets that a plot is printed on, or on any when `last`; None where it does not fit."""
    sizes = _sizes(room)
    usual = 1 if room else 2
    for lay, (name, wide, high) in [*((lay, size) for lay in ways for size in sizes[:usual]),
                                    *((lay, size) for lay in ways for size in sizes[usual:] if last)]:
        scene = _set(page, part, stamp, number, room is not None, lay, name, wide, high)
        if scene is not None:
            return scene
    if last:
        raise ValueError(f"{page.title}: one thing alone does not fit on {sizes[-1][0]}; shorten its words")
    return None


def _sheet(page: Page, part: str, stamp: Stamp | None, number: str, room: tuple[float, float] | None,
           ways: tuple[Lay, ...]) -> Scene:
    """Return the scene on the first sheet that holds it."""
    scene = _try(page, part, stamp, number, room, ways, last=True)
    assert scene is not None
    return scene


def _sizes(room: tuple[float, float] | None) -> list[tuple[str, float, float]]:
    if room is None:
        return list(SHEETS)
    wide, high = room
    return [("its page", wide, high), *(("a larger sheet", wide * by, high * by) for by in (1.25, 1.5, 2.0, 3.0, 4.0, 6.0, 9.0))]


def _set(page: Page, part: str, stamp: Stamp | None, number: str, inline: bool, lay: Lay, name: str, wide: float,
         high: float) -> Scene | None:
    """Return the scene of one sheet, or None where the drawing does not fit it."""
    if inline:
        canvas = lay(Box(0.5, 0.5, wide - 0.5, high - 0.5), wide, high)
    else:
        head = _Head(page, part, stamp, number, name, wide - 2 * _MARGIN)
        canvas = lay(Box(_MARGIN, _MARGIN + head.high + 2.0, wide - _MARGIN, high - _MARGIN), wide, high)
        if canvas is not None:
            head.draw(canvas)
    title = " · ".join(words for words in (page.title, page.subject_name, page.period_name, part) if words)
    return canvas.scene(title, page.about) if canvas else None


class _Head:
    """Title on the left, stamp on the right, a rule below."""

    def __init__(self, page: Page, part: str, stamp: Stamp | None, number: str, sheet: str, wide: float) -> None:
        self.wide = wide
        title = " · ".join(words for words in (page.title, page.subject_name, page.period_name) if words)
        self.title = wrap(title, wide * 0.45, 15, True)
        self.about = [line for words in (page.about, part) if words for line in wrap(words, wide * 0.45, 9)]
        room = wide * 0.52
        self.stamp = [line for words in stamp_lines(stamp, number, sheet) for line in wrap(words, room, 9)]
        step = 15 * MM * 1.2
        self.high = max(len(self.title) * step + len(self.about) * ROW, len(self.stamp) * ROW) + 1.5

    def draw(self, canvas: Canvas) -> None:
        """Draw the head at the top of the sheet."""
        top = canvas.lines(_MARGIN, _MARGIN, self.title, 15, True)
        canvas.lines(_MARGIN, top, self.about)
        y = _MARGIN
        for index, line in enumerate(self.stamp):
            canvas.text(_MARGIN + self.wide, y + ASCENT * 9 * MM, line, 9, index == 0, "end")
            y += ROW
        y = _MARGIN + self.high
        canvas.line((_MARGIN, y), (_MARGIN + self.wide, y), weight=0.5)


def stamp_lines(stamp: Stamp | None, number: str = "", sheet: str = "") -> list[str]:
    """Return the stamp in four lines at most: show and date; revision; made and checked; sheet."""
    paper = f"print on {sheet}, full size" if sheet else ""
    if stamp is None:
        return [" · ".join(words for words in (number, paper) if words)]
    revision = f"REV {stamp.revision}" if stamp.revision else "REV none given"
    rows = (
        (stamp.show, stamp.date),
        (stamp.status, revision, f"replaces REV {stamp.replaces}" if stamp.replaces else "",
         "" if stamp.changes is None else f"changes since last issue: {stamp.changes}",
         f"approved: {stamp.approver}" if stamp.approver else ""),
        (f"made {stamp.generated}" if stamp.generated else "", f"patch {_short(stamp.patch)}" if stamp.patch else ""),
        (number, paper),
    )
    return [line for row in rows if (line := " · ".join(words for words in row if words))]


def _short(digest: str) -> str:
    """Return the first eight figures of a digest."""
    return digest.split(":")[-1][:8]

