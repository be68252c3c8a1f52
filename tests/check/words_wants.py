"""Cases of lists, feeds, plugs, mixes, spares, pools, inserts and routes where planted faults do not reach.

Comes in: the right patches.  Goes out: cases entered in `words.CASES`.  Next: `test_words.py`.
"""

from __future__ import annotations

from typing import Any

import attrs

from patchloom.check.scene import may_come_after
from patchloom.check.signals import CHAIN
from patchloom.check.verify import verify
from patchloom.check.wants import _Entry, lay_out
from patchloom.document import digest
from patchloom.model.base import dump
from patchloom.model.show import Want

from .bases import route, select
from .planting import Data, drop, of, planted, reroute, take, unroute
from .words import CASES, line, said

__all__: list[str] = []


def wants(h: Data, key: str) -> list[Any]:
    """Return the wants of a list."""
    rows: list[Any] = of(h["lists"], key)["wants"]
    return rows


# digests and periods


def _digests() -> str:
    (rig, show, patch), _ = planted("house", _nothing)
    lines = []
    for named in ({"rig": "", "show": ""}, {"rig": ""}, {"show": ""}, {"show": digest(dump(show))}, {"rig": digest(dump(rig))}):
        lines += [f"  {named.keys()}\n", *map(line, verify(rig, show, attrs.evolve(patch, **named)))]
    lines += map(line, verify(rig, show, attrs.evolve(patch, rules=("one 1", "two 2")), digests=("sha256:rig", "sha256:other")))
    return "".join(lines)


def _nothing(r: Data, h: Data, s: Data) -> None:
    pass


CASES["digests are worked out where nobody gives them"] = _digests


@said("a setting stands twice, and one is missing", "acts")
def _(r: Data, h: Data, s: Data) -> None:
    s["all"][1]["period"] = "first"
    s["all"].append({"period": "third"})


@said("what a scene uses may stay plugged in its act, what another act uses may not", "acts")
def _(r: Data, h: Data, s: Data) -> None:
    h["sources"] += [{"id": "four"}, {"id": "five"}]
    h["periods"][1]["uses"] = ["one", "four"]
    for number, setting in enumerate(s["all"]):
        setting["plugs"] |= {"four": "DESK.mic[3]"}
        if number == 2:
            setting["plugs"]["one"] = "DESK.mic[4]"


@said("a scene plugs what its act does not", "acts")
def _(r: Data, h: Data, s: Data) -> None:
    s["all"][1]["plugs"] = {"one": "DESK.mic[1]", "two": "DESK.mic[3]"}
    s["all"][0]["plugs"].pop("two")


# where lists land


def _entry(text: str, number: int) -> _Entry | None:
    """Return an entry: `s` stereo, `m` mono, `-` empty, with `@7` a fixed channel, with `[3-6]` a run it lands in."""
    if text == "-":
        return None
    width = 2 if text[0] == "s" else 1
    channel = int(text.partition("@")[2]) if "@" in text else None
    within = f"D.ch{text[1:]}" if "[" in text else ""
    legs = tuple(f"x{number}.{leg}" for leg in "LR"[:width])
    return _Entry(number, Want(signal=f"x{number}", channel=channel, within=within), legs, width)


def _layouts() -> str:
    lines = []
    for text in (
        "",
        "m m m",
        "m s m",
        "m s s s",
        "s m s m s",
        "m s s s m m",
        "- s - m",
        "m - s",
        "m@5 m s",
        "s@4 m m m m",
        "m s@2 m",
        "m m@1 m",
        "- - m@1 -",
        "m@3 - - - s",
        "s[4-7] m m m m m",
        "s[4-7] m s[4-7]",
        "m m m m m s[1-4] m",
        "m m[2-2] m[2-2]",
        "m[6] s m",
        "s[7-8] s[7-8] m",
        "m@2 s m@5 s m",
        "m m m m m m m m s",
        "s s s s s",
        "m@9 m",
        "m@12 s@11 m",
    ):
        rows = [_entry(word, number) for number, word in enumerate(text.split(), 1)]
        for first, last in ((1, 8), (2, 8), (3, 12)):
            found = [lay_out(rows, first, last, odd, hard) for odd, hard in ((False, False), (True, False), (True, True))]
            lines.append(f"  {text} in {first}-{last}: {found}\n")
    return "".join(lines)


