"""Drawn pages on sheets of paper.

Comes in: a `Page` of kind plan or diagram, and the stamp for a whole sheet, or the room a renderer leaves inside
its own page.  Goes out: `Scene`s, one for each sheet.  Next: `svg.py` and the renderer plugins.

A sheet is the smaller of two papers in each dimension (A4 and Letter, A3 and Tabloid), so that it prints on
either without rescaling.  What does not fit is cut into parts or set on the next larger sheet; type never shrinks.

Rooms of about one size are made one (`_STANDARD`), and a drawing that was placed in a room is kept for the next who asks for
the same: every renderer of one call shows the same drawing, placed once.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import Any

import attrs

from patchloom.drawing import code
from patchloom.drawing.band import ROW, Lines, said
from patchloom.drawing.diagram import halves_of, lay_diagram
from patchloom.drawing.metrics import ASCENT, MM, wrap
from patchloom.drawing.plan import drawn_to_scale, lay_plan, objects, part_words, parts_of
from patchloom.drawing.scene import Box, Canvas, Scene, Shape, moved
from patchloom.pages import Page, Remark, Stamp, say_in

__all__ = ["INLINE", "SHEETS", "scenes", "stamp_lines", "word_scenes"]

SHEETS = (("A4 or Letter", 279.0, 210.0), ("A3 or Tabloid", 420.0, 279.0), ("A2", 594.0, 420.0), ("A1", 841.0, 594.0))
"""Sheets, landscape, in millimetres."""

INLINE = (255.0, 150.0)
"""Room of a drawing inside a renderer's own A4 or Letter landscape page, below its head, in millimetres."""

_MARGIN, _GAP = 10.0, 3.0
_MOST_REMARKS, _FEW_LINES, _LINE = 8, 8, 120.0
"""Remarks that a whole drawing may keep, lines of them that any may, and the length of such a line in mm."""
_LOUD = ("stop", "safety")
_PART_LINES, _MOST_TITLE = 2, 3
_LONGEST = 160
"""Letters of a text on a drawing; what is longer stands in full on a sheet after it."""

_STANDARD = ((255.0, 165.0), (395.0, 232.0))
"""Rooms below the head of a small and of a large sheet; one a little larger is taken for such a one."""

_WIDER, _HIGHER = 6.0, 14.0
_TIMES = (1.0, 1.25, 1.5, 2.0, 3.0, 4.0, 6.0, 9.0)
"""By how much a renderer's own page is enlarged where it holds not even one thing."""
Room = tuple[float, float]


def scenes(
    page: Page, *, stamp: Stamp | None = None, number: str = "", room: Room | None = None, most: int | None = None
) -> tuple[Scene, ...]:
    """Return the drawing of a page, one scene a sheet; empty for a page that is no drawing.

    With `room` (width, height in mm) only the drawing, with its notes, cautions and remarks, for a renderer that prints
    title and stamp itself; otherwise whole sheets with title, `stamp` and `number` (such as `page 3 of 12`).  A drawing
    that `room` cannot hold in readable type is cut into parts; one that cannot be cut is drawn as large as it needs.
    With `most` there is none where it would take more sheets than that, and parts are placed only as far as that is open.
    """
    if page.plan is None and page.diagram is None:
        return ()
    page, long = _shortened(page)
    paper = _Papers(page, stamp, number, room)
    few = _lines_of(page.remarks) <= _FEW_LINES
    whole = len(page.remarks) <= _MOST_REMARKS and paper.usual(page, False) is not None
    page, apart = (page, []) if few or whole else _split_words(page)
    parts: list[Page] = []
    waiting = _parts(page)
    many = len(waiting) > 1
    more = 1 if apart or long else 0
    while waiting:
        if most is not None and len(waiting) + len(parts) + more > most:
            return ()
        part = waiting.pop(0)
        if paper.usual(part, many) is None and (halves := _halves(part)):
            waiting[:0] = halves
            many = True
        else:
            parts.append(part)
    made = []
    for index, part in enumerate(parts):
        words = say_in(page.language)("Part {number} of {count}", number=index + 1, count=len(parts)) if len(parts) > 1 else ""
        if words and part.plan is not None and part_words(part.plan):
            words += f": {part_words(part.plan)}"
        made.append(paper.scene(part, words))
    return (*made, *(word_scenes(page, [*apart, *long], stamp, number, room) if apart or long else ()))


