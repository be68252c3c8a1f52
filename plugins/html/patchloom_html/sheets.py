"""A page as sheets of paper.

Comes in: a `Page`, its book's stamp and faults.  Goes out: HTML sections, one a sheet, and the rules for its columns.
Next: `document.py`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import attrs

from patchloom.drawing import svgs
from patchloom.pages import Book, Page, Remark
from patchloom_html.checklist import pieces
from patchloom_html.deal import Deal, Piece
from patchloom_html.grid import Grid, readable
from patchloom_html.head import Head
from patchloom_html.measure import wrap
from patchloom_html.style import BODY, LANDSCAPE, PORTRAIT, SMALL, STRONG, Shape
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
    css: str
    count: int
    """Sheets."""
    squeezed: float = 0.0
    """Share of the rows in which a name breaks, or a cell runs to three lines."""


def made_page(book: Book, page: Page, anchor: str) -> MadePage:
    """Return a page as sheets, as few as can be, upright with cautions first where it makes no difference."""
    if page.kind in ("diagram", "plan"):
        return _drawn(book, page, anchor)
    shapes = [shape for shape in (PORTRAIT, LANDSCAPE) if readable(page.tables, shape)] or [LANDSCAPE]
    if not page.tables:
        shapes = [PORTRAIT]
    tries: list[MadePage] = []
    for shape in shapes:
        for first in (True, False):
            tries.append(_set(book, page, anchor, shape, first))
            if tries[-1].count == 1 and tries[-1].squeezed <= _SQUEEZED:
                return tries[-1]
    return min(tries, key=lambda made: (made.count, made.squeezed > _SQUEEZED))


def _drawn(book: Book, page: Page, anchor: str) -> MadePage:
    """Return a drawing on its sheets; notes, cautions and remarks stand in the drawing itself."""
    head = Head.of(page, book.stamp, LANDSCAPE.wide)
    room = LANDSCAPE.high - head.high
    sheets = [[drawing] for drawing in svgs(page, room=(LANDSCAPE.wide - 1.0, room - 1.0))]
    return MadePage(page, anchor, "".join(_sections(sheets, head, LANDSCAPE, anchor)), "", len(sheets))


def _set(book: Book, page: Page, anchor: str, shape: Shape, cautions_first: bool) -> MadePage:
    head = Head.of(page, book.stamp, shape.wide)
    deal = Deal(shape.high - head.high)
    css: list[str] = []
    remarks = (*book.faults, *page.remarks)
    _said(deal, [row for row in remarks if row.kind in _LOUD], shape)
    if cautions_first or page.kind == "steps":
        _cautions(deal, page, shape)
    if page.kind == "steps":
        for piece, after in pieces(page.steps, shape.wide):
            deal.put(piece, after=after)
    else:
        _tables(deal, page, shape, anchor, css)
    _notes(deal, page.notes, shape)
    _said(deal, [row for row in remarks if row.kind not in _LOUD], shape)
    if not cautions_first and page.kind != "steps":
        _cautions(deal, page, shape)
    return MadePage(
        page,
        anchor,
        "".join(_sections(deal.sheets, head, shape, anchor)),
        "".join(css),
        len(deal.sheets),
        max((Grid.of(table, shape.wide).squeezed() for table in page.tables), default=0.0),
    )


def _sections(sheets: Sequence[Sequence[str]], head: Head, shape: Shape, anchor: str) -> Iterator[str]:
    for number, parts in enumerate(sheets, 1):
        name = f' id="{anchor}"' if number == 1 else ""
        yield f'<section class="sheet {shape.name}"{name}>\n{head.html(number, len(sheets))}\n{"".join(parts)}\n</section>\n'


def _tables(deal: Deal, page: Page, shape: Shape, anchor: str, css: list[str]) -> None:
    for place, table in enumerate(page.tables):
        grid, name = Grid.of(table, shape.wide), f"{anchor}t{place}"
        css.append(grid.css(name))
        head, units = grid.head(name), list(grid.units())
        if table.title:
            first = sum(piece.high for piece in units[0]) if units else 0.0
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


def _said(deal: Deal, rows: Sequence[Remark], shape: Shape) -> None:
    for row in rows:
        loud = row.kind in _LOUD
        words = f"{row.kind.upper()}: {row.text}"
        high = len(wrap(words, shape.wide - 6.0, BODY.points, True)) * BODY.line + 4.4 if loud else _note_high(words, shape)
        deal.put(
            Piece(high, f'<p class="said{" loudly" if loud else ""}"><b>{plain(row.kind.upper())}:</b> {inert(row.text)}</p>')
        )


def _cautions(deal: Deal, page: Page, shape: Shape) -> None:
    for row in page.cautions:
        high = len(wrap(f"{row.area.upper()}: {row.text}", shape.wide, SMALL.points, True)) * SMALL.line + 0.8
        deal.put(Piece(high, f'<p class="caution"><b>{plain(row.area.upper())}:</b> {inert(row.text)}</p>'))
