"""Papers of a truck fed by somebody else's desk: taps, folds, alternates, N-1, analogue runs, feeds that arrive nowhere."""

from __future__ import annotations

from typing import Any

from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show
from patchloom.pages import Page, Table
from patchloom.plugins import load

DESK: dict[str, Any] = {
    "role": "desk",
    "banks": {
        "mic": {"slots": 4, "socket": "in", "preamp": "pre"},
        "line": {"slots": 4, "socket": "out"},
        "ch": {"slots": 8, "does": "process", "taps": {"in": [], "pre": ["trim"]}},
        "mix": {"slots": 4, "does": "sum", "taps": {"post": ["fader"]}},
        "out": {"slots": 8},
    },
    "ports": {"a": {"speaks": ["cat"]}},
    "preamps": {"pre": {"phantom_by": 4, "doors": ["local"]}},
    "select": [
        {"into": "ch", "from": ["mic", "a.in"]},
        {"into": "out", "from": ["mix", "ch"]},
        {"into": "a.out", "from": ["out"], "by": 8},
        {"into": "line", "from": ["mix"]},
    ],
}
RIG = {
    "domains": {"v": {"rate": "48000000/1001", "locked_to": "video"}},
    "formats": {
        "cat": {"channels": {"48000": 8}, "pass": ["audio", "clock"]},
        "analogue": {"digital": False, "channels": {"48000": 1}},
    },
    "types": {
        "desk": DESK,
        "split": {
            "role": "split",
            "digital": False,
            "banks": {
                "in": {"slots": 4, "socket": "in"},
                "direct": {"slots": 4, "socket": "out"},
                "iso": {"slots": 4, "socket": "out"},
            },
            "select": [{"into": "direct", "wired": "in", "dc": "yes"}, {"into": "iso", "wired": "in", "dc": "no"}],
        },
    },
    "devices": {"FOH": {"type": "desk", "address": "10"}, "TRUCK": {"type": "desk"}, "S": {"type": "split"}},
    "links": [
        {"id": "D", "join": ["S.direct[1-4]", "FOH.mic[1-4]"], "cables": [{"label": "loom D"}]},
        {"id": "I", "join": ["S.iso[1-4]", "TRUCK.mic[1-4]"]},
        {"id": "L", "join": ["FOH.a", "TRUCK.a"], "format": "cat"},
    ],
}
SHOW = {
    "name": "Truck",
    "positions": {
        "foh": {"name": "House", "desk": "FOH", "kind": "foh"},
        "tx": {"desk": "TRUCK", "kind": "broadcast", "person": "somebody"},
    },
    "sources": [
        {
            "id": "host",
            "name": "Host",
            "phantom": "need",
            "kind": "mic",
            "zone": "front",
            "person": "the host",
            "file_name": "host",
            "notes": "left",
        },
        {"id": "keys", "legs": ["L", "R"], "name": "Keys", "phantom": "unknown", "group": "band"},
        {"id": "spare", "name": "Spare", "phantom": "never"},
    ],
    "lists": [
        {
            "position": "foh",
            "at": "FOH.ch[1-8]",
            "wants": [{"signal": "host", "insert": "de-esser", "group": "speech"}, {"signal": "keys", "fold": "sum"}],
        },
        {
            "position": "tx",
            "at": "TRUCK.ch",
            "wants": [
                {"signal": "host", "name": "Presenter", "alternate": "spare"},
                {"signal": "keys", "leg": "L"},
                {"signal": "pa"},
                {"signal": "clean"},
            ],
        },
    ],
    "feeds": [
        {"id": "pa", "name": "PA", "mixed_at": "foh", "kind": "pa", "legs": ["L", "R"], "notes": "everything"},
        {"id": "clean", "name": "Return", "mixed_at": "foh", "kind": "n-1", "excludes": "host", "person": "the host"},
        {"id": "lost", "name": "Lobby", "mixed_at": "foh", "kind": "other"},
        {"id": "line", "name": "Press", "mixed_at": "foh", "to": [{"at": ["FOH.line[1]"], "zone": "hall"}]},
    ],
    "gain": {"tracking": "on"},
}
PATCH = {
    "settings": [
        {
            "plugs": {"host": "S.in[1]", "keys.L": "S.in[2]", "keys.R": "S.in[3]", "spare": "TRUCK.mic[4]"},
            "mixes": {"pa.L": "FOH.mix[1]", "pa.R": "FOH.mix[2]", "clean": "FOH.mix[3]", "line": "FOH.mix[4]"},
            "selections": [
                {"into": "FOH.ch[1-3]", "from": "FOH.mic[1-3]"},
                {"into": "FOH.out[1]", "from": "FOH.ch[1]", "tap": "pre"},
                {"into": "FOH.out[2]", "from": "FOH.ch[2]", "tap": "in"},
                {"into": "FOH.out[3]", "from": "FOH.mix[1]", "tap": "post"},
                {"into": "FOH.a.out[1-8]", "from": "FOH.out[1-8]"},
                {"into": "FOH.line[1]", "from": "FOH.mix[4]"},
                {"into": "TRUCK.ch[1]", "from": "TRUCK.a.in[1]"},
                {"into": "TRUCK.ch[1]", "from": "TRUCK.mic[4]", "alternate": True},
                {"into": "TRUCK.ch[2-3]", "from": "TRUCK.a.in[2-3]"},
            ],
            "routes": [
                {"leg": "host", "to": "foh", "entry": 1, "hops": ["S.in[1]", "S.direct[1]", "FOH.mic[1]", "FOH.ch[1]"]},
                {"leg": "keys.L", "to": "foh", "entry": 2, "hops": ["S.in[2]", "S.direct[2]", "FOH.mic[2]", "FOH.ch[2]"]},
                {
                    "leg": "host",
                    "to": "tx",
                    "entry": 1,
                    "hops": [
                        "S.in[1]",
                        "S.direct[1]",
                        "FOH.mic[1]",
                        "FOH.ch[1]",
                        "FOH.out[1]",
                        "FOH.a.out[1]",
                        "TRUCK.a.in[1]",
                        "TRUCK.ch[1]",
                    ],
                },
                {"leg": "spare", "to": "tx", "entry": 1, "alternate": True, "hops": ["TRUCK.mic[4]", "TRUCK.ch[1]"]},
                {
                    "leg": "keys.L",
                    "to": "tx",
                    "entry": 2,
                    "hops": [
                        "S.in[2]",
                        "S.direct[2]",
                        "FOH.mic[2]",
                        "FOH.ch[2]",
                        "FOH.out[2]",
                        "FOH.a.out[2]",
                        "TRUCK.a.in[2]",
                        "TRUCK.ch[2]",
                    ],
                },
                {
                    "leg": "pa.L",
                    "to": "tx",
                    "entry": 3,
                    "hops": ["FOH.mix[1]", "FOH.out[3]", "FOH.a.out[3]", "TRUCK.a.in[3]", "TRUCK.ch[3]"],
                },
                {
                    "leg": "clean",
                    "to": "tx",
                    "entry": 4,
                    "hops": ["FOH.mix[3]", "FOH.out[4]", "FOH.a.out[4]", "TRUCK.a.in[4]", "TRUCK.ch[4]"],
                },
                {"leg": "line", "to": "line", "entry": 1, "hops": ["FOH.mix[4]", "FOH.line[1]"]},
            ],
            "clock": [{"id": "v", "rate": "48000000/1001", "leader": "FOH"}],
            "owners": [{"preamps": "FOH.mic[1-4]", "owner": "foh", "door": "local"}, {"preamps": "TRUCK.mic[1-4]", "owner": ""}],
            "gains": [{"leg": "host", "at": "FOH.mic[1]", "gain_db": None, "trims_db": {"tx": -3}}],
            "phantom": [
                {"at": "FOH.mic[1-4]", "on": True, "because": ["host"], "unknown": ["keys.L"]},
                {"at": "TRUCK.mic[1-4]", "on": False, "because": ["spare"]},
            ],
            "spares": ["S.in[4]"],
        }
    ],
}


