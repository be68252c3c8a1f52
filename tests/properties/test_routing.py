"""Routing rules: the search and the judgement agree, and both agree with a plain reading of the patch."""

from __future__ import annotations

from functools import cache
from random import Random
from typing import Any

import attrs
import pytest

import patchloom
from patchloom import Impossible, Undecided
from patchloom.model.routing import Hop, Placement, routing_rule
from patchloom.model.show import Group, Routing, Show
from patchloom.solve import solve as search

from .ruled import breaks, case, hops_of, rules
from .test_planted import run_under

CHECKS = {
    "passes-forbidden", "misses-required", "not-together", "not-apart", "not-disjoint", "not-one-box", "not-in-order",
}  # fmt: skip
SEEDS = range(60)


@cache
def drawn(seed: int) -> tuple[Any, Show, Any]:
    """Return a rig, a show without rules, and its answer or the proof that there is none."""
    rig_document, show_document = case(seed)
    rig = patchloom.read_rig(rig_document)
    show = patchloom.read_show(show_document, rig)
    try:
        return rig, show, search(rig, show)
    except Impossible as proof:
        return rig, show, proof


def free(seed: int) -> tuple[Any, Show, Any]:
    """Return a rig, a show without rules, and its answer; skip where the rig drawn has none."""
    rig, show, answer = drawn(seed)
    if isinstance(answer, Impossible):
        pytest.skip(f"this rig cannot be patched without rules either: {answer}")
    return rig, show, answer


def ruled(seed: int, show: Show) -> Show:
    """Return a show with the rules of a seed."""
    rig_document, show_document = case(seed)
    rows = rules(seed, show_document, rig_document)
    routing = tuple(Routing(**row) for table, row in rows if table == "routing")
    groups = tuple(Group(**row) for table, row in rows if table == "groups")
    return attrs.evolve(show, routing=routing, groups=groups)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_judge_says_what_a_plain_reading_says(seed: int) -> None:
    """A patch made without rules is found to break exactly the rules it breaks."""
    rig, show, patch = free(seed)
    with_rules = ruled(seed, show)
    found = {
        name for row in patchloom.verify(rig, with_rules, patch) if row.rule in CHECKS for name in broken_by(row, with_rules)
    }
    assert found == set(breaks(rig, with_rules, patch))


def broken_by(row: Any, show: Show) -> list[str]:
    """Return the rules a finding speaks of."""
    return [
        rule.id
        for rule in (*show.routing, *show.groups)
        if f" {rule.id} " in f"{row.message} ".replace(",", " ").replace(";", " ")
    ]


@pytest.mark.parametrize("seed", SEEDS)
def test_an_answer_with_rules_breaks_none_of_them(seed: int) -> None:
    """Whatever the search finds keeps every rule, by the judge and by a plain reading; nothing is objected to afterwards."""
    rig, show, _ = free(seed)
    with_rules = ruled(seed, show)
    try:
        answer = search(rig, with_rules)
    except (Impossible, Undecided):
        return
    assert list(breaks(rig, with_rules, answer)) == []
    assert [str(row) for row in patchloom.verify(rig, with_rules, answer) if row.rule in CHECKS] == []


@pytest.mark.parametrize("seed", SEEDS)
def test_rules_a_patch_keeps_are_never_called_impossible(seed: int) -> None:
    """Where a patch made without rules happens to keep them, they are solved."""
    rig, show, patch = free(seed)
    with_rules = ruled(seed, show)
    if not set(breaks(rig, with_rules, patch)):
        assert patchloom.solve(rig, with_rules).settings


@pytest.mark.parametrize("seed", SEEDS)
def test_an_answer_keeps_the_rules_written_in_python(seed: int) -> None:
    """Whatever is found with vetoes of a program's own has none of the hops and plugs they forbid; the judge agrees."""
    rig, show, without = free(seed)
    draw = Random(seed)
    link = draw.choice(rig.links).id
    leg, lowest = draw.choice(show.sources).id, draw.randrange(2, 6)

    @routing_rule(name="past", version="1", signals=leg)
    def past(hop: Hop) -> str | float:
        return "not by this link" if hop.link == link else 2.0 * (hop.into.number % 2)

    @routing_rule(name="high", version="1", on="placement")
    def high(placement: Placement) -> str | None:
        return "too low" if placement.at.number < lowest else None

    try:
        answer = search(rig, show, rules=[past, high])
    except (Impossible, Undecided):
        assert [row for row in patchloom.verify(rig, show, without, [past, high]) if row.rule == "rule-vetoes"]
        return
    assert answer.rules == ("past 1", "high 1")
    assert min(place.number for place in answer.setting().plugs.values()) >= lowest
    passed = [over for route in answer.setting().routes if route.leg == leg for _, over in hops_of(rig, route)]
    assert link not in passed
    assert [str(row) for row in patchloom.verify(rig, show, answer, [past, high]) if row.severity == "stop"] == []


@pytest.mark.parametrize("seed", SEEDS)
def test_a_veto_written_in_python_is_found_in_a_patch(seed: int) -> None:
    """A patch is held against a written rule hop by hop: each hop over a link it forbids is found, and no other."""
    rig, show, patch = free(seed)
    link = Random(seed).choice(rig.links).id
    asked = routing_rule(name="past", version="1")(lambda hop: "not by this link" if hop.link == link else None)
    found = {row.where[:2] for row in patchloom.check(rig, show, patch, [asked])}
    wrong = {(str(slot), route.leg) for route in patch.setting().routes for slot, over in hops_of(rig, route) if over == link}
    assert found == wrong


def test_rules_do_not_depend_on_the_hash_seed() -> None:
    """Processes of different hash seeds answer shows with rules alike, byte for byte."""
    program = (
        "from patchloom.errors import Impossible\n"
        "from tests.properties.test_routing import drawn, ruled, search\n"
        "for seed in range(12):\n"
        "    rig, show, _ = drawn(seed)\n"
        "    try: print(search(rig, ruled(seed, show)))\n"
        "    except Impossible as proof: print(proof)\n"
    )
    assert len({run_under(seed, program) for seed in (1, 2)}) == 1
