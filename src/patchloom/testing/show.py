"""A show from a plan: what the hidden patch delivers, asked for.

Comes in: a `Plan`, its lists, its acts.  Goes out: a `Show`.  Next: `settle` writes the hidden patch down.
Gains are drawn first, as whole decibels; wanted totals and peaks are asked for afterwards, a margin inside every trim.
"""

from __future__ import annotations

import attrs

from patchloom.model.base import Table, dump
from patchloom.model.rig import Rig
from patchloom.model.show import Destination, Feed, Owner, Period, Plug, Position, Show, Source, Spare, Wishes
from patchloom.testing.lists import Cast, Drawn
from patchloom.testing.parts import FULL_SCALE_DBU, TRIMS
from patchloom.testing.plan import Plan, Signal

__all__ = ["Act", "Asked", "ask"]

_MARGIN_DB = 3
_RESERVE_DB = 6


@attrs.define
class Act:
    """One act: its name, who plays whose part, what is in use."""

    id: str
    cast: Cast


@attrs.define
class Asked:
    """The show, and what only the hidden patch knows of it."""

    show: Show
    acts: list[Act]
    gains: dict[str, int]
    """Source to the gain in dB it was drawn with."""
    spares: list[str]
    parts: dict[str, str]
    """Source to the one whose sockets it plugs into."""


def ask(plan: Plan, rig: Rig, lists: list[Drawn]) -> Asked:
    """Return the show of a plan."""
    acts, parts = _acts(plan)
    gains: dict[str, int] = {}
    sources = [_source(plan, signal, signal.id, lists, gains) for signal in plan.sources.values()]
    sources += [_source(plan, plan.sources[of], key, lists, gains) for key, of in parts.items() if key != of]
    plugs = [row for source in sources for row in _plugs(plan, rig, plan.sources[parts[source.id]], source.id)]
    spares, wishes = _spares(plan)
    show = Show(
        name="planted",
        sources=tuple(sources),
        plug=tuple(plugs),
        lists=tuple(row.row(acts[0].cast) for row in lists),
        feeds=tuple(_feed(plan, signal, acts) for signal in plan.feeds.values()),
        owners=tuple(_owners(plan)),
        positions=Table(
            {node.position: Position(id=node.position, desk=node.id) for node in plan.nodes.values() if not node.recorder}
        ),
        periods=tuple(_period(plan, act, acts, lists) for act in acts if act.id),
        wishes=wishes,
    )
    return Asked(show, acts, gains, spares, parts)


# acts


def _acts(plan: Plan) -> tuple[list[Act], dict[str, str]]:
    """Return the acts and, for every source, whose sockets it has."""
    parts = {key: key for key in plan.sources}
    whole: Cast = {key: key for key in plan.sources}
    if not plan.wants("two-acts"):
        return [Act("", whole)], parts
    plan.seen.add("two-acts")
    second: Cast = dict(whole)
    for signal in list(plan.sources.values()):
        if signal.origin != "talk" and plan.rng.random() < 0.25:
            second[signal.id] = None
            if plan.rng.random() < 0.6:
                second[signal.id] = f"{signal.id}-next"
                parts[f"{signal.id}-next"] = signal.id
    return [Act("first", whole), Act("second", second)], parts


def _period(plan: Plan, act: Act, acts: list[Act], lists: list[Drawn]) -> Period:
    used = [part for part in act.cast.values() if part is not None]
    own = {}
    for drawn in lists:
        wants = drawn.wants(act.cast)
        if wants != drawn.wants(acts[0].cast):
            own[drawn.node.position] = [None if want is None else dump(want) for want in wants]
    return Period(id=act.id, uses=(*used, *plan.feeds), lists=Table(own))


# sources


def _source(plan: Plan, signal: Signal, key: str, lists: list[Drawn], gains: dict[str, int]) -> Source:
    rng = plan.rng
    source = Source(
        id=key, legs=signal.names, phantom=signal.phantom, kind={"mic": "playback", "talk": "talkback"}.get(signal.origin, "mic")
    )
    if signal.phantom in ("need", "never"):
        plan.seen.add("need-never")
    if not plan.wants("shared-gain") or signal.origin == "talk" or rng.random() < 0.3:
        return source
    wanted = {}
    gain = rng.randrange(0, 42)
    for drawn in lists:
        node = drawn.node
        if node.id in signal.wanted and not node.recorder and rng.random() < 0.8:
            low, high = TRIMS[node.klass]
            wanted[node.position] = gain + rng.randrange(low + _MARGIN_DB, high - _MARGIN_DB + 1)
    if not wanted:
        return source
    gains[key] = gain
    if len(wanted) > 1:
        plan.seen.add("shared-gain")
    peak = FULL_SCALE_DBU - _RESERVE_DB - gain - rng.randrange(0, 10)
    return attrs.evolve(source, want_db=Table(wanted), peak_dbu=peak)


