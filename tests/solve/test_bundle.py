"""Bundles: whole runs of legs carried at once over rows by 1; every answer is judged from scratch."""

from __future__ import annotations

import importlib
from typing import Any

import pytest

from patchloom import read_rig, read_show, solve, verify
from patchloom.errors import Impossible, Undecided

BUNDLE = importlib.import_module("patchloom.solve.bundles.bundle")
ANSWER = importlib.import_module("patchloom.solve.answer")

ROUTER = {
    "role": "network",
    "ports": {name: {"speaks": ["trunk"], "pass": ["audio", "clock", "control"]} for name in "abcdef"},
    "select": [{"into": f"{name}.out", "from": [f"{other}.in" for other in "abcdef" if other != name]} for name in "abcdef"],
    "can_lead": True,
}
BOX = {
    "role": "box",
    "banks": {"mic": {"slots": 8, "socket": "in"}},
    "ports": {"p": {"speaks": ["trunk"], "pass": ["audio", "clock", "control"]}},
    "select": [{"into": "p.out", "wired": "mic"}],
}
DESK = {
    "role": "desk",
    "banks": {"ch": {"slots": 16, "does": "process", "taps": {"in": []}}},
    "ports": {name: {"speaks": ["trunk"], "pass": ["audio", "clock", "control"]} for name in "ab"},
    "select": [{"into": "ch", "from": ["a.in", "b.in"]}, {"into": "b.out", "from": ["a.in", "ch"]}],
}


def world(links: list[tuple[str, str, int]], lists: dict[str, list[str]], boxes: str = "A") -> tuple[Any, Any]:
    """Return rig and show of boxes of eight sockets, routers R*, desks D*, and links of some channels each way."""
    names = sorted({end.split(".")[0] for a, b, _ in links for end in (a, b)})
    kinds = {"R": "router", "D": "desk"}
    formats = {
        f"t{size}": {"channels": {"48000": size}, "pass": ["audio", "clock", "control"], "medium": ["fibre"]}
        for size in sorted({size for _, _, size in links})
    }
    speaks = sorted(formats)
    types = {"router": ROUTER, "box": BOX, "desk": DESK}
    for kind in types.values():
        for port in kind["ports"].values():  # type: ignore[attr-defined]
            port["speaks"] = speaks
    rig = read_rig(
        {
            "format": "rig/1",
            "rate": 48000,
            "formats": formats,
            "types": types,
            "devices": {name: {"type": kinds.get(name[0], "box")} for name in names},
            "links": [{"id": f"K{n}", "join": [a, b], "format": f"t{size}"} for n, (a, b, size) in enumerate(links, start=1)],
        }
    )
    used = sorted({name for wants in lists.values() for name in wants})
    show = read_show(
        {
            "format": "show/1",
            "sources": [{"id": name, "phantom": "no"} for name in used],
            "plug": [{"source": name, "into": f"{name[0].upper()}.mic[{name[1:]}]"} for name in used],
            "lists": [{"position": f"P{desk}", "at": f"{desk}.ch", "wants": wants} for desk, wants in lists.items()],
        },
        rig,
    )
    return rig, show


@pytest.fixture
def bundled(monkeypatch: pytest.MonkeyPatch) -> list[bool]:
    """A list that fills with whether each period was carried in bundles."""
    seen: list[bool] = []
    carry = BUNDLE.bundle

    def watched(*args: Any) -> Any:
        found = carry(*args)
        seen.append(found is not None)
        return found

    monkeypatch.setattr(ANSWER, "bundle", watched)
    return seen


def test_one_copy_serves_every_list(bundled: list[bool]) -> None:
    """Two desks behind one link of four share four signals over it."""
    rig, show = world(
        [("A.p", "R1.a", 8), ("R1.b", "R2.a", 4), ("R2.b", "D1.a", 8), ("R2.c", "D2.a", 8)],
        {"D1": ["a1", "a2", "a3", "a4"], "D2": ["a4", "a3", "a2", "a1"]},
    )
    patch = solve(rig, show)
    assert bundled == [True]
    assert verify(rig, show, patch) == ()
    carried = [row for row in patch.settings[0].selections if str(row.into).startswith("R1.b.out")]
    assert sum((row.into.last or 0) - (row.into.first or 0) + 1 for row in carried) == 4


