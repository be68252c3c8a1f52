"""How wide text is, in millimetres, and where it may break.

Comes in: text, a type size in points.  Goes out: widths, wrapped lines, direction.
Next: every module here that places a label.

Widths come from a table of one general font, rounded up (`widths.json`); a drawing names that font first and
narrower ones after it, so that text set in a substitute still fits the room it was given.  East Asian text
counts a full width, marks that sit on a letter none, a script that the table does not hold a full width.
"""

from __future__ import annotations

import json
import re
import unicodedata
from bisect import bisect_right
from collections.abc import Mapping, Sequence
from functools import lru_cache
from importlib import resources
from operator import itemgetter

__all__ = ["ASCENT", "DESCENT", "FONTS", "LEAD", "MM", "Size", "broken", "clean", "fit", "in_runs", "is_rtl", "width", "wrap"]

MM = 25.4 / 72
"""Millimetres in a point."""

ASCENT, DESCENT, LEAD = 0.95, 0.25, 1.2
"""Room above and below the baseline, and from baseline to baseline, in type sizes (accented capitals included)."""

FONTS = "'DejaVu Sans', Verdana, 'Noto Sans', 'Noto Sans CJK JP', 'Noto Sans Arabic', Arial, sans-serif"
"""The measured font first, then fonts no wider."""

_EMOJI = 1.4
_NEVER_FIRST = ("Mn", "Po", "Pe", "Pf")
_FOLLOWS = "\u3005\u303b\u309d\u309e\u30fd\u30fe"  # signs that repeat the letter before them
_KEPT = "\u200c\u200d\u2068\u2069"
_AFTER = re.compile("[ /\u2013-]")
_BREAKS = re.compile(r"(?<= )(?=[^ ])|(?<=[-/])(?=[A-Za-z])")
Size = float


Runs = Sequence[Sequence[int]]
"""Widths by runs of code points: [first, width, count, width, count, ...], in order."""


@lru_cache(maxsize=1)
def _tables() -> dict[str, Runs]:
    """Return advance widths in thousandths of the type size, by weight."""
    data: dict[str, Runs] = json.loads(resources.files(__package__).joinpath("widths.json").read_text(encoding="utf-8"))
    return data


def in_runs(runs: Runs, code: int) -> int | None:
    """Return the width of a code point; None where the runs do not hold it."""
    place = bisect_right(runs, code, key=itemgetter(0)) - 1
    if place >= 0:
        row, at = runs[place], runs[place][0]
        for index in range(1, len(row), 2):
            at += row[index + 1]
            if code < at:
                return row[index]
    return None


class _Advances(dict[str, float]):
    """Advance of each letter in type sizes, worked out when it is first asked for."""

    def __init__(self, weight: str) -> None:
        super().__init__()
        self.weight = weight

    def __missing__(self, letter: str) -> float:
        if unicodedata.category(letter) in ("Mn", "Me", "Cf"):
            wide = 0.0
        elif 0x1F000 <= ord(letter) < 0x20000:
            wide = _EMOJI
        elif unicodedata.east_asian_width(letter) in ("W", "F"):
            wide = 1.0
        else:
            known = in_runs(_tables()[self.weight], ord(letter))
            wide = known / 1000 if known is not None else 1.0
        self[letter] = wide
        return wide


_REGULAR, _BOLD = _Advances("regular"), _Advances("bold")


def width(text: str, size: Size, bold: bool = False) -> float:
    """Return the width of one line in millimetres, at a type size in points."""
    return sum(map((_BOLD if bold else _REGULAR).__getitem__, text)) * size * MM


def clean(text: str) -> str:
    """Return the text on one line: what no XML document may hold replaced by U+FFFD, signs that turn the direction gone."""
    if text.isprintable():
        return text if "  " not in text and text[:1] != " " and text[-1:] != " " else " ".join(text.split())
    kept = "".join(letter if _legal(letter) else "�" for letter in str(text) if not _turns(letter))
    return " ".join(kept.split())


def _turns(letter: str) -> bool:
    """Return whether a letter is unseen and changes how others run; joiners and the isolation of a name are not meant."""
    return unicodedata.category(letter) == "Cf" and letter not in _KEPT


def _legal(letter: str) -> bool:
    code = ord(letter)
    return letter in "\t\n\r" or 0x20 <= code < 0x7F or 0xA0 <= code < 0xD800 or 0xE000 <= code < 0xFFFE or code > 0xFFFF


