"""What `solve` promises of a show that changes a little."""

from __future__ import annotations

from itertools import permutations
from random import Random

import attrs
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import patchloom
from patchloom import Impossible, Undecided
from patchloom.model.base import Table
from patchloom.model.diff import moves
from patchloom.model.patch import Patch, Setting
from patchloom.model.show import List, Plug, Show, Want
from patchloom.solve import solve as search
from patchloom.testing.generate import FEATURES, Planted
from patchloom.testing.strategies import planted

ONE_ACT = tuple(name for name in FEATURES if name not in ("two-acts", "scenes"))
SLOW = settings(max_examples=15, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
PAIRS = planted(desks=3, sources=14, features=ONE_ACT)


def base(leg: str) -> str:
    """Return the signal of a leg."""
    return leg.partition(".")[0]


def without_lines(setting: Setting, signal: str) -> Setting:
    """Return a setting as if a signal had never been there; what carried it is still selected."""
    return attrs.evolve(
        setting,
        plugs=Table({leg: place for leg, place in setting.plugs.items() if base(leg) != signal}),
        routes=tuple(route for route in setting.routes if base(route.leg) != signal),
    )


def without_source(show: Show, signal: str) -> Show:
    """Return a show in which a source is not there; its channels stay empty."""
    legs = {source.id: max(1, len(source.legs)) for source in show.sources}

    def emptied(item: List) -> List:
        wants: list[Want | None] = []
        for want in item.wants:
            if want is None or want.signal != signal:
                wants.append(want if want is None or want.alternate != signal else attrs.evolve(want, alternate=""))
            elif want.channel is None:
                wants.extend([None] * (1 if want.fold or want.leg else legs[signal]))
        return attrs.evolve(item, wants=tuple(wants))

    return attrs.evolve(
        show,
        sources=tuple(source for source in show.sources if source.id != signal),
        plug=tuple(row for row in show.plug if base(row.source) != signal),
        lists=tuple(emptied(item) for item in show.lists),
        groups=tuple(attrs.evolve(row, of=tuple(key for key in row.of if key != signal)) for row in show.groups),
    )


def lines(setting: Setting, but: str) -> set[object]:
    """Return every plug, mix and route of a setting but a signal's."""
    entries = [*setting.plugs.items(), *setting.mixes.items()]
    return {row for row in entries if base(row[0]) != but} | {row for row in setting.routes if base(row.leg) != but}


def pick(row: Planted, data: st.DataObject) -> str | None:
    """Draw a source that some list wants, and none at a fixed channel: those after it keep theirs when it goes."""
    wants = [want for item in row.show.lists for want in item.wants if want is not None]
    fixed = {want.signal for want in wants if want.channel is not None}
    ids = [source.id for source in row.show.sources if source.id in {want.signal for want in wants} - fixed]
    return data.draw(st.sampled_from(ids)) if ids else None


@SLOW
@given(PAIRS, st.data())
def test_a_must_with_room_moves_nothing(row: Planted, data: st.DataObject) -> None:
    """Where an answer is known that keeps every other line as it is, an added source moves none."""
    signal = pick(row, data)
    if signal is None:
        return
    whole = patchloom.solve(row.rig, row.show)
    before = attrs.evolve(whole, settings=(without_lines(whole.setting(), signal),))
    after = patchloom.solve(row.rig, row.show, previous=before)
    assert moves(before.setting(), after.setting()).cost == (0, 0, 0)
    assert [row.value for row in after.wishes if row.wish.endswith(" moved")] == [0, 0, 0]


@SLOW
@given(PAIRS, st.data())
def test_a_source_less_changes_no_other_line(row: Planted, data: st.DataObject) -> None:
    """With a source gone, every other plug, mix and route is the same to the last hop."""
    signal = pick(row, data)
    if signal is None:
        return
    before = patchloom.solve(row.rig, row.show)
    after = patchloom.solve(row.rig, without_source(row.show, signal), previous=before)
    assert lines(after.setting(), signal) == lines(before.setting(), signal)
    assert set(before.setting().spares) <= set(after.setting().spares)


@SLOW
@given(PAIRS, st.data())
def test_an_added_wish_moves_nothing(row: Planted, data: st.DataObject) -> None:
    """A source that is only wished for moves no other line, carried or not."""
    signal = pick(row, data)
    if signal is None:
        return

    def wished(item: List) -> List:
        return attrs.evolve(
            item,
            wants=tuple(
                attrs.evolve(want, priority=1) if want is not None and want.signal == signal else want for want in item.wants
            ),
        )

    before = patchloom.solve(row.rig, without_source(row.show, signal))
    show = attrs.evolve(row.show, lists=tuple(wished(item) for item in row.show.lists))
    try:
        after = patchloom.solve(row.rig, show, previous=before)
    except Impossible:
        return  # its plug is fixed where somebody else is plugged by choice now
    assert moves(before.setting(), after.setting()).sockets == ()


def small(seed: int) -> tuple[dict[str, object], Show, Show]:
    """Return a box of six switched three at a time, a show that fits, and the same with a source more."""
    rng = Random(seed)
    kinds = {
        "box": {
            "role": "box",
            "banks": {"mic": {"slots": 6, "socket": "in", "preamp": "pre", "level": "mic"}},
            "ports": {"main": {"speaks": ["eight"]}},
            "select": [{"into": "main.out", "wired": "mic"}],
            "preamps": {"pre": {"gain_db": [-6, 60], "step_db": 1, "full_scale_dbu": 22, "phantom_by": 3, "owner_by": "device"}},
        },
        "desk": {
            "role": "desk",
            "banks": {"intake": {"slots": rng.choice((2, 4, 6))}, "ch": {"slots": 8, "does": "process", "taps": {"in": []}}},
            "ports": {"a": {"speaks": ["eight"]}},
            "select": [{"into": "intake", "from": ["a.in"], "by": 2}, {"into": "ch", "from": ["intake"]}],
        },
    }
    rig = {
        "format": "rig/1",
        "rate": 48000,
        "formats": {"eight": {"channels": {"48000": 8}, "pass": ["audio", "clock", "control"]}},
        "types": kinds,
        "devices": {"BOX": "box", "FOH": "desk"},
        "links": [{"id": "K", "join": ["BOX.main", "FOH.a"], "format": "eight"}],
    }
    names = [f"s{number}" for number in range(rng.choice((3, 4, 5)))]
    wants = [name for name in names if rng.random() < 0.7] or names[:1]
    sources = [{"ids": [name], "phantom": rng.choice(("need", "never", "no"))} for name in names]
    show = {
        "format": "show/1",
        "sources": sources,
        "plug": [{"sources": "all", "into": "BOX.mic"}],
        "lists": [{"position": "foh", "at": "FOH.ch", "wants": wants}],
    }
    more = {**show, "sources": [*sources, {"ids": ["new"], "phantom": rng.choice(("need", "never"))}]}
    more["lists"] = [{"position": "foh", "at": "FOH.ch", "wants": [*wants, "new"]}]
    built = patchloom.read_rig(rig)
    return rig, patchloom.read_show(show, built), patchloom.read_show(more, built)


def fewest(rig: dict[str, object], show: Show, before: Patch) -> int | None:
    """Return by how few sockets any patch differs, every way to plug looked at; None where there is no patch."""
    built = patchloom.read_rig(rig)
    old = before.setting().plugs
    names = [source.id for source in show.sources]
    best: int | None = None
    for numbers in permutations(range(1, 7), len(names)):
        moved = sum(name in old and old[name].number != number for name, number in zip(names, numbers, strict=True))
        if best is not None and moved >= best:
            continue
        plug = tuple(Plug(source=name, into=(f"BOX.mic[{number}]",)) for name, number in zip(names, numbers, strict=True))
        try:
            search(built, attrs.evolve(show, plug=plug), musts_only=True)
        except Impossible:
            continue
        best = moved
        if best == 0:
            return 0
    return best


@pytest.mark.parametrize("seed", range(16))
def test_no_patch_moves_fewer_sockets(seed: int) -> None:
    """On small shows the sockets moved are the fewest of all ways to plug, and said to be proven."""
    rig, show, more = small(seed)
    try:
        before = search(patchloom.read_rig(rig), show)
    except Impossible:
        return
    least = fewest(rig, more, before)
    try:
        after = search(patchloom.read_rig(rig), more, before)
    except Impossible:
        assert least is None
        return
    except Undecided:
        pytest.xfail("left open by the search: whether the show can be patched at all")
    row = next(row for row in after.wishes if row.wish == "sockets moved")
    assert row.value == least
    assert row.proven