def _plugs(plan: Plan, rig: Rig, signal: Signal, key: str) -> list[Plug]:
    rng = plan.rng
    if signal.origin == "talk":
        return [Plug(source=key, into=(rng.choice((f"{signal.owner}.talk", f"{signal.owner}.talk[1]")),))]
    legs = [f"{key}.{name}" for name in signal.names] or [key]
    sockets = [_socket(plan, signal, step) for step in range(len(legs))]
    kinds = [kind for kind in ("fixed", "range", "free") if plan.wants(f"{kind}-plugs")]
    kinds += ["choice"] if plan.wants("choice-of-boxes") and signal.origin == "chain" else []
    kind = rng.choice(kinds or ["fixed"])
    device = sockets[0][0]
    if kind == "fixed":
        plan.seen.add("fixed-plugs")
        return [Plug(source=leg, into=(f"{box}.mic[{number}]",)) for leg, (box, number) in zip(legs, sockets, strict=True)]
    if kind == "range":
        plan.seen.add("range-plugs")
        return [Plug(source=key, into=(_range(plan, rig, device, [number for _, number in sockets]),))]
    if kind == "choice":
        others = [box.id for chain in plan.chains.values() for box in chain.boxes if box.id != device]
        chosen = sorted([device, *rng.sample(others, min(len(others), rng.choice((1, 2))))])
        if len(chosen) > 1:
            plan.seen.add("choice-of-boxes")
            return [Plug(source=key, into=tuple(f"{box}.mic" for box in chosen))]
    plan.seen.add("free-plugs")
    return [Plug(source=key, into=(rng.choice((device, f"{device}.mic")),))]


def _socket(plan: Plan, signal: Signal, step: int) -> tuple[str, int]:
    if signal.origin != "chain":
        return signal.owner, signal.first + step
    box, number = plan.chains[signal.owner].sockets()[signal.first - 1 + step]
    return box.id, number


def _range(plan: Plan, rig: Rig, device: str, numbers: list[int]) -> str:
    size = int(rig.type_of(device).banks["mic"].slots)  # type: ignore[call-overload]
    low = max(1, min(numbers) - plan.rng.choice((0, 1, 4, 7)))
    high = min(size, max(numbers) + plan.rng.choice((0, 2, 5, 8)))
    return f"{device}.mic[{low}-{high}]"


# the rest


def _feed(plan: Plan, signal: Signal, acts: list[Act]) -> Feed:
    rng = plan.rng
    node = plan.nodes[signal.owner]
    always = [key for key in plan.sources if all(act.cast[key] == key for act in acts) and node.id in plan.sources[key].wanted]
    to = []
    for place in signal.lines:
        slots = _arrivals(plan, signal, place)
        device = slots[0][0]
        low, high = slots[0][1], slots[-1][1]
        run = f"[{low}-{high}]" if len(slots) > 1 else f"[{low}]"
        loose = rng.random() < 0.4
        to.append(Destination(at=(f"{device}.line" if loose else f"{device}.line{run}",)))
    first = min(node.mixes[leg] for leg in signal.legs())
    run = f"[{first}-{first + 1}]" if signal.names else f"[{first}]"
    return Feed(
        id=signal.id,
        legs=signal.names,
        mixed_at=node.position,
        to=tuple(to),
        of=tuple(always) if rng.random() < 0.5 else None,
        from_=rng.choice(("", f"{node.id}.mix", f"{node.id}.mix{run}")),
    )


def _arrivals(plan: Plan, signal: Signal, place: str) -> list[tuple[str, int]]:
    if place == signal.owner:
        return [(place, plan.nodes[place].lines[leg]) for leg in signal.legs()]
    chain = plan.chains[place]
    content = plan.ways[chain.home, place].content or []
    lines = chain.lines()
    found = [lines[content.index(leg)] for leg in signal.legs()]
    return [(box.id, number) for box, number in found]


def _owners(plan: Plan) -> list[Owner]:
    if not plan.wants("owners"):
        return []
    plan.seen.add("owners")
    return [
        Owner(preamps=tuple(f"{box.id}.mic" for box in chain.boxes), owner=plan.nodes[chain.home].position)
        for chain in plan.chains.values()
        if plan.rng.random() < 0.7
    ] or [
        Owner(preamps=(f"{box.id}.mic",), owner=plan.nodes[chain.home].position)
        for chain in list(plan.chains.values())[:1]
        for box in chain.boxes
    ]


def _spares(plan: Plan) -> tuple[list[str], Wishes | None]:
    """Return sockets that are free and already within reach of a position, and the wish for them."""
    if not plan.wants("spares"):
        return [], None
    kept: list[str] = []
    rows: list[Spare] = []
    for chain in plan.chains.values():
        node = plan.nodes[chain.home]
        used = {
            row.first + step
            for row in plan.sources.values()
            if (row.origin, row.owner) == ("chain", chain.id)
            for step in range(len(row.legs()))
        }
        near = [
            number
            for number, (box, _) in enumerate(chain.sockets(), 1)
            if number not in used and box is chain.boxes[0] and _reaches(plan, chain.home, f"{chain.home_port}.in", number)
        ]
        if near and plan.rng.random() < 0.7:
            count = plan.rng.randrange(1, min(4, len(near)) + 1)
            kept.extend(f"{chain.boxes[0].id}.mic[{number}]" for number in near[:count])
            rows.append(Spare(at=(f"{chain.boxes[0].id}.mic",), count=count, reaching=(node.position,)))
    if rows:
        plan.seen.add("spares")
    return kept, Wishes(spare=tuple(rows)) if rows else None


def _reaches(plan: Plan, key: str, bank: str, number: int) -> bool:
    node = plan.nodes[key]
    if node.klass in ("two-step", "block"):
        return (bank, (number - 1) // plan.block) in node.taken
    return node.klass == "slots" or (bank == node.primary and number <= node.size)
