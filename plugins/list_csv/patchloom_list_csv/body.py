"""The rows below a header become entries: one per line somebody will plug.

Comes in: rows and a `Table`.  Goes out: `Entry` objects in the order of the sheet; every row that gives
none is reported with its reason.  Next: `show.py` makes the document.
"""

from __future__ import annotations

from itertools import zip_longest
from typing import Any

import attrs

from patchloom_list_csv import marks
from patchloom_list_csv.headers import Table, number_of, score
from patchloom_list_csv.report import Report, cell
from patchloom_list_csv.text import Rows

__all__ = ["Entry", "entries"]

_TOTALS = ("total", "totals", "sum", "summe", "totale", "count")
_OUTPUTS = ("output", "outputs", "outs", "output list", "ausg\u00e4nge", "sorties", "uscite", "salidas", "sends")


@attrs.define
class Entry:
    """One line of the sheet, as it was understood."""

    name: str
    row: int
    where: str
    """Address of the cell with the name."""
    channels: tuple[int, ...] = ()
    legs: tuple[str, ...] = ()
    fields: dict[str, str] = attrs.field(factory=dict)
    """Fields of the source: phantom, kind, mic, stand, person, zone, group, notes."""
    insert: str = ""
    gap: bool = False
    """Whether the row only keeps a channel empty."""
    at: dict[str, int] = attrs.field(factory=dict)
    """Channel of each position column."""


def entries(rows: Rows, table: Table, report: Report) -> list[Entry]:
    """Return the entries of one table."""
    reader = _Reader(table, report, _numbered(rows, table))
    for number, row in enumerate(rows[table.body :], start=table.body + 1):
        reader.take(number, [row[column] if column < len(row) else "" for column in range(max(table.columns, default=-1) + 1)])
    return _paired(reader.made, report)


def _numbered(rows: Rows, table: Table) -> frozenset[int]:
    """Return every channel number the table names by itself."""
    column = table.column("channel")
    if column is None:
        return frozenset()
    found = (number_of(row[column]) for row in rows[table.body :] if column < len(row))
    return frozenset(number for number in found if number)


