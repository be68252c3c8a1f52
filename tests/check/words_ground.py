"""What the judge takes the rig and the choices of a patch for, word for word: sizes, ways, feeders, what each slot carries.

Comes in: the right patches, some bent a little.  Goes out: cases entered in `words.CASES`.  Next: `test_words.py`.
Findings show only what is wrong; here stands what is right, and where the judge's picture of the rig has its edges.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any

from patchloom.address import Slot
from patchloom.check.destinations import check_destinations
from patchloom.check.feeders import Feeder, Feeders
from patchloom.check.ground import Ground, Row, Way
from patchloom.check.report import Report
from patchloom.check.routes import check_routes, follow_routes
from patchloom.check.scene import Scene
from patchloom.check.signals import Node
from patchloom.check.static import check_static
from patchloom.check.wants import check_lists
from patchloom.model.patch import Selection, Setting
from patchloom.model.period import in_period
from patchloom.model.rig import Rig

from .bases import BASES, select
from .planting import Data, Spoil, of, planted
from .words import CASES, line

__all__: list[str] = []


def ways(rows: tuple[Way, ...]) -> str:
    """Return ways in words."""
    return "; ".join(
        f"{way.first}-{way.last} from {way.device}.{way.bank}[{way.start}] by "
        f"{f'row {way.row.number}' if way.row else ''}{way.link.id if way.link else ''}"
        for way in rows
    )


def row(one: Row) -> str:
    """Return a select row in words."""
    runs = ", ".join(f"{run.bank}[{run.first}-{run.last}]" for run in one.sources)
    return f"{one.number}: {one.into.bank}[{one.into.first}-{one.into.last}] from {runs} by {one.by}{' wired' * one.wired}"


def ground_words(ground: Ground) -> Iterator[str]:
    """Yield what a ground says of every bank, port and link."""
    for device in (*ground.rig.devices, "GONE"):
        kind = ground.rig.type_of(device) if device in ground.rig.devices else None
        banks = (*kind.banks, *(f"{port}.{way}" for port in kind.ports for way in ("in", "out"))) if kind else ()
        for bank in (*banks, "none", "none.in", "a.up"):
            if not ground.known(device, bank):
                port, size = ground.port(device, bank), ground.size(device, bank) if kind else None
                yield f"{device}.{bank}: not there, {port}, {size}, {ground.preamp(device, bank)}, {ground.ways(device, bank)}"
                continue
            carry, amp = ground.carry_at(device, bank), ground.preamp(device, bank)
            size = ground.size(device, bank)
            marks = {ground.say(Slot(device, bank, number)) for number in range(1, (size or 0) + 2)}
            yield (
                f"{device}.{bank}: {size} at {ground.rate(device, bank)} in {ground.domain(device, bank).id}, "
                f"carry {tuple(carry) if carry else None}, amp {amp.id if amp else None}, "
                f"fed by {ways(ground.ways(device, bank))}; said {', '.join(sorted(mark for mark in marks if '(' in mark))}"
            )
            for one in ground.rows_into(device, bank):
                yield f"  into {row(one)} {ground.bounds(device, one.into)} {[ground.bounds(device, run) for run in one.sources]}"
            yield from (f"  out of it {one.number}" for one in ground.rows_from(device, bank))
    for key, link in ground.links.items():
        for sender in (0, 1):
            shut = [ground.shut(link, sender, what) for what in ("audio", "clock", "control")]
            yield f"{key} from end {sender}: {tuple(ground.carry(link, sender))} shut {shut}"
        ends = [tuple(end[:4]) + (end.port.id if end.port else None,) for end in ground.ends[key]]
        yield f"{key} sends {ground.sends(link)}, ends {ends}"
    for (device, name), joined in ground.joined.items():
        yield f"joined at {device}.{name}: {[(link.id, number) for link, number in joined]}"


def fed(feeder: Feeder | None) -> str:
    """Return a feeder in words."""
    if feeder is None:
        return "fed by nothing"
    by = (
        f" row {feeder.row.number}" if feeder.row else "",
        f" link {feeder.link.id}" if feeder.link else "",
        f" choice {feeder.choice.into} {feeder.choice.tap}".rstrip() if feeder.choice else "",
    )
    return f"{feeder.kind} {feeder.source or feeder.leg}{''.join(by)}"


def carried(scene: Scene, node: Node) -> str:
    """Return what a node says, and the way to it."""
    way, at = [], scene.signals.full(node)
    while at is not None:
        way.append(f"{at.slot} {at.feeder.kind if at.feeder else ''}".strip())
        at = at.up
    after = f" after {'+'.join(node.after)} at {node.tapped}" if node.after or node.tapped else ""
    amp = f" amp {node.amp}" if node.amp else ""
    return f"{node.leg or 'nothing'}{after}{amp}{f' because {node.cause.rule}' if node.cause else ''} by {' < '.join(way[1:])}"


def scene_words(scene: Scene) -> Iterator[str]:
    """Yield what feeds each slot and what it carries."""
    feeders = scene.feeders
    check_static(scene)
    followed = [scene.signals.follow(route) for route in scene.setting.routes]
    yield f"routes followed: {''.join('n' if node is None else 'y' for node in followed)}"
    for node in followed:
        if node is not None and (node.after or node.tapped or node.amp):
            yield f"  {node.slot} {node.leg} after {'+'.join(node.after)} at {node.tapped} amp {node.amp}"
    for turned in (False, True):
        rows = [f"{place} {fed(feeder)}" for place, feeder in feeders.chosen(turned)]
        yield f"chosen{' alternate' * turned}: {'; '.join(rows)}"
    yield f"tables: {'; '.join(f'{device}.{bank} {sorted(table)}' for device, bank, table in feeders.tables())}"
    for device in scene.rig.devices:
        kind = scene.rig.type_of(device)
        for bank in (*kind.banks, *(f"{port}.{way}" for port in kind.ports for way in ("in", "out"))):
            for number in range(1, (scene.ground.size(device, bank) or 0) + 2):
                for turned in (False, True):
                    place = Slot(device, bank, number)
                    feeder, node, way = feeders.of(place, turned), scene.signals.at(place, turned), feeders.way(place, turned)
                    if feeder is not None or node.leg or node.cause is not None:
                        mine = f"{ways((way,))}: " if way is not None else ""
                        yield f"{place}{' alternate' * turned}: {fed(feeder)}: {mine}{carried(scene, node)}"
    for (place, turned), item in sorted(feeders.blame.items(), key=lambda pair: pair[0]):
        yield f"blamed {place}{' alternate' * turned}: {item.rule}"


def _pictured(base: str, spoil: Spoil, rig_alone: bool = False) -> list[str]:
    (rig, show, patch), _ = planted(base, spoil)
    lines: list[str] = []
    for setting in patch.settings:
        report = Report(setting.period)
        here, tonight = in_period(rig, show, setting.period)
        lines += [f"period {setting.period!r}", *ground_words(Ground(here))]
        if rig_alone:
            continue
        scene = Scene(here, tonight, setting, report)
        lines.append(f"looked into: {'; '.join(_looked_into(here, setting))}")
        lines += _walked(_entered(Scene(here, tonight, setting, Report())))
        _entered(scene)
        lines += [*scene_words(scene), *(line(row).strip() for row in report.findings())]
    return lines


def _looked_into(rig: Rig, setting: Setting) -> list[str]:
    """Return the choices that cannot be set at once, as right ones are, but are looked into one by one."""
    found: list[str] = []

    class Watched(Feeders):
        def _choose(self, choice: Selection) -> None:
            found.append(f"{choice.into} from {choice.from_}")
            super()._choose(choice)

    Watched(Ground(rig), setting, Report())
    return found


def _walked(scene: Scene) -> Iterator[str]:
    """Yield which routes are followed at once, and how many slots are asked about one by one."""
    asked: list[Slot] = []
    at = scene.signals.at

    def watched(place: Slot, alternate: bool = False) -> Node:
        asked.append(place)
        return at(place, alternate)

    scene.signals.at = watched  # type: ignore[method-assign]
    for check in (follow_routes, check_lists, check_destinations, check_routes):
        asked.clear()
        check(scene)
        yield f"{check.__name__} asks about {'some' if asked else 'no'} slots one by one"
    for number, node in sorted(scene.followed.items()):
        after = f" after {'+'.join(node.after)} at {node.tapped}" if node.after or node.tapped else ""
        yield f"followed {number}: {node.slot} {node.leg}{after} amp {node.amp} over {len(node.way or ())}"
    yield from (f"stray {number}: {words}" for number, words in sorted(scene.stray.items()))


def _entered(scene: Scene) -> Scene:
    for leg, place in scene.setting.plugs.items():
        scene.feeders.enter("plug", leg, place)
    for leg, place in scene.setting.mixes.items():
        scene.feeders.enter("mix", leg, place)
    return scene


def _right(r: Data, h: Data, s: Data) -> None:
    pass


@cache
def _of_the_right(base: str) -> frozenset[str]:
    return frozenset(_pictured(base, _right))


def _changed(base: str, spoil: Spoil, rig_alone: bool) -> str:
    """Return what does not stand in the picture of the right patch."""
    right = _of_the_right(base)
    return "".join(f"  {text}\n" for text in _pictured(base, spoil, rig_alone) if text not in right)


for _base in BASES:
    CASES[f"picture: {_base}"] = lambda base=_base: "".join(f"  {text}\n" for text in _pictured(base, _right))


def bent(kind: str, base: str = "house", *, rig_alone: bool = False) -> Any:
    """Enter a function `(rig, show, setting)` that bends a base; what is new in the picture is told."""

    def enter(spoil: Spoil) -> Spoil:
        assert f"picture: {kind}" not in CASES
        CASES[f"picture: {kind}"] = lambda: _changed(base, spoil, rig_alone)
        return spoil

    return enter


@bent("a bank is printed with letters")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["box"]["banks"]["mic"]["mark"] = ["{1-3}", "{A-H}"]
    r["types"]["foh"]["banks"]["ch"]["mark"] = ["{01-08}"]


@bent("everything at double rate")
def _(r: Data, h: Data, s: Data) -> None:
    r["domains"]["main"]["rate"] = 96000
    r["formats"]["cat"]["channels"] = {"48000": 16, "96000": 8}
    r["types"]["box"]["ports"]["mirror"]["slots"] = {"48000": 16, "96000": 4}


@bent("a format carries more one way than the other", rig_alone=True)
def _(r: Data, h: Data, s: Data) -> None:
    r["formats"]["eight"]["channels"] = {"48000": [6, 3]}
    r["formats"]["cat"]["channels"] = {"48000": [12, 2]}
    r["types"]["box"]["ports"]["main"].pop("slots")
    r["types"]["mon"]["ports"]["a"]["end"] = "first"


@bent("the second port joined is the first end", rig_alone=True)
def _(r: Data, h: Data, s: Data) -> None:
    r["formats"]["eight"]["channels"] = {"48000": [6, 3]}
    r["types"]["foh"]["ports"]["b"]["end"] = "first"


@bent("the first port joined says it is the first end", rig_alone=True)
def _(r: Data, h: Data, s: Data) -> None:
    r["formats"]["eight"]["channels"] = {"48000": [6, 3]}
    r["types"]["mon"]["ports"]["b"]["end"] = "first"


@bent("the second port joined says it is the second end", rig_alone=True)
def _(r: Data, h: Data, s: Data) -> None:
    r["formats"]["eight"]["channels"] = {"48000": [6, 3]}
    r["types"]["foh"]["ports"]["b"]["end"] = "second"


@bent("a link runs one way, the other way round")
def _(r: Data, h: Data, s: Data) -> None:
    of(r["links"], "K3").update(format="one", join=["FOH.b", "MON.b"])


@bent("a link runs one way")
def _(r: Data, h: Data, s: Data) -> None:
    of(r["links"], "K3").update(format="one")
    r["formats"]["one"]["pass"] = ["audio", "clock", "control"]


@bent("a link is set to pass audio only")
def _(r: Data, h: Data, s: Data) -> None:
    of(r["links"], "K1").update(pass_=["audio"])


@bent("a port declares less than its link carries", rig_alone=True)
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["mon"]["ports"]["a"]["slots"] = 6
    r["types"]["foh"]["ports"]["a"]["slots"] = {"in": 5}
    r["types"]["foh"]["ports"]["b"]["slots"] = {"out": 7}
    r["types"]["mon"]["ports"]["b"]["slots"] = {"in": 0, "out": 4}


@bent("an end does not speak the format")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["foh"]["ports"]["a"]["speaks"] = ["eight"]
    r["types"]["mon"]["ports"]["b"]["speaks"] = ["cat", "one"]


@bent("ports nothing is joined to")
def _(r: Data, h: Data, s: Data) -> None:
    r["links"] = []
    r["types"]["foh"]["ports"]["b"]["speaks"] = ["eight", "cat", "one"]


@bent("sockets joined in runs that begin later and end early")
def _(r: Data, h: Data, s: Data) -> None:
    of(r["links"], "L1").update(join=["FOH.line[2-4]", "AMP.in[3-4]"])


@bent("sockets joined from the other side, and without an end")
def _(r: Data, h: Data, s: Data) -> None:
    of(r["links"], "L1").update(join=["AMP.in[2]", "FOH.line[3]"])
    r["links"].append({"id": "L2", "join": ["FOH.line", "AMP.in[3-4]"]})


@bent("a wired row of a part of a bank")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["box"]["select"][0] = {"into": "main.out[3-6]", "wired": "mic[5-16]"}
    r["types"]["box"]["select"].append({"into": "main.out[9-16]", "wired": "mic[1-2]"})


@bent("two wired rows that meet, and a link into a wired slot")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["box"]["select"] += [{"into": "line[2-4]", "wired": "mic[1-3]"}, {"into": "line[4-5]", "wired": "mic[9-10]"}]
    r["links"].append({"id": "L9", "join": ["FOH.line[3-4]", "BOX.mic[15-16]"]})
    r["types"]["box"]["select"].append({"into": "mic[16]", "wired": "mic[1]"})


@bent("the alternate inputs are wired")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["mon"]["select"][2] = {"into": "ch", "wired": "intake", "alternate": True}
    s["selections"] = [row for row in s["selections"] if not row.get("alternate")]


@bent("a bank of no size")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["foh"]["banks"]["ch"]["slots"] = {"96000": 16}


@bent("channels handed on at several taps")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["mon"]["banks"]["ch"]["taps"]["late"] = ["processing", "fader"]
    r["types"]["mon"]["select"][4]["taps"] = ["late", "post"]
    s["selections"] += [
        select("MON.a.out[5]", "MON.ch[1]", "post"),
        select("MON.a.out[6]", "MON.ch[2]"),
        select("MON.out[5]", "MON.ch[3]", "in"),
        select("MON.out[6]", "MON.ch[4]"),
        select("MON.out[7-8]", "MON.mix[2-3]", "pre"),
        select("MON.a.out[7-8]", "MON.mix[4-5]"),
    ]


@bent("a wired row takes channels and mixes")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["mon"]["select"][3] = {"into": "out[3-8]", "wired": "mix[3-8]"}
    r["types"]["mon"]["select"].append({"into": "out[1-2]", "wired": "ch[1-2]", "taps": ["in"]})
    s["selections"] = [row for row in s["selections"] if not row["into"].startswith("MON.out")]


@bent("choices of every wrong kind")
def _(r: Data, h: Data, s: Data) -> None:
    s["selections"] += [
        select("MON.intake[9-15]", "MON.b.in[1-7]"),
        select("MON.intake[2-9]", "MON.b.in[1-8]"),
        select("MON.intake[9-16]", "MON.b.in[2-9]"),
        select("MON.intake[9-16]", "MON.b.in[9-16]"),
        select("MON.out[7]", "MON.mix[9]"),
        select("MON.out[9]", "MON.mix[8]"),
        select("MON.ch[9-10]", "MON.intake[11-13]"),
        select("MON.ch[11]", "MON.none[1]"),
        select("MON.ch[12]", "FOH.ch[1]"),
        select("MON.ch[13]", "MON.out[1]"),
        select("MON.ch[14]", "MON.intake[14]", "in"),
        select("MON.ch[15-18]", "MON.intake[13-16]"),
        select("FOH.ch[2]", "FOH.a.in[17]"),
        select("FOH.ch[6]", "FOH.b.in[9]"),
        select("FOH.b.out[3]", "FOH.ch[1]", "none"),
        select("FOH.b.out[4]", "FOH.ch[1]"),
        select("FOH.b.out[9]", "FOH.ch[1]", "in"),
        select("FOH.line[1]", "FOH.mix[3]", "in"),
        select("FOH.line[3]", "FOH.mix[3]", "raw"),
        select("GONE.line[3]", "FOH.mix[3]"),
        select("MON.ch", "MON.intake[1]"),
        select("MON.ch[6]", "MON.intake"),
        select("MON", "MON.intake[1]"),
        select("MON.ch[8]", "MON"),
        select("MON.ch[7-8]", "MON.intake[7-8]"),
        select("MON.ch[7-8]", "MON.intake[9-10]"),
        select("MON.ch[2]", "MON.intake[4]", alternate=True),
        select("MON.ch[3]", "MON.talk[1]", alternate=True),
    ]


@bent("a short last block")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["mon"]["banks"]["intake"]["slots"] = 13
    s["selections"] = [row for row in s["selections"] if row["into"] != "MON.intake[9-16]"]
    s["selections"].append(select("MON.intake[9-13]", "MON.b.in[1-5]"))


@bent("a short last block, taken short, long, and off its start")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["mon"]["banks"]["intake"]["slots"] = 13
    s["selections"] = [row for row in s["selections"] if row["into"] != "MON.intake[9-16]"]
    s["selections"] += [
        select("MON.intake[9-12]", "MON.b.in[1-4]"),
        select("MON.intake[10-13]", "MON.b.in[1-4]"),
        select("MON.intake[1-8]", "MON.a.in[9-16]"),
        select("MON.intake[9-13]", "MON.a.in[11-15]"),
        select("MON.intake[9-13]", "MON.a.in[17-21]"),
        select("MON.intake[9-13]", "MON.a.in[9-12]"),
    ]


@bent("a short source block")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["mon"]["select"][0]["from"] = ["a.in[1-13]", "b.in"]
    s["selections"] = [row for row in s["selections"] if row["into"] != "MON.intake[9-16]"]
    s["selections"] += [select("MON.intake[9-13]", "MON.a.in[9-13]"), select("MON.intake[9-16]", "MON.a.in[9-16]")]


@bent("a block of a link that carries less than a block")
def _(r: Data, h: Data, s: Data) -> None:
    r["formats"]["eight"]["channels"] = {"48000": 5}
    s["selections"].append(select("MON.intake[1-5]", "MON.b.in[1-5]"))


@bent("choices across two rows")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["foh"]["select"][0:1] = [
        {"into": "ch[1-4]", "from": ["a.in[1-6]"]},
        {"into": "ch[5-16]", "from": ["a.in[2-9]", "b.in"]},
    ]
    s["selections"] = [row for row in s["selections"] if not row["into"].startswith("FOH.ch")]
    s["selections"] += [
        select("FOH.ch[3-5]", "FOH.a.in[3-5]"),
        select("FOH.ch[6-7]", "FOH.a.in[9-10]"),
        select("FOH.ch[1-2]", "FOH.b.in[1-2]"),
        select("FOH.ch[8-10]", "FOH.a.in[1-3]"),
        select("FOH.ch[11]", "FOH.a.in[2]"),
        select("FOH.ch[12]", "FOH.a.in[1]"),
    ]


@bent("a circle through both inputs of a channel")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["mon"]["select"].append({"into": "intake", "by": 8, "from": ["out"]})
    s["selections"] = [row for row in s["selections"] if row["into"] != "MON.intake[9-16]"]
    s["selections"] += [
        select("MON.intake[9-16]", "MON.out[1-8]"),
        select("MON.out[2]", "MON.ch[7]", "in"),
        select("MON.ch[7]", "MON.intake[10]"),
        select("MON.ch[8]", "MON.intake[10]"),
        select("MON.ch[7]", "MON.intake[11]", alternate=True),
        select("MON.out[3]", "MON.ch[8]", "in"),
    ]


@bent("framings of their own", "border")
def _(r: Data, h: Data, s: Data) -> None:
    of(r["links"], "T2").update(framing=["native", "native"])
    r["types"]["truck"]["ports"]["r"]["framings"] = ["interleaved"]


@bent("a copper link between two domains, and a device that converts nothing", "border")
def _(r: Data, h: Data, s: Data) -> None:
    r["formats"]["serial"]["digital"] = False
    r["types"]["src"]["select"][0].pop("converts")


@bent("all in one domain", "border")
def _(r: Data, h: Data, s: Data) -> None:
    r["devices"]["SRC"]["clocks"]["B"] = "stage"
    r["devices"]["TRUCK"]["domain"] = "stage"


@bent("a domain of a link's two ends differs", "border")
def _(r: Data, h: Data, s: Data) -> None:
    r["devices"]["SRC"]["clocks"] = {"A": "truck", "B": "stage"}


@bent("a preamp behind another", "copper")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["split"]["preamps"] = {"own": {"gain_db": [0, 20]}}
    r["types"]["split"]["banks"]["in"]["preamp"] = "own"
