"""What a rule reads of a patch: four graphs apart, contents of mixes, delays, all of it worked out once."""

from __future__ import annotations

import gc
import weakref
from fractions import Fraction
from typing import Any

import pytest

from patchloom.address import Slot, slot
from patchloom.check.look import Edge, Look, Part, Thing, looks
from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

from .bases import BASES


def look(base: str = "house", spoil: Any = None) -> Look:
    """Return a look at a base, changed before by `spoil(rig, show, setting)`."""
    rig, show, patch = BASES[base]()
    if spoil is not None:
        spoil(rig, show, patch["settings"][0])
    return looks(build(Rig, rig), build(Show, show), build(Patch, patch))[0]


def test_a_patch_is_looked_at_once_and_let_go() -> None:
    """Equal objects are not the same: the looks are shared while somebody holds the patch, and gone with it."""
    made = [build(kind, data) for kind, data in zip((Rig, Show, Patch), BASES["house"](), strict=True)]
    seen = looks(*made)
    assert looks(*made) is seen
    assert looks(made[0], made[1], build(Patch, BASES["house"]()[2])) is not seen
    gone = weakref.ref(looks(*made)[0])
    del seen, made
    gc.collect()
    assert gone() is None


def test_ways_are_those_of_the_routes() -> None:
    """What the selections carry is what the routes say, slot by slot, and every slot passed carries its leg."""
    seen = look()
    for row in seen.deliveries:
        assert seen.way(row.end, row.alternate) == row.hops
        assert row.alternate or {seen.carried[hop] for hop in row.hops} == {row.leg}
    assert list(seen.carried) == sorted(seen.carried)


def test_what_a_block_drags_along_is_carried_and_wanted_by_nobody() -> None:
    """A block brings its whole run: more slots carry something than a delivery passes."""
    seen = look()
    dragged = [place for place in seen.carried if place.bank == "intake" and place not in seen.used_by]
    assert dragged
    assert {seen.carried[place] for place in dragged} <= set(seen.spread)


def test_the_audio_graph_says_how_each_slot_takes() -> None:
    """From a socket over a wire, a link, a block and a channel: each step says which of them it is."""
    seen = look()
    steps = {(step.how, step.link) for rows in seen.audio.values() for step in rows}
    assert ("wired", "") in steps
    assert ("link", "K1") in steps
    assert ("select", "") in steps
    assert {step.tap for rows in seen.audio.values() for step in rows if step.tap} >= {"post"}


@pytest.mark.parametrize("base", sorted(BASES))
def test_bank_by_bank_it_is_the_same_as_slot_by_slot(base: str) -> None:
    """Legs, links, choices and slots needed say bank by bank what is said slot by slot."""
    seen = look(base)
    assert {Slot(*bank, number): leg for bank, rows in seen.legs.items() for number, leg in rows.items()} == seen.carried
    assert all(seen.leg(place) == leg for place, leg in seen.carried.items())
    assert seen.carrying == tuple(sorted({step.link for rows in seen.audio.values() for step in rows if step.link}))
    assert seen.used == set(seen.used_by)
    assert all(row.devices == tuple(dict.fromkeys(hop.device for hop in row.hops)) for row in seen.deliveries)
    picked = {Slot(*bank, number) for *bank, rows in seen.picked() for number, feed in rows.items() if feed.kind == "select"}
    assert picked == {place for place, _ in seen.chosen}
    for place in seen.carried:
        over = [there for there in seen.onward(place) if seen.link_between(place, there)]
        assert list(seen.over_links(place)) == over


def test_control_and_clock_are_graphs_of_their_own() -> None:
    """Audio arrives at the house desk over the mirror; control does not go back that way, and clock does come."""
    seen = look()
    assert "BOX" in seen.commands("MON")
    assert "BOX" not in seen.commands("FOH")
    assert seen.clock[Part("MON", "main")] == (Edge(Part("BOX", "main"), "K1"),)
    assert Edge(Part("FOH", "main"), "K2") in seen.clock_ways[Part("BOX", "main")]


