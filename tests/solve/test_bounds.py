"""Counting proofs say nothing against a show that can be patched."""

from __future__ import annotations

from typing import Any

import pytest

import patchloom
from patchloom.errors import Impossible
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


def test_a_destination_on_a_device_that_is_away_is_told_so() -> None:
    """A feed whose only destination stands on a device that this period does without says that, and nothing of rates."""
    rig, show = _documents()
    rig["types"]["amp"] = {"role": "amplifier", "banks": {"in": {"slots": 2, "socket": "out"}}}
    rig["types"]["desk"]["banks"] |= {"mix": {"slots": 2, "does": "sum", "of": ["ch"]}, "out": {"slots": 2, "socket": "out"}}
    rig["types"]["desk"]["select"].append({"into": "out", "from": ["mix"]})
    rig["devices"] |= {"AMP": "amp"}
    show["feeds"] = [{"id": "pa", "mixed_at": "foh", "to": ["AMP.in[1]"]}]
    show["periods"] = [{"id": "one", "without_devices": ["AMP"]}]
    opened = patchloom.read_rig(rig)
    with pytest.raises(Impossible) as caught:
        patchloom.solve(opened, patchloom.read_show(show, opened), explain=False)
    assert [fact.text for fact in caught.value.facts] == [
        "pa has nowhere to go: destination 1 of pa names AMP, not there in this period."
    ]
