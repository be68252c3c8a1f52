"""The rules, ours and strangers', and the waivers somebody has signed.

Comes in: a rig, a show, a patch, rule functions.  Goes out: sorted findings, waivers applied.  Next: `pages`, `cli`.

The rule contract: a function `(rig, show, patch) -> iterable of Finding` that changes nothing it is given.  Its name
is the one it is listed under; a rule that breaks becomes a finding, and the others still speak.

A waived finding stays in the list and says who signed it off and why: nothing is hidden, `safety` least of all.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any

import attrs

from patchloom.address import Span, parse
from patchloom.check.catalogue import ENTRIES, ENTRY
from patchloom.check.folding import folded
from patchloom.check.look import looks
from patchloom.collector import at_rest
from patchloom.errors import AddressError
from patchloom.finding import SEVERITIES, Finding
from patchloom.model.patch import Patch
from patchloom.model.period import period_ids
from patchloom.model.rig import Rig
from patchloom.model.routing import RoutingRule
from patchloom.model.show import Show, Waiver

__all__ = ["Rule", "apply_waivers", "check", "shipped_rules"]

Rule = Callable[[Rig, Show, Patch], Iterable[Finding]]

_BROAD = 4
"""Findings from which a waiver that names no place is too broad."""

_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}\Z")


def check(
    rig: Rig,
    show: Show,
    patch: Patch,
    rules: Iterable[Any] | Mapping[str, Rule] | None = None,
    *,
    found: Iterable[Finding] | None = None,
    today: str = "",
) -> tuple[Finding, ...]:
    """Return what the rules say about a patch, gravest first, waivers applied; with `found`, those findings too.

    `rules` are functions, (name, function) pairs, routing rules, or a mapping; None takes the shipped ones.  `found` are verify's
    findings: given, they are returned among the others and waivers are applied to them as well; not given, waivers
    for verify's checks are left alone.  `today` (YYYY-MM-DD) ends waivers that carry a date; the core reads no clock.
    """
    named = _named(shipped_rules() if rules is None else rules)
    findings = list(found or ())
    with at_rest():
        for name, rule in named:
            findings.extend(_run(name, rule, rig, show, patch))
    known = {entry.name for entry in ENTRIES} | {name for name, _ in named} | {row.rule for row in findings}
    asked = {name for name, _ in named} | {row.rule for row in findings}
    if found is not None:
        asked |= {entry.name for entry in ENTRIES if entry.issuer != "rule"}
    findings = list({(row.sort_key(), row.kind, repr(row.numbers)): row for row in findings}.values())
    if found:
        findings = folded(findings, looks(rig, show, patch))
    return apply_waivers(findings, show, known=known, asked=asked, today=today)


def shipped_rules() -> tuple[tuple[str, Rule], ...]:
    """Return the rules of this package as (name, function)."""
    from patchloom.check.rules import RULES

    return RULES


def _named(rules: Iterable[Any] | Mapping[str, Rule]) -> list[tuple[str, Rule]]:
    rows = rules.items() if isinstance(rules, Mapping) else rules
    return [(row[0], _asked(row[1])) if isinstance(row, tuple) else (_name(row), _asked(row)) for row in rows]


def _asked(row: Any) -> Rule:
    """Return a rule as a function; a routing rule becomes one that says where a patch breaks it."""
    if not isinstance(row, RoutingRule):
        return row  # type: ignore[no-any-return]

    def rule(rig: Rig, show: Show, patch: Patch) -> list[Finding]:
        from patchloom.check.verify import verify

        found = verify(rig, show, patch, digests=(patch.rig, patch.show), rules=[row])
        return [finding for finding in found if finding.rule == "rule-vetoes" or row.words in finding.where]

    return rule


def _name(rule: Any) -> str:
    return str(getattr(rule, "name", None) or getattr(rule, "__name__", type(rule).__name__)).replace("_", "-")


def _run(name: str, rule: Rule, rig: Rig, show: Show, patch: Patch) -> list[Finding]:
    try:
        rows = list(rule(rig, show, patch))
    except Exception as error:  # a stranger's rule may raise anything; the others must still speak
        return [_broken(name, f"it raised {type(error).__name__}: {error}")]
    bad = next((row for row in rows if not isinstance(row, Finding) or row.severity not in SEVERITIES), None)
    if bad is not None:
        return [_broken(name, f"it gave {bad!r}, which is no finding")]
    return rows


def _broken(name: str, why: str) -> Finding:
    entry = ENTRY["rule-broken"]
    return Finding(entry.name, entry.severity, f"Rule {name} did not finish: {why}.", (name,), (), entry.todo)


# waivers


def apply_waivers(
    findings: Iterable[Finding], show: Show, *, known: set[str] | None = None, asked: set[str] | None = None, today: str = ""
) -> tuple[Finding, ...]:
    """Return the findings with waivers written on them, and findings about waivers that do not hold.

    `known` are the names of all checks there are, `asked` of those that spoke this time: a waiver for a check that
    was not asked is not called unused.  Absent: the findings' own names.
    """
    rows = list(findings)
    known = known if known is not None else {entry.name for entry in ENTRIES} | {row.rule for row in rows}
    asked = asked if asked is not None else set(known)
    periods = period_ids(show)
    for number, waiver in enumerate(show.waivers, 1):
        where = (f"waiver {number}", waiver.rule)
        if waiver.rule not in known:
            rows.append(
                _note(
                    "waiver-unknown",
                    f"Waiver {number} by {waiver.who} is for {waiver.rule}, and no check has that name"
                    f"{_near(waiver.rule, known)}.",
                    where,
                )
            )
            continue
        last, problem = _ends(waiver, show, periods, today)
        if problem:
            rows.append(_note(problem, _ended(number, waiver, problem), where))
            if problem == "waiver-expired":
                continue
        used = [at for at, row in enumerate(rows) if _meets(waiver, row) and _in_time(row, periods, last)]
        for at in used:
            rows[at] = attrs.evolve(rows[at], waived=f"{waiver.who}: {waiver.why}")
        if len(used) >= _BROAD and not waiver.where:
            rows.append(_note("waiver-too-broad", _broad(number, waiver, [rows[at] for at in used]), where, len(used)))
        if not used and waiver.rule in asked:
            at_words = f" at {', '.join(waiver.where)}" if waiver.where else ""
            rows.append(
                _note("waiver-unused", f"Waiver {number} by {waiver.who} for {waiver.rule}{at_words} matches no finding.", where)
            )
    return tuple(sorted(rows, key=Finding.sort_key))


def _note(rule: str, message: str, where: tuple[str, ...], count: int = 0) -> Finding:
    entry = ENTRY[rule]
    return Finding(rule, entry.severity, message, where, (("findings", count),) if count else (), entry.todo)


def _broad(number: int, waiver: Waiver, rows: list[Finding]) -> str:
    chief = ", ".join(dict.fromkeys(row.where[0] for row in rows[:3] if row.where))
    return (
        f"Waiver {number} by {waiver.who} for {waiver.rule} names no place and signs off {len(rows)} findings"
        f"{f', at {chief} and elsewhere' if chief else ''}: the next one of that name would pass unseen."
    )


def _meets(waiver: Waiver, row: Finding) -> bool:
    """Return whether a waiver speaks of a finding that is open; what was not checked is nobody's to sign off."""
    return row.rule == waiver.rule and row.kind == "found" and not row.waived and _holds(waiver, row)


