"""Hard rigs that can be patched: scarce blocks, free sockets, phantom groups, sockets nearly full, links just wide enough.

Comes in: a seed.  Goes out: a `Tight` rig and show, its kind, its slack, and the sockets of the hidden patch.  Next:
whoever tries a solver (`python -m patchloom.testing.generate --tight --solve 500`).

A patch is drawn first: blocks of eight sockets, each with the desks it goes to and a tree to them; sources stand in
blocks and are wanted by some of those desks.  Then intakes and links are given what that takes, and every third rig nothing more.
Sources may stand anywhere in their box, some in a second one.  Desks are two-step: blocks into the intake, any
channel from there.  The same seed gives the same documents, byte for byte.
"""

from __future__ import annotations

from itertools import pairwise
from random import Random
from typing import Any, NamedTuple

import attrs

from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["KINDS", "Tight", "tight"]

KINDS = ("hub", "chain", "mirror", "mesh")
BLOCK = 8
PASSES = ["audio", "clock", "control"]
Way = tuple[str, str]


class Tight(NamedTuple):
    """A rig and a show that can be patched."""

    rig: Rig
    show: Show
    kind: str
    slack: int
    """Blocks to spare on every intake and every link."""
    plugs: dict[str, str]
    """Where the hidden patch plugs each leg."""


@attrs.define
class _Block:
    """Eight sockets: the box, the first socket, the desks it goes to, what each phantom group may hold."""

    box: str
    first: int
    reach: list[str]
    modes: list[str]


@attrs.define
class _Drawing:
    """The rig and the hidden patch as they are drawn."""

    rng: Random
    kind: str
    slack: int
    by: int
    sizes: dict[str, int] = attrs.Factory(dict)
    desks: list[str] = attrs.Factory(list)
    joined: list[Way] = attrs.Factory(list)
    use: dict[Way, int] = attrs.Factory(dict)
    intake: dict[str, int] = attrs.Factory(dict)
    blocks: list[_Block] = attrs.Factory(list)
    sources: list[dict[str, Any]] = attrs.Factory(list)
    wanting: dict[str, list[str]] = attrs.Factory(dict)
    plugs: dict[str, str] = attrs.Factory(dict)


def tight(seed: int, *, kind: str = "", most: int = 128, fixed: bool = False) -> Tight:
    """Return a hard rig and its show.

    `kind` is one of `KINDS`, in turn when absent; `most` is how many sockets it may have (16 and up).  With `fixed`
    every leg is fixed on the socket of the hidden patch: the same question with the packing given away.  Raises
    ValueError for a kind that is not known.
    """
    from patchloom.pipeline import read_rig, read_show

    if kind and kind not in KINDS:
        raise ValueError(f"no such kind: {kind}; there are {', '.join(KINDS)}")
    rng = Random(seed)
    drawing = _Drawing(rng, kind or KINDS[seed % len(KINDS)], rng.choice((0, 1, 2)), rng.choice((4, 8)))
    _draw_devices(drawing, most)
    _draw_blocks(drawing)
    _draw_sources(drawing, rng.uniform(0.9, 1.0) if not drawing.slack else rng.uniform(0.7, 0.97))
    rig = read_rig(_rig(drawing))
    return Tight(rig, read_show(_show(drawing, fixed), rig), drawing.kind, drawing.slack, drawing.plugs)


# what there is


