"""Families of rigs, each realistic of its kind, drawn from a seed.

    python tests/bench/families.py FAMILY SEED FOLDER

writes rig.json and show.json.  Comes in: a family's name, a seed, a size.  Goes out: plain documents.  Next: `bench.py`.

All rigs are invented.  Block rigs keep one block to spare on every desk; mesh rigs say what load their links carry.
"""

from __future__ import annotations

import json
import random
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

from mesh import Mesh, mesh

__all__ = ["FAMILIES", "MESHES", "SIZES", "campus", "family", "hall", "mesh_load", "network"]

Documents = tuple[dict[str, Any], dict[str, Any]]
LETTERS = [*"abcdefghijklmnopqrstuvwxyz", *(f"{a}{b}" for a in "ab" for b in "abcdefghijklmnopqrstuvwxyz")]


def _port(speaks: str, passes: tuple[str, ...] = ("audio", "clock", "control")) -> dict[str, Any]:
    return {"speaks": [speaks], "pass": list(passes)}


def _format(channels: int, rates: tuple[int, ...] = (48000,)) -> dict[str, Any]:
    return {"channels": {str(rate): channels for rate in rates}, "pass": ["audio", "clock", "control"], "medium": ["fibre"]}


def _box(sockets: int, phantom_by: int, rate: str = "48000") -> dict[str, Any]:
    preamp = {"gain_db": [0, 60], "step_db": 1, "full_scale_dbu": 22, "phantom_by": phantom_by, "doors": ["port"]}
    return {
        "role": "box",
        "banks": {"mic": {"slots": sockets, "socket": "in", "preamp": "pre"}, "line": {"slots": 16, "socket": "out"}},
        "ports": {"main": _port("line-up"), "mirror": _port("line-up", ("audio", "clock"))},
        "select": [
            {"into": "main.out", "wired": "mic"},
            {"into": "mirror.out", "wired": "mic"},
            {"into": "line", "wired": "main.in"},
        ],
        "preamps": {"pre": preamp},
    }


def _block_desk(channels: int, blocks: int, ports: int, by: int = 8) -> dict[str, Any]:
    """Return a two-step desk: so many blocks come in, channels choose among them; the outs are sent on in blocks."""
    names = LETTERS[:ports]
    return {
        "role": "desk",
        "banks": {
            "ch": {"slots": channels, "does": "process", "trim_db": [-24, 24], "taps": {"in": [], "post": ["trim", "fader"]}},
            "intake": {"slots": blocks * by},
            "mix": {"slots": 32, "does": "sum", "of": ["ch"]},
        },
        "ports": {name: _port("line-up") for name in names},
        "select": [
            {"into": "intake", "from": [f"{name}.in" for name in names], "by": by},
            {"into": "ch", "from": ["intake"]},
            *(
                {"into": f"{name}.out", "from": ["mix", *(f"{other}.in" for other in names if other != name)], "by": by}
                for name in names
            ),
        ],
        "can_lead": True,
    }


def _core_desk(channels: int, ports: list[str], speaks: str) -> dict[str, Any]:
    """Return a desk where every channel is chosen one by one."""
    return {
        "role": "desk",
        "banks": {
            "ch": {"slots": channels, "does": "process", "trim_db": [-24, 24], "taps": {"in": []}},
            "mix": {"slots": 64, "does": "sum", "of": ["ch"]},
        },
        "ports": {name: _port(speaks) for name in ports},
        "select": [
            {"into": "ch", "from": [f"{name}.in" for name in ports]},
            *({"into": f"{name}.out", "from": ["mix"]} for name in ports),
        ],
        "can_lead": True,
    }


def _sources(draw: random.Random, count: int, pairs: float = 0.2, need: float = 0.3) -> list[dict[str, Any]]:
    """Return sources of so many legs in all, some in stereo, some that need phantom, some that must never have it."""
    found: list[dict[str, Any]] = []
    legs = 0
    while legs < count:
        row: dict[str, Any] = {
            "id": f"s{len(found) + 1}",
            "phantom": draw.choices(("need", "no", "never"), (need, 0.9 - need, 0.1))[0],
        }
        if count - legs > 1 and draw.random() < pairs:
            row["legs"] = ["L", "R"]
        legs += len(row.get("legs", "1"))
        found.append(row)
    return found


def _wants(draw: random.Random, sources: list[dict[str, Any]], share: float) -> list[str]:
    """Return a list that wants some of the sources, in an order of its own."""
    chosen = [row["id"] for row in sources if draw.random() < share] or [sources[0]["id"]]
    draw.shuffle(chosen)
    return chosen


