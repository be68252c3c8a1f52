"""How a rule says what it has to say: found, not checked, nothing to look at.

Comes in: the name of a rule, words, places and numbers.  Goes out: a frozen `Finding` with severity and next step of the
catalogue.  Next: the rules of `rules/` yield it.

A rule that finds nothing wrong yields nothing.  A rule that lacks data says so for what it lacks, once for each missing
field; a rule with nothing to look at says that.  Neither passes in silence.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from patchloom.check.catalogue import ENTRY
from patchloom.finding import Finding

__all__ = ["found", "nothing", "some", "unchecked"]


def found(
    rule: str,
    message: str,
    *where: object,
    numbers: Iterable[tuple[str, Any]] = (),
    period: str = "",
    severity: str = "",
    todo: str = "",
) -> Finding:
    """Return what is wrong: `where` the addresses, links, signals or positions concerned, the chief one first, each once.

    Severity and next step are the catalogue's unless given.
    """
    entry = ENTRY[rule]
    return Finding(
        rule,
        severity or entry.severity,
        message,
        tuple(dict.fromkeys(filter(None, map(str, where)))),
        tuple(numbers),
        todo or entry.todo,
        period,
    )


def unchecked(rule: str, because: str, *fields: str, where: Iterable[object] = (), period: str = "") -> Finding:
    """Return that a rule could not look: `because` ends a sentence, `fields` are the ones the documents do not give."""
    numbers = tuple(("missing", field) for field in fields)
    todo = f"Give {', '.join(fields)}." if fields else ""
    places = tuple(str(place) for place in where)
    return Finding(rule, "note", f"Not checked, because {because}.", places, numbers, todo, period, kind="unchecked")


def nothing(rule: str, because: str) -> Finding:
    """Return that there is nothing for a rule to look at: `because` ends a sentence."""
    return Finding(rule, "note", f"Not applicable: {because}.", kind="nothing")


def some(names: Iterable[object], most: int = 8) -> str:
    """Return names in words, those beyond `most` counted."""
    rows = [str(name) for name in names]
    return ", ".join(rows[:most]) + (f" and {len(rows) - most} more" if len(rows) > most else "")
