"""Changes of a rig and a show: each does what it says to one thing, and leaves what came in as it was."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import attrs
import pytest

import patchloom
from patchloom.model.change import DOES, Change, Way, apply

ROOT = Path(__file__).parents[2]

RIG = {
    "format": "rig/1",
    "domains": {"main": {"rate": 96000, "leader": "FOH"}},
    "devices": {"BOX": "stage-box-16", "BOX2": "stage-box-16", "FOH": "desk-per-slot", "REC": "recorder-64"},
    "links": [
        {"id": "K1", "join": ["BOX.main", "FOH.a"], "format": "category-32", "pass": ["audio"]},
        {"id": "K2", "join": ["FOH.b", "REC.a"], "format": "category-64"},
    ],
}
SHOW = {
    "format": "show/1",
    "sources": [
        {"ids": ["kick"], "phantom": "never", "peak_dbu": 4, "want_db": {"foh": 30}, "gain_db": 20},
        {"ids": ["keys"], "legs": ["L", "R"], "phantom": "need"},
        {"ids": ["vox"]},
    ],
    "plug": [{"sources": "all", "into": "BOX.mic"}],
    "lists": [
        {
            "position": "foh",
            "at": "FOH.ch",
            "wants": [{"signal": "kick", "channel": 3}, "keys", {"signal": "vox", "within": "FOH.ch[5-8]"}],
        }
    ],
    "feeds": [{"ids": ["pa"], "legs": ["L", "R"], "mixed_at": "foh", "to": "FOH.line[1-2]"}],
    "groups": [{"of": ["keys", "vox"], "relation": "one-box"}],
    "owners": [{"preamps": "BOX.mic", "owner": "foh"}],
}


def pair() -> tuple[Any, Any]:
    """Return a rig and a show that hold one of everything."""
    rig = patchloom.read_rig(RIG)
    return rig, patchloom.read_show(SHOW, rig)


CASES: dict[str, tuple[tuple[str, ...], Any, Any]] = {
    "any-channel": (("foh: kick",), None, lambda rig, show: show.lists[0].wants[0].channel is None),
    "any-gain": (("kick",), None, lambda rig, show: show.sources[0].gain_db is None),
    "any-pairs": (("FOH.ch",), None, lambda rig, show: not rig.type_of("FOH").banks["ch"].pairs),
    "any-preamp-gain": (("BOX.mic",), None, lambda rig, show: _preamp(rig).gain_db is None),
    "anywhere-in-list": (("foh: vox",), None, lambda rig, show: not show.lists[0].wants[-1].within),
    "carries-all": (("K1",), None, lambda rig, show: rig.links[0].pass_ is None),
    "channels": (("K1",), 8, lambda rig, show: rig.links[0].format == "category-32-for-K1"),
    "format": (("K1",), "category-64", lambda rig, show: "category-64" in rig.formats and rig.links[0].format == "category-64"),
    "join-domain": (("REC",), "main", lambda rig, show: rig.devices["REC"].domain == "main"),
    "leader": (("main",), "", lambda rig, show: rig.domains["main"].leader == ""),
    "link": (("NEW",), ("BOX2.main", "FOH.c", "aes50"), lambda rig, show: rig.links[-1].join == ("BOX2.main", "FOH.c")),
    "may-lead": (("BOX",), None, lambda rig, show: rig.devices["BOX"].can_lead),
    "own-supply": (("keys",), None, lambda rig, show: show.sources[1].powered_by == "mains"),
    "owned-alone": (("BOX.mic",), None, lambda rig, show: _preamp(rig).owner_by == "socket"),
    "peak": (("kick",), -6, lambda rig, show: show.sources[0].peak_dbu == -6),
    "phantom-any": (("kick",), None, lambda rig, show: show.sources[0].phantom == "no"),
    "plug": (("kick",), ("FOH.mic",), lambda rig, show: show.plug[0].into == ("BOX.mic", "FOH.mic")),
    "plug-anywhere": (("kick",), None, lambda rig, show: show.plug[0].into == ("BOX", "BOX2", "FOH", "REC")),
    "pool": ((), 1, lambda rig, show: True),
    "rate": (("main",), 48000, lambda rig, show: rig.domains["main"].hertz == 48000),
    "release": (("groups[0]", "owners[0]"), None, lambda rig, show: not show.groups and not show.owners),
    "reserve": ((), 3, lambda rig, show: show.gain.reserve_db == 3),
    "slots": (("BOX.mic",), 8, lambda rig, show: rig.type_of("BOX").banks["mic"].slots == 24),
    "switched-alone": (("BOX.mic",), None, lambda rig, show: _preamp(rig).phantom_by == 1),
    "tap": (("foh: kick", "pa"), "trim", lambda rig, show: show.lists[0].wants[0].tap == show.feeds[0].tap == "trim"),
    "trim": (("FOH.ch",), (-3, 3), lambda rig, show: rig.type_of("FOH").banks["ch"].trim_db == (-3, 3)),
    "want-db": (("foh: kick",), 24, lambda rig, show: show.sources[0].want_db["foh"] == 24),
    "wish": (
        ("foh: vox", "pa: FOH.line[1-2]"),
        None,
        lambda rig, show: show.lists[0].wants[-1].priority and show.feeds[0].to[0].priority,
    ),
    "without-destinations": (("pa: FOH.line[1-2]",), None, lambda rig, show: show.feeds[0].to == ()),
    "without-sources": (("keys",), None, lambda rig, show: [row.id for row in show.sources] == ["kick", "vox"]),
    "without-wants": (("foh: keys",), None, lambda rig, show: show.lists[0].wants[1:3] == (None, None)),
}


def _preamp(rig: Any) -> Any:
    kind = rig.type_of("BOX")
    return kind.preamps[kind.banks["mic"].preamp]


@pytest.mark.parametrize("do", sorted(DOES))
def test_a_change_does_what_it_says(do: str) -> None:
    """The change is made, the other box keeps its type, and neither rig nor show is altered in place."""
    rig, show = pair()
    before = attrs.asdict(rig), attrs.asdict(show)
    of, to, holds = CASES[do]
    other, changed = apply(rig, show, (Change(do, of, to),))
    assert holds(other, changed)
    assert other.type_of("BOX2") == rig.type_of("BOX2")
    assert (attrs.asdict(rig), attrs.asdict(show)) == before


def test_every_change_stands_in_the_guide() -> None:
    """The page about what cannot be done names everything a change can do."""
    text = (ROOT / "docs" / "impossible.md").read_text(encoding="utf-8")
    assert [do for do in DOES if f"`{do}`" not in text] == []


def test_a_shared_pool_grows() -> None:
    """A pool is named by its device and its place among the limits."""
    rig, show = pair()
    kind = rig.type_of("FOH")
    limited = attrs.evolve(kind, limits=({"of": ["ch"], "most": 4},))
    rig = attrs.evolve(rig, types={**rig.types, "desk-per-slot": limited})
    other, _ = apply(rig, show, (Change("pool", ("FOH.limits[0]",), 2),))
    assert other.type_of("FOH").limits[0].most == 6


def test_a_list_too_long_for_its_bank_closes_its_gaps() -> None:
    """A want left out keeps its place empty, but for a list that would not fit with it."""
    rig, show = pair()
    wants = [{"signal": key} for key in ("vox", "keys", "kick")]
    show = attrs.evolve(show, lists=(attrs.evolve(show.lists[0], at="FOH.ch[1-3]", wants=wants),))
    _, changed = apply(rig, show, (Change("without-wants", ("foh: vox",)),))
    assert [want and want.signal for want in changed.lists[0].wants] == ["keys", "kick"]


def test_a_source_left_out_is_spoken_of_nowhere() -> None:
    """Its plugs, wants and places in groups go with it."""
    rig, show = pair()
    _, changed = apply(rig, show, (Change("without-sources", ("keys",)),))
    assert "keys" not in str(patchloom.write(changed))


def test_a_way_out_applies_all_its_changes_and_says_its_text() -> None:
    """A way out prints as its sentence, and what it changed reads back as documents."""
    rig, show = pair()
    way = Way(
        "Do both.", 3, (Change("rate", ("main",), 48000), Change("slots", ("BOX.mic",), 8), Change("release", ("groups[0]",)))
    )
    other, changed = way.apply(rig, show)
    assert str(way) == "Do both."
    assert other.domains["main"].hertz == 48000
    assert patchloom.read_rig(patchloom.write(other).encode()) == other
    assert patchloom.read_show(patchloom.write(changed).encode(), other) == changed
