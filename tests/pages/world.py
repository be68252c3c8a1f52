"""A small rig, show and patch written by hand, and one with hostile names: what the paper tests print."""

from __future__ import annotations

import attrs

from patchloom.finding import Finding
from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show
from patchloom.pages import Book, book
from patchloom.plugins import load_all

HOSTILE = (
    "</script><script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    '=HYPERLINK("http://x")',
    "@SUM(1)",
    "Tom & Jerry's \u201cquotes\u201d <b>",
    "\u0643\u064a\u0628\u0648\u0631\u062f",
    "\u30ad\u30fc\u30dc\u30fc\u30c9\u6a29",
    "\u202egnp.exe",
    "a\u2066b\x1b[31mred",
    "\U0001f3b8 guitar\u0301",
    "9/10",
    "-2+3",
)
"""Names nobody should have and somebody has."""

RIG = {
    "name": "Hand-made rig",
    "domains": {"main": {"rate": 48000, "leader": "MON", "fallback": ["BOX"]}},
    "formats": {
        "cat": {"channels": {"48000": 16}, "pass": ["audio", "control", "clock"], "framings": ["short", "long"]},
        "analogue": {"channels": {"48000": 1}, "digital": False, "one_way": True},
    },
    "types": {
        "box": {
            "role": "box",
            "takeover": "desk",
            "banks": {
                "mic": {"slots": 16, "socket": "in", "preamp": "pre", "connector": "XLR-3"},
                "line": {"slots": 4, "socket": "out", "mark": ["A", "B", "C", "D"], "row": 4},
            },
            "ports": {"main": {"speaks": ["cat"]}, "mirror": {"speaks": ["cat"], "ways": "out"}},
            "select": [
                {"into": "main.out", "wired": "mic"},
                {"into": "mirror.out", "wired": "mic"},
                {"into": "line", "wired": "main.in"},
            ],
            "preamps": {"pre": {"gain_db": [0, 60], "step_db": 1, "full_scale_dbu": 20, "phantom_by": 1}},
        },
        "desk": {
            "role": "desk",
            "recalls": ["patch", "preamps"],
            "banks": {
                "talk": {"slots": 1, "socket": "in", "only_for": "talkback"},
                "intake": {"slots": 16},
                "ch": {
                    "slots": 16,
                    "does": "process",
                    "trim_db": [-18, 18],
                    "taps": {"in": [], "post": ["trim", "mute", "fader"]},
                    "label_length": 6,
                },
                "mix": {"slots": 4, "does": "sum", "taps": {"post": ["fader"]}, "of": ["ch"]},
            },
            "ports": {"a": {"speaks": ["cat"]}, "b": {"speaks": ["cat"]}},
            "select": [
                {"into": "intake", "from": ["a.in", "b.in"], "by": 8},
                {"into": "ch", "from": ["intake", "talk"]},
                {"into": "a.out", "from": ["mix"]},
                {"into": "b.out", "from": ["a.in"], "by": 8},
            ],
        },
        "recorder": {
            "role": "recorder",
            "banks": {"track": {"slots": 16, "ends": "record"}},
            "ports": {"a": {"speaks": ["cat"]}},
            "select": [{"into": "track", "wired": "a.in"}],
        },
        "wedge": {
            "role": "loudspeaker-line",
            "digital": False,
            "banks": {"in": {"slots": 1, "socket": "in", "ends": "loudspeaker"}},
        },
    },
    "devices": {
        "BOX": {"type": "box", "name": "Stage box", "place": {"zone": "sr", "note": "behind the drums"}, "address": "1"},
        "MON": {"type": "desk", "name": "Monitor desk"},
        "FOH": {"type": "desk"},
        "REC": {"type": "recorder"},
        "W1": {"type": "wedge"},
    },
    "links": [
        {"id": "K1", "join": ["BOX.main", "MON.a"], "format": "cat", "framing": ["long"], "cables": [{"label": "blue 1"}]},
        {"id": "K2", "join": ["BOX.mirror", "FOH.a"], "format": "cat"},
        {"id": "K3", "join": ["MON.b", "REC.a"], "format": "cat"},
        {"id": "W", "join": ["BOX.line[1-1]", "W1.in[1-1]"]},
    ],
}

