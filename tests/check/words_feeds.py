"""Cases of feeds, plugs, mixes, fixed rows, pools, spares, inserts and routes where planted faults do not reach.

Comes in: the right patches.  Goes out: cases entered in `words.CASES`.  Next: `test_words.py`.
"""

from __future__ import annotations

from .bases import route, select
from .planting import Data, drop, of, reroute, take, unroute
from .words import said
from .words_wants import recorder, wants

__all__: list[str] = []


# feeds


@said("a feed may arrive at two places, and both are asked for")
def _(r: Data, h: Data, s: Data) -> None:
    of(h["feeds"], "wedge")["to"] = [{"at": ["BOX.line[1-2]"]}, {"at": ["BOX.line[1-2]"]}]


@said("a feed is to arrive on a device alone, and does not")
def _(r: Data, h: Data, s: Data) -> None:
    of(h["feeds"], "wedge")["to"] = [{"at": ["AMP"]}, {"at": ["BOX"]}, {"at": ["GONE", "BOX.line[1]"]}]


@said("wishes of feeds: given up, carried, and neither")
def _(r: Data, h: Data, s: Data) -> None:
    of(h["feeds"], "wedge")["to"] += [{"at": ["BOX.line[2]"], "priority": 1}, {"at": ["BOX.line[1-2]"], "priority": 1}]
    of(h["feeds"], "ear")["to"] += [{"at": ["BOX.line[7-8]"], "priority": 1}]
    s["unmet"] += ["ear: ear.L"]


@said("a wish of a pair in a choice is half given up")
def _(r: Data, h: Data, s: Data) -> None:
    of(h["feeds"], "ear")["to"] += [{"at": ["BOX.line[2-8]"], "priority": 1}, {"at": ["BOX.line[1-8]"], "priority": 2}]
    s["unmet"] += ["ear: ear.L"]
    s["routes"].append(route("ear.R", "ear", 2, "MON.mix[4] > MON.a.out[4] > BOX.main.in[4] > BOX.line[4]"))


@said("a feed arrives twice, and its routes say which is which")
def _(r: Data, h: Data, s: Data) -> None:
    of(h["feeds"], "wedge")["to"] = [{"at": ["BOX.line[1-2]"]}, {"at": ["BOX.line[1]", "BOX.line[5]"]}]
    take(s, "MON.a.out[2]", "MON.mix[1]", "post")
    s["routes"] = [row for row in s["routes"] if row["leg"] != "wedge"]
    s["routes"].append(route("wedge", "wedge", 1, "MON.mix[1] > MON.a.out[2] > BOX.main.in[2] > BOX.line[2]"))
    s["routes"].append(route("wedge", "wedge", 2, "MON.mix[1] > MON.a.out[1] > BOX.main.in[1] > BOX.line[1]"))


@said("a route of an alternate input is wrong at its end")
def _(r: Data, h: Data, s: Data) -> None:
    take(s, "MON.ch[1]", "MON.intake[1]", alternate=True)
    wants(h, "mon")[0]["alternate"] = "kick"
    wants(h, "mon")[1]["alternate"] = "vox2"


@said("a route of an alternate input is wrong before its end")
def _(r: Data, h: Data, s: Data) -> None:
    unroute(s, "vox2", "mon")
    way = "BOX.mic[3] > BOX.main.out[3] > MON.a.in[3] > MON.intake[4] > MON.ch[1]"
    s["routes"].append(route("vox2", "mon", 1, way, True))


@said("a pair arrives nowhere, and one leg of another")
def _(r: Data, h: Data, s: Data) -> None:
    of(h["feeds"], "ear")["to"] = [{"at": ["BOX.line[3-4]"]}]
    drop(s, "MON.a.out[3-4]")
    drop(s, "FOH.line[1-2]")
    take(s, "FOH.line[2]", "FOH.mix[2]", "post")
    s["routes"] = [row for row in s["routes"] if row["to"] not in ("ear", "pa")]
    s["routes"].append({"leg": "ear.L", "to": "ear", "entry": 1, "hops": []})
    s["routes"].append(route("ear.R", "ear", 1, "NOWHERE.x[1]"))


@said("a pair in a choice arrives nowhere, and its routes end elsewhere, or nowhere")
def _(r: Data, h: Data, s: Data) -> None:
    drop(s, "MON.a.out[3-4]")
    s["routes"] = [row for row in s["routes"] if row["to"] != "ear"]
    s["routes"].append({"leg": "ear.L", "to": "ear", "entry": 1, "hops": []})
    s["routes"].append(route("ear.L", "ear", 1, "MON.mix[3] > MON.a.out[3] > BOX.nix[3]"))
    s["routes"].append(route("ear.R", "ear", 1, "MON.mix[4] > MON.a.out[4] > BOX.mic[4]"))


