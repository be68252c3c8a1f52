"""Ways out of an impossible show: changes, the cheapest first, each of which was solved again and judged.

Comes in: rig and show, the atoms in conflict, how much is short, a solver and a judge.  Goes out: `Way`s that work.
Next: `explain.py` offers them.

Only what is in the conflict can help, so `explain_offers` makes single changes out of its atoms.  One conflict solved
may uncover another: then what helps there is added, and tried again, the cheapest sum first.  Nothing is offered that
was not solved, whole, and found right by the judge.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from patchloom.errors import Impossible
from patchloom.finding import Fact
from patchloom.model.change import Way, apply
from patchloom.model.period import in_period
from patchloom.model.rig import Rig
from patchloom.model.show import Show
from patchloom.solve.explain.atoms import Atom, musts, problem_of
from patchloom.solve.explain.cost import Offer
from patchloom.solve.explain.offers import Offers
from patchloom.solve.explain.oracle import Oracle
from patchloom.solve.explain.shrink import tokens_of

__all__ = ["MOST_OFFERED", "MOST_TRIED", "Case", "ways_out"]

MOST_TRIED = 64
"""Altered shows solved in search of ways out, at most."""
MOST_OFFERED = 7
"""Ways out offered at most."""
PLENTY = 3
"""Ways out that are enough, so that nobody need put several changes together."""
WIDE = 6
"""Changes that uncover another conflict and are followed further, at each depth."""
DEEP = 3
"""Changes put together in one way out, at most."""

Judge = Callable[[Rig, Show, Any], bool]


class Case:
    """The impossible show, and what says whether a changed one is possible."""

    def __init__(
        self,
        rig: Rig,
        show: Show,
        period: str,
        oracle: Oracle,
        right: Judge,
        late: Callable[[], bool] = bool,
    ) -> None:
        self.rig = rig
        self.show = show
        self.period = period
        self.answer = oracle.answer
        self.ruled_out = oracle.ruled_out
        self.right = right
        self.late = late
        self.tried = 0
        self.known: dict[tuple[Any, ...], Any] = {}

    def outcome(self, changes: tuple[Any, ...]) -> Any:
        """Return a patch the judge found right, Impossible, or None where neither was shown."""
        if self.tried >= MOST_TRIED or self.late():
            return self.known.get(changes)
        if changes not in self.known:
            self.tried += 1
            rig, show = apply(self.rig, self.show, changes)
            found = self.ruled_out(*_alone(rig, show, self.period))
            if found is None:
                found = self._judged(rig, show)
            self.known[changes] = found
        return self.known[changes]

    def _judged(self, rig: Rig, show: Show) -> Any:
        """Return a patch the judge found right, Impossible, or None.

        The musts are asked first, which is quicker; a must that became a wish has to be harmless as a wish as well.
        """
        asked = [show] if show.periods else [musts(show), show] if _wishes(show) > _wishes(self.show) else [musts(show)]
        found: Any = None
        for each in asked:
            found = self.answer(rig, each, wishes=each is show and not show.periods)
            if isinstance(found, Exception):
                return found if isinstance(found, Impossible) and each is asked[0] else None
        return found if self.right(rig, show, found) else None

    def works(self, changes: tuple[Any, ...]) -> bool:
        """Return whether a changed show was solved and judged right."""
        found = self.outcome(changes)
        return found is not None and not isinstance(found, Impossible)


def _wishes(show: Show) -> int:
    lists = sum(want is not None and want.priority is not None for item in show.lists for want in item.wants)
    return lists + sum(row.priority is not None for feed in show.feeds for row in feed.to)


def _alone(rig: Rig, show: Show, period: str) -> tuple[Rig, Show]:
    import attrs

    here, tonight = in_period(rig, show, period)
    return here, attrs.evolve(tonight, periods=())


def ways_out(case: Case, atoms: Sequence[Atom], facts: Sequence[Fact], short: int, proof: Sequence[Fact]) -> tuple[Way, ...]:
    """Return ways out, the cheapest first; `atoms` are those in conflict, like ones included."""
    found: list[Way] = []
    done: dict[str, int] = {}
    offers: Iterable[Offer] = Offers(case, (), short).of(atoms, facts)
    said = _said((*facts, *proof))
    for depth in range(1, DEEP + 1):
        uncovered = []
        for offer in sorted(offers, key=lambda row: row.cost):
            if case.tried >= MOST_TRIED or len(found) >= MOST_OFFERED:
                break
            if done.get(offer.family, 0) >= offer.most:
                continue
            outcome = case.outcome(offer.changes)
            if isinstance(outcome, Impossible):
                if offer.deepens and _said(outcome.facts) - said:
                    uncovered.append((offer, outcome))
            elif outcome is not None:
                done[offer.family] = done.get(offer.family, 0) + 1
                found.append(Way(offer.text, offer.cost, offer.changes))
        if len(found) >= PLENTY or depth == DEEP:
            break
        offers = [more for offer, proof in uncovered[:WIDE] for more in _further(case, offer, proof)]
    return tuple(_without_larger(sorted(found, key=lambda way: way.cost)))


def _said(facts: Sequence[Fact]) -> set[str]:
    """Return what facts say, by which one conflict is told from another."""
    return {fact.text for fact in facts}


def _further(case: Case, offer: Offer, proof: Impossible) -> list[Offer]:
    """Return an offer with what helps against the conflict it uncovers, named by the proof alone."""
    rig, show = apply(case.rig, case.show, offer.changes)
    problem = problem_of(*in_period(rig, show, proof.period))
    named = tokens_of(proof.facts[:1])
    signals = set(proof.facts[0].members)
    atoms = [
        atom
        for atom in problem.atoms
        if not named.isdisjoint(atom.tokens) and (atom.position == "" or not signals.isdisjoint(atom.tokens))
    ]
    short = next((int(fact.short) for fact in proof.facts[:1] if fact.short), 1)
    further = Offers(case, offer.changes, short).of(atoms, proof.facts[:1])
    return [offer.plus(more) for more in further if more.family != offer.family]


def _without_larger(ways: list[Way]) -> list[Way]:
    """Return ways without those that hold all the changes of a cheaper one."""
    kept: list[Way] = []
    for way in ways:
        if not any(set(map(repr, other.changes)) <= set(map(repr, way.changes)) for other in kept):
            kept.append(way)
    return kept
