"""A page as sheets of paper.

Comes in: a `Page`, its book's stamp and faults.  Goes out: HTML sections, one a sheet, and the rules for its columns.
Next: `document.py`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patchloom_html.checklist import pieces
from patchloom_html.deal import Deal, Piece
from patchloom_html.grid import Grid, shape_for
from patchloom_html.head import Head
from patchloom_html.style import BODY, LANDSCAPE, PORTRAIT, SMALL, STRONG, Shape
from patchloom_html.words import inert, plain

from patchloom.drawing import svgs
from patchloom.drawing.metrics import wrap
from patchloom.pages import Book, Page, Remark

__all__ = ["Sheets", "page_sheets"]

_LOUD = ("stop", "safety")


class Sheets:
    """The sheets of one page: `html` of all of them, `css` of its tables."""

    def __init__(self, html: str, css: str, count: int) -> None:
        self.html, self.css, self.count = html, css, count


def page_sheets(book: Book, page: Page, anchor: str) -> Sheets:
    """Return the sheets of a page; `anchor` is the id of the first one."""
    drawn = page.kind in ("diagram", "plan")
    shape = LANDSCAPE if drawn else shape_for(page.tables) if page.tables else PORTRAIT
    head = Head.of(page, book.stamp, shape.wide)
    deal = Deal(shape.high - head.high)
    css: list[str] = []
    remarks = (*(row for row in book.faults if not drawn), *page.remarks)
    if drawn:
        _drawing(deal, page, shape)
    else:
        _said(deal, [row for row in remarks if row.kind in _LOUD], shape)
        if page.kind == "steps":
            _cautions(deal, page, shape)
            for piece, after in pieces(page.steps, shape.wide):
                deal.put(piece, after=after)
        else:
            _tables(deal, page, shape, anchor, css)
        _notes(deal, page.notes, shape)
        _said(deal, [row for row in remarks if row.kind not in _LOUD], shape)
        if page.kind != "steps":
            _cautions(deal, page, shape)
    return Sheets("".join(_sections(deal.sheets, head, shape, anchor)), "".join(css), len(deal.sheets))


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
        high = len(wrap(note, shape.wide * 0.98, SMALL.points)) * SMALL.line + 0.8
        deal.put(Piece(high, f'<p class="note">{inert(note)}</p>'))


def _said(deal: Deal, rows: Sequence[Remark], shape: Shape) -> None:
    for row in rows:
        loud = row.kind in _LOUD
        words = f"{row.kind.upper()}: {row.text}"
        high = len(wrap(words, (shape.wide - 5.0) * 0.98, BODY.points, loud)) * BODY.line + 4.4
        deal.put(Piece(high, f'<p class="said{" loudly" if loud else ""}"><b>{plain(row.kind.upper())}:</b> {inert(row.text)}</p>'))


def _cautions(deal: Deal, page: Page, shape: Shape) -> None:
    for row in page.cautions:
        high = len(wrap(f"{row.area.upper()}: {row.text}", shape.wide * 0.96, SMALL.points, True)) * SMALL.line + 0.8
        deal.put(Piece(high, f'<p class="caution"><b>{plain(row.area.upper())}:</b> {inert(row.text)}</p>'))


def _drawing(deal: Deal, page: Page, shape: Shape) -> None:
    """Put each sheet of a drawing on a sheet; notes, cautions and remarks stand in the drawing itself."""
    for drawing in svgs(page, room=(shape.wide - 1.0, deal.room - 1.0)):
        deal.put(Piece(deal.room, drawing))
