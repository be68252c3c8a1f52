"""What a rule of one's own should be put through."""

from __future__ import annotations

from house_rules import KEPT, keep_off, no_thirteen
from hypothesis import given, settings
from hypothesis import strategies as st

import patchloom
from patchloom import plugins
from patchloom.testing import Solved, broken, check_rule, find_counterexample, solved


def test_the_contract_is_kept() -> None:
    """One call: it never raises, is deterministic, minds no names and no order, and agrees with what it steers by."""
    check_rule(no_thirteen, keep_off)


def test_the_package_is_found_by_its_entry_point() -> None:
    """What people type leads to it."""
    assert plugins.load("rules", "no-thirteen") is no_thirteen


def test_what_is_solved_under_it_never_breaks_it() -> None:
    """Any rig: where the rule leaves a patch, the patch keeps it."""
    assert find_counterexample(keep_off, max_examples=15) is None


@settings(max_examples=25, deadline=None)
@given(solved())
def test_it_finds_what_it_says_and_nothing_else(row: Solved) -> None:
    """It speaks once for each plug and mix on the number kept, and only then."""
    kept = [place for one in row.patch.settings for place in (*one.plugs.values(), *one.mixes.values()) if place.number == KEPT]
    assert len(patchloom.check(row.rig, row.show, row.patch, rules=[no_thirteen])) == len(kept)


@settings(max_examples=25, deadline=None)
@given(solved(desks=1, boxes=1, sources=6, acts=1).flatmap(lambda row: st.tuples(st.just(row), broken(row))))
def test_a_patch_that_is_wrong_does_not_stop_it(pair: tuple) -> None:
    """Whatever is wrong with a patch, the rule still gives an answer."""
    row, spoiled = pair
    assert isinstance(list(no_thirteen(row.rig, row.show, spoiled.patch)), list)
