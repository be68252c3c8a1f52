"""Drawn pages on sheets of paper.

Comes in: a `Page` of kind plan or diagram, and the stamp for a whole sheet, or the room a renderer leaves inside
its own page.  Goes out: `Scene`s, one for each sheet.  Next: `svg.py` and the renderer plugins.

A sheet is the smaller of two papers in each dimension (A4 and Letter, A3 and Tabloid), so that it prints on
either without rescaling.  What does not fit is cut into parts or set on the next larger sheet; type never shrinks.
"""

from __future__ import annotations

from collections.abc import Callable

import attrs

from patchloom.drawing.band import ROW, Lines, said
from patchloom.drawing.diagram import halves_of, lay_diagram
from patchloom.drawing.metrics import ASCENT, MM, wrap
from patchloom.drawing.plan import drawn_to_scale, lay_plan, objects, part_words, parts_of
from patchloom.drawing.scene import Box, Canvas, Scene
from patchloom.pages import Page, Stamp

__all__ = ["INLINE", "SHEETS", "scenes", "stamp_lines", "word_scenes"]

SHEETS = (("A4 or Letter", 279.0, 210.0), ("A3 or Tabloid", 420.0, 279.0), ("A2", 594.0, 420.0), ("A1", 841.0, 594.0))
"""Sheets, landscape, in millimetres."""

INLINE = (255.0, 150.0)
"""Room of a drawing inside a renderer's own A4 or Letter landscape page, below its head, in millimetres."""

_MARGIN = 10.0
_MOST_REMARKS = 8
_LOUD = ("stop", "safety")
_PART = "part 99 of 99: the zones that stand on a part, named one after the other on as much as two lines of the sheet's head"
Room = tuple[float, float]
Lay = Callable[[Box, float, float], Canvas | None]


def scenes(page: Page, *, stamp: Stamp | None = None, number: str = "", room: Room | None = None) -> tuple[Scene, ...]:
    """Return the drawing of a page, one scene a sheet; empty for a page that is no drawing.

    With `room` (width, height in mm) only the drawing, with its notes, cautions and remarks, for a renderer that prints
    title and stamp itself; otherwise whole sheets with title, `stamp` and `number` (such as `page 3 of 12`).  A drawing
    that `room` cannot hold in
    readable type is cut into parts; one that cannot be cut is drawn as large as it needs.
    """
    if page.plan is None and page.diagram is None:
        return ()
    kept = sum(row.kind in _LOUD for row in page.remarks)
    whole = len(page.remarks) <= _MOST_REMARKS and _try(page, "", stamp, number, room, last=False) is not None
    page, apart = (page, []) if whole or kept == len(page.remarks) else _split_words(page, min(kept, _MOST_REMARKS))
    waiting, parts = _parts(page), []
    while waiting:
        part = waiting.pop(0)
        halves = _halves(part)
        if halves and _try(part, _PART, stamp, number, room, last=False) is None:
            waiting[:0] = halves
        else:
            parts.append(part)
    made = []
    for index, part in enumerate(parts):
        words = f"part {index + 1} of {len(parts)}" if len(parts) > 1 else ""
        if words and part.plan is not None and part_words(part.plan):
            words += f": {part_words(part.plan)}"
        made.append(_try(part, words, stamp, number, room, last=True))
    if apart:
        made += word_scenes(page, apart, stamp, number, room)
    return tuple(scene for scene in made if scene is not None)


def _split_words(page: Page, most: int) -> tuple[Page, Lines]:
    """Return the page with its first, gravest remarks, and the rest, for a sheet of their own."""
    rest = page.remarks[most:]
    more = f"Remarks on the sheet after the drawing: {len(rest)}."
    apart = said(attrs.evolve(page, notes=(), cautions=(), remarks=rest))
    return attrs.evolve(page, remarks=page.remarks[:most], notes=(*page.notes, more)), apart


def _parts(page: Page) -> list[Page]:
    """Return the page in the parts it must come in: a plan with many objects by zone."""
    if page.plan is None:
        return [page]
    return [attrs.evolve(page, plan=part) for part in parts_of(page.plan)]


def _halves(page: Page) -> list[Page]:
    """Return the page in two or more parts, or none where it cannot be cut further."""
    if page.plan is not None:
        plans = parts_of(page.plan, max(1, objects(page.plan) // 2))
        return [attrs.evolve(page, plan=part) for part in plans] if len(plans) > 1 else []
    assert page.diagram is not None
    diagrams = halves_of(page.diagram)
    return [attrs.evolve(page, diagram=part) for part in diagrams] if len(diagrams) > 1 else []


def _ways(page: Page) -> tuple[Lay, ...]:
    """Return the ways to lay a page, the clearer first: every label at its thing, or some in a key."""
    plan = page.plan
    if plan is None:
        return (lambda area, wide, high: lay_diagram(page, area, wide, high),)
    ways: list[Lay] = [lambda area, wide, high: lay_plan(page, plan, area, wide, high)]
    if drawn_to_scale(plan):
        ways.append(lambda area, wide, high: lay_plan(page, plan, area, wide, high, keyed=True))
    return tuple(ways)


def _try(page: Page, part: str, stamp: Stamp | None, number: str, room: Room | None, *, last: bool) -> Scene | None:
    """Return the scene on the first sheets that a plot is printed on, or on any when `last`; None where it does not fit."""
    sizes = _sizes(room)
    usual = 1 if room else 2
    if room is not None and part:  # there is no head to say it
        page = attrs.evolve(page, notes=(f"{part[:1].upper()}{part[1:]}.", *page.notes))
    for lay, (name, wide, high) in [*((lay, size) for lay in _ways(page) for size in sizes[:usual]),
                                    *((lay, size) for lay in _ways(page) for size in sizes[usual:] if last)]:
        scene = _set(page, part, stamp, number, room is not None, lay, name, wide, high)
        if scene is not None:
            return scene
    if last:
        raise ValueError(f"{page.title}: one thing alone does not fit on {sizes[-1][0]}; shorten its words")
    return None


def _sizes(room: Room | None) -> list[tuple[str, float, float]]:
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


def word_scenes(page: Page, rows: Lines, stamp: Stamp | None, number: str, room: Room | None) -> list[Scene]:
    """Return sheets of running text: the remarks a drawing has no room for."""
    name, wide, high = _sizes(room)[0]
    made = []
    while rows:
        canvas = Canvas(wide, high)
        head = None if room else _Head(page, "remarks", stamp, number, name, wide - 2 * _MARGIN)
        if head:
            head.draw(canvas)
        left, top, low = (_MARGIN, _MARGIN + head.high + 2.0, high - _MARGIN) if head else (0.5, 0.5, high - 0.5)
        count = 0
        for words, bold in rows:
            lines = wrap(words, wide - 2 * left, 9, bold)
            if count and top + len(lines) * ROW > low:
                break
            top = canvas.lines(left, top, lines, bold=bold) + 1.0
            count += 1
        rows = rows[count:]
        made.append(canvas.scene(f"{page.title} · remarks", page.about))
    return made


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

