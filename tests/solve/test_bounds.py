"""Counting proofs say nothing against a show that can be patched."""

from __future__ import annotations

from typing import Any

import patchloom
from patchloom.solve.counting.bounds import bounds
from patchloom.solve.cutting import build_fabric
from patchloom.solve.slot import aims, cut_at
from patchloom.solve.unit import units


def _documents() -> tuple[dict[str, Any], dict[str, Any]]:
    desk = {
        "role": "desk",
        "banks": {"ch": {"slots": 4, "does": "process", "taps": {"in": []}}},
        "ports": {"a": {"speaks": ["eight"]}},
        "select": [{"into": "ch", "from": ["a.in"]}, {"into": "ch", "from": ["a.in"], "alternate": True}],
    }
    box = {
        "role": "box",
        "banks": {"in": {"slots": 8, "socket": "in"}},
        "ports": {"main": {"speaks": ["eight"]}},
        "select": [{"into": "main.out", "wired": "in"}],
    }
    rig = {
        "format": "rig/1",
        "rate": 48000,
        "formats": {"eight": {"channels": {"48000": 8}, "pass": ["audio", "clock"]}},
        "types": {"desk": desk, "box": box},
        "devices": {"BOX": "box", "FOH": "desk"},
        "links": [{"id": "K", "join": ["BOX.main", "FOH.a"], "format": "eight"}],
    }
    show = {
        "format": "show/1",
        "sources": [{"ids": ["vox{1-4}", "spare"]}],
        "plug": [{"sources": "all", "into": "BOX.in"}],
        "lists": [{"position": "foh", "at": "FOH.ch", "wants": [{"signal": "vox1", "alternate": "spare"}, "vox{2-4}"]}],
    }
    return rig, show


def test_an_alternate_input_takes_no_channel_of_its_own() -> None:
    """A full bank of channels with one alternate input more is not ruled out: the alternate shares its channel."""
    made, asked = _documents()
    rig = patchloom.read_rig(made)
    show = patchloom.read_show(asked, rig)
    fabric = build_fabric(rig, cut_at(show))
    wanted = aims(fabric, show)
    assert bounds(fabric, show, wanted, units(fabric, show, wanted, {})) == []
    assert patchloom.verify(rig, show, patchloom.solve(rig, show)) == ()