@said("a feed of three legs arrives in a choice, two changed")
def _(r: Data, h: Data, s: Data) -> None:
    take(s, "MON.a.out[3]", "MON.mix[4]", "post")
    take(s, "MON.a.out[4]", "MON.mix[3]", "post")
    drop(s, "MON.a.out[3-4]")
    s["routes"] = [row for row in s["routes"] if row["to"] != "ear"]


@said("a feed arrives in a choice with one leg missing")
def _(r: Data, h: Data, s: Data) -> None:
    take(s, "MON.a.out[3]", "MON.mix[3]", "post")
    drop(s, "MON.a.out[3-4]")
    s["routes"] = [row for row in s["routes"] if row["to"] != "ear"]


@said("a pair is led to a place for one, and to a place for three")
def _(r: Data, h: Data, s: Data) -> None:
    of(h["feeds"], "pa")["to"] = [{"at": ["AMP.in[1]"]}, {"at": ["AMP.in[2-4]"]}]


@said("the PA takes the wedge")
def _(r: Data, h: Data, s: Data) -> None:
    of(h["feeds"], "ear")["to"] = [{"at": ["BOX.line[3-4]"]}]
    take(s, "MON.a.out[3]", "MON.mix[1]", "post")
    take(s, "MON.a.out[4]", "MON.mix[1]", "post")
    drop(s, "MON.a.out[3-4]")
    s["routes"] = [row for row in s["routes"] if row["to"] != "ear"]


@said("a feed's tap is said, and kept")
def _(r: Data, h: Data, s: Data) -> None:
    of(h["feeds"], "wedge")["tap"] = "fader"
    of(h["feeds"], "ear")["tap"] = "mute"


# plugs and mixes


@said("plugs wrong in many ways at once")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["box"]["banks"]["mic"]["mark"] = ["{A-P}"]
    s["plugs"].update(
        {"kick": "BOX.mic[2]", "di": "BOX.mic[17]", "lap": "MON.talk[1]", "ghost": "BOX.mic[8]", "pa.L": "BOX.mic[10]"}
    )


@said("plug rows for one leg go before those for its source")
def _(r: Data, h: Data, s: Data) -> None:
    h["plug"] += [{"source": "oh.L", "into": ["BOX.mic[1-4]"]}, {"source": "oh.R", "into": ["BOX.mic[6]"]}]


@said("a socket for one purpose is named as a device, and as a bank")
def _(r: Data, h: Data, s: Data) -> None:
    h["plug"][-1]["into"] = ["MON"]
    r["types"]["box"]["banks"]["mic"]["only_for"] = "voices"


@said("three sources share a socket")
def _(r: Data, h: Data, s: Data) -> None:
    s["plugs"].update({"vox1": "BOX.mic[1]", "vox2": "BOX.mic[1]"})


@said("mixes wrong in many ways at once")
def _(r: Data, h: Data, s: Data) -> None:
    s["mixes"].update(
        {"pa.L": "FOH.mix[2]", "wedge": "MON.mix[9]", "ear.L": "GONE.mix[1]", "kick": "FOH.mix[3]", "ear.R": "MON.ch[1]"}
    )


@said("a mix stands at its desk, which the show does not know")
def _(r: Data, h: Data, s: Data) -> None:
    of(h["feeds"], "wedge")["mixed_at"] = "stage"


@said("a mix stands at the right desk, outside the run it names")
def _(r: Data, h: Data, s: Data) -> None:
    of(h["feeds"], "wedge")["from"] = "MON.mix[2-4]"


# fixed, pools, spares, inserts


@said("two fixed rows are not set, one of a device that is not there")
def _(r: Data, h: Data, s: Data) -> None:
    h["fixed"] += [
        {"into": "GONE.ch[1]", "from": "GONE.a.in[1]"},
        {"into": "FOH.ch[1-2]", "from": "FOH.a.in[2-3]"},
        {"into": "MON.out[1-2]", "from": "MON.talk[1]"},
        {"into": "FOH.line[3]", "from": "FOH.mix[1]"},
    ]


@said("fixed rows with taps")
def _(r: Data, h: Data, s: Data) -> None:
    h["fixed"] += [
        {"into": "FOH.line[1]", "from": "FOH.mix[1]", "tap": "pre"},
        {"into": "FOH.line[2]", "from": "FOH.mix[2]", "tap": "post"},
        {"into": "MON.a.out[3-4]", "from": "MON.mix[3]", "tap": "post"},
        {"into": "BOX.line[1]", "from": "BOX.main.in[1]", "tap": "post"},
        {"into": "AMP.in[4]", "from": "AMP.in[3]", "tap": "post"},
        {"into": "FOH.ch[2]", "from": "FOH.a.in[2]"},
    ]


