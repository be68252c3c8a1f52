"""An act and its scenes keep one choice of plugs, and a scene is impossible only when no choice would do."""

from __future__ import annotations

from typing import Any

import pytest

import patchloom
from patchloom.errors import Impossible, Undecided


def documents(sockets: int = 2, guests: tuple[str, ...] = ("guest",)) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return two boxes, only the second of which reaches both desks, and a show whose scene wants guests at the other desk."""
    box = {
        "role": "box",
        "banks": {"in": {"slots": sockets, "socket": "in"}},
        "ports": {"main": {"speaks": ["four"]}, "mirror": {"speaks": ["four"]}},
        "select": [{"into": "main.out", "wired": "in"}, {"into": "mirror.out", "wired": "in"}],
    }
    desk = {
        "role": "desk",
        "banks": {"ch": {"slots": 4, "does": "process", "taps": {"in": []}}},
        "ports": {"a": {"speaks": ["four"]}, "b": {"speaks": ["four"]}},
        "select": [{"into": "ch", "from": ["a.in", "b.in"]}],
    }
    rig = {
        "format": "rig/1",
        "rate": 48000,
        "formats": {"four": {"channels": {"48000": 4}, "pass": ["audio", "clock", "control"]}},
        "types": {"box": box, "desk": desk},
        "devices": {"ANEAR": {"type": "box"}, "BOTH": {"type": "box"}, "FOH": {"type": "desk"}, "MON": {"type": "desk"}},
        "links": [
            {"id": "K1", "join": ["ANEAR.main", "FOH.a"], "format": "four"},
            {"id": "K2", "join": ["BOTH.main", "FOH.b"], "format": "four"},
            {"id": "K3", "join": ["BOTH.mirror", "MON.a"], "format": "four"},
        ],
    }
    show = {
        "format": "show/1",
        "positions": {"foh": {"desk": "FOH"}, "mon": {"desk": "MON"}},
        "sources": ["vox", *guests],
        "plug": [{"sources": ["vox", *guests], "into": ["ANEAR.in", "BOTH.in"]}],
        "lists": [
            {"position": "foh", "at": "FOH.ch", "wants": ["vox"]},
            {"position": "mon", "at": "MON.ch", "wants": list(guests)},
        ],
        "periods": [{"id": "act", "uses": ["vox"]}, {"id": "scene", "scene_of": "act", "uses": ["vox", *guests]}],
    }
    return rig, show


def solve(rig: dict[str, Any], show: dict[str, Any]) -> Any:
    """Return the patch of two documents, not explained where there is none."""
    house = patchloom.read_rig(rig)
    return patchloom.solve(house, patchloom.read_show(show, house), explain=False)


def test_the_scene_leads_where_the_acts_own_plugs_would_shut_it_out() -> None:
    """What only a scene wants plugs where the scene can be carried, in the act too."""
    patch = solve(*documents())
    act, scene = patch.settings
    assert str(scene.plugs["guest"]).startswith("BOTH.in")
    assert act.plugs["vox"] == scene.plugs["vox"]


def test_a_scene_no_plug_can_serve_is_impossible() -> None:
    """Two guests and one socket that leads to their desk: no act could help."""
    with pytest.raises(Impossible) as caught:
        solve(*documents(sockets=1, guests=("guest", "other")))
    assert caught.value.period == "scene"


def test_an_act_and_a_scene_that_want_different_plugs_stay_open() -> None:
    """The act needs the source at one desk, the scene at another, and no socket reaches both: not proven, only open."""
    rig, show = documents()
    rig["links"][1]["pass"] = ["clock", "control"]
    show["sources"] = ["vox"]
    show["plug"] = [{"sources": "vox", "into": ["ANEAR.in", "BOTH.in"]}]
    show["lists"] = [{"position": "foh", "at": "FOH.ch", "wants": ["vox"]}, {"position": "mon", "at": "MON.ch", "wants": []}]
    show["periods"] = [
        {"id": "act", "uses": ["vox"]},
        {"id": "scene", "scene_of": "act", "uses": ["vox"], "lists": {"foh": [], "mon": ["vox"]}},
    ]
    with pytest.raises(Undecided) as caught:
        solve(rig, show)
    assert "keep one choice of plugs" in str(caught.value)


def test_what_only_a_scene_uses_is_plugged_in_its_act_and_has_no_gain_there() -> None:
    """A preamp of the act holds a source of the scene: it is set once the source is in use."""
    rig, show = documents()
    box = rig["types"]["box"]
    box["banks"]["in"]["preamp"] = "pre"
    box["preamps"] = {"pre": {"gain_db": [-6, 60], "step_db": 1, "phantom_by": 1, "owner_by": "device", "doors": ["port"]}}
    show["sources"] = [{"id": "vox"}, {"id": "guest", "gain_db": 20}]
    show["plug"] = [{"sources": ["vox", "guest"], "into": "BOTH.in"}]
    act, scene = solve(rig, show).settings
    assert act.plugs["guest"] == scene.plugs["guest"]
    assert "guest" not in {row.leg for row in act.gains}
    assert "guest" in {row.leg for row in scene.gains}
