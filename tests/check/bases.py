"""Small rigs with their right patches, written by hand: what the planted faults start from.

Comes in: nothing.  Goes out: (rig, show, patch) as plain data, anew at every call, free to be spoiled.

`house`: a box, two desks, an amplifier; blocks on the way to MON, single choices at FOH, a wedge and an ear mix
going home, the PA over copper.  `copper`: a transformer split between two desks with preamps of their own.
`border`: a double-rate stage and a truck, a rate converter between.  `acts`: a show of two acts and a scene.
"""

from __future__ import annotations

from typing import Any

__all__ = ["BASES", "Case", "acts", "border", "copper", "house"]

Case = tuple[dict[str, Any], dict[str, Any], dict[str, Any]]

_TAPS = {"in": [], "pre": ["trim", "filter"], "post": ["trim", "filter", "processing", "mute", "fader"]}
_MIX_TAPS = {"pre": ["processing"], "post": ["processing", "mute", "fader"]}
_PRE = {"gain_db": [-6, 60], "step_db": 1, "full_scale_dbu": 22, "phantom_by": 4, "owner_by": "device"}
_CAT = {"channels": {"48000": 16}, "pass": ["audio", "clock", "control"]}


def select(into: str, from_: str, tap: str = "", alternate: bool = False) -> dict[str, Any]:
    """Return one selection as plain data."""
    row: dict[str, Any] = {"into": into, "from": from_}
    if tap:
        row["tap"] = tap
    if alternate:
        row["alternate"] = True
    return row


def route(leg: str, to: str, entry: int, hops: str, alternate: bool = False) -> dict[str, Any]:
    """Return one route as plain data; hops are written with `>` between them."""
    row: dict[str, Any] = {"leg": leg, "to": to, "entry": entry, "hops": [hop.strip() for hop in hops.split(">")]}
    if alternate:
        row["alternate"] = True
    return row


def _house_rig() -> dict[str, Any]:
    box = {
        "role": "box",
        "banks": {"mic": {"slots": 16, "socket": "in", "preamp": "pre"}, "line": {"slots": 8, "socket": "out"}},
        "ports": {
            "main": {
                "speaks": ["cat"],
                "slots": {"in": 8, "out": 16},
                "pass": {"in": ["audio", "clock", "control"], "out": ["audio", "clock"]},
            },
            "mirror": {"speaks": ["cat"], "slots": {"in": 0, "out": 16}, "pass": {"in": [], "out": ["audio", "clock"]}},
        },
        "select": [
            {"into": "main.out", "wired": "mic"},
            {"into": "mirror.out", "wired": "mic"},
            {"into": "line", "wired": "main.in"},
        ],
        "preamps": {"pre": dict(_PRE)},
    }
    mon = {
        "role": "desk",
        "banks": {
            "talk": {"slots": 1, "socket": "in", "only_for": "talkback"},
            "intake": {"slots": 16},
            "ch": {"slots": 16, "does": "process", "trim_db": [-24, 24], "taps": dict(_TAPS)},
            "mix": {"slots": 8, "does": "sum", "of": ["ch"], "taps": dict(_MIX_TAPS)},
            "out": {"slots": 8},
        },
        "ports": {
            "a": {"speaks": ["cat"]},
            "b": {"speaks": ["cat", "eight", "one"]},
            "wc": {"speaks": ["wc"], "slots": 0, "pass": ["clock"]},
        },
        "select": [
            {"into": "intake", "by": 8, "from": ["a.in", "b.in"]},
            {"into": "ch", "from": ["intake", "talk"]},
            {"into": "ch", "from": ["intake"], "alternate": True},
            {"into": "out", "from": ["mix", "ch", "talk"]},
            {"into": "a.out", "from": ["mix", "ch"]},
            {"into": "b.out", "by": 8, "from": ["a.in", "out"]},
        ],
        "limits": [{"of": ["a.out", "out"], "most": 5, "about": "the output pool"}],
    }
    foh = {
        "role": "desk",
        "banks": {
            "ch": {"slots": {"48000": 16}, "does": "process", "trim_db": [-18, 18], "taps": dict(_TAPS)},
            "mix": {"slots": 4, "does": "sum", "of": ["ch"], "taps": dict(_MIX_TAPS)},
            "line": {"slots": 4, "socket": "out"},
        },
        "ports": {
            "a": {"speaks": ["cat"]},
            "b": {"speaks": ["cat", "eight", "one"]},
            "wc": {"speaks": ["wc"], "slots": 0, "pass": ["clock"]},
        },
        "select": [
            {"into": "ch", "from": ["a.in", "b.in"]},
            {"into": "line", "from": ["mix"], "taps": ["post", "pre"]},
            {"into": "b.out", "from": ["mix", "ch"]},
        ],
    }
    amp = {"role": "amplifier", "digital": False, "banks": {"in": {"slots": 4, "socket": "in", "ends": "loudspeaker"}}}
    return {
        "name": "house",
        "domains": {"main": {"rate": 48000, "leader": "MON", "fallback": ["BOX"]}},
        "formats": {
            "cat": dict(_CAT),
            "eight": {"channels": {"48000": 8}, "pass": ["audio", "clock"]},
            "one": {"channels": {"48000": 8}, "one_way": True},
            "wc": {"pass": ["clock"]},
        },
        "types": {"box": box, "mon": mon, "foh": foh, "amp": amp},
        "devices": {"AMP": {"type": "amp"}, "BOX": {"type": "box"}, "FOH": {"type": "foh"}, "MON": {"type": "mon"}},
        "links": [
            {"id": "K1", "join": ["BOX.main", "MON.a"], "format": "cat"},
            {"id": "K2", "join": ["BOX.mirror", "FOH.a"], "format": "cat"},
            {"id": "K3", "join": ["MON.b", "FOH.b"], "format": "eight"},
            {"id": "L1", "join": ["FOH.line[1-2]", "AMP.in[1-2]"]},
        ],
    }