@said("wishes enter nowhere, and musts that are wishes elsewhere do not either")
def _(r: Data, h: Data, s: Data) -> None:
    for leg in ("lap", "di"):
        s["plugs"].pop(leg)
    s["mixes"].pop("wedge")
    of(h["feeds"], "wedge")["to"][0]["priority"] = 1
    wants(h, "mon").append({"signal": "di", "priority": 3})
    wants(h, "foh").insert(0, {"signal": "gone", "alternate": "wedge", "priority": 1})
    drop(s, "FOH.ch[16]")
    s["unmet"] += ["foh: lap", "mon: di", "wedge: wedge"]
    s["routes"] = [row for row in s["routes"] if row["leg"] not in ("lap", "wedge", "di")]


@said("what is given up is a wish of an alternate, of one of two destinations, of one leg, or none")
def _(r: Data, h: Data, s: Data) -> None:
    wants(h, "mon")[4].update(alternate="vox2")
    of(h["feeds"], "wedge")["to"].append({"at": ["BOX.line[2]"], "priority": 1})
    wants(h, "foh")[7].update(signal="oh", leg="L", channel=16)
    s["unmet"] += ["mon: vox2", "wedge: wedge", "foh: oh.L", "foh: oh.R", "ear: ear.L", "words", "mon: kick", "mon: kick"]


@said("a pool names two runs of one bank")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["mon"]["limits"] = [{"of": ["ch[1-2]", "ch[3-6]"], "most": 5}, {"of": ["ch[1-2]", "ch[3-6]"], "most": 6}]


for _most in (4, 5):

    @said(f"a pool of blocks has {_most}")
    def _(r: Data, h: Data, s: Data, most: int = _most) -> None:
        r["types"]["mon"]["limits"] = [
            {"of": ["ch", "intake[1-8]", "out"], "most": most, "count": "blocks", "by": 4},
            {"of": ["ch[1-4]"], "most": {"96000": 1}},
        ]


@said("a pool is used to the last slot")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["mon"]["limits"] = [{"of": ["a.out", "out"], "most": 4}]
    r["types"]["box"]["limits"] = [{"of": ["mic[1-4]"], "most": 2, "about": "the first four"}]


@said("spares of every wrong kind")
def _(r: Data, h: Data, s: Data) -> None:
    s["spares"] = [
        "BOX.mic[4]",
        "BOX.mic[1]",
        "BOX.mic[16]",
        "BOX.mic[17]",
        "BOX.line[1]",
        "no place",
        "MON.talk[1]",
        "BOX.none[1]",
    ]


@said("spares reach many, or nobody is asked")
def _(r: Data, h: Data, s: Data) -> None:
    h["wishes"]["spare"] = [
        {"at": ["BOX.mic[1-8]"], "count": 1, "reaching": ["mon", "foh", "rec", "nobody"]},
        {"at": ["BOX.mic[9-16]"], "count": 1},
    ]
    recorder(r, h, {"signal": "kick"}, at="MON.ch")
    s["spares"] = ["BOX.mic[4]", "BOX.mic[10]"]


@said("a spare reaches a desk by a block, by a wire and by copper", "copper")
def _(r: Data, h: Data, s: Data) -> None:
    h["wishes"] = {"spare": [{"at": ["SPLIT.in"], "count": 1, "reaching": ["foh", "mon"]}]}
    s["spares"] = ["SPLIT.in[4]"]
    of(r["links"], "I")["join"] = ["SPLIT.iso[1-3]", "FOH.mic[1-3]"]


@said("a spare's block is another's fault")
def _(r: Data, h: Data, s: Data) -> None:
    take(s, "MON.intake[1-8]", "MON.a.in[2-9]")


@said("inserts whose sends are right, missing, late, fixed and elsewhere")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["mon"]["banks"]["ch"]["taps"]["late"] = ["insert"]
    r["types"]["mon"]["banks"]["ch"]["taps"]["early"] = ["trim", "filter"]
    h["inserts"] = [
        {"position": "mon", "channel": "MON.ch[1]", "send": "MON.out[5]", "return": "BOX.mic[1-2]"},
        {"position": "mon", "channel": "MON.ch[2]", "send": "MON.out[6]", "return": "BOX.mic[16]"},
        {"position": "mon", "channel": "MON.ch[3-4]", "send": "MON.out[7-8]", "return": "BOX.mic[15]"},
        {"position": "mon", "channel": "MON.ch[5]", "send": "MON.a.out[5]", "return": "BOX.mic[14]"},
        {"position": "foh", "channel": "FOH.ch[1]", "send": "FOH.line[4]", "return": "BOX.mic[14]"},
        {"position": "foh", "channel": "FOH.ch[3]", "send": "MON.out[4]", "return": "BOX.mic[13]"},
        {"position": "foh", "channel": "FOH.ch[5]", "send": "FOH.b.out[5]", "return": "BOX.mic[13]"},
    ]
    h["fixed"].append({"into": "FOH.b.out[5]", "from": "FOH.ch[5]", "tap": "in"})
    s["selections"] += [
        select("MON.out[5]", "MON.ch[1]", "early"),
        select("MON.out[7]", "MON.ch[3]", "late"),
        select("MON.out[8]", "MON.talk[1]"),
        select("MON.a.out[5]", "MON.ch[9]", "in"),
    ]