class _Reader:
    """Walks down a table; remembers the row above for ditto marks and the section it is in."""

    def __init__(self, table: Table, report: Report, numbered: frozenset[int]) -> None:
        self.table = table
        self.numbered = numbered
        self.report = report
        self.made: list[Entry] = []
        self.above: dict[int, str] = {}
        self.section = ""
        self.outputs = False

    def take(self, number: int, row: list[str]) -> None:
        """Read one row."""
        cells = {column: row[column] for column in self.table.columns}
        said = [text for text in cells.values() if text]
        reason = self._reason(cells, said)
        if reason:
            self.report.skip(number, reason, " | ".join(said))
            return
        cells = self._dittos(number, cells)
        if self._gap(number, cells):
            return
        self.made.extend(self._entries(number, cells))
        self.above = cells

    def _reason(self, cells: dict[int, str], said: list[str]) -> str:
        """Return why a row is no line, or nothing."""
        if not said:
            return "blank row"
        if self.outputs:
            return "below an outputs heading"
        if self._header_again(cells, said):
            return "the header again"
        first = said[0].casefold().strip(" :=")
        if first in _TOTALS or (first.split(" ")[0].rstrip(":") in _TOTALS and len(said) <= 2):
            return "a total"
        if first in _OUTPUTS:
            self.outputs = True
            self.report.ask("", "The outputs below are not read; who makes these mixes, and where do they go?", said[0])
            return "an outputs heading"
        return self._section(cells, said)

    def _header_again(self, cells: dict[int, str], said: list[str]) -> bool:
        """Return whether a row is the header once more, as on every page of a print."""
        header = self.table.header
        if header and all(column < len(header) and text == header[column] for column, text in cells.items()):
            return True
        words = score(said) >= max(2, len(said) - 1) and len(said) > 2
        return words and not any(number_of(text) is not None for text in said)

    def _section(self, cells: dict[int, str], said: list[str]) -> str:
        """Take note of a section row: one word alone, no number anywhere, where numbered rows are the rule."""
        channel, name = self.table.column("channel"), self.table.column("name")
        if len(said) != 1 or number_of(said[0]) is not None or marks.is_unused(said[0]) or marks.is_ditto(said[0]):
            return ""
        alone = next(column for column, text in cells.items() if text)
        heading = (said[0].isupper() and len(said[0]) > 2) or said[0].endswith(":")
        if alone not in (channel, name) or (channel is None and not heading):
            return ""
        if len(self.table.columns) == 1 and not said[0].endswith(":"):
            return ""
        self.section = said[0].strip(" :=-")
        return "a section heading; its word becomes the group of the rows below"

    def _dittos(self, number: int, cells: dict[int, str]) -> dict[int, str]:
        made = dict(cells)
        for column, text in cells.items():
            if marks.is_ditto(text):
                made[column] = self.above.get(column, "")
                self.report.guess(cell(column, number), f"a ditto mark: taken as {made[column]!r}", text)
        return made

    def _gap(self, number: int, cells: dict[int, str]) -> bool:
        """Return whether a row keeps a channel and names nothing; it becomes an empty channel."""
        name = self.table.column("name")
        text = cells.get(name, "") if name is not None else ""
        if text and not marks.is_unused(text):
            return False
        where = cell(name or 0, number)
        found = self._channels(number, cells)
        if not text and any(cells[column] for column, meaning in self.table.columns.items() if meaning in _TELLING):
            self.report.ask(where, "What is plugged here? The row has no name.", " | ".join(filter(None, cells.values())))
        self.report.skip(number, "names no source" + (f"; channel {found[0]} stays empty" if found else ""), text)
        self.made.append(Entry(text, number, where, found, gap=True))
        return True

    def _channels(self, number: int, cells: dict[int, str]) -> tuple[int, ...]:
        column = self.table.column("channel")
        if column is None or not cells.get(column):
            return ()
        found = marks.channels(cells[column])
        where = cell(column, number)
        if found.guess:
            self.report.guess(where, found.guess, cells[column])
        if found.question:
            self.report.ask(where, found.question, cells[column])
        return found.numbers

    def _entries(self, number: int, cells: dict[int, str]) -> list[Entry]:
        """Return the entries of a row: one, or several where it stands for several sources."""
        name_column = self.table.column("name")
        where = cell(name_column or 0, number)
        text = cells[name_column] if name_column is not None else ""
        numbers = self._channels(number, cells)
        named = marks.name(text)
        stereo = self._stereo(cells, named, numbers)
        count = 1
        if stereo:
            self.report.guess(where, "taken as one stereo source", text)
        elif named.many > 1:
            numbers = self._spread(numbers, named.many)
            if len(numbers) in (0, named.many):
                self.report.guess(where, named.guess, text)
                count = named.many
            else:
                named = marks.Name(text)
                self.report.ask(where, "one source or several? Only one channel is free, so it is read as one", text)
        fields = self._fields(number, cells, text)
        made = []
        for at in range(count):
            entry = Entry(named.text if count == 1 else f"{named.text} {named.first + at}", number, where, fields=dict(fields))
            entry.channels = numbers if count == 1 else numbers[at : at + 1]
            entry.legs = ("L", "R") if stereo else ()
            made.append(entry)
        self._places(number, cells, made)
        return made

    def _stereo(self, cells: dict[int, str], named: marks.Name, numbers: tuple[int, ...]) -> bool:
        """Return whether a row is one stereo source, by its name, a mark, its channels or its notes."""
        marked, notes = self.table.column("stereo"), self.table.column("notes")
        if named.stereo or (marked is not None and marks.yes(cells[marked])):
            return True
        if named.many > 1:
            return False
        return len(numbers) == 2 or (notes is not None and "stereo" in cells[notes].casefold())

    def _spread(self, numbers: tuple[int, ...], count: int) -> tuple[int, ...]:
        """Return the channels of several sources in one row: one number and the free ones behind it."""
        run = tuple(range(numbers[0], numbers[0] + count)) if len(numbers) == 1 else ()
        return run if run and not set(run[1:]) & self.numbered else numbers

    def _places(self, number: int, cells: dict[int, str], made: list[Entry]) -> None:
        """Fill the insert and the channels at each position."""
        insert = self.table.column("insert")
        for at, entry in enumerate(made):
            entry.insert = cells[insert] if insert is not None else ""
            width = len(entry.legs) or 1
            for column, meaning in self.table.columns.items():
                kind, _, position = meaning.partition(":")
                if kind == "position" and cells[column] and not marks.is_unused(cells[column]):
                    found = marks.channels(cells[column]).numbers
                    entry.at[position] = found[0] + at * width if found else 0
                    if not found and not marks.yes(cells[column]):
                        self.report.ask(cell(column, number), f"what does this mean at {position}? Read as wanted", cells[column])

    def _fields(self, number: int, cells: dict[int, str], text: str) -> dict[str, str]:
        """Return the fields of the source a row describes."""
        made: dict[str, str] = {}
        notes: list[str] = []
        for column, meaning in self.table.columns.items():
            value, where = cells[column], cell(column, number)
            if not value:
                continue
            if meaning == "phantom":
                made["phantom"], question = marks.phantom(value)
                if question:
                    self.report.ask(where, question, value)
            elif meaning in _PLAIN:
                made[_PLAIN[meaning]] = self._plain(meaning, value, where)
            elif meaning == "notes":
                notes.append(value)
            elif meaning == "line":
                notes.append(f"line {value}")
            elif meaning.startswith("other:"):
                notes.append(f"{meaning[6:]}: {value}")
        if self.section and "group" not in made:
            made["group"] = self.section
        kind = marks.kind_of(made.get("mic", ""), text)
        if kind:
            made["kind"] = kind
            where = cell(self.table.column("mic") or self.table.column("name") or 0, number)
            self.report.guess(where, f"drawn as {kind}", made.get("mic", text))
        if notes:
            made["notes"] = "; ".join(notes)
        return made

    def _plain(self, meaning: str, value: str, where: str) -> str:
        if meaning != "stand":
            return value
        words = marks.stand(value)
        if words != value:
            self.report.guess(where, f"taken as {words}", value)
        return words