def _near(word: str, known: set[str]) -> str:
    from difflib import get_close_matches

    close = get_close_matches(word, sorted(known), 1, 0.6)
    return f"; did you mean {close[0]}" if close else ""


def _ends(waiver: Waiver, show: Show, periods: tuple[str, ...], today: str) -> tuple[int | None, str]:
    """Return the place of the last period a waiver holds for (None: all), and what is wrong with its end."""
    if not waiver.until:
        return None, ""
    if waiver.until in periods:
        return periods.index(waiver.until), ""
    if not _DATE.match(waiver.until):
        return None, "waiver-unclear"
    now = today or (show.date if _DATE.match(show.date) else "")
    return None, "waiver-expired" if now and waiver.until < now else ""


def _ended(number: int, waiver: Waiver, problem: str) -> str:
    if problem == "waiver-expired":
        return f"Waiver {number} by {waiver.who} for {waiver.rule} ended {waiver.until}."
    return f"Waiver {number} by {waiver.who} for {waiver.rule} ends {waiver.until!r}; it is taken to hold for the whole show."


def _in_time(row: Finding, periods: tuple[str, ...], last: int | None) -> bool:
    return last is None or row.period not in periods or periods.index(row.period) <= last


def _holds(waiver: Waiver, row: Finding) -> bool:
    """Return whether a waiver speaks of a finding: everywhere, or one of its places covers one of the finding's."""
    return not waiver.where or any(_covers(place, other) for place in waiver.where for other in row.where)


def _covers(place: str, other: str) -> bool:
    if place == other:
        return True
    try:
        one, two = parse(place), parse(other)
    except AddressError:
        return False
    return _inside(one, two)


def _inside(one: Span, two: Span) -> bool:
    if one.device != two.device or (one.bank is not None and one.bank != two.bank):
        return False
    if one.first is None:
        return True
    return two.first is not None and one.first <= two.first and (two.last or 0) <= (one.last or 0)