def _draw_devices(drawing: _Drawing, most: int) -> None:
    rng = drawing.rng
    drawing.desks = [f"DESK{number}" for number in range(1, rng.choice((2, 3, 3, 4, 4, 5, 6)) + 1)]
    total = rng.choice([size for size in (16, 24, 32, 48, 64, 96, 128) if size <= most] or [16])
    held = 0
    while held < total:
        size = min(rng.choice((16, 24, 32, 48)), total - held)
        drawing.sizes[f"BOX{len(drawing.sizes) + 1}"] = size
        held += size
    for number, box in enumerate(drawing.sizes):
        for desk in _homes(drawing, number):
            _join(drawing, box, desk)
    drawing.desks = [desk for desk in drawing.desks if drawing.kind != "mirror" or any(desk in way for way in drawing.joined)]
    if drawing.kind in ("chain", "mesh"):
        for here, there in zip(drawing.desks, drawing.desks[1:], strict=False):
            _join(drawing, here, there)
    if drawing.kind == "mesh":
        _join(drawing, drawing.desks[-1], drawing.desks[0])
        if len(drawing.desks) > 3:
            _join(drawing, drawing.desks[0], drawing.desks[len(drawing.desks) // 2])


def _homes(drawing: _Drawing, number: int) -> list[str]:
    """Return the desks a box has a cable to."""
    rng, desks = drawing.rng, drawing.desks
    if drawing.kind == "hub":
        return desks
    if drawing.kind == "mirror":
        first = number % len(desks)
        return [desks[first], desks[(first + rng.randrange(1, len(desks))) % len(desks)]]
    return [desks[0] if rng.random() < 0.5 else rng.choice(desks)]


def _join(drawing: _Drawing, one: str, two: str) -> None:
    if (one, two) not in drawing.use:
        drawing.joined.append((one, two))
        drawing.use[one, two] = drawing.use[two, one] = 0


# the hidden patch


def _draw_blocks(drawing: _Drawing) -> None:
    """Give every block the desks it goes to, and a tree to them."""
    rng = drawing.rng
    drawing.intake = dict.fromkeys(drawing.desks, 0)
    for box, size in drawing.sizes.items():
        for first in range(1, size + 1, BLOCK):
            able = [desk for desk in drawing.desks if drawing.kind != "mirror" or (box, desk) in drawing.use]
            reach = [desk for desk in able if rng.random() < 0.55] or [rng.choice(able)]
            modes = [rng.choice(("need", "never", "need")) for _ in range(BLOCK // drawing.by)]
            drawing.blocks.append(_Block(box, first, reach, modes))
            before = _tree(drawing, box)
            passed: dict[Way, None] = {}
            for desk in reach:
                drawing.intake[desk] += 1
                here = desk
                while here != box:
                    passed[before[here], here] = None
                    here = before[here]
            for way in passed:
                if way[0] != box:
                    drawing.use[way] += 1


def _tree(drawing: _Drawing, box: str) -> dict[str, str]:
    """Return the device before each one on a short way from a box, ties drawn."""
    before: dict[str, str] = {}
    todo = [box]
    for here in todo:
        beside = [two if here == one else one for one, two in drawing.joined if here in (one, two)]
        drawing.rng.shuffle(beside)
        for there in beside:
            if there not in before and there.startswith("DESK"):
                before[there] = here
                todo.append(there)
    return before


def _draw_sources(drawing: _Drawing, fill: float) -> None:
    """Put sources into blocks, pairs first on odd sockets, until so much of all sockets is taken."""
    rng = drawing.rng
    for block in drawing.blocks:
        slots = list(range(block.first, block.first + BLOCK))
        free = BLOCK - sum(rng.random() > fill for _ in slots)
        while free > 0:
            pair = free > 1 and slots[0] % 2 == 1 and rng.random() < 0.15
            group = (slots[0] - block.first) // drawing.by
            _source(drawing, block, slots[: 1 + pair], block.modes[group])
            del slots[: 1 + pair]
            free -= 1 + pair
    rng.shuffle(drawing.sources)


def _source(drawing: _Drawing, block: _Block, slots: list[int], mode: str) -> None:
    rng = drawing.rng
    key = f"s{len(drawing.sources) + 1}"
    row: dict[str, Any] = {"id": key, "phantom": rng.choice((mode, mode, "no"))}
    if len(slots) > 1:
        row["legs"] = ["L", "R"]
    drawing.sources.append(row)
    drawing.wanting[key] = [desk for desk in block.reach if rng.random() < 0.75] or [rng.choice(block.reach)]
    for leg, slot in zip([f"{key}.{name}" for name in row.get("legs", ())] or [key], slots, strict=True):
        drawing.plugs[leg] = f"{block.box}.mic[{slot}]"


# documents


def _rig(drawing: _Drawing) -> dict[str, Any]:
    ports: dict[str, list[str]] = {}
    formats: dict[str, Any] = {}
    links = []
    spoken: dict[str, str] = {}
    for number, (one, two) in enumerate(drawing.joined, 1):
        wide = [_wide(drawing, way) for way in ((one, two), (two, one))]
        name = f"way-{wide[0]}-{wide[1]}"
        formats[name] = {"channels": {"48000": wide}, "pass": PASSES}
        ends = []
        for device in (one, two):
            held = ports.setdefault(device, [])
            held.append(f"p{len(held) + 1}")
            ends.append(f"{device}.{held[-1]}")
            spoken[ends[-1]] = name
        links.append({"id": f"K{number}", "join": ends, "format": name})
    types = {}
    for device, names in ports.items():
        speaks = {name: {"speaks": [spoken[f"{device}.{name}"]], "pass": PASSES} for name in names}
        kind = _box_type(drawing, device, names) if device in drawing.sizes else _desk_type(drawing, device, names)
        types[f"kind-{device.lower()}"] = {**kind, "ports": speaks}
    devices = {device: {"type": f"kind-{device.lower()}"} for device in (*drawing.sizes, *drawing.desks) if device in ports}
    if drawing.kind == "mirror":
        _one_clock([desk for desk in drawing.desks if desk in ports], types, formats, links)
    return {
        "format": "rig/1",
        "name": "tight",
        "rate": 48000,
        "formats": formats,
        "types": types,
        "devices": devices,
        "links": links,
    }


def _one_clock(desks: list[str], types: dict[str, Any], formats: dict[str, Any], links: list[dict[str, Any]]) -> None:
    """Hand clock on from desk to desk by cables of its own: boxes with two cables each need not join all desks."""
    formats["word"] = {"channels": {"48000": 0}, "pass": ["clock"], "medium": ["coax-75"]}
    for here, there in pairwise(desks):
        for desk, port in ((here, "wo"), (there, "wi")):
            types[f"kind-{desk.lower()}"]["ports"][port] = {"speaks": ["word"], "slots": 0, "pass": ["clock"]}
        links.append({"id": f"C-{there}", "join": [f"{here}.wo", f"{there}.wi"], "format": "word"})


def _wide(drawing: _Drawing, way: Way) -> int:
    """Return the channels of one direction: all of a box, else the blocks the hidden patch passes, and the slack."""
    if way[0] in drawing.sizes:
        return drawing.sizes[way[0]]
    if way[1] in drawing.sizes:
        return BLOCK
    return max(1, drawing.use[way] + drawing.slack) * BLOCK


def _box_type(drawing: _Drawing, device: str, ports: list[str]) -> dict[str, Any]:
    return {
        "role": "box",
        "banks": {"mic": {"slots": drawing.sizes[device], "socket": "in", "preamp": "pre", "level": "any"}},
        "select": [{"into": f"{name}.out", "wired": "mic"} for name in ports],
        "preamps": {"pre": {"gain_db": [-6, 60], "step_db": 1, "phantom_by": drawing.by, "owner_by": "device"}},
    }


def _desk_type(drawing: _Drawing, device: str, ports: list[str]) -> dict[str, Any]:
    legs = sum(device in drawing.wanting[leg.partition(".")[0]] for leg in drawing.plugs)
    arriving = [f"{name}.in" for name in ports]
    rows: list[dict[str, Any]] = [
        {"into": "intake", "from": arriving, "by": BLOCK},
        {"into": "ch", "from": ["intake"]},
    ]
    if drawing.kind in ("chain", "mesh"):
        rows += [
            {"into": f"{name}.out", "from": [bank for bank in arriving if bank != f"{name}.in"], "by": BLOCK}
            for name in ports
            if len(ports) > 1
        ]
    return {
        "role": "desk",
        "banks": {
            "intake": {"slots": max(1, drawing.intake[device] + drawing.slack) * BLOCK},
            "ch": {"slots": max(legs, 1) + 2, "does": "process", "trim_db": [-24, 24], "taps": {"in": []}},
        },
        "select": rows,
    }


def _show(drawing: _Drawing, fixed: bool) -> dict[str, Any]:
    rng = drawing.rng
    lists = []
    for desk in drawing.desks:
        wants = [row["id"] for row in drawing.sources if desk in drawing.wanting[row["id"]]]
        if wants:
            lists.append({"position": f"at-{desk.lower()}", "at": f"{desk}.ch", "wants": wants, "pairs": "any"})
    plugs: list[dict[str, Any]] = []
    for row in drawing.sources:
        legs = [f"{row['id']}.{name}" for name in row.get("legs", ())] or [row["id"]]
        box = drawing.plugs[legs[0]].partition(".")[0]
        other = rng.choice(list(drawing.sizes))
        choice = [box] if rng.random() < 0.85 or other == box else sorted([box, other])
        if fixed:
            plugs += [{"source": leg, "into": drawing.plugs[leg]} for leg in legs]
        else:
            plugs.append({"source": row["id"], "into": [f"{key}.mic" for key in choice]})
    return {
        "format": "show/1",
        "name": "tight",
        "sources": drawing.sources,
        "plug": plugs,
        "lists": lists,
        "positions": {f"at-{desk.lower()}": {"desk": desk} for desk in drawing.desks},
    }