def _house_show() -> dict[str, Any]:
    return {
        "name": "house",
        "sources": [
            {"id": "kick", "phantom": "no", "gain_db": 24},
            {"id": "vox1", "phantom": "no", "peak_dbu": -20, "want_db": {"mon": 30, "foh": 34}},
            {"id": "vox2", "phantom": "no"},
            {"id": "oh", "legs": ["L", "R"], "phantom": "need"},
            {"id": "di", "phantom": "need"},
            {"id": "lap", "phantom": "never"},
            {"id": "talk_mon", "phantom": "never"},
        ],
        "plug": [
            *({"source": key, "into": ["BOX.mic"]} for key in ("kick", "vox1", "vox2", "oh", "di", "lap")),
            {"source": "talk_mon", "into": ["MON.talk"]},
        ],
        "lists": [
            {
                "id": "foh",
                "position": "foh",
                "at": "FOH.ch",
                "wants": [
                    {"signal": "kick"},
                    {"signal": "oh"},
                    {"signal": "vox1"},
                    None,
                    {"signal": "talk_mon"},
                    {"signal": "vox2", "within": "FOH.ch[9-12]"},
                    {"signal": "di", "channel": 15},
                    {"signal": "lap", "priority": 1},
                ],
            },
            {
                "id": "mon",
                "position": "mon",
                "at": "MON.ch",
                "wants": [
                    {"signal": "vox1", "alternate": "vox2"},
                    {"signal": "kick"},
                    {"signal": "oh"},
                    {"signal": "pa"},
                    {"signal": "lap", "priority": 2},
                ],
            },
        ],
        "feeds": [
            {"id": "pa", "legs": ["L", "R"], "mixed_at": "foh", "to": [{"at": ["AMP.in[1-2]"]}]},
            {"id": "wedge", "mixed_at": "mon", "to": [{"at": ["BOX.line[1]"]}]},
            {"id": "ear", "legs": ["L", "R"], "mixed_at": "mon", "from": "MON.mix[3-8]", "to": [{"at": ["BOX.line[3-8]"]}]},
        ],
        "owners": [{"preamps": ["BOX.mic"], "owner": "mon"}],
        "fixed": [{"into": "MON.intake[1-8]", "from": "MON.a.in[1-8]"}],
        "wishes": {"spare": [{"at": ["BOX.mic"], "count": 1, "reaching": ["mon"]}]},
    }