SHOW = {
    "name": "Hand-made show",
    "date": "2030-06-01",
    "positions": {
        "foh": {"name": "House", "desk": "FOH", "kind": "foh", "person": "house engineer"},
        "mon": {"name": "Monitors", "desk": "MON", "kind": "monitor", "label_length": 6},
        "rec": {"name": "Record", "desk": "REC", "kind": "record"},
    },
    "sources": [
        {
            "id": "kick",
            "name": "Kick",
            "phantom": "no",
            "kind": "mic",
            "mic": "large moving coil",
            "stand": "short boom",
            "zone": "dr",
            "cable_m": 6,
            "colour": "red",
            "peak_dbu": 0,
            "want_db": {"mon": 20, "foh": 26},
        },
        {
            "id": "oh",
            "name": "Overheads",
            "legs": ["L", "R"],
            "phantom": "need",
            "kind": "mic",
            "mic": "small condenser",
            "zone": "dr",
            "left_is": "audience",
        },
        {"id": "ribbon", "name": "Fiddle", "phantom": "never", "kind": "mic"},
        {"id": "pack", "name": "Singer", "kind": "radio", "person": "the singer"},
        {"id": "talk", "name": "Talk monitors", "phantom": "no", "kind": "talkback", "tags": ["talk"]},
    ],
    "lists": [
        {
            "position": "foh",
            "at": "FOH.ch",
            "wants": [{"signal": "pack"}, {"signal": "kick"}, {"signal": "oh"}, {"signal": "ribbon"}],
        },
        {
            "position": "mon",
            "at": "MON.ch",
            "wants": [
                {"signal": "kick"},
                None,
                {"signal": "oh"},
                {"signal": "ribbon"},
                {"signal": "pack", "name": "Lead"},
                {"signal": "talk"},
            ],
        },
        {
            "position": "rec",
            "at": "REC.track",
            "wants": [{"signal": "kick"}, {"signal": "oh"}, {"signal": "ribbon"}, {"signal": "pack"}],
        },
    ],
    "feeds": [
        {
            "id": "w1",
            "name": "Drum wedge",
            "mixed_at": "mon",
            "kind": "wedge",
            "of": ["kick"],
            "person": "drummer",
            "to": [{"at": ["W1.in[1]"], "name": "wedge", "zone": "dr", "level": "speaker"}],
        },
    ],
    "stage": {"zones": {"dr": {"name": "Drum riser"}, "sr": {"name": "Stage right"}}},
    "talk": [{"from": "talk", "to": ["foh"]}],
    "inserts": [{"position": "foh", "channel": "FOH.ch[1]", "send": "FOH.mix[4]", "return": "FOH.ch[16]", "what": "a treatment"}],
}


def _routes() -> list[dict[str, object]]:
    rows: list[dict[str, object]] = []
    sockets = {"kick": 1, "oh.L": 3, "oh.R": 4, "ribbon": 5, "pack": 9}
    for to, device, places, entries in (
        (
            "foh",
            "FOH",
            {"pack": 1, "kick": 2, "oh.L": 3, "oh.R": 4, "ribbon": 5},
            {"pack": 1, "kick": 2, "oh.L": 3, "oh.R": 3, "ribbon": 4},
        ),
        (
            "mon",
            "MON",
            {"kick": 1, "oh.L": 3, "oh.R": 4, "ribbon": 5, "pack": 6},
            {"kick": 1, "oh.L": 3, "oh.R": 3, "ribbon": 4, "pack": 5},
        ),
    ):
        port = "main" if device == "MON" else "mirror"
        for leg, channel in places.items():
            n = sockets[leg]
            rows.append(
                {
                    "leg": leg,
                    "to": to,
                    "entry": entries[leg],
                    "hops": [
                        f"BOX.mic[{n}]",
                        f"BOX.{port}.out[{n}]",
                        f"{device}.a.in[{n}]",
                        f"{device}.intake[{n}]",
                        f"{device}.ch[{channel}]",
                    ],
                }
            )
    rows.append({"leg": "talk", "to": "mon", "entry": 6, "hops": ["MON.talk[1]", "MON.ch[7]"]})
    for leg, entry in (("kick", 1), ("oh.L", 2), ("oh.R", 2), ("ribbon", 3), ("pack", 4)):
        n = sockets[leg]
        rows.append(
            {
                "leg": leg,
                "to": "rec",
                "entry": entry,
                "hops": [
                    f"BOX.mic[{n}]",
                    f"BOX.main.out[{n}]",
                    f"MON.a.in[{n}]",
                    f"MON.b.out[{n}]",
                    f"REC.a.in[{n}]",
                    f"REC.track[{n}]",
                ],
            }
        )
    rows.append(
        {"leg": "w1", "to": "w1", "entry": 1, "hops": ["MON.mix[1]", "MON.a.out[1]", "BOX.main.in[1]", "BOX.line[1]", "W1.in[1]"]}
    )
    return rows


