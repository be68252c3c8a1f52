"""Tables and checklists as CSV: one file per page, the same rows as on paper.

Comes in: a `Book` and options.  Goes out: `Artifact`s of `text/csv`.  Next: any spreadsheet.

UTF-8 with a byte order mark (so that spreadsheets read names rightly), commas, CRLF, per RFC 4180.  The
stamp, notes, cautions and remarks stand in rows of their own around the table.  A cell that a spreadsheet
would run (beginning with = + - @, tab or return) gets an apostrophe before it; so does one it would turn
into a date or another number (9/10, 1-2, 01, 1E2).  Drawings are listed as words.

Options: `bom` (default true), `stamp` (default true; false leaves only heads and rows).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from operator import attrgetter
from typing import Any

from patchloom.collector import at_rest
from patchloom.pages import Artifact, Book, Page, Table, say_in
from patchloom.pages.files import clean, file_names

__all__ = ["defused", "render"]

_TEXT = attrgetter("text")
_QUOTED = re.compile('[",\r\n]')
_RUNS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
_NUMBER = re.compile(r"-?(0|[1-9][0-9]{0,14})(\.[0-9]+)?\Z")
_CHANGED = re.compile(
    r"\s*(?:"
    r"[0-9]{1,4}\s*[-/.:]\s*[0-9]{1,4}(?:\s*[-/.:]\s*[0-9]{1,4})?"  # 9/10, 1-2, 3.4.2025, 10:30
    r"|0[0-9]+(?:\.[0-9]+)?"  # 01
    r"|[0-9.]+[eE][+-]?[0-9]+"  # 1E2
    r"|[0-9]{16,}"  # digits that would be rounded
    r"|[0-9]{1,2}[-/ ]?[A-Za-z]{3,9}[-/ ]?[0-9]{0,4}"  # 3 May, 1-Mar
    r"|[A-Za-z]{3,9}[-/. ]?[0-9]{1,4}"  # MAY-7, Oct 3
    r"|true|false"
    r")\s*\Z",
    re.IGNORECASE,
)
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_WORDS = frozenset((*_MONTHS, "tru", "fal"))
"""How words begin that a spreadsheet may turn into something else."""


def defused(text: str) -> str:
    """Return a cell that no spreadsheet runs as a formula or turns into a date or another number."""
    if not text:
        return ""
    plain = clean(text)
    if not plain.isascii():
        plain = plain.replace("\u2068", "").replace("\u2069", "")
    if plain[:1].isalpha() and plain == text:  # a word: it is run by nobody
        return f"'{plain}" if plain[:3].lower() in _WORDS and _turns(plain) else plain
    if _NUMBER.match(plain):
        return plain
    if text.startswith(_RUNS) or plain.lstrip().startswith(_RUNS) or plain.startswith("'") or _turns(plain):
        return f"'{plain}"
    return plain


class _Fields(dict[str, str]):
    """Cells as they stand in a file, defused and in quotes where they need some, each made when it is first asked for."""

    def __missing__(self, text: str) -> str:
        if len(self) > _MOST_KEPT:
            self.clear()
        made = defused(text)
        if _QUOTED.search(made):
            quoted = made.replace('"', '""')
            made = f'"{quoted}"'
        self[text] = made
        return made


_FIELDS, _MOST_KEPT = _Fields(), 50_000


def _turns(text: str) -> bool:
    """Return whether a spreadsheet would take a text for a date, a time or a number other than it reads."""
    if not _CHANGED.match(text):
        return False
    letters = "".join(sign for sign in text if sign.isalpha()).lower()
    return not letters or letters in ("e", "true", "false") or letters.startswith(_MONTHS)


def render(book: Book, options: Mapping[str, Any] | None = None) -> Iterator[Artifact]:
    """Yield one CSV file for each page, in the order of the book."""
    chosen = options or {}
    for name, page in file_names(book):
        with at_rest():
            data = _bytes(_page(book, page) if chosen.get("stamp", True) else _body(page), bool(chosen.get("bom", True)))
        yield Artifact(f"{name}.csv", "text/csv; charset=utf-8", data)


def _bytes(rows: Iterable[Sequence[str]], bom: bool) -> bytes:
    """Return rows as CSV; a row of one cell with nothing in it is not a row of no cells."""
    field = _FIELDS.__getitem__
    text = "\r\n".join([*[",".join(map(field, row)) or ('""' if row else "") for row in rows], ""])
    return text.encode("utf-8-sig" if bom else "utf-8")


def _page(book: Book, page: Page) -> Iterator[list[str]]:
    """Yield every row of a page: stamp, body, then all that must be said."""
    stamp, say = book.stamp, say_in(page.language)
    yield [page.title, page.subject_name or page.subject]
    if stamp is not None:
        yield [say("Show"), stamp.show, say("Date"), stamp.date, say("Act"), page.period_name or page.period]
        yield [
            *(say("Revision"), stamp.revision, say("Status"), say(stamp.status)),
            *(say("Replaces"), stamp.replaces, say("Approved by"), stamp.approver),
        ]
        yield [say("Made"), stamp.generated, say("Patch"), stamp.patch, say("This paper"), page.digest]
        if stamp.changes is not None:
            yield [say("Changes since last issue"), str(stamp.changes)]
    if page.about:
        yield [page.about]
    yield from ([f"{say(row.kind).upper()}: {row.text}"] for row in (*page.remarks, *book.faults))
    yield []
    yield from _body(page)
    yield []
    yield from ([note] for note in page.notes)
    yield from ([row.text] for row in page.cautions)


def _body(page: Page) -> Iterator[list[str]]:
    for table in page.tables:
        yield from _table(table, alone=len(page.tables) == 1)
    number, say = 0, say_in(page.language)
    for group in page.steps:
        for step in group.steps:
            number += 1
            heard = say("heard by {positions}", positions=", ".join(step.hears)) if step.hears else ""
            yield [str(number), group.title, step.text, step.caution, heard]
            yield from (["", group.title, line, ""] for line in step.lines)
    if page.diagram is not None:
        yield [say(word) for word in ("From", "Port", "To", "Port", "Kind", "What")]
        names = {node.id: node.label or node.id for node in page.diagram.nodes}
        for edge in page.diagram.edges:
            yield [
                names.get(edge.from_, edge.from_),
                edge.from_port,
                names.get(edge.to, edge.to),
                edge.to_port,
                say(edge.kind),
                "; ".join(word for word in (edge.label, *edge.lines) if word),
            ]
    if page.plan is not None:
        yield [say(word) for word in ("Kind", "What", "Words", "Zone", "x m", "y m")]
        for thing in page.plan.things:
            x, y = (f"{value:g}" for value in thing.at) if thing.at else ("", "")
            yield [say(thing.kind), thing.label, "; ".join(thing.lines), thing.zone, x, y]


def _table(table: Table, alone: bool) -> Iterator[list[str]]:
    if not alone:
        yield [table.title or table.id]
    if any(column.title for column in table.columns):
        yield [column.title for column in table.columns]
    for row in table.rows:
        yield list(map(_TEXT, row.cells))
    yield from ([note] for note in table.notes)
    if not alone:
        yield []