def _hub(
    seed: int,
    sources: int,
    boxes: int,
    sockets: int,
    desks: int,
    *,
    share: float,
    slack: int,
    phantom_by: int = 8,
    rate: int = 48000,
    acts: int = 0,
) -> Documents:
    """Return boxes that every desk hears on a link of its own, free sockets within a box, blocks of 8, scarce intakes.

    A patch is drawn first: sources stand on their boxes by who wants them, and each intake gets the blocks it then needs
    and `slack` more.
    """
    draw = random.Random(f"{seed} {sources} {boxes} {desks}")
    found = _sources(draw, sources)
    lists = {f"D{n + 1}": set(_wants(draw, found, share)) for n in range(desks)}
    home: dict[str, int] = {}
    room = [sockets] * boxes
    for row in found:
        box = max(range(boxes), key=lambda number: (room[number], draw.random()))
        home[row["id"]] = box
        room[box] -= len(row.get("legs", "1"))
    blocks = dict.fromkeys(lists, 0)
    for box in range(boxes):
        mine = [row for row in found if home[row["id"]] == box]
        mine.sort(
            key=lambda row: (
                row["phantom"] == "never",
                sorted(d for d in lists if row["id"] in lists[d]),
                len(row.get("legs", "1")),
            )
        )
        legs = [row for row in mine for _ in row.get("legs", "1")]
        for start in range(0, len(legs), 8):
            for desk in lists:
                blocks[desk] += any(row["id"] in lists[desk] for row in legs[start : start + 8])
    ports = LETTERS[:boxes]
    up = f"{sockets}"
    rig: dict[str, Any] = {
        "format": "rig/1",
        "rate": rate,
        "formats": {"line-up": _format(sockets, (48000, 96000))},
        "types": {f"box{up}": _box(sockets, phantom_by)},
        "devices": {f"BOX{n + 1}": {"type": f"box{up}"} for n in range(boxes)},
        "links": [],
    }
    mirrors = max(1, desks)
    box_type = rig["types"][f"box{up}"]
    box_type["ports"] = {"p1": _port("line-up"), **{f"p{n + 1}": _port("line-up", ("audio", "clock")) for n in range(1, mirrors)}}
    box_type["select"] = [
        *({"into": f"p{n + 1}.out", "wired": "mic"} for n in range(mirrors)),
        {"into": "line", "wired": "p1.in"},
    ]
    for number, desk in enumerate(lists):
        rig["types"][f"desk-{desk.lower()}"] = _block_desk(sources + 8, blocks[desk] + slack, len(ports))
        rig["devices"][desk] = {"type": f"desk-{desk.lower()}"}
        for box in range(boxes):
            ends = [f"BOX{box + 1}.p{number + 1}", f"{desk}.{ports[box]}"]
            rig["links"].append({"id": f"K{number + 1}-{box + 1}", "join": ends, "format": "line-up"})
    order = {row["id"]: number for number, row in enumerate(found)}
    show: dict[str, Any] = {
        "format": "show/1",
        "sources": found,
        "plug": [{"source": row["id"], "into": f"BOX{home[row['id']] + 1}.mic"} for row in found],
        "lists": [
            {
                "id": f"list-{desk.lower()}",
                "position": f"P-{desk}",
                "at": f"{desk}.ch",
                "wants": sorted(wants, key=order.__getitem__),
                "pairs": "any",
            }
            for desk, wants in lists.items()
        ],
        "positions": {f"P-{desk}": {"desk": desk} for desk in lists},
    }
    if acts:
        show["periods"] = []
        for number in range(acts):
            used = sorted((row["id"] for row in found if draw.random() < 0.7), key=order.__getitem__)
            show["periods"].append({"id": f"act{number + 1}", "uses": used})
    return rig, show


def three_desks(seed: int, size: int = 40) -> Documents:
    """Return a stage box heard by three two-step desks; 30 to 50 sources, one block to spare."""
    return _hub(seed, size, 1, 48 if size <= 48 else 56, 3, share=0.85, slack=1)


def festival(seed: int, size: int = 48) -> Documents:
    """Return 40 to 60 lines on two boxes, three desks, twenty acts."""
    return _hub(seed, size, 2, 32, 3, share=0.9, slack=1, acts=20)


