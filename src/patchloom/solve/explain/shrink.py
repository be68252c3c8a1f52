"""Which facts of an impossible show are in conflict: an irreducible set of them.

Comes in: a `Problem` and the facts of a proof to start from.  Goes out: a `Core`: the atoms none of which can be
dropped without the rest becoming possible.  Next: `explain_words.py` says it, `explain_ways.py` finds ways out.

By deletion: leave some out, solve again, and where that is still impossible they were not needed.  Whole desks first,
then limits and rules by halves, then kinds of demands by halves, and within a kind how many of them it takes (they are
interchangeable, so that is a bisection); last what the show says of single signals, of which most are gone by then.
Limits go before demands: few limits and many wants read better than the reverse.

Each test is the solver itself, counting first.  A test that ends undecided shows nothing: the fact stays, and the set is
not called smallest.  The number of tests is bounded, so that the answer does not hang on the speed of a machine.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from patchloom.finding import Fact
from patchloom.solve.explain.atoms import DEMANDS, Problem

__all__ = ["Core", "OutOfTests", "Tester", "shrink", "tokens_of"]

OF_SIGNALS = ("plug-anywhere", "phantom-any", "want-db", "peak", "any-gain", "any-channel", "anywhere-in-list")
"""Rules that speak of a signal, and of nothing once nobody asks for it."""

MANY = 12
"""Interchangeable atoms that are seen one by one."""

Verdict = str
"""`no` (proved impossible), `yes` (solved) or `open`."""


class OutOfTests(Exception):
    """As many tests were made as were allowed."""


class Core(NamedTuple):
    """Atoms in conflict, by number."""

    kept: tuple[int, ...]
    alike: dict[int, tuple[int, ...]]
    """First atom of a kind to all of its kind that could stand in for each other, those kept first."""
    smallest: bool
    """Whether each of them was shown to be needed."""
    notes: tuple[str, ...]


class Tester:
    """Asks what becomes of a problem without some atoms; every question once, and no more than so many."""

    def __init__(self, problem: Problem, decide: Callable[..., Verdict], most: int, late: Callable[[], bool] = bool) -> None:
        self.problem = problem
        self.decide = decide
        self.most = most
        self.late = late
        self.count = 0
        self.known: dict[frozenset[int], Verdict] = {}

    def without(self, dropped: frozenset[int]) -> Verdict:
        """Return the verdict without some atoms."""
        found = self.known.get(dropped)
        if found is None:
            found = self.known[dropped] = self.ask(*self.problem.without(dropped))
        return found

    def ask(self, *pair: object) -> Verdict:
        """Return the verdict on a rig and a show."""
        if self.count >= self.most or self.late():
            raise OutOfTests
        self.count += 1
        return self.decide(*pair)


def shrink(tester: Tester, proof: Sequence[Fact]) -> Core:
    """Return the atoms of an irreducible conflict; `proof` says where to look first."""
    run = _Shrink(tester, proof)
    notes: tuple[str, ...] = ()
    try:
        run.all()
    except OutOfTests:
        run.proven = False
        notes = (f"The search for the smallest conflict stopped after {tester.count} tests.",)
    return run.core(notes)


class _Shrink:
    def __init__(self, tester: Tester, proof: Sequence[Fact]) -> None:
        self.tester = tester
        self.atoms = tester.problem.atoms
        self.named = tokens_of(proof)
        self.dropped: frozenset[int] = frozenset()
        self.classes: dict[tuple[object, ...], list[int]] = {}
        for number, atom in enumerate(self.atoms):
            self.classes.setdefault((atom.drop, *atom.kin), []).append(number)
        self.alike: dict[int, tuple[int, ...]] = {}
        self.proven = True
        self.open: set[int] = set()

    def all(self) -> None:
        """Drop whatever is not needed, in the order the module's docstring says."""
        demands = [n for n, atom in enumerate(self.atoms) if atom.drop in DEMANDS]
        of_signals = [n for n, atom in enumerate(self.atoms) if atom.drop in OF_SIGNALS]
        limits = [n for n, atom in enumerate(self.atoms) if atom.drop not in (*DEMANDS, *OF_SIGNALS)]
        self.thin([[n for n in demands if self.named.isdisjoint(self.atoms[n].tokens)]])
        for drop in DEMANDS[:2]:
            mine = [n for n in demands if self.atoms[n].drop == drop]
            self.thin(self._by(lambda n: self.atoms[n].position, mine), halves=False)
        self.thin([[n for n in limits if self.named.isdisjoint(self.atoms[n].tokens)]])
        self.thin(self._kinds(limits))
        self.thin([self._idle(of_signals)])
        for drop in DEMANDS:
            alike = self._kinds([n for n in demands if self.atoms[n].drop == drop])
            self.thin(alike)
            for rows in alike:
                self.fewest([n for n in rows if n not in self.dropped])
        self.thin([self._idle(of_signals)])
        for kinds in (self._kinds(of_signals), self._kinds(limits)):
            self.thin(kinds)
            for rows in kinds:
                self.fewest([n for n in rows if n not in self.dropped])
        self.retest()

    def _kinds(self, numbers: list[int]) -> list[list[int]]:
        """Return atoms by kind."""
        mine = set(numbers)
        return [rows for rows in self.classes.values() if rows[0] in mine]

    def _idle(self, numbers: list[int]) -> list[int]:
        """Return those rules about signals whose signals nobody asks for any more."""
        left = self._left()
        return [n for n in numbers if left.isdisjoint(self.atoms[n].tokens)]

    def _left(self) -> set[str]:
        """Return what the demands that are left speak of."""
        left: set[str] = set()
        for number, atom in enumerate(self.atoms):
            if atom.drop in DEMANDS and number not in self.dropped:
                left |= atom.tokens
        return left

    def _by(self, key: Callable[[int], str], numbers: list[int]) -> list[list[int]]:
        rows: dict[str, list[int]] = {}
        for number in numbers:
            rows.setdefault(key(number), []).append(number)
        return list(rows.values())

    def thin(self, groups: list[list[int]], halves: bool = True) -> None:
        """Drop those groups that are not needed, many at a time where that can be."""
        groups = [rows for group in groups if (rows := [n for n in group if n not in self.dropped])]
        if not groups:
            return
        if halves or len(groups) == 1:
            more = self.dropped.union(*groups)
            if self.tester.without(more) == "no":
                self.dropped = more
                return
        if len(groups) == 1:
            return
        if not halves:
            for group in groups:
                self.thin([group])
            return
        half = len(groups) // 2
        self.thin(groups[:half])
        self.thin(groups[half:])

    def fewest(self, rows: list[int]) -> None:
        """Keep as few of one kind as the conflict needs, the first ones."""
        if len(rows) < 2:
            return
        rows = self._in_play(rows)
        low, high = 1, len(rows)  # so many are enough: `high` surely
        while low < high:
            middle = (low + high) // 2
            if self.tester.without(self.dropped.union(rows[middle:])) == "no":
                high = middle
            else:
                low = middle + 1
        self.dropped = self.dropped.union(rows[high:])
        self.alike[rows[0]] = tuple(rows)

    def _in_play(self, rows: list[int]) -> list[int]:
        """Return rules of one kind, those about demands that are left first; demands as they are."""
        if self.atoms[rows[0]].drop in DEMANDS:
            return rows
        left = self._left()
        return sorted(rows, key=lambda n: left.isdisjoint(self.atoms[n].tokens))

    def retest(self) -> None:
        """See for each atom that without it something is possible; drop it where that is not so.

        Of many that are interchangeable the first and the last are seen.
        """
        again = True
        while again:
            again = False
            for rows in self.classes.values():
                mine = [n for n in rows if n not in self.dropped]
                for number in mine if len(mine) <= MANY else (mine[0], mine[-1]):
                    said = self.tester.without(self.dropped | {number})
                    if said == "no":
                        self.dropped |= {number}
                        again = True
                        break
                    self.open |= {number} if said == "open" else set()
        self.proven = self.proven and self.open <= self.dropped

    def _match_rules(self, kept: tuple[int, ...]) -> None:
        """Put beside the rules of signals that are kept those of the signals that could stand in."""
        demands = {n for first in kept for n in self.alike.get(first, (first,)) if self.atoms[n].drop in DEMANDS}
        spoken = set().union(*(self.atoms[n].tokens for n in demands))
        for rows in self._kinds([n for n, atom in enumerate(self.atoms) if atom.drop in OF_SIGNALS]):
            mine = [n for n in rows if n in kept]
            if mine:
                others = [n for n in rows if n not in self.dropped or not spoken.isdisjoint(self.atoms[n].tokens)]
                self.alike[mine[0]] = (*mine, *(n for n in others if n not in mine))

    def core(self, notes: tuple[str, ...]) -> Core:
        """Return what is left."""
        kept = tuple(n for n in range(len(self.atoms)) if n not in self.dropped)
        self._match_rules(kept)
        if not self.proven and not notes:
            notes = ("Whether each of these facts is needed could not be shown for all of them: a test was left open.",)
        return Core(kept, {first: rows for first, rows in self.alike.items() if first in kept}, self.proven, notes)


def tokens_of(proof: Sequence[Fact]) -> frozenset[str]:
    """Return the signals, banks, links and devices that facts name."""
    found: set[str] = set()
    for fact in proof:
        found.update(fact.members)
        found.update(key.partition("[")[0] for key in fact.members)
        found.update(word.strip(",()").partition("[")[0] for word in fact.limit.split())
    return frozenset(found)