# routes


@said("routes wrong in many ways at once")
def _(r: Data, h: Data, s: Data) -> None:
    s["routes"] += [
        route("kick", "foh", 99, "BOX.mic[1]"),
        route("kick", "foh", 0, "BOX.mic[1]"),
        route("kick", "foh", 4, "BOX.mic[1]"),
        route("vox1", "mon", 1, "BOX.mic[2]", True),
        route("oh.X", "foh", 2, "BOX.mic[5]"),
        route("pa.L", "pa", 2, "FOH.mix[1]"),
        route("pa.X", "pa", 1, "FOH.mix[1]"),
        {"leg": "pa.R", "to": "nobody", "entry": 1, "hops": []},
        {"leg": "wedge", "to": "wedge", "entry": 1, "hops": []},
    ]
    s["routes"].append(route("kick", "foh", 1, "BOX.mic[1] > NOWHERE.x[1]"))


@said("routes that leave out a hop, begin late, or go on too far")
def _(r: Data, h: Data, s: Data) -> None:
    reroute(s, "kick", "foh", "BOX.mic[1] > FOH.a.in[1] > FOH.ch[1]")
    reroute(s, "vox1", "foh", "BOX.mirror.out[2] > FOH.a.in[2] > FOH.ch[5]")
    reroute(s, "di", "foh", "BOX.mic[7] > BOX.mirror.out[7] > FOH.a.in[7]")
    reroute(s, "vox2", "foh", "AMP.in[4] > BOX.mic[3] > BOX.mirror.out[3] > FOH.a.in[3] > FOH.ch[9]")
    reroute(s, "wedge", "wedge", "MON.mix[2] > MON.a.out[1] > BOX.main.in[1] > BOX.line[1]")


@said("a wired copy comes after the most there may be")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["mon"]["banks"]["ch"]["taps"] = {"one": ["trim"], "two": ["filter", "insert"]}
    r["types"]["mon"]["select"][3] = {"into": "out", "wired": "ch[7-14]"}
    take(s, "MON.ch[7]", "MON.talk[1]")
    drop(s, "MON.out[1]")
    wants(h, "foh")[4]["tap"] = "insert"
    reroute(s, "talk_mon", "foh", "MON.talk[1] > MON.ch[7] > MON.out[1] > MON.b.out[1] > FOH.b.in[1] > FOH.ch[7]")


@said("two deliveries have no route")
def _(r: Data, h: Data, s: Data) -> None:
    unroute(s, "kick", "foh")
    unroute(s, "wedge", "wedge")


@said("a choice on the way is another, for many")
def _(r: Data, h: Data, s: Data) -> None:
    take(s, "MON.out[1]", "MON.mix[1]", "post")
    take(s, "FOH.b.out[1]", "FOH.mix[3]", "post")
    take(s, "FOH.b.out[2]", "FOH.mix[1]", "post")
    drop(s, "FOH.b.out[1-2]")


@said("one tap is late for many")
def _(r: Data, h: Data, s: Data) -> None:
    take(s, "MON.ch[7]", "MON.talk[1]")
    take(s, "MON.out[1]", "MON.ch[7]", "post")
    reroute(s, "talk_mon", "foh", "MON.talk[1] > MON.ch[7] > MON.out[1] > MON.b.out[1] > FOH.b.in[1] > FOH.ch[7]")
    wants(h, "foh")[4]["tap"] = "trim"


@said("a copy by a wire comes late")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["mon"]["banks"]["ch"]["taps"] = {"post": ["processing", "fader"]}
    r["types"]["mon"]["select"][3] = {"into": "out", "wired": "ch[7-14]"}
    take(s, "MON.ch[7]", "MON.talk[1]")
    drop(s, "MON.out[1]")
    reroute(s, "talk_mon", "foh", "MON.talk[1] > MON.ch[7] > MON.out[1] > MON.b.out[1] > FOH.b.in[1] > FOH.ch[7]")