def _house_patch() -> dict[str, Any]:
    def box(leg: str, to: str, entry: int, number: int, port: str, rest: str, alternate: bool = False) -> dict[str, Any]:
        desk = {"main": "MON", "mirror": "FOH"}[port]
        return route(leg, to, entry, f"BOX.mic[{number}] > BOX.{port}.out[{number}] > {desk}.a.in[{number}] > {rest}", alternate)

    setting = {
        "plugs": {
            "kick": "BOX.mic[1]",
            "vox1": "BOX.mic[2]",
            "vox2": "BOX.mic[3]",
            "oh.L": "BOX.mic[5]",
            "oh.R": "BOX.mic[6]",
            "di": "BOX.mic[7]",
            "lap": "BOX.mic[9]",
            "talk_mon": "MON.talk[1]",
        },
        "mixes": {
            "pa.L": "FOH.mix[1]",
            "pa.R": "FOH.mix[2]",
            "wedge": "MON.mix[1]",
            "ear.L": "MON.mix[3]",
            "ear.R": "MON.mix[4]",
        },
        "selections": [
            select("FOH.b.out[1-2]", "FOH.mix[1-2]", "post"),
            select("FOH.ch[1]", "FOH.a.in[1]"),
            select("FOH.ch[3-4]", "FOH.a.in[5-6]"),
            select("FOH.ch[5]", "FOH.a.in[2]"),
            select("FOH.ch[7]", "FOH.b.in[1]"),
            select("FOH.ch[9]", "FOH.a.in[3]"),
            select("FOH.ch[15]", "FOH.a.in[7]"),
            select("FOH.ch[16]", "FOH.a.in[9]"),
            select("FOH.line[1-2]", "FOH.mix[1-2]", "post"),
            select("MON.a.out[1]", "MON.mix[1]", "post"),
            select("MON.a.out[3-4]", "MON.mix[3-4]", "post"),
            select("MON.b.out[1-8]", "MON.out[1-8]"),
            select("MON.ch[1]", "MON.intake[2]"),
            select("MON.ch[1]", "MON.intake[3]", alternate=True),
            select("MON.ch[2]", "MON.intake[1]"),
            select("MON.ch[3-4]", "MON.intake[5-6]"),
            select("MON.ch[5-6]", "MON.intake[9-10]"),
            select("MON.intake[1-8]", "MON.a.in[1-8]"),
            select("MON.intake[9-16]", "MON.b.in[1-8]"),
            select("MON.out[1]", "MON.talk[1]"),
        ],
        "routes": [
            box("kick", "foh", 1, 1, "mirror", "FOH.ch[1]"),
            box("oh.L", "foh", 2, 5, "mirror", "FOH.ch[3]"),
            box("oh.R", "foh", 2, 6, "mirror", "FOH.ch[4]"),
            box("vox1", "foh", 3, 2, "mirror", "FOH.ch[5]"),
            route("talk_mon", "foh", 5, "MON.talk[1] > MON.out[1] > MON.b.out[1] > FOH.b.in[1] > FOH.ch[7]"),
            box("vox2", "foh", 6, 3, "mirror", "FOH.ch[9]"),
            box("di", "foh", 7, 7, "mirror", "FOH.ch[15]"),
            box("lap", "foh", 8, 9, "mirror", "FOH.ch[16]"),
            box("vox1", "mon", 1, 2, "main", "MON.intake[2] > MON.ch[1]"),
            box("vox2", "mon", 1, 3, "main", "MON.intake[3] > MON.ch[1]", True),
            box("kick", "mon", 2, 1, "main", "MON.intake[1] > MON.ch[2]"),
            box("oh.L", "mon", 3, 5, "main", "MON.intake[5] > MON.ch[3]"),
            box("oh.R", "mon", 3, 6, "main", "MON.intake[6] > MON.ch[4]"),
            route("pa.L", "mon", 4, "FOH.mix[1] > FOH.b.out[1] > MON.b.in[1] > MON.intake[9] > MON.ch[5]"),
            route("pa.R", "mon", 4, "FOH.mix[2] > FOH.b.out[2] > MON.b.in[2] > MON.intake[10] > MON.ch[6]"),
            route("pa.L", "pa", 1, "FOH.mix[1] > FOH.line[1] > AMP.in[1]"),
            route("pa.R", "pa", 1, "FOH.mix[2] > FOH.line[2] > AMP.in[2]"),
            route("wedge", "wedge", 1, "MON.mix[1] > MON.a.out[1] > BOX.main.in[1] > BOX.line[1]"),
            route("ear.L", "ear", 1, "MON.mix[3] > MON.a.out[3] > BOX.main.in[3] > BOX.line[3]"),
            route("ear.R", "ear", 1, "MON.mix[4] > MON.a.out[4] > BOX.main.in[4] > BOX.line[4]"),
        ],
        "clock": [
            {
                "id": "main",
                "rate": 48000,
                "leader": "MON",
                "fallback": ["BOX"],
                "followers": [
                    {"device": "BOX", "section": "main", "port": "main", "link": "K1", "from": "MON", "depth": 1},
                    {"device": "FOH", "section": "main", "port": "a", "link": "K2", "from": "BOX", "depth": 2},
                ],
            }
        ],
        "owners": [{"preamps": "BOX.mic[1-16]", "owner": "mon", "door": "port", "path": ["MON", "K1", "BOX"]}],
        "gains": [
            {"leg": "kick", "at": "BOX.mic[1]", "gain_db": 24},
            {"leg": "vox1", "at": "BOX.mic[2]", "gain_db": 36, "interval_db": [16, 36], "trims_db": {"foh": -2, "mon": -6}},
        ],
        "phantom": [
            {"at": "BOX.mic[1-4]"},
            {"at": "BOX.mic[5-8]", "on": True, "because": ["oh.L", "oh.R", "di"]},
            {"at": "BOX.mic[9-12]", "because": ["lap"]},
        ],
        "unmet": ["mon: lap"],
        "spares": ["BOX.mic[4]"],
    }
    return {"settings": [setting]}


