"""The two answers that are no patch, in print: impossible and undecided.

Comes in: the exception `solve` raised.  Goes out: lines for people, plain data for scripts.  Next: `common` prints them.

At most seven lines of facts and seven ways out are printed; the data holds all of them, with every member and with the
changes a script can make.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import attrs

from patchloom.errors import Impossible, Undecided

__all__ = ["MOST_MISSING", "impossible_data", "impossible_lines", "keep_partial", "undecided_data", "undecided_lines"]

MOST_MISSING = 12
"""Signals not carried that are printed at most."""


def impossible_lines(problem: Impossible) -> list[str]:
    """Return an impossible show as lines: the facts in conflict, what else rules it out, what would help."""
    when = f" in {problem.period}" if problem.period else ""
    if not problem.explained:
        return [f"impossible{when}: these facts together rule every patch out:", *(f"  {line}" for line in problem.lines())]
    many = len(problem.facts) > 1
    sure = "; with any of them gone a patch exists for the rest" if problem.smallest and many else ""
    lines = [f"impossible{when}: {'these facts together rule' if many else 'this fact rules'} every patch out{sure}:"]
    lines += [f"  {line}" for line in problem.lines()]
    if problem.also:
        lines.append(f"other facts rule it out as well ({len(problem.also)}):")
        lines += [f"  {fact}" for fact in problem.also[:2]]
        if len(problem.also) > 2:
            lines.append(f"  and {len(problem.also) - 2} more, all of them in the data (--json).")
    lines += [f"note: {note}" for note in problem.notes]
    if problem.ways:
        lines.append("what would help, each solved again and verified, the cheapest first:")
        lines += [f"  {number}. {way}" for number, way in enumerate(problem.ways, 1)]
    else:
        lines.append("no single change that was tried would help.")
    return lines


def impossible_data(problem: Impossible) -> dict[str, Any]:
    """Return an impossible show as plain data: every fact with its parts and members, every way out with its changes."""
    data: dict[str, Any] = {"facts": [_fact(fact) for fact in problem.facts]}
    if problem.explained:
        data |= {
            "smallest": problem.smallest,
            "ways": [_way(way) for way in problem.ways],
            "also": [_fact(fact) for fact in problem.also],
            "notes": list(problem.notes),
            "tests": problem.tests,
        }
    if problem.period:
        data["period"] = problem.period
    return data


def _fact(fact: Any) -> dict[str, Any]:
    rows = attrs.asdict(fact)
    return {key: value for key, value in rows.items() if value not in ("", None, (), [])}


def _way(way: Any) -> dict[str, Any]:
    changes = [{"do": row.do, "of": list(row.of), **({} if row.to is None else {"to": row.to})} for row in way.changes]
    return {"text": way.text, "cost": way.cost, "changes": changes}


def undecided_lines(problem: Undecided) -> list[str]:
    """Return an undecided show as lines: what is known, what is not carried, what became of the best partial patch."""
    missing = [f"  not carried: {line}" for line in problem.missing[:MOST_MISSING]]
    if len(problem.missing) > MOST_MISSING:
        missing.append(f"  and {len(problem.missing) - MOST_MISSING} more not carried, all of them in the data (--json).")
    lines = [
        "undecided: neither a patch nor a proof that there is none.",
        *(f"  {line}" for line in problem.known),
        *missing,
    ]
    if problem.kept:
        lines.append(f"the best partial patch is in {problem.kept}; it is no answer, verify says what it lacks.")
    elif problem.best is not None:
        lines.append("--keep-partial FILE writes the best partial patch; it is no answer.")
    return lines


def undecided_data(problem: Undecided) -> dict[str, Any]:
    """Return an undecided show as plain data."""
    data: dict[str, Any] = {"known": list(problem.known), "missing": list(problem.missing)}
    if problem.kept:
        data["partial"] = str(problem.kept)
    return data


def keep_partial(problem: Undecided, path: Path) -> None:
    """Write the best partial patch of an undecided show, where there is one, and note on it where it went."""
    if problem.best is None:
        return
    from patchloom import pipeline

    pipeline.write(problem.best, path)
    problem.kept = path
