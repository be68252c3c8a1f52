"""A page as typst source: its sheet, its head, and everything that must be on it.

Comes in: a `Page`, its book, the paper.  Goes out: source.  Next: `document.py`.

Lists stand upright where that breaks no word and costs no sheet, else across, else on the large sheet.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil
from typing import Any

import attrs

from patchloom.drawing import Scene, scene_svg, scenes
from patchloom.drawing.fonts import FAMILIES, missing, scripts
from patchloom.model.base import dump
from patchloom.pages import Page, Remark, say_in
from patchloom_pdf.checklist import checklist
from patchloom_pdf.columns import needs
from patchloom_pdf.grid import grid
from patchloom_pdf.head import Head
from patchloom_pdf.letters import texts
from patchloom_pdf.paper import MARGIN, Paper, Shape
from patchloom_pdf.words import Words, mm

__all__ = ["PREAMBLE", "Sheets"]

PREAMBLE = """
#let note(t) = block(above: 1.3mm, below: 0.9mm, text(size: 9pt, t))
#let said(kind, t) = block(above: 1.3mm, below: 0.9mm, text(size: 9pt)[#b(kind + ":") #t])
#let loud(kind, t) = block(width: 100%, above: 1mm, below: 1.4mm, stroke: 0.9mm, inset: 1.4mm)[#b(kind + ": ")#b(t)]
#let title(t) = block(sticky: true, above: 3mm, below: 1.5mm, s(t))
"""
"""What the source of a page calls."""

_LOUD = ("stop", "safety")
_BOLD = 1.05


@attrs.frozen
class Sheets:
    """What makes the source of pages."""

    book: Any
    paper: Paper
    words: Words
    lost: frozenset[str]

    def source(self, page: Page, key: str) -> str:
        """Return the source of a page; `key` is its own in a file."""
        if page.kind in ("plan", "diagram") and (page.plan or page.diagram):
            return self._drawn(page, key)
        shape = self._shape(page)
        head = Head.of(page, self.book.stamp, shape.room_wide, key, self.words)
        room = shape.room_high - head.high
        parts = [*self._said(page, True, shape), *self._cautions(page, shape)]
        parts += self._tables(page, shape, room)
        parts += checklist(page.steps, shape.room_wide, self.words, say_in(page.language))
        parts += [*self._notes(page.notes, shape), *self._said(page, False, shape)]
        return _sheet(shape, head, key, "".join(parts))

    # -- words -------------------------------------------------------------------------------------------

    def _remarks(self, page: Page) -> tuple[Remark, ...]:
        """Return everything to be said: papers that broke, findings, and letters that could not be printed."""
        rows = (*self.book.faults, *page.remarks)
        if not self.lost:
            return rows
        here = [sign for sign in missing(texts(dump(page))) if sign in self.lost]
        if not here:
            return rows
        text = say_in(page.language)(
            "Letters that no font here holds stand as boxes: {scripts}. "
            "The name in full is in the other formats; name a folder of fonts to print it here.",
            scripts=", ".join(scripts(here)),
        )
        return (*rows, Remark("letters", text))

    def _said(self, page: Page, loud: bool, shape: Shape) -> Iterator[str]:
        say = say_in(page.language)
        for row in self._remarks(page):
            grave = row.kind in (*_LOUD, "letters")
            if grave is loud:
                call = "loud" if loud else "said"
                text = self.words.fitted(row.text, shape.room_wide - 6, 10, loud)
                yield f"#{call}({self.words.quoted(say(row.kind).upper())}, {text})\n"

    def _cautions(self, page: Page, shape: Shape) -> Iterator[str]:
        for row in page.cautions:
            text = self.words.fitted(row.text, shape.room_wide, 9, False)
            yield f"#said({self.words.quoted(say_in(page.language)(row.area).upper())}, {text})\n"

    def _notes(self, notes: tuple[str, ...], shape: Shape) -> Iterator[str]:
        yield from (f"#note({self.words.fitted(note, shape.room_wide, 9, False)})\n" for note in notes)

    # -- tables ------------------------------------------------------------------------------------------

    def _shape(self, page: Page) -> Shape:
        """Return the sheet of a page of tables: as few sheets as can be, upright where it makes no difference."""
        if not page.tables:
            return self.paper.tall
        asked = [needs(table) for table in page.tables]
        least = max(sum(need.least) for need in asked)
        shapes = [shape for shape in (self.paper.tall, self.paper.wide) if least <= shape.room_wide]
        wide = self.paper.plots_large and max(sum(need.ideal) for need in asked) > self.paper.wide.room_wide * _BOLD
        if wide or not shapes:
            return self.paper.large
        tall = [sum(need.high(need.widths(shape.room_wide)) + 8.0 for need in asked) for shape in shapes]
        rooms = [shape.room_high - 60.0 for shape in shapes]
        return min(zip(shapes, tall, rooms, strict=True), key=lambda row: ceil(row[1] / row[2]))[0]

    def _tables(self, page: Page, shape: Shape, room: float) -> Iterator[str]:
        for table in page.tables:
            if table.title:
                yield f"#title({self.words.fitted(table.title, shape.room_wide, 12, True)})\n"
            yield grid(table, shape.room_wide, room, self.words)
            yield from self._notes(table.notes, shape)

    # -- drawings ----------------------------------------------------------------------------------------

    def _drawn(self, page: Page, key: str) -> str:
        """Return the source of a drawing, each of its scenes on a sheet of its own, at its full size."""
        told = attrs.evolve(page, remarks=self._remarks(page))
        best: tuple[Shape, Head, tuple[Scene, ...]] | None = None
        kept = False
        for shape in (self.paper.large,) if self.paper.plots_large else (self.paper.wide, self.paper.large):  # the smaller first
            head = Head.of(page, self.book.stamp, shape.room_wide, key, self.words)
            room = (shape.room_wide - 0.5, shape.room_high - head.high - 1.0)
            made = scenes(told, room=room)
            fits = all(scene.wide <= room[0] + 0.01 and scene.high <= room[1] + 0.01 for scene in made)
            if best is None or not kept or (fits and len(made) < len(best[2])):
                best, kept = (shape, head, made), fits
            if fits and len(made) == 1:
                break
        assert best is not None
        shape, head, made = best
        wide = max((scene.wide for scene in made), default=0.0) + 0.5
        high = max((scene.high for scene in made), default=0.0) + 1.0 + head.high
        if wide > shape.room_wide + 0.6 or high > shape.room_high + 1.1:  # one thing alone asks for a larger sheet
            grow = (max(shape.wide, wide + 2 * MARGIN), max(shape.high, high + 2 * MARGIN))
            shape = Shape(*grow, grow[0] - 2 * MARGIN, grow[1] - 2 * MARGIN)
        family = ", ".join(f"'{name}'" for name in FAMILIES)
        parts = [self._picture(scene, family) for scene in made]
        return _sheet(shape, head, key, "#pagebreak()\n".join(parts))

    def _picture(self, scene: Scene, family: str) -> str:
        source = Words.raw(self.words.said(scene_svg(scene, inline=True, family=family).replace("\n", " ")))
        size = f"width: {mm(scene.wide)}, height: {mm(scene.high)}"
        picture = f'image(bytes({source}), format: "svg", {size}, alt: {self.words.quoted(scene.title)})'
        return f"#block(above: 0pt, below: 0pt, {picture})\n"


def _sheet(shape: Shape, head: Head, key: str, body: str) -> str:
    """Return the source of a page on a sheet: its head above, its first and last sheet named.

    In brackets of its own: what is set for one page is then not looked through for every letter of all that follow.
    """
    side, top = (shape.wide - shape.room_wide) / 2, MARGIN
    margins = f"left: {mm(side)}, right: {mm(side)}, top: {mm(top + head.high)}, bottom: {mm(shape.high - shape.room_high - top)}"
    return (
        f"#[#set page(width: {mm(shape.wide)}, height: {mm(shape.high)}, margin: ({margins}), header-ascent: 2mm, "
        f"header: {head.source})\n#metadata(none)<s{key}>\n{body}#metadata(none)<e{key}>]"
    )
