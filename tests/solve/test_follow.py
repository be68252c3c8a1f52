"""Bundles after a patch that stands: old lines stay, what is new is carried beside them, and every answer is judged."""

from __future__ import annotations

import importlib
import json
from random import Random
from typing import Any

import attrs
import pytest

import patchloom
from patchloom import Patch, Rig, Show, solve, verify
from patchloom.model.diff import moves
from tests.solve.test_bundle import world

ANSWER = importlib.import_module("patchloom.solve.answer")
LINKS = [
    ("A.p", "R1.a", 8),
    ("B.p", "R2.a", 8),
    ("R1.b", "R2.b", 16),
    ("R1.c", "D1.a", 16),
    ("R2.c", "D2.a", 16),
    ("R1.d", "R3.a", 16),
    ("R2.d", "R3.b", 16),
]
FULL = {"D1": ["a1", "a2", "b1", "b2", "a3"], "D2": ["b3", "a1", "b1", "a4"]}


@pytest.fixture
def followed(monkeypatch: pytest.MonkeyPatch) -> list[bool]:
    """A list that fills with whether each later period was followed in bundles."""
    seen: list[bool] = []
    follow = ANSWER.follow

    def watched(*args: Any) -> Any:
        found = follow(*args)
        seen.append(found is not None)
        return found

    monkeypatch.setattr(ANSWER, "follow", watched)
    return seen


def judged(rig: Rig, show: Show, before: Patch) -> Patch:
    """Return the answer after one before, with nothing said against it."""
    patch = solve(rig, show, previous=before)
    assert [finding for finding in verify(rig, show, patch) if finding.severity == "stop"] == []
    return patch


def after(old: dict[str, list[str]], new: dict[str, list[str]]) -> tuple[Patch, Patch]:
    """Return the answer to some lists, and the one to other lists after it."""
    rig, show = world(LINKS, old)
    before = solve(rig, show)
    rig, show = world(LINKS, new)
    return before, judged(rig, show, before)


def test_what_is_added_last_moves_nothing(followed: list[bool]) -> None:
    """A source added at the end of a list arrives, and every line there was keeps every slot."""
    before, patch = after(FULL, {**FULL, "D1": [*FULL["D1"], "b5"]})
    assert followed == [True]
    assert moves(before.settings[0], patch.settings[0]).cost == (0, 0, 0)
    assert ("b5", "PD1") in {(row.leg, row.to) for row in patch.settings[0].routes}
    rows = {row.wish: (row.value, row.bound, row.proven) for row in patch.wishes}
    assert rows["channels moved"] == (0, 0, True)
    assert rows["link slots moved"] == (0, 0, True)


def test_a_leg_grows_on_from_where_its_lines_stand(followed: list[bool]) -> None:
    """A source wanted at one desk more keeps its old line and shares it as far as it leads."""
    before, patch = after(FULL, {**FULL, "D2": [*FULL["D2"], "a2"]})
    assert followed == [True]
    assert moves(before.settings[0], patch.settings[0]).cost == (0, 0, 0)
    ways = [row.hops for row in patch.settings[0].routes if row.leg == "a2"]
    assert len(ways) == 2
    assert ways[0][:3] == ways[1][:3]


def test_what_is_put_in_front_moves_channels_and_no_link(followed: list[bool]) -> None:
    """A source put first in a list moves each channel behind it by one, as the list says, and no slot of a link."""
    before, patch = after(FULL, {**FULL, "D1": ["b6", *FULL["D1"]]})
    assert followed == [True]
    assert moves(before.settings[0], patch.settings[0]).cost == (0, 5, 0)
    rows = {row.wish: (row.value, row.bound) for row in patch.wishes}
    assert rows["channels moved"] == (5, 5)


def test_what_is_wanted_no_more_leaves_nothing_behind(followed: list[bool]) -> None:
    """A source taken out of every list leaves no choice set for it."""
    less = {"D1": [*FULL["D1"][:4]], "D2": FULL["D2"]}
    before, patch = after(FULL, less)
    assert followed == [True]
    assert moves(before.settings[0], patch.settings[0]).cost == (0, 0, 0)
    slots = {str(slot) for row in patch.settings[0].routes for slot in row.hops}
    fed = {str(slot) for row in patch.settings[0].selections for slot in row.into.slots()}
    assert fed <= slots


def test_a_list_at_another_desk_leaves_nothing_behind(followed: list[bool]) -> None:
    """Where a list is read at another desk today, its lines go there, and no choice stays set towards the desk it left."""
    rig, show = world(LINKS, {"D1": ["a1", "a2", "b1"]})
    before = solve(rig, show)
    raw = json.loads(patchloom.write(show))
    raw["lists"][0] |= {"at": "D2.ch"}
    patch = judged(rig, patchloom.read_show(raw, rig), before)
    assert followed == [True]
    slots = {str(slot) for row in patch.settings[0].routes for slot in row.hops}
    fed = {str(slot) for row in patch.settings[0].selections for slot in row.into.slots()}
    assert fed <= slots


def test_a_line_over_a_lost_link_goes_another_way(followed: list[bool]) -> None:
    """Where an old line is no way any more, bundles do not follow, and the general search does."""
    rig, show = world(LINKS, FULL)
    before = solve(rig, show)
    rig, show = world([row for row in LINKS if row[:2] != ("R1.b", "R2.b")], FULL)
    patch = judged(rig, show, before)
    assert followed == [False]
    assert len(patch.settings[0].routes) == len(before.settings[0].routes)


def test_hops_that_lead_nowhere_are_not_believed(followed: list[bool]) -> None:
    """A patch before whose hops do not follow the rig is no line to keep: the answer is right all the same."""
    rig, show = world(LINKS, FULL)
    before = solve(rig, show)
    setting = before.settings[0]
    wrong = attrs.evolve(setting.routes[0], hops=(setting.routes[0].hops[0], *setting.routes[-1].hops[1:]))
    judged(rig, show, attrs.evolve(before, settings=(attrs.evolve(setting, routes=(wrong, *setting.routes[1:])),)))
    assert len(followed) == 1


@pytest.mark.parametrize("seed", range(12))
def test_moves_no_more_than_the_general_search(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Over drawn lists, what bundles move after a change is never more than what the search leg by leg moves."""
    draw = Random(seed)
    names = [f"{box}{number}" for box in "ab" for number in range(1, 8)]

    def lists() -> dict[str, list[str]]:
        return {desk: draw.sample(names, draw.randrange(3, 11)) for desk in ("D1", "D2")}

    old = lists()
    new = {desk: [*wants, *(name for name in draw.sample(names, 2) if name not in wants)] for desk, wants in old.items()}
    if seed % 3 == 0:
        new["D1"] = new["D1"][1:]
    if seed % 4 == 0:
        new = lists()
    before, mine = after(old, new)
    monkeypatch.setattr(ANSWER, "follow", lambda *_: None)
    rig, show = world(LINKS, new)
    other = judged(rig, show, before)
    cost = [moves(before.settings[0], patch.settings[0]).cost for patch in (mine, other)]
    assert cost[0] <= cost[1]