PATCH = {
    "rig": "sha256:" + "1" * 64,
    "show": "sha256:" + "2" * 64,
    "unhonoured": ["wishes.prefer"],
    "settings": [
        {
            "plugs": {
                "kick": "BOX.mic[1]",
                "oh.L": "BOX.mic[3]",
                "oh.R": "BOX.mic[4]",
                "ribbon": "BOX.mic[5]",
                "pack": "BOX.mic[9]",
                "talk": "MON.talk[1]",
            },
            "mixes": {"w1": "MON.mix[1]"},
            "selections": [
                {"into": "FOH.intake[1-8]", "from": "FOH.a.in[1-8]"},
                {"into": "FOH.intake[9-16]", "from": "FOH.a.in[9-16]"},
                {"into": "FOH.ch[1]", "from": "FOH.intake[9]"},
                {"into": "FOH.ch[2]", "from": "FOH.intake[1]"},
                {"into": "FOH.ch[3-5]", "from": "FOH.intake[3-5]"},
                {"into": "MON.intake[1-8]", "from": "MON.a.in[1-8]"},
                {"into": "MON.intake[9-16]", "from": "MON.a.in[9-16]"},
                {"into": "MON.ch[1]", "from": "MON.intake[1]"},
                {"into": "MON.ch[3-5]", "from": "MON.intake[3-5]"},
                {"into": "MON.ch[6]", "from": "MON.intake[9]"},
                {"into": "MON.ch[7]", "from": "MON.talk[1]"},
                {"into": "MON.a.out[1]", "from": "MON.mix[1]", "tap": "post"},
                {"into": "MON.b.out[1-8]", "from": "MON.a.in[1-8]"},
                {"into": "MON.b.out[9-16]", "from": "MON.a.in[9-16]"},
            ],
            "routes": _routes(),
            "clock": [
                {
                    "id": "main",
                    "rate": 48000,
                    "leader": "MON",
                    "fallback": ["BOX"],
                    "followers": [
                        {"device": "BOX", "port": "main", "link": "K1", "from": "MON"},
                        {"device": "FOH", "port": "a", "link": "K2", "from": "BOX", "depth": 2},
                        {"device": "REC", "port": "a", "link": "K3", "from": "MON"},
                    ],
                }
            ],
            "owners": [{"preamps": "BOX.mic[1-16]", "owner": "mon", "door": "port", "path": ["MON", "K1", "BOX"]}],
            "gains": [
                {"leg": "kick", "at": "BOX.mic[1]", "gain_db": 20, "interval_db": [8, 20], "trims_db": {"mon": 0, "foh": 6}}
            ],
            "phantom": [
                {"at": "BOX.mic[1]", "on": False, "because": ["kick"]},
                {"at": "BOX.mic[3]", "on": True, "because": ["oh.L"]},
                {"at": "BOX.mic[4]", "on": True, "because": ["oh.R"]},
                {"at": "BOX.mic[5]", "on": False, "because": ["ribbon"]},
                {"at": "BOX.mic[9]", "on": False, "unknown": ["pack"]},
            ],
            "unmet": ["rec: talk"],
            "spares": ["BOX.mic[8]"],
            "notes": ["The order of rec could not be kept as written: oh.L on 3 instead of 2."],
        }
    ],
}

FINDINGS = (
    Finding("loops", "safety", "The wedge can hear itself.", ("w1",), todo="Mute it first."),
    Finding("late", "warn", "Kick is late at foh.", ("foh", "kick"), (("ms", 4),)),
    Finding("shield", "stop", "BOX.mic[5] has no shield.", ("BOX.mic[5]",), waived="A. Person: checked by ear, until the show."),
    Finding("hint", "advice", "Keep a spare.", ("BOX",)),
)


def rig() -> Rig:
    """Return the hand-made rig."""
    return build(Rig, RIG)  # type: ignore[no-any-return]


def show() -> Show:
    """Return the hand-made show."""
    return build(Show, SHOW)  # type: ignore[no-any-return]


def patch() -> Patch:
    """Return the hand-made patch."""
    return build(Patch, PATCH)  # type: ignore[no-any-return]


def hostile_show() -> Show:
    """Return the show with a hostile name wherever a name fits."""
    plain = show()
    names = iter(HOSTILE * 4)
    sources = tuple(attrs.evolve(row, name=next(names), mic=next(names), notes=next(names)) for row in plain.sources)
    feeds = tuple(attrs.evolve(row, name=next(names), person=next(names)) for row in plain.feeds)
    lists = tuple(attrs.evolve(row, name=next(names)) for row in plain.lists)
    return attrs.evolve(plain, name=next(names), sources=sources, feeds=feeds, lists=lists)


def small_book(shown: Show | None = None, **stamp: object) -> Book:
    """Return the book of the hand-made show, every installed paper in it."""
    words: dict[str, object] = {
        "date": "2030-05-31 18:00 +00:00",
        "revision": "C",
        "replaces": "B",
        "status": "ISSUED",
        "approver": "A. Person",
        **stamp,
    }
    return book(rig(), shown or show(), patch(), FINDINGS, load_all("papers").objects, **words)  # type: ignore[arg-type]