def orchestra(seed: int, size: int = 128) -> Documents:
    """Return 80 to 160 sources on several boxes, blocks, free sockets within a box, double rate, four desks."""
    return _hub(seed, size, -(-size // 28), 32, 4, share=0.8, slack=1, rate=96000)


def theatre(seed: int, size: int = 64) -> Documents:
    """Return radio racks, pit and playback on three boxes for three desks, intakes nearly full."""
    return _hub(seed, size, 3, 32, 3, share=0.8, slack=1, phantom_by=4)


def hall(seed: int, size: int = 128, desks: int = 6, slack: int = 1) -> Documents:
    """Return a hub of boxes and many two-step desks, for the comparison of packing models."""
    return _hub(seed, size, -(-size // 30), 32, desks, share=0.6, slack=slack)


def truck(seed: int, size: int = 128) -> Documents:
    """Return a stage at double rate and a truck at 48 kHz behind a rate converter, every choice slot by slot."""
    draw = random.Random(f"truck {seed} {size}")
    boxes = -(-size // 32)
    up = {"channels": {"48000": 64, "96000": 32}, "pass": ["audio", "clock", "control"], "medium": ["fibre"]}
    names = LETTERS[: boxes + 2]
    converter = {
        "role": "rate-converter",
        "clocks": ["A", "B"],
        "ports": {f"a{n + 1}": {**_port("up"), "clock": "A", "slots": {"48000": 64, "96000": 32}} for n in range(boxes)}
        | {f"b{n + 1}": {**_port("up"), "clock": "B", "slots": {"48000": 64}} for n in range(boxes)},
        "select": [
            {"into": f"b{n + 1}.out[1-32]", "wired": f"a{n + 1}.in[1-32]", "converts": True, "latency_ms": 0.8}
            for n in range(boxes)
        ],
        "can_lead": False,
    }
    rig: dict[str, Any] = {
        "format": "rig/1",
        "domains": {"stage": {"rate": 96000, "leader": "FOH"}, "truck": {"rate": 48000, "leader": "TRUCK"}},
        "formats": {"up": up},
        "types": {"box32": _box(32, 8), "core": _core_desk(256, names, "up"), "converter": converter},
        "devices": {
            **{f"BOX{n + 1}": {"type": "box32", "domain": "stage"} for n in range(boxes)},
            "FOH": {"type": "core", "domain": "stage"},
            "SRC": {"type": "converter", "clocks": {"A": "stage", "B": "truck"}},
            "TRUCK": {"type": "core", "domain": "truck"},
        },
        "links": [],
    }
    for port in rig["types"]["box32"]["ports"].values():
        port["speaks"] = ["up"]
    for n in range(boxes):
        rig["links"] += [
            {"id": f"F{n + 1}", "join": [f"BOX{n + 1}.main", f"FOH.{names[n]}"], "format": "up"},
            {"id": f"S{n + 1}", "join": [f"BOX{n + 1}.mirror", f"SRC.a{n + 1}"], "format": "up"},
            {"id": f"T{n + 1}", "join": [f"SRC.b{n + 1}", f"TRUCK.{names[n]}"], "format": "up"},
        ]
    rig["types"]["converter"]["ports"] |= {"wcA": {**_port("word", ("clock",)), "clock": "A", "slots": 0}}
    rig["types"]["core"]["ports"] |= {"wc": {**_port("word", ("clock",)), "slots": 0}}
    rig["formats"]["word"] = {"channels": {"48000": 0, "96000": 0}, "pass": ["clock"], "medium": ["coax-75"]}
    rig["links"].append({"id": "W1", "join": ["FOH.wc", "SRC.wcA"], "format": "word"})
    found = [{"id": f"s{n + 1}", "phantom": "no"} for n in range(size)]
    show = {
        "format": "show/1",
        "sources": found,
        "plug": [{"source": f"s{n + 1}", "into": f"BOX{n // 32 + 1}.mic[{n % 32 + 1}]"} for n in range(size)],
        "lists": [
            {"position": "HOUSE", "at": "FOH.ch", "wants": _wants(draw, found, 0.9)},
            {"position": "VAN", "at": "TRUCK.ch", "wants": _wants(draw, found, 0.95)},
        ],
        "positions": {"HOUSE": {"desk": "FOH"}, "VAN": {"desk": "TRUCK"}},
    }
    return rig, show


def campus(seed: int, size: int = 512) -> Documents:
    """Return 512 sources, 8 positions, 40 devices, about 2,100 wants: routers in a mesh, links loaded to four fifths."""
    return mesh(seed, Mesh(routers=16, boxes=16, sockets=size // 16, desks=8))


def network(seed: int, size: int = 2000) -> Documents:
    """Return 2,000 sources, 20 positions, 60 devices and some 20,500 wants, links loaded to four fifths."""
    return mesh(seed, Mesh(routers=20, boxes=20, sockets=size // 20, desks=20, share=0.51, together=4))


MESHES = {
    2500: Mesh(routers=10, boxes=10, sockets=50, desks=10),
    5000: Mesh(routers=12, boxes=14, sockets=60, desks=12),
    10000: Mesh(routers=16, boxes=20, sockets=63, desks=16),
    20000: Mesh(routers=20, boxes=20, sockets=100, desks=20, together=4),
    40000: Mesh(routers=28, boxes=28, sockets=102, desks=28, together=4),
}
"""One family in five sizes, by about how many wants."""


def mesh_load(seed: int, wants: int, load: float) -> Documents:
    """Return a mesh of about so many wants (a key of `MESHES`), each link used to `load` of its channels."""
    return mesh(seed, MESHES[wants], load)


FAMILIES: dict[str, Callable[..., Documents]] = {
    "three-desks": three_desks,
    "festival": festival,
    "orchestra": orchestra,
    "theatre": theatre,
    "truck": truck,
    "campus": campus,
    "network": network,
}
SIZES = {"three-desks": 40, "festival": 48, "orchestra": 128, "theatre": 64, "truck": 128, "campus": 512, "network": 2000}


def family(name: str, seed: int, size: int | None = None) -> Documents:
    """Return rig and show of a family as plain documents."""
    return FAMILIES[name](seed, size or SIZES[name])


if __name__ == "__main__":
    rig, show = family(sys.argv[1], int(sys.argv[2]))
    folder = Path(sys.argv[3])
    folder.mkdir(parents=True, exist_ok=True)
    for name, data in (("rig", rig), ("show", show)):
        (folder / f"{name}.json").write_text(json.dumps(data, indent=1), encoding="utf-8")
