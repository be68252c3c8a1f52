"""Names of sheets: short, each once, without the signs the format forbids.

Comes in: what a page is called.  Goes out: a name.  Next: `sheet.py`.
"""

from __future__ import annotations

from patchloom.pages.files import clean

__all__ = ["Names"]

_MOST = 31
_FORBIDDEN = str.maketrans(dict.fromkeys("[]:*?/\\", " "))


class Names:
    """Names given so far in one workbook."""

    def __init__(self) -> None:
        self._taken = {"history"}  # a name the format keeps for itself

    def new(self, *words: str) -> str:
        """Return a name made of some words, a number behind it where it was given before."""
        text = " ".join(clean(" ".join(word for word in words if word)).translate(_FORBIDDEN).split()).strip("'") or "Sheet"
        name, count = text[:_MOST].strip().strip("'") or "Sheet", 2
        while name.lower() in self._taken:
            tail = f" {count}"
            name, count = text[: _MOST - len(tail)].strip().strip("'") + tail, count + 1
        self._taken.add(name.lower())
        return name