_TELLING = ("mic", "phantom", "line", "notes")
_PLAIN = {"mic": "mic", "stand": "stand", "location": "zone", "person": "person", "group": "group"}


def _paired(found: list[Entry], report: Report) -> list[Entry]:
    """Return the entries with `Keys L` and `Keys R` on neighbouring rows made one stereo source."""
    made: list[Entry] = []
    skip = False
    for entry, after in zip_longest(found, found[1:]):
        if skip:
            skip = False
            continue
        if after is not None and _is_pair(entry, after):
            report.guess(entry.where, f"with row {after.row} taken as one stereo source", f"{entry.name} / {after.name}")
            _join(entry, after)
            skip = True
        made.append(entry)
    return made


def _is_pair(one: Entry, other: Entry) -> bool:
    base, side = marks.base_and_side(one.name)
    other_base, other_side = marks.base_and_side(other.name)
    if one.gap or other.gap or one.legs or other.legs:
        return False
    if (side, other_side) != ("L", "R") or base.casefold() != other_base.casefold():
        return False
    if one.fields.get("phantom") != other.fields.get("phantom"):
        return False
    return not one.channels or not other.channels or other.channels[0] == one.channels[-1] + 1


def _join(one: Entry, other: Entry) -> None:
    """Make one stereo entry of two rows; what only the second says is kept."""
    one.name = marks.base_and_side(one.name)[0]
    one.legs = ("L", "R")
    one.channels = (*one.channels, *other.channels)
    merged: dict[str, Any] = {**other.fields, **one.fields}
    notes = dict.fromkeys(filter(None, (one.fields.get("notes"), other.fields.get("notes"))))
    if notes:
        merged["notes"] = "; ".join(notes)
    one.fields = merged
    one.at = {**other.at, **one.at}