def is_rtl(text: str) -> bool:
    """Return whether the first letter with a direction runs right to left."""
    for letter in text:
        way = unicodedata.bidirectional(letter)
        if way in ("R", "AL"):
            return True
        if way == "L":
            return False
    return False


def wrap(text: str, most_mm: float, size: Size, bold: bool = False) -> list[str]:
    """Return the lines of a text no wider than `most_mm`: broken at spaces, inside a word only where it must be.

    A single letter wider than the room still gets its line, so the answer always holds the whole text.
    """
    return list(_wrapped(text, most_mm, size, bold))


@lru_cache(maxsize=4096)
def _wrapped(text: str, most_mm: float, size: Size, bold: bool) -> tuple[str, ...]:
    return broken(clean(text), most_mm / (size * MM), _BOLD if bold else _REGULAR)


def broken(text: str, most: float, advances: Mapping[str, float]) -> tuple[str, ...]:
    """Return the lines of a text no wider than `most`, in the unit of the table of advances; linear in the letters."""
    lines: list[str] = []
    line, used = "", 0.0
    space = advances[" "]
    for piece in _pieces(text):
        wide = sum(map(advances.__getitem__, piece))
        spaces = len(piece) - len(piece.rstrip())
        if used + wide - spaces * space <= most:
            line, used = line + piece, used + wide
            continue
        if line.strip():
            lines.append(line.rstrip())
        line = piece.lstrip()
        used = sum(map(advances.__getitem__, line))
        while used - spaces * space > most and len(line) > 1:
            cut = _cut(line, most, advances)
            lines.append(line[:cut])
            used -= sum(map(advances.__getitem__, line[:cut]))
            line = line[cut:]
    if line.strip():
        lines.append(line.rstrip())
    return tuple(lines) or ("",)


def _pieces(text: str) -> list[str]:
    """Return the text cut where it may break: after spaces, round East Asian letters, after `-` and `/` before a letter.

    A line such as BOX-7 stays whole.  No line ends with an opening bracket or begins with what closes or repeats, as browsers
    have it (Unicode line breaking, classes OP, CL and NS).
    """
    if text.isascii():
        return _BREAKS.split(text)
    if not any(map(_WIDE.__getitem__, text)):
        return _few_pieces(text)
    pieces: list[str] = []
    start = 0
    for index in range(1, len(text)):
        before, after = text[index - 1], text[index]
        if (before == " " and after != " ") or (before in "-/–" and after.isalpha()) or _wide(before) or _wide(after):
            if after == " " or unicodedata.category(after) in _NEVER_FIRST or after in _FOLLOWS or _opens(before):
                continue
            pieces.append(text[start:index])
            start = index
    pieces.append(text[start:])
    return pieces


def _few_pieces(text: str) -> list[str]:
    """Return the pieces of a text without a wide letter: it may break after spaces, and after a dash or stroke, only."""
    pieces, start = [], 0
    for found in _AFTER.finditer(text):
        end = found.end()
        if end == len(text):
            break
        after = text[end]
        if after == " " or (found[0] != " " and not after.isalpha()):
            continue
        if unicodedata.category(after) not in _NEVER_FIRST and after not in _FOLLOWS:
            pieces.append(text[start:end])
            start = end
    return [*pieces, text[start:]]


class _Wide(dict[str, bool]):
    """Whether a letter is wide, found out when it is first asked for."""

    def __missing__(self, letter: str) -> bool:
        known = self[letter] = _wide(letter)
        return known


_WIDE = _Wide()


def _opens(letter: str) -> bool:
    return unicodedata.category(letter) in ("Ps", "Pi")


def _wide(letter: str) -> bool:
    return unicodedata.east_asian_width(letter) in ("W", "F")


def _cut(word: str, most: float, advances: Mapping[str, float]) -> int:
    """Return how many letters of a word fit, at least one, never splitting a letter from its marks."""
    used, count = advances[word[0]], 1
    while count < len(word) and (used := used + advances[word[count]]) <= most:
        count += 1
    while 1 < count < len(word) and unicodedata.category(word[count]) in ("Mn", "Me", "Cf"):
        count -= 1
    return count


def fit(text: str, most_mm: float, size: Size, bold: bool = False) -> str:
    """Return the text, shortened with an ellipsis only where it is wider than `most_mm`.

    For running text that stands in full elsewhere on the same paper; never for a name that stands only here.
    """
    text = clean(text)
    if width(text, size, bold) <= most_mm:
        return text
    while text and width(text + "…", size, bold) > most_mm:
        text = text[:-1]
    return text.rstrip() + "…"
