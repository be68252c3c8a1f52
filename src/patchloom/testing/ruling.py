"""What a rule owes beyond its types: the same answer under other names and in another order, and no word against its veto.

Comes in: a rule, or a routing rule.  Goes out: sentences that say what is wrong and what to mend.  Next: `conformance`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import cache
from typing import Any

from patchloom.errors import Impossible, PatchloomError, Undecided
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.routing import RoutingRule
from patchloom.model.show import Show
from patchloom.testing.cases import cases
from patchloom.testing.renamed import Trio, asked_less, names_for, reordered, same_names, spelled, told

__all__ = ["judged", "routed", "steered"]

Rule = Callable[[Rig, Show, Patch], Iterable[Finding]]

_MOST = 2
"""Findings told where two answers differ."""


def judged(rule: Rule) -> Iterator[str]:
    """Yield what is wrong with a rule over the cases: names, order, spoiled patches, what it claims to be monotone in."""
    for about, trio, names, other, turned, less in _changed():
        try:
            first = [*rule(*trio)]
            yield from (f"{about}: {words}" for words in _unlike_names(rule, first, names, other))
            yield from (f"{about}: {words}" for words in _unlike_order(rule, first, turned))
            claim = getattr(rule, "monotone", "")
            for fewer in less if claim else ():
                yield from (f"{about}: {words}" for words in _unlike_less(rule, claim, first, fewer))
        except Exception as wrong:  # whatever a stranger's function raises is a breach
            yield f"{about}: it raised {type(wrong).__name__}: {wrong}"
            return
    for kind, rig, show, patch in _spoiled():
        try:
            list(rule(rig, show, patch))
        except Exception as wrong:
            yield (
                f"a patch with the fault {kind}: it raised {type(wrong).__name__}: {wrong}; patches may be wrong, look things up "
                "as if they might not be there"
            )
            return


@cache
def _changed() -> tuple[tuple[str, Trio, dict[str, str], Trio, Trio, tuple[Trio, ...]], ...]:
    """Return the cases, each with what a rule must not mind: other names, another order; and with a want less."""
    made = []
    for case in cases():
        trio = spelled(case.rig, case.show, case.patch)
        names = names_for(*trio[:2])
        made.append((case.about, trio, names, same_names(trio, names), reordered(*trio), asked_less(*trio)))
    return tuple(made)


@cache
def _spoiled() -> tuple[tuple[str, Rig, Show, Patch], ...]:
    """Return the second case with one fault of each kind."""
    from patchloom.testing.faults import BROKEN, breaks

    case = cases()[1]
    rows = []
    for kind in BROKEN:
        for spoil in breaks(kind, case.patch, case.rig)[:1]:
            rows.append((kind, case.rig, case.show, spoil()))
    return tuple(rows)


def _unlike_names(rule: Rule, first: list[Finding], names: dict[str, str], other: Trio) -> Iterator[str]:
    here, there = [told(row, names) for row in first], [told(row) for row in rule(*other)]
    lost = [row for row, said in zip(first, here, strict=True) if said not in there]
    if lost or len(here) != len(there):
        yield (
            f"under other ids it says something else{_told(lost)}; find things by what they are (kind, tags, role, spare_of), "
            "not by how their ids are spelled or sorted"
        )


def _unlike_order(rule: Rule, first: list[Finding], turned: Trio) -> Iterator[str]:
    here, there = sorted(map(told, first)), sorted(map(told, rule(*turned)))
    lost = [row for row in first if told(row) not in there]
    if here != there:
        yield (
            f"with rows of the documents in another order it says something else{_told(lost)}; sort what it compares, and do not "
            "stop at the first or keep the last"
        )


def _unlike_less(rule: Rule, claim: str, first: list[Finding], less: Trio) -> Iterator[str]:
    before = {told(row) for row in first if row.kind == "found"}
    after = {told(row) for row in rule(*less) if row.kind == "found"}
    more = sorted(after - before) if claim == "fewer-wants" else sorted(before - after)
    if more:
        yield (
            f"it claims monotone={claim!r}, and with {'fewer' if claim == 'fewer-wants' else 'more'} wants it says more: "
            f"{more[0][0]} at {', '.join(more[0][4])}; drop the claim, or judge each want for itself"
        )


def _told(rows: list[Finding]) -> str:
    return f" (lost: {'; '.join(f'{row.rule} at {list(row.where)}' for row in rows[:_MOST])})" if rows else ""


# routing rules


@cache
def _small() -> tuple[tuple[str, Rig, Show, Patch], ...]:
    """Return small rigs with a choice of ways, each with the patch made without any rule."""
    from patchloom.pipeline import solve
    from patchloom.testing.asking import AskedFeed, AskedSource, ask
    from patchloom.testing.joining import joined
    from patchloom.testing.kit import format_of

    wide = "category-32"
    shapes = [("slots", 0, wide), ("two-step", 0, wide)]
    rig = joined(shapes, [(8, 0, 1, 1, wide), (8, 1, 1, 1, wide)], 8, 16, {wide: format_of(wide)}, 48000)
    rows = []
    feed = AskedFeed(0, 1, False, 0)
    spread = [AskedSource(number % 3, 4 if number == 2 else 0, 3, True, 0) for number in range(10)]
    fixed = [AskedSource(0, 0, 3, False, 0) for _ in range(8)]
    for about, asked, feeds in (
        ("two desks, two boxes on both", spread, []),
        ("a box that is full, all fixed", fixed, []),
        ("a feed, and two acts", spread[:4], [feed]),
    ):
        show = ask(rig, asked, feeds, 2 if feeds else 1)
        rows.append((about, rig, show, solve(rig, show, explain=False)))
    return tuple(rows)


def routed(rule: RoutingRule) -> Iterator[str]:
    """Yield what is wrong with a routing rule: asking it fails, or what was made under it breaks it."""
    for about, rig, show, _ in _small():
        yield from (f"{about}: {words}" for words in _keeps(rule, rule, rig, show))


def steered(rule: Any) -> Iterator[str]:
    """Yield where a rule and the routing rule it steers by disagree."""
    from patchloom.pipeline import verify

    for about, rig, show, free in _small():
        yield from (f"{about}: {words}" for words in _keeps(rule, rule.steers, rig, show))
        found = [row for row in rule(rig, show, free) if row.kind == "found"]
        vetoed = [row for row in verify(rig, show, free, rules=[rule.steers]) if row.rule == "rule-vetoes"]
        if found and not vetoed:
            yield f"it finds fault with a patch its veto lets pass: {found[0]}; forbid that hop or placement in the veto too"
        if vetoed and not found:
            yield f"its veto forbids what the rule has nothing against: {vetoed[0]}; judge by what the veto forbids"


def _keeps(rule: Any, veto: RoutingRule, rig: Rig, show: Show) -> Iterator[str]:
    """Yield what is wrong with a patch made under a veto, as the rule itself judges it."""
    from patchloom.pipeline import check, solve

    try:
        patch = solve(rig, show, rules=[veto], explain=False)
    except Impossible:
        return
    except Undecided as question:
        yield (
            f"no patch could be made under it ({question.known[0] if question.known else 'undecided'}: "
            f"{'; '.join(question.known[1:2])}); it must answer the same whenever it is asked the same: no counting, no memory, "
            "no dice"
        )
        return
    except PatchloomError as wrong:
        yield f"{wrong}; a text forbids, a number costs, None is fine, and it must never raise"
        return
    broken = [row for row in check(rig, show, patch, rules=[rule]) if row.kind == "found" and row.rule != "waiver-unused"]
    if broken:
        yield (
            f"a patch solved under its veto breaks it: {broken[0]}; veto and judgement must agree, hop by hop, socket by socket"
        )