def pages(paper: str) -> dict[str, Page]:
    made = load("papers", paper)(build(Rig, RIG), build(Show, SHOW), build(Patch, PATCH), ())
    return {page.subject: page for page in made}


def column(of: Table, key: str) -> list[str]:
    place = [row.id for row in of.columns].index(key)
    return [row.cells[place].text for row in of.rows]


def test_broadcast_sees_both_names_taps_and_n_minus_one() -> None:
    """The truck reads its own name and the stage's, raw or not, who is left out of which return, and whom to call."""
    table = pages("input-list")["tx"].tables[0]
    assert column(table, "name") == ["Presenter", "Keys L", "PA L", "Return"]
    assert column(table, "stage") == ["Host", "Keys L", "PA L", "Return"]
    assert column(table, "line") == ["S-1", "S-2", "FOH mix-1", "FOH mix-3"]
    assert column(table, "tap") == ["pre", "raw", "mix", "mix"]
    assert column(table, "less") == ["Return", "", "", "all but host"]
    assert column(table, "call") == ["House", "House", "\u2013", "\u2013"]
    assert column(table, "trim") == ["\u22123", "", "", ""]
    assert "Ch 1: alternate input Spare TRUCK-4" in pages("input-list")["tx"].notes


def test_a_folded_pair_and_an_insert_are_named() -> None:
    """A fold reads L+R, an insert and a group stand together, and the preamp of a copper way is the desk's own."""
    table = pages("input-list")["foh"].tables[0]
    assert column(table, "leg") == ["", "L+R"]
    assert column(table, "group") == ["insert de-esser, speech", "band"]
    assert column(table, "owner") == ["own", "own"]
    assert column(table, "phantom") == ["ON", "? ON"]
    assert column(table, "detail")[0] == "the host, front"