def test_what_leans_on_a_thing_goes_with_it() -> None:
    """A delivery leans on devices and links it passes, on their supplies, and on what all cables of a link share."""

    def spoil(rig: Any, show: Any, setting: Any) -> None:
        rig["devices"]["BOX"]["power"] = "stage left"
        next(row for row in rig["links"] if row["id"] == "K2")["cables"] = [
            {"route": "pit", "power": "x"},
            {"route": "pit", "power": "y"},
        ]

    seen = look(spoil=spoil)
    by_box = seen.lost_with(Thing("device", "BOX"))
    assert by_box == seen.lost_with(Thing("supply", "stage left"))
    assert "foh: kick" in by_box
    assert "foh: talk_mon" not in by_box
    assert seen.lost_with(Thing("route", "pit")) == seen.lost_with(Thing("link", "K2"))
    assert seen.lost_with(Thing("supply", "x")) == (), "one of two cables may go"


@pytest.mark.parametrize(
    ("of", "assumed", "sources"),
    [(["kick"], False, {"kick"}), ([], False, set()), (None, True, {"kick", "oh", "vox1", "vox2", "talk_mon", "di", "lap"})],
)
def test_a_mix_contains_what_it_says_and_its_desk_gets(of: Any, assumed: bool, sources: set[str]) -> None:
    """Where nothing is said, all that can reach the desk is assumed, and the feed is named as the field to ask for."""

    def spoil(rig: Any, show: Any, setting: Any) -> None:
        feed = next(row for row in show["feeds"] if row["id"] == "pa")
        feed.pop("of", None)
        if of is not None:
            feed["of"] = of

    contents = look(spoil=spoil).mixing["pa"]
    assert (set(contents.sources), contents.assumed, "pa" in contents.missing) == (sources, assumed, assumed)


def test_a_mix_inside_a_mix_is_followed_and_one_that_comes_back_holds_itself() -> None:
    """The monitor mix has the house mix in it, and through it all that the house mix has."""

    def spoil(rig: Any, show: Any, setting: Any) -> None:
        for key, of in (("pa", ["kick"]), ("wedge", ["pa"])):
            next(row for row in show["feeds"] if row["id"] == key)["of"] = of

    contents = look(spoil=spoil).mixing["wedge"]
    assert contents.signals == ("pa",)
    assert contents.sources == ("kick",)
    assert contents.feeds == ("pa",)


def test_delays_add_up_and_what_is_absent_is_named() -> None:
    """Converter, link and channel count, in milliseconds and samples; what both ways share drops out of the difference."""

    def spoil(rig: Any, show: Any, setting: Any) -> None:
        rig["types"]["box"]["banks"]["mic"]["latency_ms"] = 0.5
        rig["formats"]["cat"]["latency_ms"] = 0.25

    seen = look(spoil=spoil)
    kick, vox = seen.by_leg["kick"][0], seen.by_leg["vox1"][0]
    late = seen.late(kick.hops)
    assert (late.ms, late.samples) == (0.75, Fraction(36))
    assert late.missing == ("types.foh.banks.ch.latency_ms",)
    assert [what for what, _ in late.parts] == ["BOX.mic", "K2"]
    apart = seen.apart(kick.hops, vox.hops)
    assert (apart.ms, apart.missing) == (0, ())


def test_places_that_are_not_there_feed_nothing() -> None:
    """A patch may speak of anything; looking at it breaks nothing."""

    def spoil(rig: Any, show: Any, setting: Any) -> None:
        setting["plugs"]["kick"] = "NOWHERE.mic[1]"
        setting["selections"] += [{"into": "FOH.nothing[1]", "from": "FOH.ch[1]"}, {"into": "GONE.ch[1]", "from": "GONE.mic[1]"}]
        setting["routes"] += [{"leg": "ghost", "to": "foh", "entry": 99, "hops": ["GONE.ch[1]"]}]

    seen = look(spoil=spoil)
    assert seen.leg(slot("FOH.ch[1]")) == ""
    assert seen.leg(Slot("GONE", "ch", 1)) == ""
    assert seen.late(seen.deliveries[-1].hops).ms == 0
    assert seen.audio
    assert seen.dependence
