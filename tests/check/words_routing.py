"""Cases of routing rules and relations where planted faults do not reach: each hop asked about, delays, several legs, feeds.

Comes in: the right patches.  Goes out: cases entered in `words.CASES`.  Next: `test_words.py`.
"""

from __future__ import annotations

from typing import Any

from patchloom.model.routing import Hop, Placement, routing_rule

from .bases import select
from .faults_of_rules import delays
from .faults_ruled import group, rule
from .planting import Data, drop, of, take
from .words import said

__all__: list[str] = []


def hops(s: Data, **more: Any) -> None:
    """Put in a rule that forbids every hop, and says all it was told."""

    def ask(hop: Hop) -> str:
        return f"to {hop.to} at {hop.position or 'nobody'} tap {hop.tap or 'none'}."

    s["rules"].append(routing_rule(name="every", version="1", **more)(ask))


for _base in ("house", "border", "copper", "acts"):

    @said(f"routing: every hop is forbidden: {_base}", _base)
    def _(r: Data, h: Data, s: Data) -> None:
        hops(s)


@said("routing: every hop of a signal that is handed on and mixed is forbidden")
def _(r: Data, h: Data, s: Data) -> None:
    hops(s, signals=["pa", "talk_mon", "ear.L"])
    s["routes"] = []


@said("routing: every hop of a list in the order of blocks is forbidden")
def _(r: Data, h: Data, s: Data) -> None:
    hops(s, signals="kick")
    h["lists"].append({"id": "rec", "position": "rec", "at": "MON.intake", "wants": [None, {"signal": "kick"}]})
    take(s, "MON.intake[9-16]", "MON.a.in[1-8]")
    way = "BOX.mic[1] > BOX.main.out[1] > MON.a.in[1] > MON.intake[9]"
    s["routes"].append({"leg": "kick", "to": "rec", "entry": 2, "hops": way.split(" > ")})


@said("routing: every place is forbidden")
def _(r: Data, h: Data, s: Data) -> None:
    def ask(placed: Placement) -> str:
        return f"{placed.leg} stands at {placed.at}"

    s["rules"].append(routing_rule(name="places", version="3", on="placement")(ask))


@said("routing: rules that break, and one that speaks after")
def _(r: Data, h: Data, s: Data) -> None:
    def breaks(hop: Hop) -> str:
        raise ValueError("no")

    def odd(hop: Hop) -> Any:
        return hop.link == "K1"

    s["rules"] += [routing_rule(name="breaks", version="1")(breaks), routing_rule(name="odd", version="1")(odd)]
    hops(s, signals="wedge")


@said("routing: a rule the patch names takes part, another does not")
def _(r: Data, h: Data, s: Data) -> None:
    s["patch"]["rules"] = ["every 1", "gone 2"]
    hops(s, signals="wedge")


@said("routing: ten legs come through what is forbidden to one list")
def _(r: Data, h: Data, s: Data) -> None:
    names = ["kick", "vox1", "vox2", "oh", "di", "lap", "talk_mon"]
    rule(h, "forbid", *names, at=["FOH.a", "K3"], positions=["foh"], why="It hums.")


for _count in (1, 2, 4):

    @said(f"routing: {7 + _count} legs must not be lost")
    def _(r: Data, h: Data, s: Data, count: int = _count) -> None:
        h["sources"] += [{"id": f"x{number}", "phantom": "no"} for number in range(count)]
        for number in range(count):
            of(h["lists"], "foh")["wants"].append({"signal": f"x{number}", "channel": 10 + number})
            s["plugs"][f"x{number}"] = f"BOX.mic[{13 + number}]"
            take(s, f"FOH.ch[{10 + number}]", f"FOH.a.in[{13 + number}]")
            way = f"BOX.mic[{13 + number}] > BOX.mirror.out[{13 + number}] > FOH.a.in[{13 + number}] > FOH.ch[{10 + number}]"
            s["routes"].append({"leg": f"x{number}", "to": "foh", "entry": 9 + number, "hops": way.split(" > ")})
        of(h["lists"], "foh").update(survives=[{"loss_of": "K2"}, {"loss_of": "BOX"}])