def test_a_bundle_is_cut_where_no_way_has_room_for_all(bundled: list[bool]) -> None:
    """Six signals over two links of three: the bundle divides, and each link is full."""
    rig, show = world(
        [("A.p", "R1.a", 8), ("R1.b", "R2.a", 3), ("R1.c", "R2.b", 3), ("R2.c", "D1.a", 8)],
        {"D1": ["a1", "a2", "a3", "a4", "a5", "a6"]},
    )
    patch = solve(rig, show)
    assert bundled == [True]
    assert verify(rig, show, patch) == ()


def test_too_many_for_all_ways_is_never_said_to_be_carried(bundled: list[bool]) -> None:
    """Seven signals over two links of three: bundles give up, and the count proves it."""
    rig, show = world(
        [("A.p", "R1.a", 8), ("R1.b", "R2.a", 3), ("R1.c", "R2.b", 3), ("R2.c", "D1.a", 8)],
        {"D1": ["a1", "a2", "a3", "a4", "a5", "a6", "a7"]},
    )
    with pytest.raises(Impossible) as caught:
        solve(rig, show)
    assert bundled[0] is False
    assert caught.value.facts[0].short == 1


def test_whoever_came_first_gives_way_in_a_later_round(bundled: list[bool]) -> None:
    """A's bundle likes the short link that B's cannot do without: the second round leaves it to B."""
    rig, show = world(
        [
            ("A.p", "R1.a", 8),
            ("B.p", "R2.a", 8),
            ("R1.b", "R2.b", 4),
            ("R2.c", "R4.a", 4),
            ("R1.c", "R3.a", 4),
            ("R3.b", "R5.a", 4),
            ("R5.b", "R4.b", 4),
            ("R4.c", "D1.a", 8),
        ],
        {"D1": ["a1", "a2", "a3", "a4", "b1", "b2", "b3", "b4"]},
    )
    patch = solve(rig, show)
    assert bundled == [True]
    assert verify(rig, show, patch) == ()


def test_nobody_passes_through_a_channel_that_is_wanted(bundled: list[bool]) -> None:
    """A desk may pass signals on by its raw channels, but not by the slots its own list fills or leaves empty."""
    rig, show = world(
        [("A.p", "D1.a", 8), ("D1.b", "D2.a", 8)],
        {"D1": ["a1", "a2"], "D2": ["a2", "a3"]},
    )
    patch = solve(rig, show)
    assert bundled == [True]
    assert verify(rig, show, patch) == ()
    assert patch.settings[0].plugs.keys() == {"a1", "a2", "a3"}


def test_a_free_socket_is_left_to_the_general_search(bundled: list[bool]) -> None:
    """Where plugs are free, bundles do not decide."""
    rig, show = world([("A.p", "R1.a", 8), ("R1.b", "D1.a", 8)], {"D1": ["a1", "a2"]})
    import attrs

    free = attrs.evolve(show, plug=tuple(attrs.evolve(row, into=("A.mic",)) for row in show.plug))
    assert verify(rig, free, solve(rig, free)) == ()
    assert bundled == [False]


@pytest.mark.parametrize("size", [1, 2, 3, 4, 5])
def test_bundles_and_the_search_leg_by_leg_agree(size: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """What bundles carry the general search carries too, and what bundles cannot is not carried behind their back."""
    links = [("A.p", "R1.a", 8), ("B.p", "R2.a", 8), ("R1.b", "R2.b", size), ("R1.c", "D1.a", 8), ("R2.c", "D2.a", 8)]
    rig, show = world(links, {"D1": ["a1", "b2", "b3", "a4"], "D2": ["a1", "a2", "a3", "b1"]})

    def verdict() -> bool:
        try:
            return verify(rig, show, solve(rig, show)) == ()
        except (Impossible, Undecided):
            return False

    with_bundles = verdict()
    monkeypatch.setattr(ANSWER, "bundle", lambda *_: None)
    assert with_bundles == verdict() == (size >= 3)
