"""Cases of digests, periods and lists, orders that are inherited too, where planted faults do not reach.

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
from .planting import Data, drop, of, planted, take, unroute
from .words import CASES, line, said

__all__ = ["recorder", "wants"]


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