def house() -> Case:
    """Return a box, two desks and an amplifier, and the right patch of seven sources and three mixes."""
    return _house_rig(), _house_show(), _house_patch()


def copper() -> Case:
    """Return a transformer split between two desks: phantom comes from the direct side."""
    desk = {
        "role": "desk",
        "banks": {
            "mic": {"slots": 4, "socket": "in", "preamp": "pre"},
            "ch": {"slots": 4, "does": "process", "trim_db": [-18, 18], "taps": dict(_TAPS)},
        },
        "ports": {"wc": {"speaks": ["wc"], "slots": 0, "pass": ["clock"]}},
        "select": [{"into": "ch", "from": ["mic"]}],
        "preamps": {"pre": {**_PRE, "phantom_by": 1, "owner_by": "socket", "doors": ["local"]}},
    }
    split = {
        "role": "split",
        "digital": False,
        "banks": {
            "in": {"slots": 4, "socket": "in"},
            "direct": {"slots": 4, "socket": "out"},
            "iso": {"slots": 4, "socket": "out"},
        },
        "select": [{"into": "direct", "wired": "in", "dc": "yes"}, {"into": "iso", "wired": "in", "dc": "no"}],
    }
    rig = {
        "name": "copper",
        "domains": {"main": {"rate": 48000}},
        "formats": {"wc": {"pass": ["clock"]}},
        "types": {"desk": desk, "split": split},
        "devices": {"FOH": {"type": "desk"}, "MON": {"type": "desk"}, "SPLIT": {"type": "split"}},
        "links": [
            {"id": "D", "join": ["SPLIT.direct", "MON.mic"], "cables": [{"dc": "yes"}]},
            {"id": "I", "join": ["SPLIT.iso", "FOH.mic"], "cables": [{"dc": "yes"}]},
            {"id": "W", "join": ["MON.wc", "FOH.wc"], "format": "wc"},
        ],
    }
    show = {
        "name": "copper",
        "sources": [{"id": "di", "phantom": "need"}, {"id": "rib", "phantom": "never"}, {"id": "vox", "phantom": "no"}],
        "plug": [{"source": key, "into": ["SPLIT.in"]} for key in ("di", "rib", "vox")],
        "lists": [
            {"id": "foh", "position": "foh", "at": "FOH.ch", "wants": [{"signal": "vox"}, {"signal": "di"}, {"signal": "rib"}]},
            {"id": "mon", "position": "mon", "at": "MON.ch", "wants": [{"signal": "di"}, {"signal": "rib"}, {"signal": "vox"}]},
        ],
    }
    numbers = {"di": 1, "rib": 2, "vox": 3}
    channel = {"foh": {"vox": 1, "di": 2, "rib": 3}, "mon": {"di": 1, "rib": 2, "vox": 3}}
    desks = {"foh": ("FOH", "iso"), "mon": ("MON", "direct")}
    setting = {
        "plugs": {leg: f"SPLIT.in[{number}]" for leg, number in numbers.items()},
        "selections": [
            select(f"{desks[key][0]}.ch[{place}]", f"{desks[key][0]}.mic[{numbers[leg]}]")
            for key, row in channel.items()
            for leg, place in row.items()
        ],
        "routes": [
            route(
                leg,
                key,
                place,
                f"SPLIT.in[{numbers[leg]}] > SPLIT.{desks[key][1]}[{numbers[leg]}] > {desks[key][0]}.mic[{numbers[leg]}]"
                f" > {desks[key][0]}.ch[{place}]",
            )
            for key, row in channel.items()
            for leg, place in row.items()
        ],
        "clock": [
            {
                "id": "main",
                "rate": 48000,
                "leader": "MON",
                "followers": [{"device": "FOH", "port": "wc", "link": "W", "from": "MON", "depth": 1}],
            }
        ],
        "owners": [
            {"preamps": "FOH.mic[1-3]", "owner": "foh", "door": "local", "path": ["FOH"]},
            {"preamps": "MON.mic[1-3]", "owner": "mon", "door": "local", "path": ["MON"]},
        ],
        "phantom": [
            {"at": "FOH.mic[1]"},
            {"at": "FOH.mic[2]"},
            {"at": "FOH.mic[3]"},
            {"at": "MON.mic[1]", "on": True, "because": ["di"]},
            {"at": "MON.mic[2]"},
            {"at": "MON.mic[3]"},
        ],
    }
    return rig, show, {"settings": [setting]}