def _shortened(page: Page) -> tuple[Page, Lines]:
    """Return the page with texts no drawing could hold cut short, and these in full, for a sheet of their own."""
    full: Lines = []

    def cut(words: str) -> str:
        if len(words) <= _LONGEST:
            return words
        full.append((say_in(page.language)("In full: {words}", words=words), False))
        return f"{words[:_LONGEST]}…"

    def short(row: Any) -> Any:
        if len(row.label) <= _LONGEST and all(len(line) <= _LONGEST for line in getattr(row, "lines", ())):
            return row
        lines = {"lines": tuple(map(cut, row.lines))} if hasattr(row, "lines") else {}
        return attrs.evolve(row, label=cut(row.label), **lines)

    if page.plan is not None:
        plan = attrs.evolve(page.plan, things=tuple(map(short, page.plan.things)), zones=tuple(map(short, page.plan.zones)))
        return attrs.evolve(page, plan=plan), full
    assert page.diagram is not None
    diagram = attrs.evolve(page.diagram, nodes=tuple(map(short, page.diagram.nodes)), edges=tuple(map(short, page.diagram.edges)))
    return attrs.evolve(page, diagram=diagram), full


def _lines_of(rows: Iterable[Remark]) -> int:
    """Return about how many lines remarks take under a drawing."""
    return sum(len(wrap(f"{row.kind} {row.text}", _LINE, 9, row.kind in _LOUD)) for row in rows)


def _split_words(page: Page) -> tuple[Page, Lines]:
    """Return the page without remarks that leave no room to draw in, and these, for a sheet of their own.

    Grave ones stay in full while they are short; else every sheet says in bold how many there are, and of what.
    """
    loud = tuple(row for row in page.remarks if row.kind in _LOUD)
    kept = loud if _lines_of(loud) <= _FEW_LINES else ()
    apart = said(attrs.evolve(page, notes=(), cautions=(), remarks=page.remarks[len(kept) :]))
    say = say_in(page.language)
    more = say("Remarks on the sheet after the drawing: {count}.", count=len(apart))
    if len(kept) == len(loud):
        return attrs.evolve(page, remarks=kept, notes=(*page.notes, more)), apart
    told = []
    for kind in _LOUD:
        of_kind = [row for row in loud if row.kind == kind]
        names = ", ".join(dict.fromkeys(row.text.partition(":")[0][:40] for row in of_kind))
        if of_kind:
            words = "{count} in full on the sheet after the drawing, read it first: {names}."
            told.append(Remark(kind, say(words, count=len(of_kind), names=names)))
    return attrs.evolve(page, remarks=tuple(told), notes=(*page.notes, more)), apart


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


@attrs.frozen
class _Sheet:
    """A sheet, and the room for the drawing on it."""

    name: str
    wide: float
    high: float
    room: Box
    head: _Head | None = None


