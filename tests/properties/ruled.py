"""Small random rigs with more than one way, random routing rules over them, and a plain reading of what a patch does.

Comes in: a seed.  Goes out: documents; for a patch, which slots carry which signal and which way each delivery takes, worked
out here by repeating every join until nothing changes, with no help from the solver or the judge.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, pairwise
from random import Random
from typing import Any

from patchloom.address import Slot
from patchloom.model.patch import Patch, Route
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["breaks", "case", "hops_of", "rules"]

Data = dict[str, Any]
_FORMATS = {"eight": {"channels": {"48000": 8}, "pass": ["audio", "clock", "control"]}}


def _types() -> Data:
    port = {"speaks": ["eight"]}
    taps = {"in": []}
    return {
        "box": {
            "role": "box",
            "banks": {"in": {"slots": 8, "socket": "in"}, "line": {"slots": 4, "socket": "out"}},
            "ports": {"p1": dict(port), "p2": dict(port)},
            "select": [{"into": "p1.out", "wired": "in"}, {"into": "p2.out", "wired": "in"}, {"into": "line", "wired": "p1.in"}],
        },
        "free": {
            "role": "desk",
            "banks": {"ch": {"slots": 12, "does": "process", "taps": taps}, "mix": {"slots": 2, "does": "sum", "of": ["ch"]}},
            "ports": {key: dict(port) for key in "abc"},
            "select": [
                {"into": "ch", "from": ["a.in", "b.in", "c.in"]},
                {"into": "a.out", "from": ["b.in", "c.in", "mix"]},
                {"into": "b.out", "from": ["a.in", "c.in", "mix"]},
                {"into": "c.out", "from": ["a.in", "b.in", "mix"]},
            ],
        },
        "block": {
            "role": "desk",
            "banks": {"intake": {"slots": 12}, "ch": {"slots": 12, "does": "process", "taps": taps}},
            "ports": {key: dict(port) for key in "abc"},
            "select": [
                {"into": "intake", "from": ["a.in", "b.in", "c.in"], "by": 4},
                {"into": "ch", "from": ["intake"]},
                {"into": "a.out", "from": ["b.in", "c.in"], "by": 4},
                {"into": "b.out", "from": ["a.in", "c.in"], "by": 4},
                {"into": "c.out", "from": ["a.in", "b.in"], "by": 4},
            ],
        },
    }


def case(seed: int) -> tuple[Data, Data]:
    """Return rig and show documents: two or three boxes, two desks, joined both ways round; a handful of sources."""
    draw = Random(seed)
    boxes = [f"BOX{number}" for number in range(1, draw.choice((2, 2, 3)) + 1)]
    desks = {"FOH": draw.choice(("free", "block")), "MON": draw.choice(("free", "block"))}
    free = {desk: ["a", "b", "c"] for desk in desks}
    joins = [f"FOH.{free['FOH'].pop()}", f"MON.{free['MON'].pop()}"]
    links = [{"id": "K9", "join": joins, "format": "eight", "cables": [{"route": draw.choice(("pit", "roof"))}]}]
    for number, box in enumerate(boxes):
        for port, desk in zip(
            ("p1", "p2"), draw.sample(["FOH", "MON"], 2) if draw.random() < 0.6 else ["MON", "FOH"], strict=True
        ):
            if free[desk] and (port == "p1" or draw.random() < 0.6):
                cables = [{"route": draw.choice(("pit", "roof"))}] * draw.choice((0, 1))
                join = [f"{box}.{port}", f"{desk}.{free[desk].pop()}"]
                links.append({"id": f"K{number}{port[-1]}", "join": join, "format": "eight", "cables": cables})
    devices: Data = {box: {"type": "box", "power": draw.choice(("left", "right"))} for box in boxes}
    devices |= {desk: {"type": kind} for desk, kind in desks.items()}
    rig = {"format": "rig/1", "rate": 48000, "formats": _FORMATS, "types": _types(), "devices": devices, "links": links}
    names = [f"s{number}" for number in range(1, draw.randrange(3, 7))]
    plug = [
        {"sources": name, "into": [f"{box}.in" for box in draw.sample(boxes, draw.randrange(1, len(boxes) + 1))]}
        for name in names
    ]
    lists = []
    for desk in desks:
        wanted = draw.sample(names, draw.randrange(1, len(names) + 1))
        lists.append({"position": desk.lower(), "at": f"{desk}.ch", "wants": wanted})
    return rig, {"format": "show/1", "sources": [{"ids": names}], "plug": plug, "lists": lists}


def rules(seed: int, show: Data, rig: Data) -> list[tuple[str, Data]]:
    """Return some routing rows and groups, as (table of the show, row)."""
    draw = Random(seed * 31 + 7)
    names = show["sources"][0]["ids"]
    devices, links = list(rig["devices"]), [link["id"] for link in rig["links"]]
    places = [*devices, *links, *(f"{desk}.intake[1-4]" for desk in ("FOH", "MON") if rig["devices"][desk]["type"] == "block")]
    found: list[tuple[str, Data]] = []
    for number in range(draw.choice((1, 1, 2))):
        kind = draw.choice(("forbid", "forbid", "ban", "require", "apart", "meet", "disjoint", "together", "one-box", "in-order"))
        two = draw.sample(names, 2)
        if kind in ("one-box", "in-order"):
            found.append(("groups", {"id": f"g{number}", "of": two, "relation": kind}))
            continue
        row: Data = {"id": f"r{number}", "rule": kind, "signals": two}
        if kind in ("forbid", "ban", "require"):
            row.update(
                rule="require" if kind == "require" else "forbid", signals=two[:1], at=draw.sample(places, draw.choice((1, 1, 2)))
            )
            if kind != "forbid":
                row["positions"] = draw.sample(["foh", "mon"], draw.choice((1, 2)))
        if kind == "meet":
            row.update(rule="apart", at=draw.sample(places, 1))
        found.append(("routing", row))
    return found


# a plain reading of a patch


def _carried(rig: Rig, patch: Patch) -> dict[Slot, tuple[str, str]]:
    """Return for every slot the source it carries and the link that brought it there last."""
    setting = patch.setting()
    found = {place: (leg, "") for leg, place in setting.plugs.items()}
    joins = [(into, out, "") for row in setting.selections for into, out in zip(row.into.slots(), row.from_.slots(), strict=True)]
    for name in rig.devices:
        for select in rig.type_of(name).select:
            if select.wired:
                joins += [(Slot(name, select.into, n), Slot(name, select.wired, n), "") for n in range(1, 9)]
    for link in rig.links:
        one, other = (end.split(".") for end in link.join)
        for (d1, p1), (d2, p2) in ((one, other), (other, one)):
            joins += [(Slot(d2, f"{p2}.in", n), Slot(d1, f"{p1}.out", n), link.id) for n in range(1, 9)]
    while True:
        before = len(found)
        for into, out, link in joins:
            if out in found and into not in found:
                found[into] = (found[out][0], link)
        if len(found) == before:
            return found


def _in(place: str, slot: Slot, link: str) -> bool:
    """Return whether a slot, come to by a link, lies in a place as it is written."""
    if place == link:
        return True
    device, _, rest = place.partition(".")
    if slot.device != device:
        return False
    return not slot.bank.endswith(".in") if not rest else slot.bank == "intake" and slot.number <= 4


def hops_of(rig: Rig, route: Route) -> list[tuple[Slot, str]]:
    """Return the hops of a route, each with the link that leads there."""
    found = [(route.hops[0], "")]
    for before, here in pairwise(route.hops):
        ends = {f"{before.device}.{before.bank.partition('.')[0]}", f"{here.device}.{here.bank.partition('.')[0]}"}
        over = [link.id for link in rig.links if before.device != here.device and set(link.join) == ends]
        found.append((here, over[0] if over else ""))
    return found


def _leans(rig: Rig, hops: list[tuple[Slot, str]]) -> set[str]:
    end = hops[-1][0].device
    found = {slot.device for slot, _ in hops} - {end}
    found |= {f"supply {rig.devices[device].power}" for device in list(found) if rig.devices[device].power}
    for link in rig.links:
        if any(over == link.id for _, over in hops):
            found.add(f"link {link.id}")
            found |= {f"run {cable.route}" for cable in link.cables}
    return found


def breaks(rig: Rig, show: Show, patch: Patch) -> Iterator[str]:
    """Yield the id of each rule a patch breaks."""
    carried = _carried(rig, patch)
    routes = [(route, hops_of(rig, route)) for route in patch.setting().routes]
    plugs = patch.setting().plugs
    for row in show.routing:
        mine = [
            (route, hops) for route, hops in routes if route.leg in row.signals and route.to in (row.positions or (route.to,))
        ]
        there = {
            place: {leg for slot, (leg, link) in carried.items() if leg in row.signals and _in(place, slot, link)}
            for place in row.at
        }
        if row.rule == "forbid" and not row.positions:
            wrong = any(there.values())
        elif row.rule == "forbid":
            wrong = any(_in(place, slot, link) for _, hops in mine for slot, link in hops for place in row.at)
        elif row.rule == "require":
            wrong = any(not any(_in(place, slot, link) for slot, link in hops for place in row.at) for _, hops in mine)
        elif row.rule == "apart" and row.at:
            wrong = any(len(legs) > 1 for legs in there.values())
        elif row.rule == "apart":
            wrong = len({plugs[leg].device for leg in row.signals}) < len(row.signals)
        else:
            wrong = False
            for (one, first), (other, second) in combinations(mine, 2):
                if one.to == other.to and one.leg != other.leg:
                    if row.rule == "disjoint":
                        wrong |= bool(_leans(rig, first) & _leans(rig, second))
                    else:
                        passed = [
                            (list(dict.fromkeys(slot.device for slot, _ in hops)), [link for _, link in hops if link])
                            for hops in (first, second)
                        ]
                        wrong |= passed[0] != passed[1]
        if wrong:
            yield row.id
    for group in show.groups:
        places = [plugs[leg] for leg in group.of]
        if group.relation == "one-box" and len({place.device for place in places}) > 1:
            yield group.id
        if group.relation == "in-order" and any(a.device == b.device and a.number > b.number for a, b in pairwise(places)):
            yield group.id