CASES["where the entries of a list land"] = _layouts


def _copies() -> str:
    afters = ((), ("trim",), ("trim", "fader"), ("insert",), ("delay", "mine"), ("mine",), ("mute",), ("fader",))
    rows = [
        f"  {'+'.join(after) or 'nothing'} allow {allow!r}: {[may_come_after(after, allow, so) for so in (True, False)]}\n"
        for after in afters
        for allow in ("", "trim", "delay", "insert", "fader", "mine", "other")
    ]
    return f"  {CHAIN}\n" + "".join(rows)


CASES["what a copy may come after"] = _copies


@said("a list lands in nothing")
def _(r: Data, h: Data, s: Data) -> None:
    of(h["lists"], "mon")["at"] = "MON.nix"


@said("two lists are too long by one")
def _(r: Data, h: Data, s: Data) -> None:
    of(h["lists"], "foh")["at"] = "FOH.ch[1-14]"
    of(h["lists"], "mon")["at"] = "MON.ch[1-5]"


@said("only the wishes at the end do not fit, and nobody says so")
def _(r: Data, h: Data, s: Data) -> None:
    of(h["lists"], "mon")["at"] = "MON.ch[1-6]"
    s["unmet"] = []


@said("a wish with an alternate does not fit")
def _(r: Data, h: Data, s: Data) -> None:
    wants(h, "mon")[4].update(alternate="di")
    of(h["lists"], "mon")["at"] = "MON.ch[1-6]"


@said("a list says its pairs start anywhere")
def _(r: Data, h: Data, s: Data) -> None:
    of(h["lists"], "foh")["pairs"] = "any"
    r["types"]["mon"]["banks"]["ch"]["pairs"] = True


@said("a list of a bank that only carries says its pairs start odd")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["foh"]["banks"]["ch"]["does"] = "carry"
    r["types"]["foh"]["banks"]["ch"].pop("taps")
    of(h["lists"], "foh")["pairs"] = "odd"


@said("a list of a bank that only carries says nothing of pairs")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["mon"]["banks"]["ch"]["does"] = "carry"


@said("entries name one leg, or fold two")
def _(r: Data, h: Data, s: Data) -> None:
    wants(h, "mon")[2] = {"signal": "oh", "leg": "R"}
    wants(h, "foh")[1] = {"signal": "oh", "fold": "right"}
    wants(h, "foh").append({"signal": "oh", "fold": "left"})


@said("two lists want what is not there, and the rest stays in order")
def _(r: Data, h: Data, s: Data) -> None:
    wants(h, "foh").insert(1, {"signal": "gone"})
    wants(h, "mon")[0]["alternate"] = "away"


@said("three channels take nothing")
def _(r: Data, h: Data, s: Data) -> None:
    for into in ("FOH.ch[1]", "FOH.ch[5]", "FOH.ch[9]"):
        drop(s, into)
    s["routes"] = [row for row in s["routes"] if row["leg"] not in ("kick", "vox1", "vox2") or row["to"] != "foh"]


@said("three channels take others' slots, and no route is to blame")
def _(r: Data, h: Data, s: Data) -> None:
    for into in ("FOH.ch[1]", "FOH.ch[5]", "FOH.ch[9]"):
        take(s, into, "FOH.a.in[9]")
    s["routes"] = [row for row in s["routes"] if row["leg"] not in ("kick", "vox1", "vox2") or row["to"] != "foh"]


@said("three channels are turned round")
def _(r: Data, h: Data, s: Data) -> None:
    take(s, "FOH.ch[1]", "FOH.a.in[2]")
    take(s, "FOH.ch[5]", "FOH.a.in[3]")
    take(s, "FOH.ch[9]", "FOH.a.in[1]")
    s["routes"] = [row for row in s["routes"] if row["to"] != "foh"]


@said("a wish is on another channel")
def _(r: Data, h: Data, s: Data) -> None:
    drop(s, "FOH.ch[16]")
    take(s, "FOH.ch[14]", "FOH.a.in[9]")


