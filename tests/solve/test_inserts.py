"""Declared inserts: the send is set, and nobody else stands where it goes out or comes back."""

from __future__ import annotations

from typing import Any

import pytest

import patchloom
from patchloom.errors import Impossible


def documents(**more: Any) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return one desk with two sockets each way and four channels, and a show with one voice, one wedge and an insert."""
    desk = {
        "role": "desk",
        "banks": {
            "mic": {"slots": 2, "socket": "in"},
            "line": {"slots": 2, "socket": "out"},
            "ch": {"slots": 4, "does": "process", "taps": {"in": [], "pre": ["trim", "filter"], "post": ["insert", "fader"]}},
            "mix": {"slots": 2, "does": "sum", "of": ["ch"]},
        },
        "select": [{"into": "ch", "from": ["mic"]}, {"into": "line", "from": ["mix", "ch"]}],
    }
    rig = {
        "format": "rig/1",
        "domains": {"main": {"rate": 48000, "leader": "DESK"}},
        "types": {"desk": desk},
        "devices": {"DESK": {"type": "desk"}},
        "links": [],
    }
    show = {
        "format": "show/1",
        "positions": {"foh": {"desk": "DESK"}},
        "sources": ["vox"],
        "lists": [{"position": "foh", "at": "DESK.ch", "wants": ["vox"]}],
        "feeds": [{"ids": ["wedge"], "mixed_at": "foh", "to": {"at": "DESK.line"}}],
        "inserts": [{"position": "foh", "channel": "DESK.ch[1]", "send": "DESK.line[1]", "return": "DESK.mic[1]"}],
    }
    return rig, show | more


def solved(rig: dict[str, Any], show: dict[str, Any]) -> Any:
    """Return the one setting of the answer, and check that the judge has no objection."""
    house, tonight = patchloom.read_rig(rig), patchloom.read_show(show)
    patch = patchloom.solve(house, tonight)
    assert not [row for row in patchloom.verify(house, tonight, patch) if row.severity != "note"]
    assert not patch.unhonoured
    return patch.settings[0]


def test_the_send_is_taken_before_the_insert_and_its_places_stay_free() -> None:
    """The send takes its channel at the latest tap before the insert; the wedge and the voice go elsewhere."""
    setting = solved(*documents())
    chosen = {str(row.into): (str(row.from_), row.tap) for row in setting.selections}
    assert chosen["DESK.line[1]"] == ("DESK.ch[1]", "pre")
    assert chosen["DESK.line[2]"][0].startswith("DESK.mix")
    assert str(setting.plugs["vox"]) == "DESK.mic[2]"


def test_without_the_insert_the_first_sockets_are_taken() -> None:
    """The same show without its insert uses what comes first."""
    setting = solved(*documents(inserts=[]))
    assert str(setting.plugs["vox"]) == "DESK.mic[1]"


def test_an_insert_that_takes_the_last_socket_is_in_conflict() -> None:
    """Two voices and a return ask for three sockets of two; leaving the insert out is offered."""
    rig, show = documents(sources=["vox", "duet"], lists=[{"position": "foh", "at": "DESK.ch", "wants": ["vox", "duet"]}])
    with pytest.raises(Impossible) as caught:
        solved(rig, show)
    assert any("inserts" in str(way) or "insert" in str(way) for way in caught.value.ways), caught.value.ways


def test_a_send_no_row_can_take_is_named() -> None:
    """Where the desk cannot send the channel out, the patch says that it is left to a hand."""
    rig, show = documents()
    rig["types"]["desk"]["select"][1]["from"] = ["mix"]
    patch = patchloom.solve(patchloom.read_rig(rig), patchloom.read_show(show))
    assert patch.unhonoured == ("inserts: send of DESK.ch[1] (no select row takes it; patch it by hand)",)