@said("routing: an alternate may be lost, a main may not")
def _(r: Data, h: Data, s: Data) -> None:
    of(h["lists"], "mon").update(survives=[{"loss_of": "K1"}])


@said("routing: what is forbidden everywhere, in a bank, on a link and in a device, in pairs")
def _(r: Data, h: Data, s: Data) -> None:
    rule(h, "forbid", "oh", "pa", at=["MON.ch[3-6]"])
    rule(h, "forbid", "wedge", "talk_mon", at=["BOX", "FOH"])
    rule(h, "forbid", "lap", "kick", at=["K3", "K1"])
    rule(h, "forbid", "ghost", at=["FOH"])
    for number, row in enumerate(h["routing"]):
        row["id"] = f"rule{number}"
    r["types"]["mon"]["banks"]["ch"]["mark"] = ["{A-P}"]


@said("routing: a mix is not what is in it")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["foh"]["select"].append({"into": "mix", "from": ["ch"]})
    s["selections"].append(select("FOH.mix[3]", "FOH.ch[1]", "post"))
    s["selections"].append(select("FOH.line[3]", "FOH.mix[3]", "post"))
    s["selections"].append(select("FOH.ch[14]", "FOH.a.in[1]"))
    rule(h, "forbid", "kick", at=["FOH.mix", "FOH.line"])
    rule(h, "forbid", "kick", at=["FOH.line"])
    rule(h, "forbid", "kick", at=["FOH.ch[14]"])
    rule(h, "forbid", "pa", at=["AMP"])


@said("routing: what takes a signal as its alternate takes it")
def _(r: Data, h: Data, s: Data) -> None:
    rule(h, "forbid", "vox2", at=["MON.ch"])
    rule(h, "forbid", "vox2", "kick", at=["K1"], positions=["mon"])


@said("routing: what comes to a port is not in its device")
def _(r: Data, h: Data, s: Data) -> None:
    rule(h, "forbid", "lap", at=["MON"])
    rule(h, "forbid", "lap", at=["MON.a"])
    rule(h, "forbid", "lap", at=["MON.a.in"])


@said("routing: ways miss what is required, twice and in a pair")
def _(r: Data, h: Data, s: Data) -> None:
    rule(h, "require", "oh", "vox1", at=["K3"], positions=["foh", "mon"])
    rule(h, "require", "pa", at=["K3"])


@said("routing: pairs part, and share, everywhere")
def _(r: Data, h: Data, s: Data) -> None:
    group(h, "same-path", "oh", "pa")
    group(h, "disjoint", "oh", "kick")
    group(h, "disjoint", "pa", "wedge", "ear")
    for number, row in enumerate(h["groups"]):
        row["id"] = f"group{number}"


@said("routing: they go together in some places")
def _(r: Data, h: Data, s: Data) -> None:
    rule(h, "together", "vox1", "talk_mon", "kick", at=["K2", "MON", "FOH.b"])
    rule(h, "disjoint", "vox1", "kick", at=["K1", "K2", "BOX.mic"])


@said("routing: three keep apart in two places")
def _(r: Data, h: Data, s: Data) -> None:
    rule(h, "apart", "oh", "kick", "di", "pa", at=["MON.intake", "MON.ch[1-4]", "K3"])


@said("routing: pairs are not on one box, not apart, not in order")
def _(r: Data, h: Data, s: Data) -> None:
    group(h, "one-box", "oh", "talk_mon", "kick", "pa")
    group(h, "apart", "oh", "di", "ghost")
    group(h, "in-order", "di", "oh", "kick")
    for number, row in enumerate(h["groups"]):
        row["id"] = f"group{number}"


