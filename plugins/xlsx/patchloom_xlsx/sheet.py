"""A page on sheets of a workbook: one table a sheet, with all that must be said.

Comes in: a page, its book.  Goes out: sheets in the workbook.  Next: the artifact.

On top: title, stamp, and what is grave; then the table, its head frozen and filtered; below it notes, cautions and
everything else to be said.  Where much is grave, the top says how much, and it stands in full below: a frozen head that
fills the window would leave no row to see.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from math import ceil
from typing import Any

from patchloom.pages import Book, Cell, Column, Page, Row, Table, say_in
from patchloom.pages.files import clean
from patchloom.pages.words import Say
from patchloom_xlsx.looks import POINTS, Looks
from patchloom_xlsx.names import Names

__all__ = ["tables_of", "write"]

_LOUD = ("stop", "safety")
_NUMBER = re.compile(r"-?(?:0|[1-9][0-9]{0,14})\Z")
_MOST_LETTERS, _MOST_LOUD, _WIDEST, _LEAST, _LINES = 32767, 4, 44.0, 5.0, 12
_TICK = "\u2610"
_SCALES = {"strong": 1.32, "big": 1.54}
_ROW = 18.5  # points; 6.5 mm


def tables_of(page: Page) -> Iterator[Table]:
    """Yield what a page holds as tables: its own, its steps, the things of its drawing."""
    say = say_in(page.language)
    yield from page.tables
    if page.steps:
        yield _steps(page)
    if page.diagram is not None:
        names = {node.id: node.label or node.id for node in page.diagram.nodes}
        rows = [
            Row(
                (
                    names.get(edge.from_, edge.from_),
                    edge.from_port,
                    names.get(edge.to, edge.to),
                    edge.to_port,
                    say(edge.kind),
                    "; ".join(word for word in (edge.label, *edge.lines) if word),
                )
            )
            for edge in page.diagram.edges
        ]
        yield Table("links", columns=_columns(say, "From", "Port", "To", "Port", "Kind", "What"), rows=tuple(rows))
    if page.plan is not None:
        things = []
        for thing in page.plan.things:
            x, y = (f"{value:g}" for value in thing.at) if thing.at else ("", "")
            things.append(Row((say(thing.kind), thing.label, "; ".join(thing.lines), thing.zone, x, y)))
        yield Table("things", columns=_columns(say, "Kind", "What", "Words", "Zone", "x m", "y m"), rows=tuple(things))


def _columns(say: Say, *titles: str) -> tuple[Column, ...]:
    return tuple(Column(f"c{place}", say(title)) for place, title in enumerate(titles))


def _steps(page: Page) -> Table:
    say = say_in(page.language)
    columns = [
        Column("n", say("No."), kind="number"),
        Column("group", say("Group")),
        Column("do", say("Do"), size="bold"),
        Column("care", say("Take care")),
        Column("heard", say("Heard by")),
        Column("done", say("Done"), kind="tick"),
    ]
    rows, number = [], 0
    for group in page.steps:
        for step in group.steps:
            number += 1
            tick = Cell("", ("tick",))
            rows.append(Row((str(number), group.title, step.text, step.caution, ", ".join(step.hears), tick), block=number))
            rows.extend(Row(("", group.title, line, "", "", ""), block=number) for line in step.lines)
    return Table("steps", columns=tuple(columns), rows=tuple(rows))


def write(workbook: Any, looks: Looks, names: Names, book: Book, page: Page, paper: int) -> None:
    """Add the sheets of a page to a workbook."""
    every = list(tables_of(page)) or [Table("words")]
    for table in every:
        title = table.title if len(every) > 1 else ""
        sheet = workbook.add_worksheet(names.new(page.subject or page.title, page.title, page.period, title))
        _Sheet(sheet, looks, book, page, table, paper).write()


class _Sheet:
    """One sheet being written, row by row."""

    def __init__(self, sheet: Any, looks: Looks, book: Book, page: Page, table: Table, paper: int) -> None:
        self.sheet, self.looks, self.book, self.page, self.table, self.paper = sheet, looks, book, page, table, paper
        self.say = say_in(page.language)
        self.row = 0
        self.last = max(0, len(table.columns) - 1)
        self.widths = [_width(table, place) for place in range(len(table.columns))]
        self.letters = sum(self.widths) or 80.0
        self.points = max((POINTS.get(column.size, 10) for column in table.columns), default=10)

    def write(self) -> None:
        """Write all of it."""
        self._print()
        for place, wide in enumerate(self.widths):
            self.sheet.set_column(place, place, wide)
        remarks = (*self.book.faults, *self.page.remarks)
        grave = [row for row in remarks if row.kind in _LOUD]
        self._words(_joined(self.page.title, self.page.subject_name or self.page.subject, self.table.title), self.looks.title())
        for line in _stamp(self.book, self.page):
            self._words(line)
        few = len(grave) <= _MOST_LOUD
        for row in grave if few else ():
            self._words(f"{self.say(row.kind).upper()}: {row.text}", self.looks.words(loud=True))
        if not few:
            self._words(
                f"STOP or SAFETY: {len(grave)} findings; they stand in full below the table.", self.looks.words(loud=True)
            )
        self._table()
        self.row += 1
        for note in (*self.table.notes, *self.page.notes):
            self._words(note)
        for caution in self.page.cautions:
            self._words(f"{self.say(caution.area).upper()}: {caution.text}")
        for row in remarks:
            if not few or row.kind not in _LOUD:
                self._words(f"{self.say(row.kind).upper()}: {row.text}", self.looks.words(loud=row.kind in _LOUD))

    def _print(self) -> None:
        wide = self.letters > 95
        self.sheet.set_paper(self.paper)
        (self.sheet.set_landscape if wide else self.sheet.set_portrait)()
        self.sheet.fit_to_pages(1, 0)
        self.sheet.set_margins(0.4, 0.4, 0.6, 0.6)
        stamp = self.book.stamp
        left = f"REV {stamp.revision or '-'} {stamp.status} {_short(stamp.patch)} {_short(self.page.digest)}" if stamp else ""
        self.sheet.set_footer(f"&L{clean(left)[:120].replace('&', '&&')}&Rpage &P of &N")

    def _words(self, text: str, look: Any = None) -> None:
        """Write running words over the whole width of the table."""
        if not text:
            return
        look = look or self.looks.words()
        cells = _text(text)
        lines = min(_LINES, ceil(len(cells) * 1.1 / self.letters)) or 1
        self.sheet.set_row(self.row, max(_ROW, lines * 13.5))
        if self.last:
            self.sheet.merge_range(self.row, 0, self.row, self.last, "", look)
        self.sheet.write_string(self.row, 0, cells, look)
        self.row += 1

    def _table(self) -> None:
        columns, rows = self.table.columns, self.table.rows
        if not columns:
            return
        top = self.row
        titled = any(column.title for column in columns)
        if titled:
            for place, column in enumerate(columns):
                self.sheet.write_string(top, place, _text(column.title), self.looks.head())
            self.row += 1
        before: Row | None = None
        for row in rows:
            self._row(row, rule=before is not None and before.block != row.block)
            before = row
        if titled:
            self.sheet.freeze_panes(top + 1, 0)
            self.sheet.repeat_rows(top)
            if rows:
                self.sheet.autofilter(top, 0, self.row - 1, self.last)
                self.sheet.ignore_errors({"number_stored_as_text": f"A{top + 1}:{_letter(self.last)}{self.row}"})

    def _row(self, row: Row, *, rule: bool) -> None:
        cells: Sequence[Cell] = row.cells
        lines = 1
        if row.kind == "section":
            text = _text(" ".join(cell.text for cell in cells if cell.text))
            self.sheet.write_string(self.row, 0, text, self.looks.section())
        else:
            for place, (column, cell) in enumerate(zip(self.table.columns, cells, strict=False)):
                text = _TICK if "tick" in cell.marks and not cell.text else _text(cell.text)
                number = column.kind == "number" and bool(_NUMBER.match(text))
                look = self.looks.cell(column, cell, rule=rule, number=number)
                if not text:
                    self.sheet.write_blank(self.row, place, None, look)
                elif number:
                    self.sheet.write_number(self.row, place, int(text), look)
                else:
                    self.sheet.write_string(self.row, place, text, look)
                    if len(text) * 3 > self.widths[place]:
                        lines = max(lines, ceil(_letters(column, text) / self.widths[place]))
        self.sheet.set_row(self.row, min(409.0, max(_ROW, min(lines, _LINES) * self.points * 1.35)))
        self.row += 1


def _width(table: Table, place: int) -> float:
    """Return the width of a column in letters of the body size."""
    column = table.columns[place]
    texts = {row.cells[place].text for row in table.rows if row.kind != "section" and place < len(row.cells)}
    most = max((_letters(column, text) for text in sorted(texts)), default=0.0)
    return min(_WIDEST, max(_LEAST, len(column.title) * 0.75 + 3.0, most + 1.5))


def _letters(column: Column, text: str) -> float:
    """Return how wide a text is, in letters of the body size; East Asian ones count two."""
    wide = 0 if text.isascii() else sum(sign > "\u2e80" for sign in text)
    return (len(text) + wide) * _SCALES.get(column.size, 1.0)


def _text(text: str) -> str:
    """Return a text as a cell can hold it: the format has room for 32767 letters."""
    words = clean(text)
    return words if len(words) <= _MOST_LETTERS else words[: _MOST_LETTERS - 1] + "\u2026"


def _letter(place: int) -> str:
    """Return the letters of a column."""
    name = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        name = chr(65 + rest) + name
    return name


def _short(digest: str) -> str:
    return digest.rpartition(":")[2][:8] or "-"


def _joined(*words: str) -> str:
    return " \u2014 ".join(word for word in words if word)


def _stamp(book: Book, page: Page) -> Iterator[str]:
    """Yield the stamp in two lines, and what the page is about."""
    stamp, say = book.stamp, say_in(page.language)
    if stamp is not None:
        yield _joined(stamp.show, stamp.date, page.period_name or page.period, page.about)
        yield _joined(
            say("REV {revision}", revision=stamp.revision or say("none given")),
            say(stamp.status),
            say("replaces REV {revision}", revision=stamp.replaces) if stamp.replaces else say("replaces nothing"),
            say("changes since last issue: {count}", count=stamp.changes) if stamp.changes is not None else "",
            say("made {when}", when=stamp.generated) if stamp.generated else "",
            say("approved {who}", who=stamp.approver) if stamp.approver else say("not approved"),
            say("patch {digest}", digest=_short(stamp.patch)),
            say("this paper {digest}", digest=_short(page.digest)),
        )
    elif page.about:
        yield page.about
