"""The growing report of an import: guesses, skipped rows, questions, each with its cell.

Comes in: cells and sentences.  Goes out: tuples of `Remark`.  Every module of this package writes into it.
"""

from __future__ import annotations

from patchloom.finding import Remark

__all__ = ["Report", "cell", "short"]

_LONGEST = 60


def cell(column: int, row: int) -> str:
    """Return the address of a cell as a spreadsheet shows it: column 2 of row 7 (both from 0 and 1) is `C7`."""
    letters = ""
    number = column + 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return f"{letters}{row}"


def short(text: str) -> str:
    """Return a text cut to a length that fits a report."""
    return text if len(text) <= _LONGEST else text[: _LONGEST - 3] + "..."


class Report:
    """What has been guessed, left out and not understood so far."""

    def __init__(self) -> None:
        self.guesses: list[Remark] = []
        self.skipped: list[Remark] = []
        self.questions: list[Remark] = []

    def guess(self, where: str, message: str, value: str = "") -> None:
        """Note what a cell was taken for."""
        self.guesses.append(Remark(where, message, short(value)))

    def skip(self, row: int, reason: str, value: str = "") -> None:
        """Note a row that gives nothing to the document, and why."""
        self.skipped.append(Remark(f"row {row}", reason, short(value)))

    def ask(self, where: str, message: str, value: str = "") -> None:
        """Note what only the sender can answer."""
        self.questions.append(Remark(where, message, short(value)))