def test_outputs_say_who_hears_and_what_arrives_nowhere() -> None:
    """A feed that lists want shows the list, one with a place its zone, one that arrives nowhere says so."""
    page = pages("output-list")["foh"]
    table = page.tables[0]
    rows = dict(zip(column(table, "name"), column(table, "socket"), strict=True))
    assert rows == {"PA L": "TRUCK ch-3", "PA R": "nowhere", "Return": "TRUCK ch-4", "Lobby": "nowhere", "Press": "FOH line-1"}
    assert "PA: everything" in table.notes
    assert "hall" in column(table, "zone")


def test_a_split_sheet_shows_its_outputs_and_whom_they_reach() -> None:
    """Each output of a split is a row; looms are named at their far end."""
    split, desk = pages("patch-sheet")["S"], pages("patch-sheet")["FOH"]
    tables = {table.id: table for table in split.tables}
    assert column(tables["in"], "source") == ["Host", "Keys L", "Keys R", "SPARE"]
    assert column(tables["direct"], "source") == ["Host", "Keys L", "", ""]
    assert column(tables["direct"], "person")[0] == "House, tx"
    assert column(next(table for table in desk.tables if table.id == "mic"), "loom") == ["loom D"] * 4


def test_checklist_of_a_truck() -> None:
    """A fractional rate is printed exactly, a locked leader follows, taps say what they come after, unknown gain is apart."""
    steps = {group.id: group for group in pages("settings-checklist")["FOH"].steps}
    assert steps["rate"].steps[0].text == "Sample rate: 48000000/1001 Hz (47952.048 Hz) (domain v)."
    assert steps["clock"].steps[0].text == "FOH LEADS domain v: follow video."
    assert "addresses" in steps
    assert [line.split(":")[1].split(")")[0] for line in steps["taps"].steps[0].lines] == [
        " tap pre (after trim",
        " tap in (raw, before everything",
    ]
    assert steps["gains"].steps[0].text == "Gain not known, set by ear with the others listening:"
    assert "(one switch)" in steps["phantom"].steps[1].lines[0]
    truck = {group.id: group for group in pages("settings-checklist")["TRUCK"].steps}
    assert truck["trims"].steps[0].lines == ("1 Host  \u22123 dB",)
    assert truck["trims"].steps[1].text == "Gain tracking on."
