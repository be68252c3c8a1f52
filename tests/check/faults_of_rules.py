"""Kinds of faults no patch contradicts, put into right answers: a rule says each, and `verify` says nothing new.

Comes in: the right patches of `bases`.  Goes out: `RULED`, in the order entered.  Next: `faults`, for its page, and the test.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from .bases import route, select
from .planting import Data, Fault, of

__all__ = ["RULED", "ruled"]

RULED: list[Fault] = []


def ruled(kind: str, base: str, *found: str) -> Callable[[Any], Any]:
    """Enter a function `(rig, show, setting)` that plants a fault only rules find."""

    def enter(spoil: Any) -> Any:
        RULED.append(Fault(kind, base, spoil, found))
        return spoil

    return enter


def source(h: Data, key: str, **more: Any) -> None:
    """Say more of a source."""
    of(h["sources"], key).update(more)


def delays(r: Data, **ms: float) -> None:
    """Give every bank and format of the house a delay, and some a delay of their own."""
    for kind, name in (("box", "mic"), ("box", "line"), ("mon", "talk"), ("mon", "ch"), ("foh", "ch"), ("foh", "line")):
        r["types"][kind]["banks"][name]["latency_ms"] = ms.get(f"{kind}_{name}", 0.5)
    for name in ("cat", "eight", "one"):
        r["formats"][name]["latency_ms"] = ms.get(name, 0.1)


# preamps

ruled("nobody is at the desk that owns the preamps", "house", "owner-awake")(
    lambda r, h, s: r["devices"]["MON"].update(manned="no")
)
ruled("a desk takes over a box and nobody knows whose gains win", "house", "takeover-known")(
    lambda r, h, s: r["types"]["box"].pop("takeover")
)
ruled("tracking is on, and nobody who follows can track", "house", "tracking-mixed")(
    lambda r, h, s: h.update(gain={"tracking": "on"})
)


@ruled("a trim is two decibels from its end, and the patch owns up to that", "house", "trim-margin")
def _margin(r: Data, h: Data, s: Data) -> None:
    r["types"]["foh"]["banks"]["ch"]["trim_db"] = [-4, 4]
    of(s["gains"], "vox1", "leg").update(interval_db=[30, 36], margin=False)


@ruled("a trim lifts by twenty decibels", "house", "trim-margin")
def _lift(r: Data, h: Data, s: Data) -> None:
    r["types"]["foh"]["banks"]["ch"]["trim_db"] = [-24, 24]
    source(h, "vox1", want_db={"mon": 30, "foh": 50})
    of(s["gains"], "vox1", "leg").update(gain_db=30, interval_db=[26, 36], trims_db={"mon": 0, "foh": 20})


@ruled("three decibels of headroom are all that was asked for", "house", "converter-headroom")
def _headroom(r: Data, h: Data, s: Data) -> None:
    h["gain"] = {"reserve_db": 3}
    of(s["gains"], "vox1", "leg").update(gain_db=39, interval_db=[16, 39], trims_db={"mon": -9, "foh": -5})


ruled("a pad is in at a shared preamp", "house", "front-end-shared")(
    lambda r, h, s: source(h, "kick", front_end=["pad"]) or r["types"]["box"]["preamps"]["pre"].update(pad_db=20)
)
ruled("a pad is asked for where there is none", "house", "front-end-shared")(lambda r, h, s: source(h, "kick", front_end=["pad"]))
ruled("a DI on phantom is said to need none", "house", "di-powered")(
    lambda r, h, s: source(h, "kick", kind="di", phantom="no", powered_by="phantom")
)


@ruled("one microphone feeds four inputs by copper", "copper", "passive-split-loading")
def _loads(r: Data, h: Data, s: Data) -> None:
    banks = r["types"]["split"]["banks"]
    for name in ("one", "two"):
        banks[name] = {"slots": 4, "socket": "out"}
        r["types"]["split"]["select"].append({"into": name, "wired": "in", "dc": "no"})
        r["devices"][name.upper()] = {"type": "desk"}
        r["links"].append({"id": f"X{name}", "join": [f"SPLIT.{name}", f"{name.upper()}.mic"], "cables": [{"dc": "yes"}]})


# stereo

ruled("a pair is mixed on even and odd", "house", "stereo-adjacent")(
    lambda r, h, s: (
        s["mixes"].update({"ear.L": "MON.mix[4]", "ear.R": "MON.mix[5]"})
        or s["selections"].remove(select("MON.a.out[3-4]", "MON.mix[3-4]", "post"))
        or s["selections"].append(select("MON.a.out[3-4]", "MON.mix[4-5]", "post"))
        or [row["hops"].__setitem__(0, f"MON.mix[{4 + n}]") for n, row in enumerate(x for x in s["routes"] if x["to"] == "ear")]
    )
)


@ruled("a pair comes to its destination on 4 and 5", "house", "stereo-adjacent")
def _even(r: Data, h: Data, s: Data) -> None:
    s["selections"].remove(select("MON.a.out[3-4]", "MON.mix[3-4]", "post"))
    s["selections"].append(select("MON.a.out[4-5]", "MON.mix[3-4]", "post"))
    s["routes"] = [row for row in s["routes"] if row["to"] != "ear"]
    for number, leg in ((3, "ear.L"), (4, "ear.R")):
        there = number + 1
        hops = f"MON.mix[{number}] > MON.a.out[{there}] > BOX.main.in[{there}] > BOX.line[{there}]"
        s["routes"].append(route(leg, "ear", 1, hops))


@ruled("one leg of a pair has another gain", "house", "stereo-legs-alike")
def _gains(r: Data, h: Data, s: Data) -> None:
    s["gains"] += [{"leg": "oh.L", "at": "BOX.mic[5]", "gain_db": 30}, {"leg": "oh.R", "at": "BOX.mic[6]", "gain_db": 33}]


ruled("nobody says whose left the overheads' left is", "house", "stereo-perspective")(
    lambda r, h, s: of(h["sources"], "oh").pop("left_is")
)
ruled("a stereo pair is called by the sides of the stage", "house", "stereo-perspective")(lambda r, h, s: _called_by_sides(h, s))


def _called_by_sides(h: Data, s: Data) -> None:
    oh = of(h["sources"], "oh")
    oh.pop("left_is")
    oh["legs"] = ["SR", "SL"]
    new = {"oh.L": "oh.SR", "oh.R": "oh.SL"}
    s["plugs"] = {new.get(leg, leg): place for leg, place in s["plugs"].items()}
    for row in s["routes"]:
        row["leg"] = new.get(row["leg"], row["leg"])
    for row in s["phantom"]:
        row["because"] = [new.get(leg, leg) for leg in row.get("because", [])]


@ruled("a mono spare stands in for a pair", "house", "width-folds-stated")
def _spare(r: Data, h: Data, s: Data) -> None:
    of(h["lists"], "mon")["wants"][2]["alternate"] = "kick"
    s["selections"].append(select("MON.ch[3]", "MON.intake[1]", alternate=True))
    hops = "BOX.mic[1] > BOX.main.out[1] > MON.a.in[1] > MON.intake[1] > MON.ch[3]"
    s["routes"].append(route("kick", "mon", 3, hops, True))


# delay


@ruled("a wedge has a voice straight and again inside the house mix", "house", "split-paths-aligned")
def _inside(r: Data, h: Data, s: Data) -> None:
    delays(r)
    of(h["feeds"], "pa")["of"] = ["vox1", "kick"]
    of(h["feeds"], "wedge")["of"] = ["vox1", "pa"]


@ruled("two microphones of a kit go through converters unequally late", "house", "coherent-group")
def _kit(r: Data, h: Data, s: Data) -> None:
    delays(r, mon_talk=2.0)
    for key in ("vox1", "talk_mon"):
        source(h, key, kind="mic", zone="kit", group="kit")


@ruled("a wedge is later than it may be", "house", "monitor-budget")
def _late(r: Data, h: Data, s: Data) -> None:
    delays(r)
    source(h, "vox1", kind="mic")
    of(h["feeds"], "wedge").update(kind="wedge", of=["vox1"], most_ms=1)


@ruled("an ear mix brings somebody's own voice too late", "house", "monitor-budget")
def _own(r: Data, h: Data, s: Data) -> None:
    delays(r, mon_ch=2.0)
    source(h, "vox1", kind="mic", person="singer", stand="straight")
    of(h["feeds"], "ear").update(kind="ear", of=["vox1"], person="singer")
    of(h["feeds"], "ear")["to"][0]["latency_ms"] = 0
