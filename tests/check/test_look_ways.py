"""Preamps in use with who owns and hears them, and how sources come into feeds."""

from __future__ import annotations

from typing import Any

from patchloom.address import slot
from patchloom.check.look import Look, looks
from patchloom.check.verify import verify
from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

from .bases import house
from .planting import shared


def seen(**of: Any) -> Look:
    """Return a look at the house; `of` says what feeds contain."""
    rig, show, patch = house()
    for feed in show["feeds"]:
        if feed["id"] in of:
            feed["of"] = of[feed["id"]]
    (look,) = looks(build(Rig, rig), build(Show, show), build(Patch, patch))
    return look


def test_a_preamp_knows_its_owner_and_who_hears_it() -> None:
    """Every preamp with something plugged is there, by address, with those who hear it on main and alternate inputs."""
    amps = seen().amps
    assert [str(place) for place in amps] == [f"BOX.mic[{n}]" for n in (1, 2, 3, 5, 6, 7, 9)]
    vox2 = amps[slot("BOX.mic[3]")]
    assert (vox2.leg, vox2.owner, vox2.positions, vox2.sharers) == ("vox2", "mon", ("foh", "mon"), ("foh",))
    assert vox2.gain is None
    kick = amps[slot("BOX.mic[1]")].gain
    assert kick is not None
    assert kick.gain_db == 24
    assert amps[slot("BOX.mic[9]")].positions == ("foh",)


def test_a_source_comes_into_a_mix_straight_or_inside_another() -> None:
    """Straight where the desk gets it, else through the desk that mixes what contains it, hop by hop."""
    into = seen(pa=["vox1", "di"], wedge=["vox1", "pa"]).into
    straight = [str(hop) for hop in into.way("vox1", "wedge")]
    assert straight == ["BOX.mic[2]", "BOX.main.out[2]", "MON.a.in[2]", "MON.intake[2]", "MON.ch[1]"]
    inside = [str(hop) for hop in into.inside("vox1", "pa", "wedge")]
    assert inside[:4] == ["BOX.mic[2]", "BOX.mirror.out[2]", "FOH.a.in[2]", "FOH.ch[5]"]
    assert inside[4:] == ["FOH.mix[1]", "FOH.b.out[1]", "MON.b.in[1]", "MON.intake[9]", "MON.ch[5]"]
    assert [str(hop) for hop in into.way("di", "wedge")][3:5] == ["FOH.ch[15]", "FOH.mix[1]"]
    assert into.way("kick", "wedge") == ()
    assert into.feeds("wedge") == ("pa",)


def test_a_mix_inside_itself_adds_no_way() -> None:
    """Feeds that contain each other are followed once."""
    into = seen(pa=["wedge", "di"], wedge=["pa"]).into
    assert into.way("vox2", "wedge") == ()
    assert into.way("di", "wedge")[-1] == slot("MON.ch[5]")


def test_a_channel_that_hands_on_raw_takes_no_time() -> None:
    """A copy taken before anything is not late by its channel; one taken after the fader is."""
    late = []
    for tap in ("in", "post"):
        rig, show, patch = house()
        setting = patch["settings"][0]
        shared(rig, show, setting)
        next(row for row in setting["selections"] if row["into"] == "MON.out[1]")["tap"] = tap
        for kind, bank in (("mon", "talk"), ("mon", "ch"), ("foh", "ch")):
            rig["types"][kind]["banks"][bank]["latency_ms"] = 0.5
        rig["formats"]["eight"]["latency_ms"] = 0.25
        (look,) = looks(build(Rig, rig), build(Show, show), build(Patch, patch))
        late.append(look.late(look.by_leg["talk_mon"][0].hops).ms)
    assert late == [1.25, 1.75]


def test_the_judge_times_a_raw_copy_alike() -> None:
    """Two summed signals, one handed on raw through a channel of another desk, are level for the judge as well."""
    found = {}
    for tap in ("in", "pre"):
        rig, show, patch = house()
        setting = patch["settings"][0]
        shared(rig, show, setting)
        next(row for row in setting["selections"] if row["into"] == "MON.out[1]")["tap"] = tap
        for kind, bank in (("box", "mic"), ("mon", "talk"), ("mon", "ch"), ("foh", "ch")):
            rig["types"][kind]["banks"][bank]["latency_ms"] = 0.5
        for name in ("cat", "eight"):
            rig["formats"][name]["latency_ms"] = 0.25
        show["lists"][0]["wants"][4]["tap"] = "filter"
        show["groups"] = [{"id": "pair", "of": ["vox1", "talk_mon"], "relation": "summed"}]
        rows = verify(build(Rig, rig), build(Show, show), build(Patch, patch))
        found[tap] = [row.rule for row in rows if row.severity != "note"]
    assert found == {"in": [], "pre": ["summed-unlike"]}
