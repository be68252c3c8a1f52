"""Every kind of wish has a value and a bound of its own, in the order of wishes."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

import patchloom
from patchloom.model.patch import Patch, WishValue
from tests.small.reading import documents

LINK = [{"id": "K", "join": ["BOX.main", "FOH.a"], "format": "eight"}]
MOVED = ("sockets moved", "channels moved", "link slots moved")


def solve(devices: dict[str, Any], show: dict[str, Any], links: Any = None, previous: Patch | None = None) -> Patch:
    """Return the answer to a show over a rig of the common parts."""
    rig_document, show_document = documents({"rig": {"rate": 48000, "devices": devices, "links": links or LINK}, "show": show})
    rig = patchloom.read_rig(rig_document)
    return patchloom.solve(rig, patchloom.read_show(show_document, rig), previous=previous)


def row(patch: Patch, name: str) -> WishValue:
    """Return the row of a wish."""
    return next(found for found in patch.wishes if found.wish == name)


def wants(*names: Any, at: str = "FOH.ch") -> list[dict[str, Any]]:
    """Return one list."""
    return [{"position": "foh", "at": at, "wants": list(names)}]


def test_a_dearer_priority_is_carried_first_and_the_lost_one_is_proven() -> None:
    """Two slots, one must, two wishes: priority 1 goes, priority 2 is counted out by proof."""
    show = {
        "sources": [{"ids": ["kick", "room", "vox"]}],
        "plug": [{"sources": "all", "into": "BOX.in"}],
        "lists": wants({"signal": "room", "priority": 2}, "kick", {"signal": "vox", "priority": 1}),
    }
    patch = solve({"BOX": "box4", "FOH": "slots"}, show, [{"id": "K", "join": ["BOX.main", "FOH.a"], "format": "two"}])
    assert [(found.wish, found.value, found.bound, found.proven) for found in patch.wishes[:2]] == [
        ("wishes of priority 1", 1, 1, True),
        ("wishes of priority 2", 0, 0, True),
    ]


def test_a_wish_is_carried_if_any_patch_carries_it_beside_the_dearer_ones() -> None:
    """The wish needs a must to plug elsewhere: an intake of one run, and the must has a choice."""
    show = {
        "sources": [{"ids": ["kick", "vox"]}],
        "plug": [{"sources": "kick", "into": "BOX.in"}, {"sources": "vox", "into": "BOX.in[8]"}],
        "lists": wants("kick", {"signal": "vox", "priority": 1}),
    }
    patch = solve({"BOX": "box8", "FOH": "intake4"}, show)
    assert row(patch, "wishes of priority 1") == WishValue("wishes of priority 1", 1, 1, "wishes", True)
    assert patch.setting().unmet == ()


def test_pairs_enter_on_odd_and_even_neighbours() -> None:
    """Two stereo sources and a single, room for both pairs: both are met; fixed astride, it is nobody's fault."""
    sources = [{"ids": ["kick"]}, {"ids": ["keys", "pads"], "legs": ["L", "R"]}]
    free = {"sources": sources, "plug": [{"sources": "all", "into": "BOX.in"}], "lists": wants("kick", "keys", "pads")}
    met = row(solve({"BOX": "box8", "FOH": "slots"}, free), "pairs odd/even")
    assert (met.value, met.bound, met.proven) == (2, 2, True)
    astride = [
        {"sources": "kick", "into": "BOX.in[1]"},
        {"sources": "keys", "into": "BOX.in[2-3]"},
        {"sources": "pads", "into": "BOX.in"},
    ]
    one = row(solve({"BOX": "box8", "FOH": "slots"}, {**free, "plug": astride}), "pairs odd/even")
    assert one.value >= 1


def test_spares_are_counted() -> None:
    """Three sources in a box of four, two spare lines wished for: one is kept."""
    show = {
        "sources": [{"ids": ["kick", "snare", "hat"]}],
        "plug": [{"sources": "all", "into": "BOX.in"}],
        "wishes": {"spare": [{"at": ["BOX.in"], "count": 2, "reaching": ["foh"]}]},
        "lists": wants("kick", "snare", "hat"),
    }
    found = row(solve({"BOX": "box4", "FOH": "slots"}, show), "spares kept")
    assert (found.value, found.bound, found.unit) == (1, 2, "lines")