def border() -> Case:
    """Return a stage at 96 kHz and a truck at 48 kHz, a rate converter between them, and the right patch."""
    serial = {"speaks": ["serial"], "framings": ["interleaved", "native"]}
    stage = {
        "role": "desk",
        "banks": {"mic": {"slots": 4, "socket": "in"}},
        "ports": {"t": {**serial, "ways": "out"}, "wc": {"speaks": ["wc"], "slots": 0, "pass": ["clock"]}},
        "select": [{"into": "t.out", "from": ["mic"]}],
    }
    src = {
        "role": "rate-converter",
        "clocks": ["A", "B"],
        "can_lead": False,
        "ports": {
            "a": {**serial, "ways": "in", "clock": "A"},
            "b": {**serial, "ways": "out", "clock": "B"},
            "wcA": {"speaks": ["wc"], "slots": 0, "pass": ["clock"], "clock": "A"},
            "wcB": {"speaks": ["wc"], "slots": 0, "pass": ["clock"], "clock": "B"},
        },
        "select": [{"into": "b.out[1-4]", "wired": "a.in[1-4]", "converts": True, "latency_ms": 0.8}],
    }
    truck = {
        "role": "desk",
        "banks": {"ch": {"slots": 8, "does": "process", "taps": {"in": []}}},
        "ports": {"r": {**serial, "ways": "in"}, "wc": {"speaks": ["wc"], "slots": 0, "pass": ["clock"]}},
        "select": [{"into": "ch", "from": ["r.in"]}],
    }
    rig = {
        "name": "border",
        "domains": {"stage": {"rate": 96000, "leader": "STAGE"}, "truck": {"rate": 48000, "leader": "TRUCK"}},
        "formats": {
            "serial": {"channels": {"48000": 8, "96000": 4}, "one_way": True, "framings": ["interleaved", "native"]},
            "wc": {"pass": ["clock"]},
        },
        "types": {"stage": stage, "src": src, "truck": truck},
        "devices": {
            "SRC": {"type": "src", "clocks": {"A": "stage", "B": "truck"}},
            "STAGE": {"type": "stage", "domain": "stage"},
            "TRUCK": {"type": "truck", "domain": "truck"},
        },
        "links": [
            {"id": "T1", "join": ["STAGE.t", "SRC.a"], "format": "serial", "framing": ["interleaved"]},
            {"id": "T2", "join": ["SRC.b", "TRUCK.r"], "format": "serial"},
            {"id": "W1", "join": ["STAGE.wc", "SRC.wcA"], "format": "wc"},
            {"id": "W2", "join": ["TRUCK.wc", "SRC.wcB"], "format": "wc"},
        ],
    }
    show = {
        "name": "border",
        "sources": [{"id": "a"}, {"id": "b"}],
        "lists": [{"id": "truck", "position": "truck", "at": "TRUCK.ch", "wants": [{"signal": "b"}, {"signal": "a"}]}],
    }
    setting = {
        "plugs": {"a": "STAGE.mic[1]", "b": "STAGE.mic[2]"},
        "selections": [
            select("STAGE.t.out[1-2]", "STAGE.mic[1-2]"),
            select("TRUCK.ch[1]", "TRUCK.r.in[2]"),
            select("TRUCK.ch[2]", "TRUCK.r.in[1]"),
        ],
        "routes": [
            route(
                leg,
                "truck",
                entry,
                f"STAGE.mic[{n}] > STAGE.t.out[{n}] > SRC.a.in[{n}] > SRC.b.out[{n}] > TRUCK.r.in[{n}] > TRUCK.ch[{entry}]",
            )
            for leg, entry, n in (("b", 1, 2), ("a", 2, 1))
        ],
        "clock": [
            {
                "id": "stage",
                "rate": 96000,
                "leader": "STAGE",
                "followers": [{"device": "SRC", "section": "A", "port": "wcA", "link": "W1", "from": "STAGE", "depth": 1}],
            },
            {
                "id": "truck",
                "rate": 48000,
                "leader": "TRUCK",
                "followers": [{"device": "SRC", "section": "B", "port": "wcB", "link": "W2", "from": "TRUCK", "depth": 1}],
            },
        ],
    }
    return rig, show, {"settings": [setting]}


