"""A plain input list, as a separated text file, becomes a show document and a report of every guess.

Comes in: the bytes of a file somebody sent.  Goes out: `Imported`.  Next: a person reads the report,
answers the questions, and `patchloom.document` reads the document.

    text.py     bytes to rows of cells          headers.py  which row is the header, what columns mean
    marks.py    what people write in a cell     body.py     rows to entries
    show.py     entries to a show document      report.py   guesses, skipped rows, questions

No row is dropped without being named; nothing in the file is calculated, opened or followed.
"""

from __future__ import annotations

from patchloom.finding import Imported
from patchloom_list_csv.body import Entry, entries
from patchloom_list_csv.headers import find, score
from patchloom_list_csv.report import Report
from patchloom_list_csv.show import document
from patchloom_list_csv.text import SEPARATORS, Rows, clean, decode, split

__all__ = ["read"]


def read(data: bytes) -> Imported:
    """Return the show an input list describes, and everything that was guessed, left out or is still to be asked.

    Encodings: UTF-8, UTF-16, Windows 1252.  Separators: semicolon, tab, comma, bar.  Line ends: any.
    """
    report = Report()
    text = decode(data, report)
    rows = clean(split(text, _separator(text, report), report), report)
    tables = find(rows, report)
    title = _titles(rows, tables[0].body - 1 if tables else 0, report)
    found: list[Entry] = []
    for table in tables:
        found.extend(entries(rows, table, report))
    if not any(not entry.gap for entry in found):
        report.ask("", "No source was found; is this an input list?")
    made = document(found, title, report)
    return Imported(made, tuple(report.guesses), tuple(report.skipped), tuple(report.questions), len(rows))


def _separator(text: str, report: Report) -> str:
    """Return the separator under which a header shows best, then the one that makes the most cells."""

    def worth(separator: str) -> tuple[int, int]:
        rows = split(text[:20_000], separator)[:60]
        return max((score(row) for row in rows), default=0), sum(len(row) - 1 for row in rows)

    best = max(SEPARATORS, key=lambda separator: (worth(separator), -SEPARATORS.index(separator)))
    words = {";": "semicolons", "\t": "tabs", ",": "commas", "|": "bars"}[best]
    if worth(best)[1]:
        report.guess("", f"cells are parted by {words}")
    return best


def _titles(rows: Rows, header: int, report: Report) -> str:
    """Return the first words above the header as the name of the show; every row above it is reported."""
    title = ""
    for number, row in enumerate(rows[: max(header, 0)], start=1):
        said = [text for text in row if text]
        report.skip(number, "above the header" if said else "blank row", " | ".join(said))
        if said and not title:
            title = said[0]
            report.guess(f"row {number}", "taken as the name of the show", title)
    return title