@said("a wish is given up and comes, with its alternate")
def _(r: Data, h: Data, s: Data) -> None:
    wants(h, "mon")[0]["priority"] = 1
    s["unmet"] += ["mon: vox1", "mon: vox2"]


@said("an alternate input takes the main one's source")
def _(r: Data, h: Data, s: Data) -> None:
    take(s, "MON.ch[1]", "MON.intake[2]", alternate=True)
    unroute(s, "vox2", "mon")


@said("a pair has another pair as its alternate, the wrong way round")
def _(r: Data, h: Data, s: Data) -> None:
    wants(h, "mon")[2]["alternate"] = "pa"
    s["selections"] += [
        select("MON.ch[3]", "MON.intake[10]", alternate=True),
        select("MON.ch[4]", "MON.intake[9]", alternate=True),
    ]


@said("a mono entry has a pair as its alternate")
def _(r: Data, h: Data, s: Data) -> None:
    wants(h, "mon")[1]["alternate"] = "oh"
    s["selections"].append(select("MON.ch[2]", "MON.intake[5]", alternate=True))
    way = "BOX.mic[5] > BOX.main.out[5] > MON.a.in[5] > MON.intake[5] > MON.ch[2]"
    s["routes"].append(route("oh.L", "mon", 2, way, True))


@said("an entry lands outside its run, and another is to")
def _(r: Data, h: Data, s: Data) -> None:
    wants(h, "foh")[5]["within"] = "FOH.ch[1-2]"
    wants(h, "mon")[1]["within"] = "MON.ch[9-12]"


@said("two gaps are fed, one of them by a wire")
def _(r: Data, h: Data, s: Data) -> None:
    wants(h, "mon").insert(1, None)
    take(s, "FOH.ch[6]", "FOH.a.in[9]")
    take(s, "FOH.ch[2]", "FOH.a.in[16]")


@said("a gap takes a slot nothing is on")
def _(r: Data, h: Data, s: Data) -> None:
    take(s, "FOH.ch[6]", "FOH.a.in[16]")


@said("a gap of one list is a channel of another")
def _(r: Data, h: Data, s: Data) -> None:
    h["lists"].append({"id": "second", "position": "foh", "at": "FOH.ch[5-7]", "wants": [{"signal": "vox1"}, None, None]})


@said("an entry has a channel outside the run it must land in")
def _(r: Data, h: Data, s: Data) -> None:
    wants(h, "foh")[5]["channel"] = 8
    take(s, "FOH.ch[8]", "FOH.a.in[3]")


@said("pairs are folded")
def _(r: Data, h: Data, s: Data) -> None:
    wants(h, "mon")[2]["fold"] = "right"
    wants(h, "mon")[3]["fold"] = "left"
    drop(s, "MON.ch[3-4]")
    drop(s, "MON.ch[5-6]")
    take(s, "MON.ch[3]", "MON.intake[6]")
    take(s, "MON.ch[4]", "MON.intake[9]")
    s["routes"] = [row for row in s["routes"] if row["to"] != "mon" or row["entry"] < 3]


@said("a list of wishes alone, and one of nothing")
def _(r: Data, h: Data, s: Data) -> None:
    h["lists"] += [
        {"id": "two", "position": "two", "at": "MON.ch[9-10]", "wants": [{"signal": "kick", "priority": 1}] * 3},
        {"id": "three", "position": "three", "at": "MON.ch[11]", "wants": []},
    ]


def tape(r: Data, h: Data, *wanted: Any) -> None:
    """Put a list on a bank that is wired on from the channels."""
    r["types"]["foh"]["banks"]["tape"] = {"slots": 16}
    r["types"]["foh"]["select"].append({"into": "tape", "wired": "ch", "taps": ["in"]})
    h["lists"].append({"id": "rec", "position": "rec", "at": "FOH.tape", "wants": list(wanted)})


@said("a list of what is wired on from channels keeps the order to the slot")
def _(r: Data, h: Data, s: Data) -> None:
    tape(r, h, {"signal": "kick"}, None, {"signal": "oh"})
    h["wishes"]["spare"][0]["reaching"] = ["rec", "mon"]