@pytest.mark.parametrize(("count", "blocks"), [(3, 1), (4, 1)])
def test_blocks_taken_in_are_as_few_as_counting_allows(count: int, blocks: int) -> None:
    """Free plugs, an intake of two runs of four: what fits into one run takes one."""
    names = [f"s{number}" for number in range(count)]
    show = {"sources": [{"ids": names}], "plug": [{"sources": "all", "into": "BOX.in"}], "lists": wants(*names)}
    found = row(
        solve({"BOX": "box8", "FOH": {"type": "intake4", "set": {"banks": {"intake": {"slots": 8}}}}}, show), "blocks taken in"
    )
    assert (found.value, found.bound, found.proven) == (blocks, blocks, True)


def test_blocks_of_fixed_plugs_are_counted() -> None:
    """Plugs fixed in both runs of a box: two blocks, and no patch takes fewer."""
    show = {
        "sources": [{"ids": ["kick", "snare"]}],
        "plug": [{"sources": "kick", "into": "BOX.in[1]"}, {"sources": "snare", "into": "BOX.in[8]"}],
        "lists": wants("kick", "snare"),
    }
    found = row(
        solve({"BOX": "box8", "FOH": {"type": "intake4", "set": {"banks": {"intake": {"slots": 8}}}}}, show), "blocks taken in"
    )
    assert (found.value, found.bound) == (2, 2)


def test_links_passed_are_counted_once_for_each_line() -> None:
    """Two lines over one link each."""
    show = {
        "sources": [{"ids": ["kick", "snare"]}],
        "plug": [{"sources": "all", "into": "BOX.in"}],
        "lists": wants("kick", "snare"),
    }
    found = row(solve({"BOX": "box8", "FOH": "slots"}, show), "links passed")
    assert (found.value, found.bound, found.unit) == (2, 2, "links")


def test_channels_out_of_an_inherited_order_are_counted() -> None:
    """A desk that takes runs, plugs fixed the other way round: both channels are elsewhere, and must be."""
    show = {
        "sources": [{"ids": ["kick", "snare"]}],
        "plug": [{"sources": "kick", "into": "BOX.in[2]"}, {"sources": "snare", "into": "BOX.in[1]"}],
        "lists": wants("kick", "snare"),
    }
    found = row(solve({"BOX": "box8", "FOH": "runs4"}, show), "channels out of order")
    assert (found.value, found.bound, found.proven) == (2, 2, True)


def test_moves_are_only_told_of_a_change() -> None:
    """A first answer has no rows of moves; the next one has three, after the priorities."""
    show = {"sources": [{"ids": ["kick"]}], "plug": [{"sources": "all", "into": "BOX.in"}], "lists": wants("kick")}
    first = solve({"BOX": "box8", "FOH": "slots"}, show)
    assert not {found.wish for found in first.wishes} & set(MOVED)
    again = solve({"BOX": "box8", "FOH": "slots"}, show, previous=first)
    assert [found.wish for found in again.wishes][:3] == list(MOVED)
    assert all(found.value == 0 and found.proven for found in again.wishes[:3])


def test_blocks_that_may_not_move_are_counted() -> None:
    """Where nothing on the way may move, the blocks of lines that stand are blocks no patch can do without."""
    folder = Path(__file__).resolve().parents[2] / "docs" / "examples" / "festival"
    rig = patchloom.read_rig(folder / "rig.json")
    wishes = {row.wish: row for row in patchloom.solve(rig, patchloom.read_show(folder / "show.json", rig)).wishes}
    main, last = wishes["blocks taken in (act5_main)"], wishes["blocks taken in (act5_last)"]
    assert [wishes[f"link slots moved (act5_{name})"].value for name in ("main", "last")] == [0, 0]
    assert (main.value, main.bound, last.value, last.bound) == (5, 5, 5, 5)


@pytest.mark.parametrize("example", ["shared-stage", "demo"])
def test_stereo_feeds_arrive_side_by_side(example: str) -> None:
    """Where slots are free, every stereo mix arrives on an odd slot and the next, be it over a block more."""
    root = Path(__file__).resolve().parents[2]
    folder = root / "docs" / "examples" / example if example != "demo" else Path(patchloom.__file__).parent / "demo"
    rig = patchloom.read_rig(folder / "rig.json")
    wishes = {row.wish: row for row in patchloom.solve(rig, patchloom.read_show(folder / "show.json", rig)).wishes}
    assert wishes["pairs odd/even"].proven