def acts() -> Case:
    """Return a desk with sockets of its own, a show of two acts and a scene, and the right patch."""
    desk = {
        "role": "desk",
        "banks": {"mic": {"slots": 4, "socket": "in"}, "ch": {"slots": 4, "does": "process", "taps": {"in": []}}},
        "select": [{"into": "ch", "from": ["mic"]}],
    }
    rig = {
        "name": "acts",
        "domains": {"main": {"rate": 48000}},
        "types": {"desk": desk},
        "devices": {"DESK": {"type": "desk"}, "REST": {"type": "desk"}},
    }
    show = {
        "name": "acts",
        "sources": [{"id": "one"}, {"id": "two"}, {"id": "three"}],
        "lists": [
            {
                "id": "foh",
                "position": "foh",
                "at": "DESK.ch",
                "wants": [{"signal": "one"}, {"signal": "two"}, {"signal": "three"}],
            }
        ],
        "periods": [
            {"id": "first", "uses": ["one", "two"]},
            {"id": "solo", "scene_of": "first", "uses": ["one"]},
            {"id": "second", "uses": ["three"], "without_devices": ["REST"]},
        ],
    }
    clock = [{"id": "main", "rate": 48000, "leader": "DESK"}]

    def setting(period: str, plugs: dict[str, int], channels: dict[str, int]) -> dict[str, Any]:
        return {
            "period": period,
            "plugs": {leg: f"DESK.mic[{n}]" for leg, n in plugs.items()},
            "clock": clock,
            "selections": [select(f"DESK.ch[{n}]", f"DESK.mic[{plugs[leg]}]") for leg, n in channels.items()],
            "routes": [route(leg, "foh", n, f"DESK.mic[{plugs[leg]}] > DESK.ch[{n}]") for leg, n in channels.items()],
        }

    settings = [
        setting("first", {"one": 1, "two": 2}, {"one": 1, "two": 2}),
        setting("solo", {"one": 1, "two": 2}, {"one": 1}),
        setting("second", {"three": 1}, {"three": 3}),
    ]
    return rig, show, {"settings": settings}


BASES = {"house": house, "copper": copper, "border": border, "acts": acts}
"""The bases by name."""