@said("a list of what is wired on from channels does not keep the order")
def _(r: Data, h: Data, s: Data) -> None:
    tape(r, h, {"signal": "oh"}, {"signal": "kick"}, {"signal": "lap", "channel": 2})


@said("a spare on the first socket")
def _(r: Data, h: Data, s: Data) -> None:
    s["plugs"].pop("kick")
    s["spares"] = ["BOX.mic[1]"]


# lists that inherit an order


def recorder(r: Data, h: Data, *wanted: Any, at: str = "MON.intake") -> None:
    """Put a list on the intake, whose order is that of the blocks."""
    h["lists"].append({"id": "rec", "position": "rec", "at": at, "wants": list(wanted)})


def _rec(leg: str, entry: int, hops: str) -> Data:
    return route(leg, "rec", entry, hops)


_WAY = "BOX.mic[{0}] > BOX.main.out[{0}] > MON.a.in[{0}] > MON.intake[{0}]"


@said("an order of blocks is kept")
def _(r: Data, h: Data, s: Data) -> None:
    recorder(r, h, {"signal": "kick"}, {"signal": "vox1"}, {"signal": "vox2"})
    s["routes"] += [_rec(leg, n, _WAY.format(n)) for n, leg in enumerate(("kick", "vox1", "vox2"), 1)]


@said("an order of blocks is not kept, and a note says so of another list")
def _(r: Data, h: Data, s: Data) -> None:
    recorder(r, h, {"signal": "vox1"}, {"signal": "kick"}, {"signal": "oh"})
    s["notes"] = ["mon keeps another order"]
    s["routes"] += [
        _rec(leg, n, _WAY.format(m)) for leg, n, m in (("vox1", 1, 2), ("kick", 2, 1), ("oh.L", 3, 5), ("oh.R", 3, 6))
    ]


@said("an order of blocks is not kept, and a note says so")
def _(r: Data, h: Data, s: Data) -> None:
    recorder(r, h, {"signal": "vox1"}, {"signal": "kick"})
    s["notes"] = ["rec keeps the order of the stage box"]
    s["routes"] += [_rec("vox1", 1, _WAY.format(2)), _rec("kick", 2, _WAY.format(1))]


@said("what has a fixed place in an order of blocks is elsewhere, or at home")
def _(r: Data, h: Data, s: Data) -> None:
    recorder(
        r, h, {"signal": "kick", "channel": 1}, {"signal": "vox1", "channel": 5}, {"signal": "di", "within": "MON.intake[9-16]"}
    )


@said("what has a run in an order of blocks is in it")
def _(r: Data, h: Data, s: Data) -> None:
    recorder(r, h, {"signal": "kick", "within": "MON.intake[1-4]"}, {"signal": "di", "within": "MON.intake[7-8]"})


@said("an order of blocks lacks a must and two wishes")
def _(r: Data, h: Data, s: Data) -> None:
    recorder(
        r, h, {"signal": "lap"}, {"signal": "lap", "priority": 1}, {"signal": "talk_mon", "priority": 2}, {"signal": "wedge"}
    )
    s["unmet"].append("rec: talk_mon")
    s["routes"].append(_rec("lap", 1, "BOX.mic[9] > BOX.main.out[9] > MON.a.in[9] > MON.intake[9]"))


@said("an order of blocks of a part of the bank")
def _(r: Data, h: Data, s: Data) -> None:
    recorder(r, h, {"signal": "vox1"}, {"signal": "di"}, {"signal": "kick"}, at="MON.intake[2-6]")


@said("an order of blocks lacks an alternate")
def _(r: Data, h: Data, s: Data) -> None:
    recorder(r, h, {"signal": "kick", "alternate": "vox1"})
    s["routes"].append(_rec("kick", 1, _WAY.format(1)))


@said("an order of blocks, the nearer of two")
def _(r: Data, h: Data, s: Data) -> None:
    take(s, "MON.intake[9-16]", "MON.a.in[1-8]")
    recorder(r, h, None, None, None, None, {"signal": "kick"}, {"signal": "vox2", "channel": 11})


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
