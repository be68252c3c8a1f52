"""The fonts papers are set in where a renderer brings its own: files, families, widths, and what letters they lack.

Comes in: text.  Goes out: a folder of font files, widths in millimetres, the scripts no font here holds, and a style sheet
that brings them along.  Next: the PDF, PNG and HTML renderers.

- Patchloom Sans, made from Inter (SIL Open Font License): figures of one width; 0 and O, 1, l and I told apart.  Latin,
  Greek, Cyrillic.  `docs/fonts.py` makes it.
- DejaVu Sans, for what that lacks: Arabic, Hebrew, Armenian, Georgian, signs (a free licence of its own).

Neither holds East Asian text: a renderer asks `missing` and names the scripts it cannot print.
"""

from __future__ import annotations

import json
import unicodedata
from base64 import b64encode
from bisect import bisect_right
from collections.abc import Iterable
from functools import lru_cache
from importlib import resources
from pathlib import Path
from typing import Any

from patchloom.drawing import metrics

__all__ = ["FAMILIES", "folder", "in_web", "missing", "scripts", "web", "width"]

FAMILIES = ("Patchloom Sans", "DejaVu Sans")
"""Families in the order they are asked for a letter."""


def folder() -> Path:
    """Return the folder that holds the font files and their licences."""
    return Path(str(resources.files(__package__)))


_WEB = ((0x20, 0x7E), (0xA0, 0x17F), (0x2010, 0x2027), (0x2030, 0x203A), (0x20AC, 0x20AC), (0x2190, 0x2193), (0x2212, 0x2212))
"""Letters of the fonts for browsers: those of Western and Central Europe, and the signs papers use."""


def in_web(letter: str) -> bool:
    """Return whether the fonts of `web` hold a letter."""
    code = ord(letter)
    return any(first <= code <= last for first, last in _WEB) and _own(letter, False) is not None


@lru_cache(maxsize=1)
def web() -> str:
    """Return the rules of a style sheet that bring Patchloom Sans along, inside the style sheet itself (about 40 kB).

    A page that uses them must allow `font-src data:`.  Letters they lack (`in_web`) are the browser's to set.
    """
    rules = []
    for weight, name in (("400", "Regular"), ("700", "Bold")):
        data = b64encode((folder() / f"PatchloomSans-{name}.woff2").read_bytes()).decode("ascii")
        source = f"url(data:font/woff2;base64,{data}) format('woff2')"
        rules.append(f"@font-face{{font-family:'{FAMILIES[0]}';font-weight:{weight};src:{source}}}")
    return "\n".join(rules)


@lru_cache(maxsize=1)
def _known() -> tuple[tuple[int, ...], tuple[int, ...]]:
    rows = _data()["known"]
    return tuple(first for first, _ in rows), tuple(last for _, last in rows)


@lru_cache(maxsize=1)
def _data() -> dict[str, Any]:
    data: dict[str, Any] = json.loads((folder() / "fonts.json").read_text(encoding="utf-8"))
    return data


def _own(letter: str, bold: bool) -> float | None:
    """Return the advance of a letter of Patchloom Sans in type sizes; None where it has none."""
    wide = metrics.in_runs(_data()["bold" if bold else "regular"], ord(letter))
    return wide / 1000 if wide is not None else None


class _Advances(dict[str, float]):
    """Advance of each letter in type sizes, worked out when it is first asked for."""

    def __init__(self, bold: bool) -> None:
        super().__init__()
        self.bold = bold

    def __missing__(self, letter: str) -> float:
        own = _own(letter, self.bold)
        wide = self[letter] = own if own is not None else metrics.width(letter, 1.0, self.bold) / metrics.MM
        return wide


_REGULAR, _BOLD = _Advances(False), _Advances(True)


@lru_cache(maxsize=65536)
def width(text: str, points: float, bold: bool = False) -> float:
    """Return the width of one line in millimetres, never less than it is set."""
    return sum(map((_BOLD if bold else _REGULAR).__getitem__, text)) * points * metrics.MM


@lru_cache(maxsize=65536)
def _held(sign: str) -> bool:
    firsts, lasts = _known()
    place = bisect_right(firsts, ord(sign)) - 1
    return (place >= 0 and ord(sign) <= lasts[place]) or unicodedata.category(sign) in ("Cc", "Cf", "Zs")


def missing(texts: Iterable[str]) -> tuple[str, ...]:
    """Return the letters no font here holds, sorted, each once."""
    signs = {sign for text in texts if not text.isascii() for sign in text}
    return tuple(sign for sign in sorted(signs) if not _held(sign))


def scripts(letters: Iterable[str]) -> tuple[str, ...]:
    """Return what people call the scripts of some letters: `Han`, `Katakana`, `signs such as U+1F3B8`; sorted, each once."""
    names, signs = set(), []
    for letter in letters:
        if unicodedata.category(letter)[0] in "LMN":
            first = unicodedata.name(letter, "").partition(" ")[0]
            names.add("Han" if first == "CJK" else first.partition("-")[0].capitalize() or "unknown letters")
        else:
            signs.append(f"U+{ord(letter):04X}")
    return (*sorted(names), *([f"signs such as {signs[0]}"] if signs else []))
