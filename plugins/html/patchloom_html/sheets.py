"""A page as sheets of paper.

Comes in: a `Page`, its book's stamp and faults.  Goes out: HTML sections, one a sheet, and the rules for its columns.
Next: `document.py`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import attrs

from patchloom.drawing import Scene, scene_svg, scenes
from patchloom.pages import Book, Page, Remark, say_in
from patchloom.pages.words import Say
from patchloom_html.checklist import pieces
from patchloom_html.deal import Deal, Piece
from patchloom_html.grid import Grid, Measured
from patchloom_html.head import Head
from patchloom_html.measure import wrap
from patchloom_html.style import BODY, FONTS, LANDSCAPE, LARGE, MARGIN, PORTRAIT, SMALL, STRONG, Shape
from patchloom_html.words import inert, plain

__all__ = ["MadePage", "made_page"]

_LOUD = ("stop", "safety")
_SQUEEZED = 0.2


@attrs.frozen
class MadePage:
    """The sheets of one page."""

    page: Page
    anchor: str
    """Id of the first sheet, and the stem of the classes of its tables."""
    html: str
    css: tuple[str, str]
    """Rules of its tables: for paper and wide screens, and for a phone."""
    count: int
    """Sheets."""
    squeezed: float = 0.0
    """Share of the rows in which a name breaks, or a cell runs to three lines."""


def made_page(book: Book, page: Page, anchor: str) -> MadePage:
    """Return a page as sheets, as few as can be, upright with cautions first where it makes no difference."""
    if page.kind in ("diagram", "plan"):
        return _drawn(book, page, anchor)
    tables = [Measured(table) for table in page.tables]
    shapes = [shape for shape in (PORTRAIT, LANDSCAPE) if all(table.readable(shape) for table in tables)] or [LANDSCAPE]
    if all(table.fits(PORTRAIT.wide) for table in tables):  # no row could be lower, and fewer fit across
        shapes = [PORTRAIT]
    tries: list[_Try] = []
    for shape in shapes:
        grids = [Grid(table, shape.wide) for table in tables]
        head = Head.of(page, book.stamp, shape.wide)
        for first in (True,) if page.kind == "steps" else (True, False):
            tries.append(_dealt(book, page, anchor, shape, first, grids, head))
            if len(tries[-1].sheets) == 1 and tries[-1].squeezed <= _SQUEEZED:
                return tries[-1].made(page, anchor)
    return min(tries, key=lambda dealt: (len(dealt.sheets), dealt.squeezed > _SQUEEZED)).made(page, anchor)


def _drawn(book: Book, page: Page, anchor: str) -> MadePage:
    """Return a drawing on its sheets; notes, cautions and remarks stand in the drawing itself."""
    told = attrs.evolve(page, remarks=(*book.faults, *page.remarks)) if book.faults else page
    best = _best(told, book)
    shape, css = best.shape, ""
    if best.over:  # one thing alone asks for a larger sheet: type never shrinks
        wide = max(scene.wide for scene in best.drawn) + 1.0
        high = max(scene.high for scene in best.drawn) + 1.0 + best.head.high
        shape = Shape(f"{anchor}d", wide, high)
        css = f".{shape.name}{{width:{wide:.1f}mm;page:{shape.name}}}"
        css += f"@page {shape.name}{{size:{wide + 2 * MARGIN:.1f}mm {high + 2 * MARGIN:.1f}mm;margin:{MARGIN:g}mm}}"
    sheets = [[scene_svg(scene, inline=True, family=FONTS)] for scene in best.drawn]
    return MadePage(page, anchor, "".join(_sections(sheets, best.head, shape, anchor)), (css, ""), len(sheets))


def _best(page: Page, book: Book) -> _Drawing:
    """Return a drawing for the first sheet that holds it in one piece; else in parts, few and little too large."""
    for shape in (LANDSCAPE, LARGE):
        whole = _set(page, book, shape, 1)
        if whole.drawn and whole.over == 0.0:
            return whole
    large = _set(page, book, LARGE)
    small = _set(page, book, LANDSCAPE, None if large.over else len(large.drawn))  # more parts would not be taken
    return min((each for each in (small, large) if each.drawn), key=lambda each: (each.over, len(each.drawn)))


def _set(page: Page, book: Book, shape: Shape, most: int | None = None) -> _Drawing:
    """Return a drawing placed for a sheet of a shape, nothing drawn where it takes more than so many."""
    head = Head.of(page, book.stamp, shape.wide)
    return _Drawing(shape, head, scenes(page, room=(shape.wide - 1.0, shape.high - head.high - 1.0), most=most))


@attrs.frozen
class _Drawing:
    """A drawing placed for a sheet of some shape."""

    shape: Shape
    head: Head
    drawn: tuple[Scene, ...]

    @property
    def over(self) -> float:
        """Return by how much the largest scene is larger than the room of the sheet, in mm; 0 where all fit."""
        wide = max((scene.wide for scene in self.drawn), default=0.0) - self.shape.wide
        high = max((scene.high for scene in self.drawn), default=0.0) - (self.shape.high - self.head.high)
        return max(0.0, wide, high)


@attrs.frozen
class _Try:
    """A page dealt onto sheets of one shape."""

    sheets: list[list[str]]
    head: Head
    shape: Shape
    grids: list[Grid]
    squeezed: float

    def made(self, page: Page, anchor: str) -> MadePage:
        """Return the page made of these sheets."""
        html = "".join(_sections(self.sheets, self.head, self.shape, anchor))
        css = [grid.css(f"{anchor}t{place}") for place, grid in enumerate(self.grids)]
        rules = ("".join([wide for wide, _ in css]), "".join([phone for _, phone in css]))
        return MadePage(page, anchor, html, rules, len(self.sheets), self.squeezed)


def _dealt(book: Book, page: Page, anchor: str, shape: Shape, cautions_first: bool, grids: list[Grid], head: Head) -> _Try:
    """Return a page dealt onto sheets of a shape."""
    deal = Deal(shape.high - head.high)
    remarks = (*book.faults, *page.remarks)
    _said(deal, [row for row in remarks if row.kind in _LOUD], shape, say_in(page.language))
    if cautions_first or page.kind == "steps":
        _cautions(deal, page, shape)
    if page.kind == "steps":
        for piece, after in pieces(page.steps, shape.wide, say_in(page.language)):
            deal.put(piece, after=after)
    else:
        _tables(deal, grids, shape, anchor)
    _notes(deal, page.notes, shape)
    _said(deal, [row for row in remarks if row.kind not in _LOUD], shape, say_in(page.language))
    if not cautions_first and page.kind != "steps":
        _cautions(deal, page, shape)
    return _Try(deal.sheets, head, shape, grids, max((grid.squeezed() for grid in grids), default=0.0))


def _sections(sheets: Sequence[Sequence[str]], head: Head, shape: Shape, anchor: str) -> Iterator[str]:
    for number, parts in enumerate(sheets, 1):
        name = f' id="{anchor}"' if number == 1 else ""
        top = head.html(number, len(sheets), anchor)
        yield f'<section class="sheet {shape.name}"{name}>\n{top}\n{"".join(parts)}\n</section>\n'


def _tables(deal: Deal, grids: Sequence[Grid], shape: Shape, anchor: str) -> None:
    for place, grid in enumerate(grids):
        table, name = grid.table, f"{anchor}t{place}"
        head, units = grid.head(name), grid.units()
        if table.title:
            first = units[0].whole.high if units else 0.0
            high = len(wrap(table.title, shape.wide, STRONG.points, True)) * STRONG.line + 2.5
            deal.put(Piece(high, f"<h2>{inert(table.title)}</h2>"), after=min(head.high + first, deal.room / 2))
        if units:
            deal.rows(head, "</table>", units)
        _notes(deal, table.notes, shape)


def _notes(deal: Deal, notes: Sequence[str], shape: Shape) -> None:
    for note in notes:
        high = _note_high(note, shape)
        deal.put(Piece(high, f'<p class="note">{inert(note)}</p>'))


def _note_high(words: str, shape: Shape) -> float:
    return len(wrap(words, shape.wide, SMALL.points, True)) * SMALL.line + 0.8


def _said(deal: Deal, rows: Sequence[Remark], shape: Shape, say: Say) -> None:
    for row in rows:
        loud = row.kind in _LOUD
        kind = say(row.kind).upper()
        words = f"{kind}: {row.text}"
        high = len(wrap(words, shape.wide - 6.0, BODY.points, True)) * BODY.line + 4.4 if loud else _note_high(words, shape)
        deal.put(Piece(high, f'<p class="said{" loudly" if loud else ""}"><b>{plain(kind)}:</b> {inert(row.text)}</p>'))


def _cautions(deal: Deal, page: Page, shape: Shape) -> None:
    say = say_in(page.language)
    for row in page.cautions:
        area = say(row.area).upper()
        high = len(wrap(f"{area}: {row.text}", shape.wide, SMALL.points, True)) * SMALL.line + 0.8
        deal.put(Piece(high, f'<p class="caution"><b>{plain(area)}:</b> {inert(row.text)}</p>'))
