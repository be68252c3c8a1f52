"""Small records of what the library has to say: complaints, facts, findings.

Comes in: words, places and numbers.  Goes out: frozen records with one way to print each.
Everyone imports this module; it imports nobody.

A *complaint* is about the text of a document (reading issues it), a *finding* about a patch
(verify and the rules issue it), a *fact* is one line of a proof that no patch exists, a *remark* is what
an importer has to say about one cell of a foreign file.
"""

from __future__ import annotations

from typing import Any

import attrs

__all__ = ["SEVERITIES", "Complaint", "Fact", "Finding", "Imported", "Part", "Remark"]

SEVERITIES = ("stop", "safety", "warn", "advice", "note")
"""From the gravest to the mildest.  `note` is for what was not checked or does not apply, and why."""


@attrs.frozen(order=False)
class Complaint:
    """One thing wrong with the text of a document."""

    document: str
    """File name or what the caller named the document."""
    path: str
    """JSON path such as `$.links[4].join[0]`."""
    message: str
    """What is wrong, with the value."""
    kind: str = "invalid"
    """Stable short name of the kind of complaint, for scripts and suite cases."""
    line: int | None = None
    """Line in the text as written, from 1; None when the document did not come from text."""
    column: int | None = None
    """Column in the text as written, from 1."""
    value: Any = None
    """The value found there (shortened when long)."""
    hint: str = ""
    """What to do, often "did you mean ...?"."""

    def __str__(self) -> str:
        place = f"{self.document}:{self.line}:{self.column}" if self.line else self.document
        hint = f" {self.hint}" if self.hint else ""
        return f"{place}: {self.path}: {self.message}{hint}"


@attrs.frozen(order=False)
class Part:
    """Facts of one kind that count alike in a conflict, and how many of them it takes."""

    drop: str
    """What doing without one of them is called, a key of `patchloom.model.change.DOES`."""
    of: tuple[str, ...]
    """All of them by name: wants (`foh: kick`), sources, banks, links, rows of the show (`groups[0]`)."""
    enough: int
    """How many of `of`, counted from the first, are enough to rule every patch out; with one less a patch exists."""
    to: Any = None
    """What the change needs to know beside the names."""


@attrs.frozen(order=False)
class Fact:
    """One line of a proof that no patch exists, in the user's words and addresses."""

    limit: str
    """What is limited, e.g. `FOH.intake` or `link K3 towards BCAST`."""
    text: str
    """The sentence, numbers included."""
    asked: int | float | None = None
    """How many (or how much) the show asks for."""
    there: int | float | None = None
    """How many (or how much) there is."""
    short: int | float | None = None
    """asked minus there, where both are counts."""
    members: tuple[str, ...] = ()
    """Every signal, list or address the fact speaks of."""
    position: str = ""
    """Who asks for it, where that is one position; empty where the rig or a rule of the show speaks."""
    parts: tuple[Part, ...] = ()
    """What can be left out to see whether the rest is possible then; empty where the rig as it is joined up speaks."""

    def __str__(self) -> str:
        return self.text


@attrs.frozen(order=False)
class Finding:
    """One thing a check has to say about a patch.

    Findings compare and sort by (severity, rule, where, message) so that reports are stable.
    """

    rule: str
    """Stable name of the check, e.g. `one-feeder`, as listed by `patchloom rules`."""
    severity: str
    """One of `SEVERITIES`."""
    message: str
    """What is wrong, in one sentence, with the value."""
    where: tuple[str, ...] = ()
    """Addresses, links, signals or positions concerned, the chief one first."""
    numbers: tuple[tuple[str, Any], ...] = ()
    """The numbers compared, as (name with unit, value)."""
    todo: str = ""
    """The next step."""
    period: str = ""
    """Act or scene the finding is about; empty for the whole show."""
    waived: str = ""
    """Who signed it off and why; empty when nobody has."""
    kind: str = "found"
    """`found`; `unchecked`, when the documents do not say what the check needs (`numbers` names the missing fields);
    or `nothing`, when there is nothing for it to look at. The latter two have severity `note`."""

    def sort_key(self) -> tuple[Any, ...]:
        """Return the key that orders findings: gravest first, then by name and place."""
        return (SEVERITIES.index(self.severity), self.rule, self.period, self.where, self.message)

    def __str__(self) -> str:
        period = f" [{self.period}]" if self.period else ""
        todo = f" {self.todo}" if self.todo else ""
        return f"{self.severity} {self.rule}{period}: {self.message}{todo}"


@attrs.frozen(order=False)
class Remark:
    """One thing an importer has to say about a cell or row of the file it read."""

    cell: str
    """Column letter and row number, such as `C7`, or `row 7` for a whole row, or empty for the whole file."""
    message: str
    """What was taken for what, or why the row was left out, or what to ask."""
    value: str = ""
    """The text found there, shortened when long."""

    def __str__(self) -> str:
        return f"{self.cell}: {self.message}" if self.cell else self.message


@attrs.frozen(order=False)
class Imported:
    """What an importer makes of a foreign file: a document, and a report of every guess."""

    document: dict[str, Any]
    """A plain document that `patchloom.document.read` accepts."""
    guesses: tuple[Remark, ...] = ()
    """Everything that was taken for something without being written so, each with its cell."""
    skipped: tuple[Remark, ...] = ()
    """Every row that gave nothing to the document, with the reason."""
    questions: tuple[Remark, ...] = ()
    """What only the sender can answer."""
    rows_read: int = 0
    """Rows in the file, blank ones included."""