class _Papers:
    """The sheets a page may be drawn on, the usual ones first; each is made when it is first looked at."""

    def __init__(self, page: Page, stamp: Stamp | None, number: str, room: Room | None) -> None:
        self.page, self.stamp, self.number, self.room = page, stamp, number, room
        self.usual_count, self.count = (2, len(SHEETS)) if room is None else (1, len(_TIMES))
        self._sheets: list[_Sheet] = []
        self._placed: dict[tuple[int, bool], tuple[Page, tuple[_Sheet, Scene] | None]] = {}

    def sheet(self, place: int) -> _Sheet:
        """Return a sheet by its place, the smallest first."""
        while len(self._sheets) <= place:
            self._sheets.append(self._made(len(self._sheets)))
        return self._sheets[place]

    def _made(self, place: int) -> _Sheet:
        if self.room is not None:
            wide, high = self.room[0] * _TIMES[place], self.room[1] * _TIMES[place]
            name = "its page" if place == 0 else "a larger sheet"
            return _Sheet(name, wide, high, Box(0.5, 0.5, wide - 0.5, high - 0.5))
        name, wide, high = SHEETS[place]
        head = _Head(self.page, self.stamp, self.number, name, wide - 2 * _MARGIN)
        area = Box(_MARGIN, _MARGIN + head.high + 2.0, wide - _MARGIN, high - _MARGIN)
        return _Sheet(name, wide, high, area, head)

    @staticmethod
    def _laid(bare: Page, sheet: _Sheet, many: bool, keyed: bool) -> Scene | None:
        """Return the drawing in the room of a sheet, room for the words of a part left where it is one of many."""
        top = _PART_LINES * ROW + 1.0 if many else 0.0
        return _placed(bare, keyed, *_standard(sheet.room.wide, sheet.room.high), top)

    def _first(self, page: Page, many: bool, places: range) -> tuple[_Sheet, Scene] | None:
        """Return the first sheet that holds a page, the clearer way first: every label at its thing, or some in a key."""
        ways = (False, True) if page.plan is not None and drawn_to_scale(page.plan) else (False,)
        bare = attrs.evolve(page, title="", subject_name="", period_name="", digest="", touches=())
        for keyed in ways:
            for place in places:
                found = self._laid(bare, self.sheet(place), many, keyed)
                if found is not None:
                    return self.sheet(place), found
        return None

    def usual(self, page: Page, many: bool) -> tuple[_Sheet, Scene] | None:
        """Return the drawing on a sheet people print plots on; None where it does not fit."""
        known = self._placed.get((id(page), many))
        if known is None:
            known = self._placed[id(page), many] = (page, self._first(page, many, range(self.usual_count)))
        return known[1]

    def scene(self, page: Page, part: str) -> Scene:
        """Return the sheet of a page that is drawn in so many parts; it is given a larger sheet where it must be."""
        found = self.usual(page, bool(part)) or self._first(page, bool(part), range(self.usual_count, self.count))
        if found is None:
            raise ValueError(
                f"{page.title}: one thing alone does not fit on {self.sheet(self.count - 1).name}; shorten its words"
            )
        sheet, drawing = found
        canvas = Canvas(sheet.wide, sheet.high)
        if part:
            canvas.lines(sheet.room.x0, sheet.room.y0, _at_most(wrap(part, sheet.room.wide, 9.0, True), _PART_LINES), bold=True)
        if sheet.head is not None:
            sheet.head.draw(canvas)
        shapes, texts = moved(drawing, sheet.room.x0 + (sheet.room.wide - drawing.wide) / 2, sheet.room.y0)
        canvas.shapes.extend(shapes)
        canvas.texts.extend(texts)
        title = " · ".join(words for words in (page.title, page.subject_name, page.period_name, part) if words)
        return canvas.scene(title, page.about)


def _at_most(lines: list[str], count: int) -> list[str]:
    """Return so many lines, an ellipsis after the last where there are more; for words that stand elsewhere as well."""
    return lines if len(lines) <= count else [*lines[: count - 1], f"{lines[count - 1][:-1]}…"]


def _standard(wide: float, high: float) -> Room:
    """Return the room to place a drawing in: a standard one where there is hardly more room than that."""
    for usual in _STANDARD:
        if 0 <= wide - usual[0] <= _WIDER and 0 <= high - usual[1] <= _HIGHER:
            return usual
    return wide, high


@lru_cache(maxsize=64)
def _placed(page: Page, keyed: bool, wide: float, high: float, top: float) -> Scene | None:
    """Return a drawing placed below `top` in a room, or None where it does not fit; the same for the same, and so kept."""
    room = Box(0.0, top, wide, high)
    if page.plan is not None:
        canvas = lay_plan(page, page.plan, room, keyed)
    else:
        canvas = lay_diagram(page, room)
    return canvas.scene("") if canvas is not None else None


