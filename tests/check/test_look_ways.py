"""Preamps in use with who owns and hears them, and how sources come into feeds."""

from __future__ import annotations

from typing import Any

from patchloom.address import slot
from patchloom.check.look import Look, looks
from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

from .bases import house


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
