"""A show held against a rig."""

from __future__ import annotations

import copy
import json
import pathlib

import pytest

from patchloom import document
from patchloom.errors import DocumentError

BAD = pathlib.Path(__file__).parent / "bad"
RAW = json.loads((BAD / "good-rig.json").read_text(encoding="utf-8"))
RAW["types"] = {
    "own": {
        "banks": {
            "x": {"slots": {"96000": 4}},
            "y": {"slots": {"48000": 4}},
            "in": {"slots": 4, "socket": "in"},
            "talk": {"slots": 1, "socket": "in", "only_for": "talkback"},
        }
    },
    "deaf": {"banks": {"talk": {"slots": 1, "socket": "in", "only_for": "talkback"}}},
}
RAW["devices"] |= {"OWN": "own", "DEAF": "deaf", "EAR": "ear-transmitter"}
RAW["links"].append({"id": "E", "join": ["FOH.line[5-6]", "OWN.in[1-2]"]})
RIG = document.read(RAW, "rig").data
SHOW = {"format": "show/1", "sources": ["kick"], "positions": {"foh": {}}}


def complaints(**changes):
    made = copy.deepcopy(SHOW) | changes
    try:
        document.read(made, "show", rig=RIG)
    except DocumentError as error:
        return [(row.kind, row.path) for row in error.complaints]
    return []


def feed(**fields):
    return {"feeds": [{"id": "f", "mixed_at": "foh", **fields}]}


def landing(**fields):
    return {"lists": [{"position": "foh", "wants": [], **fields}]}


@pytest.mark.parametrize(
    "changes",
    [
        {"plug": {"source": "kick", "into": ["BOX", "BOX.mic", "BOX.mic[16]", "DEAF.talk"]}},
        landing(at="FOH.ch"),
        landing(at="FOH.ch[1-8]"),
        landing(at="FOH.a.out"),
        landing(at="OWN.in"),
        feed(to=["BOX.line", "FOH", "EAR.in", "OWN.in[1-2]", "FOH.a.out[1]"], **{"from": "FOH.mix[1-2]"}),
        feed(survives="K1"),
        feed(survives="BOX"),
        {"owners": {"preamps": ["BOX", "BOX.mic"], "owner": "foh"}},
        {"fixed": {"into": "FOH.ch[1]", "from": "FOH.a.in[1]"}},
        {"routing": {"id": "r", "rule": "forbid", "signals": "kick", "at": ["K1", "BOX", "BOX.mic[1]"]}},
    ],
)
def test_what_the_rig_has(changes):
    """Places the rig has, of the kind that is needed, are no complaint."""
    assert complaints(**changes) == []


@pytest.mark.parametrize(
    ("changes", "wanted"),
    [
        ({"plug": {"source": "kick", "into": ["BOX", "BX.mic"]}}, ("dangling", "$.plug.into[1]")),
        ({"plug": {"source": "kick", "into": "BOX.mik"}}, ("dangling", "$.plug.into")),
        ({"plug": {"source": "kick", "into": "BOX.main"}}, ("dangling", "$.plug.into")),
        ({"plug": {"source": "kick", "into": "BOX.mic[17]"}}, ("out-of-range", "$.plug.into")),
        ({"plug": {"source": "kick", "into": "BOX.line"}}, ("not-a-socket", "$.plug.into")),
        ({"plug": {"source": "kick", "into": "DEAF"}}, ("not-a-socket", "$.plug.into")),
        ({"plug": {"source": "kick", "into": "OWN.x"}}, ("rate", "$.plug.into")),
        (landing(at="FOH.mic"), ("list-at", "$.lists[0].at")),
        (landing(at="FOH.a.in"), ("list-at", "$.lists[0].at")),
        (landing(at="FOH.mix"), ("list-at", "$.lists[0].at")),
        (landing(at="FOH.a.out[33]"), ("out-of-range", "$.lists[0].at")),
        (landing(at="FOH.ch", wants=[{"signal": "kick", "channel": 33}]), ("out-of-range", "$.lists[0].wants[0].channel")),
        (feed(to="BOX.mic"), ("direction", "$.feeds[0].to")),
        (feed(to={"at": "FOH.mix"}), ("direction", "$.feeds[0].to.at")),
        (feed(**{"from": "FOH.ch"}), ("direction", "$.feeds[0].from")),
        (feed(survives="K9"), ("dangling", "$.feeds[0].survives")),
        ({"positions": {"foh": {"desk": "FHO"}}}, ("dangling", "$.positions.foh.desk")),
        ({"owners": {"preamps": "BOX.line", "owner": "foh"}}, ("no-preamp", "$.owners.preamps")),
        ({"fixed": {"into": "FOH.mic[1]", "from": "FOH.a.in[1]"}}, ("direction", "$.fixed.into")),
        ({"fixed": {"into": "FOH.ch[1]", "from": "FOH.a.in[33]"}}, ("out-of-range", "$.fixed.from")),
        (
            {"inserts": {"position": "foh", "channel": "FOH.ch[1]", "send": "FOH.line[99]", "return": "FOH.mic[1]"}},
            ("out-of-range", "$.inserts.send"),
        ),
        ({"wishes": {"spare": {"at": "BOX.line", "count": 1}}}, ("not-a-socket", "$.wishes.spare.at")),
        ({"wishes": {"prefer": {"signals": "kick", "at": "BOX.zz"}}}, ("dangling", "$.wishes.prefer.at")),
        ({"routing": {"id": "r", "rule": "forbid", "signals": "kick", "at": "K9"}}, ("dangling", "$.routing.at")),
        (
            {"periods": [{"id": "a", "without_devices": ["BX"], "without_links": ["K9"]}]},
            ("dangling", "$.periods[0].without_links[0]"),
        ),
    ],
)
def test_what_the_rig_does_not_have(changes, wanted):
    """Everything else is a complaint at the address as it was written."""
    assert wanted in complaints(**changes)


def test_cross_needs_no_text():
    """Two expanded documents can be held against each other without any text."""
    show = document.read(SHOW | {"plug": {"source": "kick", "into": "BOX.mik"}}, "show").data
    assert [(row.kind, row.path, row.line) for row in document.cross(RIG, show)] == [("dangling", "$.plug[0].into[0]", None)]
    assert document.cross(RIG, document.read(SHOW, "show").data) == ()


def test_sizes_follow_the_rate():
    """An address that is there at 48 kHz may be out of range at 96 kHz."""
    fast = json.loads((BAD / "good-rig.json").read_text(encoding="utf-8")) | {"rate": 96000}
    rig = document.read(fast, "rig").data
    show = document.read(SHOW | {"fixed": {"into": "FOH.ch[1]", "from": "FOH.a.in[20]"}}, "show").data
    assert [row.kind for row in document.cross(rig, show)] == ["out-of-range"]
    assert document.cross(RIG, show) == ()
