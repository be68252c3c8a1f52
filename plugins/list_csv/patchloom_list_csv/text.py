"""Bytes become rows of cells: encoding, line ends, separator, quotes.

Comes in: the bytes of a file.  Goes out: rows of plain texts, and what was guessed on the way.
Next: `headers.py` finds the header among them.

Cells are text and stay text: nothing is calculated, opened or followed.
"""

from __future__ import annotations

import codecs
import unicodedata

from patchloom_list_csv.report import Report, cell

__all__ = ["Rows", "clean", "decode", "split"]

Rows = list[list[str]]
SEPARATORS = (";", "\t", ",", "|")
_BOMS = (
    (codecs.BOM_UTF8, "utf-8", "UTF-8 with a byte-order mark"),
    (codecs.BOM_UTF16_LE, "utf-16-le", "UTF-16, little end first"),
    (codecs.BOM_UTF16_BE, "utf-16-be", "UTF-16, big end first"),
)
_SPACES = dict.fromkeys(map(ord, "\u00a0\u2007\u202f\u2009\u200a\u2003\u2002\u3000"), " ")
_TURNERS = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u200e\u200f\u200b\ufeff")


def decode(data: bytes, report: Report) -> str:
    """Return the text of a file, its line ends made alike: by its mark, by the zeros of UTF-16, UTF-8, else Windows 1252."""
    for mark, codec, words in _BOMS:
        if data.startswith(mark):
            report.guess("", f"read as {words}")
            return _lines(data[len(mark) :].decode(codec, errors="replace"))
    wide = _wide(data)
    if wide:
        report.guess("", "read as UTF-16 without a byte-order mark, because every other byte is zero")
        return _lines(data.decode(wide, errors="replace"))
    try:
        return _lines(data.decode("utf-8"))
    except UnicodeDecodeError:
        report.guess("", "read as Windows 1252, because it is not UTF-8")
        return _lines(data.decode("cp1252", errors="replace"))


def _wide(data: bytes) -> str:
    """Return the UTF-16 codec a text without mark seems to be in, or nothing."""
    sample = data[:2000]
    half = len(sample) // 2
    if half < 4:
        return ""
    if sample[1::2].count(0) * 2 > half:
        return "utf-16-le"
    return "utf-16-be" if sample[0::2].count(0) * 2 > half else ""


def _lines(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def split(text: str, separator: str, report: Report | None = None) -> Rows:
    """Return the rows of a separated text.

    A quote opens only at the start of a cell and only where it closes again; a lone `"` between separators
    stays what it is on paper, a ditto mark.
    """
    rows: Rows = []
    row: list[str] = []
    at, end = 0, len(text)
    while at < end:
        value, at = _cell(text, at, separator, report, len(rows) + 1, len(row))
        row.append(value)
        if at >= end or text[at] == "\n":
            rows.append(row)
            row = []
        elif at == end - 1:
            rows.append([*row, ""])
            row = []
        at += 1
    if row:
        rows.append(row)
    return rows


def _cell(text: str, at: int, separator: str, report: Report | None, row: int, column: int) -> tuple[str, int]:
    """Return one cell and the place of the separator or line end behind it."""
    if text.startswith('"', at):
        close = _close(text, at, separator)
        if close is not None:
            return text[at + 1 : close].replace('""', '"'), close + 1
        if report is not None and text[at + 1 : at + 2] not in (separator, "\n", ""):
            report.guess(cell(column, row), "a quote that never closes is taken as a plain character")
    ends = [place for place in (text.find(separator, at), text.find("\n", at)) if place >= 0]
    stop = min(ends, default=len(text))
    return text[at:stop], stop


def _close(text: str, at: int, separator: str) -> int | None:
    """Return the place of the quote that closes the one at `at`; None when it is no quoted cell."""
    if text[at + 1 : at + 2] in (separator, "\n", ""):
        return None
    place = at + 1
    while True:
        place = text.find('"', place)
        if place < 0:
            return None
        if text.startswith('""', place):
            place += 2
            continue
        return place if text[place + 1 : place + 2] in (separator, "\n", "") else None


def clean(rows: Rows, report: Report) -> Rows:
    """Return the rows with odd spaces made plain and control and direction characters taken out, each reported."""
    return [
        [_clean(value, cell(column, number), report) for column, value in enumerate(row)]
        for number, row in enumerate(rows, start=1)
    ]


def _clean(value: str, where: str, report: Report) -> str:
    kept = "".join(letter if letter >= " " else " " for letter in value.translate(_SPACES))
    good = "".join(letter for letter in kept if letter not in _TURNERS and unicodedata.category(letter) not in ("Cc", "Cs"))
    if good != kept or any(letter < " " and letter not in "\t\n" for letter in value):
        report.guess(where, "control or direction characters are taken out", good)
    tidy = " ".join(good.split())
    if tidy[:1] in ("=", "@") or (tidy[:1] in ("+", "-") and tidy[1:2].isalpha()):
        report.guess(where, "looks like a formula; kept as text, nothing is calculated", tidy)
    if "://" in tidy:
        report.guess(where, "looks like a link; kept as text, nothing is followed", tidy)
    return tidy
