"""What is said of a case: by the rule it is of, or by every issuer of the entry it is of.

Comes in: a case, whoever solves, rules by name.  Goes out: findings; what reading complains of and what `solve` calls
impossible are put in the same form, under `reading:kind` and `solve`.  Next: `patchloom.testing.folder` compares them
with what the case expects, the command line draws them.

The folder of a case names a rule, or an entry of `trade` by its key.  Of a rule's case the rule is asked; of an entry's
all its issuers, verify first and what follows from it folded.  A row of `fails` that says `rule` has that one asked, too.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import attrs

from patchloom.check.catalogue import ENTRY
from patchloom.check.shown import CaseError, RuleCase, Solve, base_of, cases_in, home, made_of
from patchloom.check.trade import BY_KEY, TradeEntry
from patchloom.errors import DocumentError, Impossible, PatchloomError
from patchloom.finding import Complaint, Finding
from patchloom.model.patch import Patch, Setting
from patchloom.model.period import period_ids
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["READING", "SOLVE", "Made", "Said", "asked", "cases_of", "drawable", "entries_of", "is_rule", "said", "speaks"]

READING = "reading:"
"""What the name of a complaint begins with."""
SOLVE = "solve"
"""Who says that nothing can be answered."""

Made = tuple[Rig, Show, Patch]
Rules = Mapping[str, Callable[..., Any]]


@attrs.frozen
class Said:
    """What is said of a case, and of what: rig, show and patch, where reading and solving came to them."""

    findings: tuple[Finding, ...]
    made: Made | None = None


def is_rule(name: str) -> bool:
    """Return whether a name is a rule's: one of this package, or one that the catalogue does not know at all."""
    return ENTRY[name].issuer == "rule" if name in ENTRY else name not in BY_KEY


def entries_of(name: str) -> tuple[TradeEntry, ...]:
    """Return the entries somebody is an issuer of."""
    return tuple(row for row in BY_KEY.values() if name in row.issuers)


def _rows(case: RuleCase) -> list[Any]:
    expect = case.text["expect"]
    rows = expect.get("fails", []) if isinstance(expect, dict) else []
    return rows if isinstance(rows, list) else []


def speaks(case: RuleCase) -> tuple[str, ...]:
    """Return who speaks in a failing case, in the order of its rows."""
    issuers = (case.rule,) if is_rule(case.rule) else _issuers(case)
    sole = issuers[0] if len(issuers) == 1 else ""
    rows = [row.get("rule", sole) if isinstance(row, dict) else sole for row in _rows(case)]
    return tuple(dict.fromkeys(name for name in rows if name))


def asked(case: RuleCase) -> tuple[str, ...]:
    """Return everybody whose word counts in a case."""
    first = (case.rule,) if is_rule(case.rule) else _issuers(case)
    return tuple(dict.fromkeys((*first, *speaks(case))))


def _issuers(case: RuleCase) -> tuple[str, ...]:
    """Return who speaks for the entry a case is of; raise CaseError where its folder names a check, not an entry."""
    if case.rule not in BY_KEY:
        keys = ", ".join(row.key for row in entries_of(case.rule)) or "none"
        raise CaseError(f"{case.path}: {case.rule} is no rule and no entry; its cases belong to an entry it speaks for: {keys}")
    return BY_KEY[case.rule].issuers


def cases_of(name: str) -> tuple[RuleCase, ...]:
    """Return the cases of a rule, an entry, a check or a complaint, its own folder's first; empty where there are none.

    Of an entry the cases of its rules count, too.  Of a check these are the failing ones it speaks in, and the
    passing ones of the entries it is an issuer of.
    """
    try:
        folder = home()
    except CaseError:
        return ()
    if name in BY_KEY:
        rules = [issuer for issuer in BY_KEY[name].issuers if issuer in ENTRY and is_rule(issuer)]
        return tuple(case for key in dict.fromkeys((name, *rules)) for case in _in(folder, key))
    if is_rule(name) and not name.startswith(READING) and name != SOLVE:
        return _in(folder, name)
    rows = [case for row in entries_of(name) for case in cases_of(row.key) if case.rule == row.key]
    fails = [case for case in rows if case.outcome == "fails" and name in speaks(case)]
    return tuple({case.path: case for case in (*fails, *(row for row in rows if row.outcome == "passes"))}.values())


@cache
def _in(folder: Path, key: str) -> tuple[RuleCase, ...]:
    return cases_in(folder, key)


def said(case: RuleCase, solve: Solve, rules: Rules) -> Said:
    """Return what is said of a case by everybody it asks; raise CaseError for a case that cannot be built or asked."""
    names = asked(case)
    lost = [name for name in names if name not in rules and not _known(name)]
    if lost:
        raise CaseError(f"{case.path}: no rule is called {lost[0]}")
    try:
        made = made_of(case, solve)
    except DocumentError as problem:
        rows = [row for row in problem.complaints if f"{READING}{row.kind}" in names]
        if not rows or len(rows) < len(problem.complaints):
            raise CaseError(f"{case.path}: {problem}") from None
        return Said(tuple(map(_complained, rows)))
    except Impossible as problem:
        if SOLVE not in names:
            raise CaseError(f"{case.path}: {problem}") from None
        return Said((_impossible(problem),))
    except CaseError:
        raise
    except PatchloomError as problem:
        raise CaseError(f"{case.path}: {problem}") from None
    return Said(_judged(case, names, made, rules, solve), made)


def drawable(case: RuleCase, solve: Solve) -> Made:
    """Return what of a case can be drawn: where nothing can be solved, rig and show; where a change cannot be read, the base.

    Raises CaseError where the base itself cannot be read, or a change cannot be made.
    """
    try:
        return made_of(case, solve)
    except Impossible:
        return made_of(case, _unsolved)
    except DocumentError as problem:
        try:
            base = base_of(case, solve)
        except DocumentError:
            raise CaseError(f"{case.path}: {problem}") from None
        return base.objects["rig"], base.objects["show"], base.objects["patch"]
    except CaseError:
        raise
    except PatchloomError as problem:
        raise CaseError(f"{case.path}: {problem}") from None


def _unsolved(rig: Rig, show: Show) -> Patch:
    return Patch(settings=tuple(Setting(period=period) for period in period_ids(show)))


def _known(name: str) -> bool:
    return name == SOLVE or name.startswith(READING) or (name in ENTRY and ENTRY[name].issuer != "rule")


def _judged(case: RuleCase, names: tuple[str, ...], made: Made, rules: Rules, solve: Solve) -> tuple[Finding, ...]:
    if names == (case.rule,):
        return tuple(sorted(rules[case.rule](*made), key=Finding.sort_key))
    from patchloom.check.check import check
    from patchloom.check.verify import verify

    # What was made for the base's rig and show names these; a changed one names none, and one solved anew its own.
    right = made[2] if case.text.get("solve") else base_of(case, solve).objects["patch"]
    judged = verify(*made, digests=(right.rig, right.show))
    found = check(*made, {name: rules[name] for name in names if name in rules}, found=judged)
    return tuple(row for row in found if row.rule in names and (row.kind == "found" or row.rule == case.rule))


def _complained(row: Complaint) -> Finding:
    return Finding(f"{READING}{row.kind}", "stop", row.message, (row.path,), (), row.hint)


def _impossible(problem: Impossible) -> Finding:
    where = [place for fact in problem.facts for place in (fact.limit, *fact.members) if place]
    return Finding(SOLVE, "stop", " ".join(map(str, problem.facts)), tuple(dict.fromkeys(where)), (), "", problem.period)