@said("routing: one of a group is plugged nowhere")
def _(r: Data, h: Data, s: Data) -> None:
    group(h, "one-box", "kick", "vox1", "talk_mon")
    s["plugs"].pop("kick")


def _late(r: Data, h: Data, **ms: float) -> None:
    delays(r, **ms)
    group(h, "summed", "vox1", "talk_mon", "kick")


@said("routing: all delays are known and alike where they sum")
def _(r: Data, h: Data, s: Data) -> None:
    _late(r, h, box_mic=0.9, mon_talk=1.0, eight=0.0)


@said("routing: delays differ by a little")
def _(r: Data, h: Data, s: Data) -> None:
    _late(r, h, box_mic=0.3, mon_talk=0.7, eight=0.25, foh_ch=1.5)


for _unknown in ("box.mic", "mon.talk", "foh.ch"):

    @said(f"routing: the delay of {_unknown} is unknown")
    def _(r: Data, h: Data, s: Data, unknown: str = _unknown) -> None:
        _late(r, h, box_mic=0.3)
        kind, _, bank = unknown.partition(".")
        r["types"][kind]["banks"][bank].pop("latency_ms")


@said("routing: the delay of a link is unknown")
def _(r: Data, h: Data, s: Data) -> None:
    _late(r, h)
    r["formats"]["eight"].pop("latency_ms")


@said("routing: a channel that hands on raw takes no time")
def _(r: Data, h: Data, s: Data) -> None:
    _late(r, h, mon_ch=9.0, mon_talk=0.6)
    drop(s, "MON.out[1]")
    take(s, "MON.ch[7]", "MON.talk[1]")
    take(s, "MON.out[1]", "MON.ch[7]", "in")
    s["routes"] = [row for row in s["routes"] if row["leg"] != "talk_mon"]


@said("routing: a channel that hands on late takes its time")
def _(r: Data, h: Data, s: Data) -> None:
    _late(r, h, mon_ch=9.0, mon_talk=0.6)
    drop(s, "MON.out[1]")
    take(s, "MON.ch[7]", "MON.talk[1]")
    take(s, "MON.out[1]", "MON.ch[7]", "post")
    of(h["lists"], "foh")["wants"][4]["tap"] = "fader"


@said("routing: delays where a rate is converted", "border")
def _(r: Data, h: Data, s: Data) -> None:
    group(h, "summed", "a", "b")
    r["types"]["stage"]["banks"]["mic"]["latency_ms"] = 0.5
    r["types"]["truck"]["banks"]["ch"]["latency_ms"] = 0.5
    r["formats"]["serial"]["latency_ms"] = 0.1
    r["types"]["src"]["select"][:] = [
        {"into": "b.out[1]", "wired": "a.in[1]", "converts": True, "latency_ms": 0.8},
        {"into": "b.out[2-4]", "wired": "a.in[2-4]", "converts": True, "latency_ms": 0.3},
    ]


@said("routing: the delay of a conversion is unknown", "border")
def _(r: Data, h: Data, s: Data) -> None:
    group(h, "summed", "a", "b")
    r["types"]["stage"]["banks"]["mic"]["latency_ms"] = 0.5
    r["types"]["truck"]["banks"]["ch"]["latency_ms"] = 0.5
    r["formats"]["serial"]["latency_ms"] = 0.1
    r["types"]["src"]["select"][:] = [
        {"into": "b.out[1]", "wired": "a.in[1]", "converts": True, "latency_ms": 0.8},
        {"into": "b.out[2-4]", "wired": "a.in[2-4]", "converts": True},
    ]


@said("routing: copper keeps signals apart, and not", "copper")
def _(r: Data, h: Data, s: Data) -> None:
    rule(h, "forbid", "di", at=["FOH.mic"])
    rule(h, "forbid", "vox", at=["I", "SPLIT.direct"])
    rule(h, "forbid", "rib", at=["MON"])
