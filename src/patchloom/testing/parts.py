"""A rig from a plan: types made to measure, formats made to measure, devices and links.

Comes in: a `Plan` whose signals are carried and whose lists are drawn.  Goes out: a `Rig`.  Next: `show`.
Sizes are what the hidden patch uses and one block to spare, no more.
"""

from __future__ import annotations

from typing import Any

from patchloom.model.base import Table, build
from patchloom.model.rig import Device, Domain, Format, Link, Rig, Type
from patchloom.testing.carry import capacity, primary_size
from patchloom.testing.plan import Chain, Node, Plan

__all__ = ["FULL_SCALE_DBU", "TRIMS", "build_rig", "rates"]

FULL_SCALE_DBU = 22
TRIMS = {"two-step": (-24, 24), "block": (-18, 18), "slots": (-20, 20), "wired": (-12, 12)}
"""Trim range of the channels by kind of desk, in dB."""


class _Shelf:
    """The formats and types asked for so far."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.formats: dict[str, Format] = {}
        self.types: dict[str, Type] = {}
        self.rate, self.guest_rate = rates(plan)

    def table(self, size: int, guest: bool = False) -> object:
        """Return a size as it is written: halved at double rate where the rig runs at it."""
        if guest or self.rate == 48000:
            return size
        return {"48000": size * 2, "96000": size}

    def both(self, there: int, back: int, guest: bool) -> str:
        """Return a format of so many channels each way."""
        high = self.rate == 96000 and not guest
        name = f"way-{there}" if there == back else f"way-{there}-{back}"
        name += "-high" if high else ""
        if name not in self.formats:
            here = there if there == back else [there, back]
            twice = there * 2 if there == back else [there * 2, back * 2]
            channels = {"48000": twice, "96000": here} if high else {"44100": here, "48000": here}
            self.formats[name] = Format(id=name, channels=Table(channels), pass_=("audio", "clock", "control"))
        return name

    def single(self, size: int, guest: bool) -> str:
        """Return a format of so many channels from the first end to the second."""
        high = self.rate == 96000 and not guest
        name = f"single-{size}{'-high' if high else ''}"
        if name not in self.formats:
            channels = {"48000": size * 2, "96000": size} if high else {"44100": size, "48000": size}
            self.formats[name] = Format(id=name, channels=Table(channels), one_way=True, pass_=("audio", "clock"))
        return name


def rates(plan: Plan) -> tuple[int, int | str]:
    """Return the rate of the house and of the guest in Hz."""
    house = 96000 if plan.wants("double-rate") else 48000
    return house, "48000000/1001" if plan.wants("leader") else 48000


def build_rig(plan: Plan) -> Rig:
    """Return the rig of a plan."""
    shelf = _Shelf(plan)
    links: list[Link] = []
    spoken: dict[str, set[str]] = {}
    for chain in plan.chains.values():
        links.extend(_chain_links(shelf, chain))
    for edge in plan.edges:
        links.extend(_edge_links(shelf, edge))
    for link in links:
        for end in link.join:
            spoken.setdefault(end, set()).add(link.format)
    devices: dict[str, Device] = {}
    for node in plan.nodes.values():
        kind = _desk_type(shelf, node, spoken)
        devices[node.id] = Device(id=node.id, type=kind, domain=_domain(plan, node.guest))
    for chain in plan.chains.values():
        for number, box in enumerate(chain.boxes):
            kind = _box_type(shelf, chain, number, spoken)
            devices[box.id] = Device(id=box.id, type=kind, domain=_domain(plan, plan.nodes[chain.home].guest))
    for edge in plan.edges:
        if edge.converter:
            devices[edge.converter] = _converter(shelf, edge, spoken)
            plan.seen.add("converter")
    _note(plan, shelf)
    return Rig(
        name="planted",
        domains=Table(_domains(plan, shelf)),
        formats=Table(shelf.formats),
        types=Table(shelf.types),
        devices=Table(devices),
        links=tuple(links),
    )


def _note(plan: Plan, shelf: _Shelf) -> None:
    plan.seen.update({"double-rate"} if shelf.rate == 96000 else ())
    plan.seen.update({"formats"} if len(shelf.formats) > 2 else ())
    plan.seen.update({"one-way"} if any(row.one_way for row in shelf.formats.values()) else ())
    plan.seen.update(node.klass for node in plan.nodes.values())
    plan.seen.update({"short-runs"} if any(node.short for node in plan.nodes.values()) else ())
    for chain in plan.chains.values():
        for box in chain.boxes:
            plan.seen.update((f"box-{box.inputs}", f"phantom-{box.phantom_by}"))


def _domain(plan: Plan, guest: bool) -> str:
    if not any(node.guest for node in plan.nodes.values()):
        return ""
    return "guest" if guest else "house"


def _domains(plan: Plan, shelf: _Shelf) -> dict[str, Domain]:
    fixed = plan.wants("leader")
    plan.seen.update({"leader"} if fixed else ())
    leader = "DESK1" if fixed else ""
    if not _domain(plan, False):
        return {"main": Domain(id="main", rate=shelf.rate, leader=leader)}
    guest = next(key for key, node in plan.nodes.items() if node.guest)
    return {
        "house": Domain(id="house", rate=shelf.rate, leader=leader),
        "guest": Domain(id="guest", rate=shelf.guest_rate, leader=guest if fixed else ""),
    }


# links


def _chain_links(shelf: _Shelf, chain: Chain) -> list[Link]:
    plan = shelf.plan
    guest = plan.nodes[chain.home].guest
    up, down = len(chain.sockets()), max(len(chain.lines()), capacity(plan, plan.ways[chain.home, chain.id]))
    first = chain.boxes[0]
    links = [
        Link(id=f"K-{first.id}", join=(f"{first.id}.main", f"{chain.home}.{chain.home_port}"), format=shelf.both(up, down, guest))
    ]
    if chain.mirror:
        links.append(
            Link(
                id=f"M-{first.id}",
                join=(f"{first.id}.mirror", f"{chain.mirror}.{chain.mirror_port}"),
                format=shelf.both(chain.mirror_carries, chain.mirror_carries, guest),
            )
        )
    for box in chain.boxes[1:]:
        links.append(
            Link(id=f"C-{box.id}", join=(f"{box.id}.main", f"{first.id}.thru"), format=shelf.both(box.inputs, box.outputs, guest))
        )
    return links


def _edge_links(shelf: _Shelf, edge: Any) -> list[Link]:
    plan = shelf.plan
    upper, lower = plan.nodes[edge.upper], plan.nodes[edge.lower]
    out_upper, in_lower, in_upper, out_lower = edge.ports
    there = capacity(plan, plan.ways[upper.id, lower.id])
    back = capacity(plan, plan.ways[lower.id, upper.id])
    key = f"T-{lower.id}"
    if edge.converter:
        return [
            Link(
                id=f"{key}-house", join=(f"{upper.id}.{out_upper}", f"{edge.converter}.a"), format=shelf.both(there, back, False)
            ),
            Link(id=f"{key}-guest", join=(f"{edge.converter}.b", f"{lower.id}.{in_lower}"), format=shelf.both(there, back, True)),
        ]
    if edge.one_way:
        return [
            Link(
                id=f"{key}-there",
                join=(f"{upper.id}.{out_upper}", f"{lower.id}.{in_lower}"),
                format=shelf.single(there, lower.guest),
            ),
            Link(
                id=f"{key}-back",
                join=(f"{lower.id}.{out_lower}", f"{upper.id}.{in_upper}"),
                format=shelf.single(back, lower.guest),
            ),
        ]
    return [Link(id=key, join=(f"{upper.id}.{out_upper}", f"{lower.id}.{in_lower}"), format=shelf.both(there, back, lower.guest))]


# types


def _preamp(by: int, doors: tuple[str, ...] = ("local", "port")) -> dict[str, Any]:
    return {
        "pre": {
            "gain_db": [-6, 60],
            "step_db": 1,
            "full_scale_dbu": FULL_SCALE_DBU,
            "phantom_by": by,
            "owner_by": "device",
            "doors": doors,
        }
    }


def _box_type(shelf: _Shelf, chain: Chain, number: int, spoken: dict[str, set[str]]) -> str:
    box = chain.boxes[number]
    behind = chain.boxes[1:] if number == 0 else []
    select: list[dict[str, Any]] = [
        {"into": f"main.out[1-{box.inputs}]", "wired": "mic"},
        {"into": "line", "wired": f"main.in[1-{box.outputs}]"},
    ]
    ports: dict[str, Any] = {"main": {"speaks": sorted(spoken[f"{box.id}.main"])}}
    mirrored = number == 0 and bool(chain.mirror)
    if mirrored:
        ports["mirror"] = {
            "speaks": sorted(spoken[f"{box.id}.mirror"]),
            "slots": {"in": 0, "out": shelf.table(len(chain.sockets()))},
            "pass": ["audio", "clock"],
        }
        select.append({"into": f"mirror.out[1-{box.inputs}]", "wired": "mic"})
    for other in behind:
        ports["thru"] = {"speaks": sorted(spoken[f"{box.id}.thru"])}
        run = f"[{box.inputs + 1}-{box.inputs + other.inputs}]"
        select.append({"into": f"main.out{run}", "wired": f"thru.in[1-{other.inputs}]"})
        select.append(
            {"into": f"thru.out[1-{other.outputs}]", "wired": f"main.in[{box.outputs + 1}-{box.outputs + other.outputs}]"}
        )
        if mirrored:
            select.append({"into": f"mirror.out{run}", "wired": f"thru.in[1-{other.inputs}]"})
    name = f"box-{box.id.lower()}"
    banks = {
        "mic": {"slots": box.inputs, "socket": "in", "preamp": "pre", "level": "any"},
        "line": {"slots": box.outputs, "socket": "out", "level": "line"},
    }
    shelf.types[name] = build(
        Type,
        {
            "id": name,
            "role": "box",
            "banks": banks,
            "ports": ports,
            "select": select,
            "preamps": _preamp(box.phantom_by),
            "passes_control": bool(behind),
        },
    )
    return name


def _desk_type(shelf: _Shelf, node: Node, spoken: dict[str, set[str]]) -> str:
    plan = shelf.plan
    banks: dict[str, Any] = {node.lands: _channels(shelf, node)}
    if node.mic:
        banks["mic"] = {"slots": node.mic, "socket": "in", "preamp": "pre", "level": "any"}
    if not node.recorder:
        banks["talk"] = {"slots": 1, "socket": "in", "only_for": "talkback"}
        banks["mix"] = {
            "slots": max(node.mixes.values(), default=0) + 4,
            "does": "sum",
            "of": ["ch"],
            "taps": {"pre": ["processing"], "post": ["processing", "mute", "fader"]},
        }
        banks["line"] = {"slots": len(node.lines) + 4, "socket": "out", "level": "line"}
    if node.klass == "two-step":
        banks["intake"] = {"slots": (len(node.taken) + 1) * plan.block + (plan.block // 2 if node.short else 0)}
    if node.resend == "blocks":
        banks["out"] = {"slots": (-(-len(node.out) // plan.block) + 1) * plan.block}
    ports = {name: {"speaks": sorted(spoken[f"{node.id}.{name}"])} for name in node.ports}
    name = f"kind-{node.id.lower()}"
    shelf.types[name] = build(
        Type,
        {
            "id": name,
            "role": "recorder" if node.recorder else "desk",
            "banks": banks,
            "ports": ports,
            "select": _rows(plan, node),
            "preamps": _preamp(1, ("local",)) if node.mic else {},
        },
    )
    return name


def _channels(shelf: _Shelf, node: Node) -> dict[str, Any]:
    size = node.size or shelf.plan.block
    if node.recorder:
        return {"slots": shelf.table(size, node.guest), "ends": "record"}
    return {
        "slots": shelf.table(size, node.guest),
        "does": "process",
        "trim_db": list(TRIMS[node.klass]),
        "taps": {"in": [], "post": ["trim", "processing", "mute", "fader"]},
    }


def _rows(plan: Plan, node: Node) -> list[dict[str, Any]]:
    arriving = [f"{name}.in" for name in node.ports]
    local = ["mic"] if node.mic else []
    rows: list[dict[str, Any]] = []
    if node.klass == "two-step":
        rows.append({"into": "intake", "from": [*local, *arriving], "by": plan.block})
        rows.append({"into": "ch", "from": ["intake", "talk"]})
    elif node.klass == "block":
        rows.append({"into": node.lands, "from": [*arriving, *local], "by": plan.block})
    elif node.klass == "slots":
        rows.append({"into": node.lands, "from": [*arriving, *local, *(["talk"] if not node.recorder else [])]})
    else:
        rows.extend(_wired_rows(plan, node))
    if node.recorder:
        return rows
    rows.append({"into": "line", "from": ["mix", "talk"]})
    if node.resend == "blocks":
        rows.append({"into": "out", "from": ["mix", "talk"]})
    for name in node.ports:
        others = [bank for bank in arriving if bank != f"{name}.in"]
        if node.resend == "blocks":
            rows.append({"into": f"{name}.out", "from": ["out", *local, *others], "by": plan.block})
        elif node.resend == "slots":
            rows.append({"into": f"{name}.out", "from": [*others, *local, "mix", "talk"]})
        else:
            rows.append({"into": f"{name}.out", "from": ["mix", "talk"]})
    return rows


def _wired_rows(plan: Plan, node: Node) -> list[dict[str, Any]]:
    size = primary_size(plan, node)
    run = f"[1-{min(size, node.size or plan.block)}]"
    rows = [{"into": f"{node.lands}{run}", "wired": f"{node.primary}{run}"}]
    if node.mic and node.size > size:
        rows.append({"into": f"{node.lands}[{size + 1}-{node.size}]", "wired": f"mic[1-{node.size - size}]"})
    return rows


def _converter(shelf: _Shelf, edge: Any, spoken: dict[str, set[str]]) -> Device:
    shelf.types["converter"] = build(
        Type,
        {
            "id": "converter",
            "role": "rate-converter",
            "clocks": ("one", "two"),
            "can_lead": False,
            "ports": {
                "a": {"speaks": sorted(spoken[f"{edge.converter}.a"]), "clock": "one"},
                "b": {"speaks": sorted(spoken[f"{edge.converter}.b"]), "clock": "two"},
            },
            "select": (
                {"into": "b.out", "wired": "a.in", "converts": True, "latency_ms": 0.8},
                {"into": "a.out", "wired": "b.in", "converts": True, "latency_ms": 0.8},
            ),
        },
    )
    return Device(id=edge.converter, type="converter", clocks=Table({"one": "house", "two": "guest"}))
