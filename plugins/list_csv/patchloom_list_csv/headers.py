"""Which row is the header, and what each column means.

Comes in: rows of cells.  Goes out: `Table`, the meaning of each column and where the body starts.
Next: `body.py` reads the rows below.

The words are those people use, in any case, spacing and punctuation.  Five of them (input, line, sub,
pos, patch) mean two things; what stands below them decides, and the guess is reported.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from patchloom_list_csv.report import Report, cell
from patchloom_list_csv.text import Rows

__all__ = ["MEANINGS", "POSITIONS", "Table", "find", "key", "number_of"]

MEANINGS: dict[str, tuple[str, ...]] = {
    "channel": ("Ch", "Ch#", "Ch.", "#", "No", "Nr", "Chan", "Channel", "In", "Inp", "Kanal", "Voie", "Canal", "Canale"),
    "name": (
        "Name",
        "Source",
        "Instrument",
        "Inst",
        "Signal",
        "Description",
        "Label",
        "What",
        "Quelle",
        "Instrumento",
        "Strumento",
    ),
    "mic": (
        "Mic",
        "Mic/DI",
        "Mic or DI",
        "Mic/Line",
        "Microphone",
        "Micro",
        "Capture",
        "DI",
        "Type",
        "Mikrofon",
        "Suggested mic",
    ),
    "stand": ("Stand", "Stands", "Mic stand", "Boom", "Pied", "Stativ", "Soporte", "Pie", "Asta"),
    "phantom": ("48V", "+48", "+48V", "48", "P48", "Phantom", "Ph", "PP"),
    "line": ("Socket", "Stage box", "SB", "Box", "Snake", "Sub box", "Multi", "Loom", "Sub-snake", "Way"),
    "insert": ("Insert", "Ins", "Dyn", "Comp/Gate"),
    "group": ("Group", "Sub grp", "Ctrl group"),
    "location": ("Position", "Location", "Zone", "Stage", "SR/SL"),
    "person": ("Who", "Player", "Musician", "Performer", "Cast"),
    "stereo": ("St", "Stereo", "L/R", "Link", "Pair", "Width"),
    "notes": ("Notes", "Note", "Comments", "Remarks", "Info", "Bemerkung"),
}
"""Header words by meaning; the words with two meanings are in `_EITHER`."""

POSITIONS: dict[str, tuple[str, ...]] = {
    "foh": ("FOH", "House", "PA"),
    "mon": ("MON", "Mons", "Monitor"),
    "bcast": ("BC", "Bcast", "TX", "OB", "Truck"),
    "rec": ("REC", "Record", "Track"),
    "stream": ("Stream",),
}
"""Header words of position columns, by position."""

_EITHER = {
    "input": ("channel", "name"),
    "line": ("line", "channel"),
    "sub": ("line", "mic"),
    "pos": ("line", "location"),
    "patch": ("line", "notes"),
}
_MOST_ABOVE = 40


class Table(NamedTuple):
    """One table of a sheet: first row of its body (from 0), and what its columns mean."""

    body: int
    columns: dict[int, str]
    """Meaning by column: a key of `MEANINGS`, `position:foh`, or `other:<header>`."""
    header: tuple[str, ...] = ()

    def column(self, meaning: str) -> int | None:
        """Return the first column of a meaning."""
        return next((column for column, found in self.columns.items() if found == meaning), None)


def key(text: str) -> str:
    """Return a header word as it is compared: lower case, letters and digits only; `#` alone stands for itself."""
    bare = re.sub(r"[\W_]+", "", text.casefold())
    return bare or ("#" if "#" in text else "")


_WORDS = {key(word): meaning for meaning, words in MEANINGS.items() for word in words}
_WORDS.update({key(word): f"position:{name}" for name, words in POSITIONS.items() for word in words})


def number_of(text: str) -> int | None:
    """Return the whole number a cell holds: `7`, `07`, `7.0`, `7,0`, `#7`, `Ch 7`; else None."""
    found = re.fullmatch(r"(?:#|ch\.?|kanal|in)?\s*([0-9]{1,4})(?:[.,]0+)?\.?", text.strip().casefold())
    return int(found[1]) if found else None


def score(row: list[str]) -> int:
    """Return how many cells of a row are header words."""
    return sum(1 for text in row if key(text) in _WORDS or key(text) in _EITHER)


def find(rows: Rows, report: Report) -> list[Table]:
    """Return the tables of a sheet, side by side ones in order; a sheet without a header is read by its contents."""
    best = max(range(min(len(rows), _MOST_ABOVE)), key=lambda at: (score(rows[at]), -at), default=None)
    if best is None:
        return []
    header = rows[best]
    words = {key(text) for text in header}
    if score(header) < 2 and not (score(header) == 1 and sum(map(bool, header)) == 1 and words & (_NAMES | {"input"})):
        return [_headless(rows, report)]
    tables = []
    for first, last in _halves(header):
        columns = _meanings(rows, best, range(first, last), report)
        tables.append(Table(best + 1, columns, tuple(header)))
    if len(tables) > 1:
        report.guess(f"row {best + 1}", f"{len(tables)} tables side by side, read one after the other")
    return tables


_NAMES = {key(word) for word in MEANINGS["name"]}


def _halves(header: list[str]) -> list[tuple[int, int]]:
    """Return the column ranges of the tables that stand side by side: the first header word comes again."""
    words = [key(text) for text in header]
    first = next((word for word in words if word in _WORDS or word in _EITHER), "")
    starts = [column for column, word in enumerate(words) if word == first]
    if len(starts) < 2 or not all(words[start + 1 : start + 2] == words[starts[0] + 1 : starts[0] + 2] for start in starts):
        return [(0, len(header))]
    return [(start if at else 0, end) for at, (start, end) in enumerate(zip(starts, [*starts[1:], len(header)], strict=False))]


def _meanings(rows: Rows, at: int, span: range, report: Report) -> dict[int, str]:
    header = rows[at]
    plain = {column: _WORDS[key(header[column])] for column in span if key(header[column]) in _WORDS}
    made: dict[int, str] = {}
    for column in span:
        word = key(header[column])
        where = cell(column, at + 1)
        meaning = plain.get(column, "")
        if word in _EITHER:
            meaning = _either(word, rows, at, column, {*plain.values(), *made.values()})
            report.guess(where, f"taken as {meaning}, by what stands below it", header[column])
            if meaning == "notes":
                made[column] = f"other:{header[column]}"
                continue
        if not meaning:
            if any(column < len(row) and row[column] for row in rows[at + 1 :]):
                made[column] = f"other:{header[column] or cell(column, at + 1)}"
                report.guess(where, "unknown heading; its cells go into the notes", header[column])
            continue
        if meaning in made.values() and meaning != "notes":
            made[column] = f"other:{header[column]}"
            report.guess(where, f"a second column for {meaning}; its cells go into the notes", header[column])
            continue
        made[column] = meaning
    return made


def _either(word: str, rows: Rows, at: int, column: int, taken: set[str]) -> str:
    """Return which of its two meanings a header word has, by what stands below it."""
    below = [row[column] for row in rows[at + 1 :] if column < len(row) and row[column]]
    numbers = sum(1 for text in below if number_of(text) is not None)
    coded = sum(1 for text in below if re.search(r"[0-9]", text))
    mostly = 2 * numbers >= len(below) and bool(below)
    first, second = _EITHER[word]
    if word == "input":
        choice = first if mostly else second
        return choice if choice not in taken else "line" if mostly else "notes"
    if word == "line":
        return second if mostly and not taken & {"channel"} and not _named(rows[at], ("ch", "channel", "#")) else first
    choice = first if 2 * coded >= len(below) and below else second
    return choice if choice not in taken else "notes"


def _named(header: list[str], words: tuple[str, ...]) -> bool:
    return any(key(text) in words for text in header)


def _headless(rows: Rows, report: Report) -> Table:
    """Return a table for a sheet without a header: a column of numbers, then a column of names."""
    width = max((len(row) for row in rows), default=0)
    numbers = [sum(1 for row in rows if column < len(row) and number_of(row[column]) is not None) for column in range(width)]
    filled = [sum(1 for row in rows if column < len(row) and row[column]) for column in range(width)]
    columns: dict[int, str] = {}
    for column in range(width):
        if filled[column] and 2 * numbers[column] > filled[column] and "channel" not in columns.values() and not columns:
            columns[column] = "channel"
        elif filled[column] and "name" not in columns.values():
            columns[column] = "name"
        elif filled[column]:
            columns[column] = f"other:{cell(column, 1)[:-1]}"
    words = ", ".join(f"column {cell(column, 1)[:-1]} is {meaning.partition(':')[0]}" for column, meaning in columns.items())
    report.guess("", f"no header row found; {words}")
    report.ask("", "Which column is the channel and which the name? There is no header row.")
    return Table(0, columns)