class _Head:
    """Title on the left, stamp and its code on the right, a rule below."""

    def __init__(self, page: Page, stamp: Stamp | None, number: str, sheet: str, wide: float) -> None:
        self.wide = wide
        title = " · ".join(words for words in (page.title, page.subject_name, page.period_name) if words)
        self.title = _at_most(wrap(title, wide * 0.45, 15, True), _MOST_TITLE)
        self.about = _at_most(wrap(page.about, wide * 0.45, 9), _MOST_TITLE) if page.about else []
        rows = stamp_lines(stamp, number, sheet, page.digest, page.language)
        self.code = code.code_text(page, stamp) if stamp is not None else ""
        self.right = wide - (code.CODE_MM + _GAP if self.code else 0.0)
        said = [_at_most(wrap(words, self.right - wide * 0.48, 9), _MOST_TITLE) for words in rows]
        self.stamp = [line for lines in said for line in lines]
        step = 15 * MM * 1.2
        least = code.CODE_MM if self.code else 0.0
        self.high = max(len(self.title) * step + len(self.about) * ROW, len(self.stamp) * ROW, least) + 1.5

    def draw(self, canvas: Canvas) -> None:
        """Draw the head at the top of the sheet."""
        top = canvas.lines(_MARGIN, _MARGIN, self.title, 15, True)
        canvas.lines(_MARGIN, top, self.about)
        y = _MARGIN
        for index, line in enumerate(self.stamp):
            canvas.text(_MARGIN + self.right, y + ASCENT * 9 * MM, line, 9, index == 0, "end")
            y += ROW
        if self.code:
            corners = ((_MARGIN + self.wide - code.CODE_MM, _MARGIN), (_MARGIN + self.wide, _MARGIN + code.CODE_MM))
            canvas.shapes.append(Shape("code", corners, code.code_side(self.code), path=code.code_path(self.code)))
        y = _MARGIN + self.high
        canvas.line((_MARGIN, y), (_MARGIN + self.wide, y), weight=0.5)


def word_scenes(page: Page, rows: Lines, stamp: Stamp | None, number: str, room: Room | None) -> list[Scene]:
    """Return sheets of running text: the remarks a drawing has no room for, and names it had to cut short."""
    sheet = _Papers(page, stamp, number, room).sheet(0)
    lines = [(line, bold) for words, bold in rows for line in (*wrap(words, sheet.room.wide, 9, bold), "")]
    each = max(1, int((sheet.room.high - 2.0) / ROW) - 1)
    made = []
    for start in range(0, len(lines), each):
        canvas = Canvas(sheet.wide, sheet.high, say_in(page.language))
        if sheet.head is not None:
            sheet.head.draw(canvas)
        top = canvas.lines(sheet.room.x0, sheet.room.y0, [canvas.say("Remarks")], bold=True) + 1.0
        for line, bold in lines[start : start + each]:
            top = canvas.lines(sheet.room.x0, top, [line], bold=bold)
        made.append(canvas.scene(f"{page.title} · remarks", page.about))
    return made


def stamp_lines(stamp: Stamp | None, number: str = "", sheet: str = "", digest: str = "", language: str = "en") -> list[str]:
    """Return the stamp in four lines at most: show and date; revision; made and checked; sheet."""
    say = say_in(language)
    paper = say("print on {sheet}, full size", sheet=say(sheet)) if sheet else ""
    if stamp is None:
        return [" · ".join(words for words in (number, paper) if words)]
    revision = say("REV {revision}", revision=stamp.revision) if stamp.revision else say("REV none given")
    rows = (
        (stamp.show, stamp.date),
        (
            say(stamp.status),
            revision,
            say("replaces REV {revision}", revision=stamp.replaces) if stamp.replaces else "",
            "" if stamp.changes is None else say("changes since last issue: {count}", count=stamp.changes),
            say("approved: {who}", who=stamp.approver) if stamp.approver else "",
        ),
        (
            say("made {when}", when=stamp.generated) if stamp.generated else "",
            say("patch {digest}", digest=_short(stamp.patch)) if stamp.patch else "",
            say("this paper {digest}", digest=_short(digest)) if digest else "",
        ),
        (number, paper),
    )
    return [line for row in rows if (line := " · ".join(words for words in row if words))]


def _short(digest: str) -> str:
    """Return the first eight figures of a digest."""
    return digest.split(":")[-1][:8]
