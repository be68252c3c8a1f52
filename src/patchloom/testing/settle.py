"""The hidden patch written down: plugs, choices, routes, clock, owners, gains, phantom.

Comes in: a `Plan`, its `Rig`, what was `Asked`.  Goes out: a `Patch` a judge can be tried on.  Next: `generate`.
"""

from __future__ import annotations

from patchloom.address import Slot, Span
from patchloom.model.base import Table
from patchloom.model.patch import ClockDomain, Follower, GainSet, Ownership, Patch, PhantomSet, Route, Selection, Setting
from patchloom.model.rig import Rig
from patchloom.testing.flow import Flow
from patchloom.testing.lists import Drawn, choose
from patchloom.testing.plan import Chain, Pick, Plan, Signal
from patchloom.testing.show import Act, Asked

__all__ = ["settle"]


def settle(plan: Plan, rig: Rig, asked: Asked, lists: list[Drawn]) -> Patch:
    """Return the hidden patch, one setting per act; raises AssertionError where it does not deliver what was asked."""
    from patchloom.document import digest
    from patchloom.model.base import dump

    settings = tuple(_setting(plan, rig, asked, lists, act) for act in asked.acts)
    return Patch(rig=digest(dump(rig)), show=digest(dump(asked.show)), made_by="planted", settings=settings)


def _setting(plan: Plan, rig: Rig, asked: Asked, lists: list[Drawn], act: Act) -> Setting:
    plugs = _plugs(plan, act)
    mixes = {leg: Slot(node.id, "mix", number) for node in plan.nodes.values() for leg, number in node.mixes.items()}
    idle = _idle(lists, act)
    picks = [pick for pick in plan.picks if (pick.device, pick.bank) not in idle]
    landed: list[tuple[str, int, str, Slot]] = []
    for drawn in lists:
        more, places = choose(plan, drawn, act.cast)
        picks.extend(more)
        landed.extend((drawn.node.position, entry, _played(plan, act, leg), slot) for entry, leg, slot in places)
    for signal in plan.feeds.values():
        landed.extend(_home(plan, signal))
    selections = tuple(_selection(plan, rig, row) for row in _merged(plan, picks))
    bare = Setting(
        period=act.id,
        plugs=dict(sorted(plugs.items())),
        mixes=dict(sorted(mixes.items())),
        selections=tuple(sorted(selections, key=lambda row: (row.into, row.from_))),
    )
    routes = _routes(rig, bare, landed)
    return Setting(
        period=act.id,
        plugs=bare.plugs,
        mixes=bare.mixes,
        selections=bare.selections,
        routes=routes,
        clock=_clock(rig),
        owners=tuple(_owners(plan, plugs)),
        gains=tuple(_gains(plan, asked, act, plugs)),
        phantom=tuple(_phantom(plan, rig, act, plugs)),
        spares=tuple(asked.spares),
    )


def _idle(lists: list[Drawn], act: Act) -> set[tuple[str, str]]:
    """Return the banks that take blocks for a list of which nothing is played in an act."""
    nodes = [drawn.node for drawn in lists if not any(drawn.wants(act.cast))]
    return {(node.id, bank) for node in nodes for bank in ("intake", node.lands)}


def _played(plan: Plan, act: Act, leg: str) -> str:
    signal = plan.signal(leg)
    part = act.cast.get(signal.id, signal.id) or signal.id
    return part + leg[len(signal.id) :]


def _plugs(plan: Plan, act: Act) -> dict[str, Slot]:
    plugs = {}
    for signal in plan.sources.values():
        if act.cast[signal.id] is None:
            continue
        for step, leg in enumerate(signal.legs()):
            if signal.origin == "chain":
                box, number = plan.chains[signal.owner].sockets()[signal.first - 1 + step]
                place = Slot(box.id, "mic", number)
            else:
                place = Slot(signal.owner, signal.origin, signal.first + step)
            plugs[_played(plan, act, leg)] = place
    return plugs


def _home(plan: Plan, signal: Signal) -> list[tuple[str, int, str, Slot]]:
    found = []
    for number, place in enumerate(signal.lines, 1):
        for leg in signal.legs():
            if place == signal.owner:
                slot = Slot(place, "line", plan.nodes[place].lines[leg])
            else:
                chain: Chain = plan.chains[place]
                box, line = chain.lines()[(plan.ways[chain.home, place].content or []).index(leg)]
                slot = Slot(box.id, "line", line)
            found.append((signal.id, number, leg, slot))
    return found


def _merged(plan: Plan, picks: list[Pick]) -> list[Pick]:
    """Return single choices that run in step as one."""
    rows: list[Pick] = []
    for pick in sorted(picks, key=lambda row: (row.device, row.bank, row.first)):
        last = rows[-1] if rows else None
        if (
            last is not None
            and _single(plan, last)
            and _single(plan, pick)
            and (last.device, last.bank, last.of_bank, last.tap) == (pick.device, pick.bank, pick.of_bank, pick.tap)
            and (last.first + last.count, last.of_first + last.count) == (pick.first, pick.of_first)
        ):
            rows[-1] = Pick(last.device, last.bank, last.first, last.of_bank, last.of_first, last.count + 1, last.tap)
        else:
            rows.append(pick)
    return rows


def _single(plan: Plan, pick: Pick) -> bool:
    node = plan.nodes[pick.device]
    if pick.bank == node.lands:
        return node.klass != "block"
    return pick.bank in ("line", "out") or (pick.bank != "intake" and node.resend != "blocks")


def _selection(plan: Plan, rig: Rig, pick: Pick) -> Selection:
    into = Span(pick.device, pick.bank, pick.first, pick.first + pick.count - 1)
    return Selection(
        into=into, from_=Span(pick.device, pick.of_bank, pick.of_first, pick.of_first + pick.count - 1), tap=pick.tap
    )


def _routes(rig: Rig, bare: Setting, landed: list[tuple[str, int, str, Slot]]) -> tuple[Route, ...]:
    flow = Flow(rig, bare)
    return tuple(_route(flow, *row) for row in landed)


def _route(flow: Flow, to: str, entry: int, leg: str, place: Slot) -> Route:
    held, hops = flow.at(place)
    assert held == leg, f"{to} should have {leg} at {place} and has {held or 'nothing'}, over {hops}"
    return Route(leg=leg, to=to, entry=entry, hops=tuple(hops))


# clock


def _clock(rig: Rig) -> tuple[ClockDomain, ...]:
    return tuple(_domain(rig, key) for key in rig.domains)


def _domain(rig: Rig, key: str) -> ClockDomain:
    leader = rig.domains[key].leader or next(
        name for name in sorted(rig.devices) if rig.type_of(name).can_lead and rig.domain_of(name).id == key
    )
    followers: list[Follower] = []
    depth = {leader: 0}
    todo = [leader]
    for here in todo:
        for link in rig.links:
            for number, end in enumerate(link.join):
                device = end.split(".")[0]
                other, other_port = link.join[1 - number].split(".")
                section = rig.type_of(other).ports[other_port].clock
                if device != here or other in depth or rig.domain_of(other, section).id != key or not _ticks(rig, link, number):
                    continue
                depth[other] = depth[here] + 1
                todo.append(other)
                followers.append(
                    Follower(device=other, section=section, port=other_port, link=link.id, from_=here, depth=depth[other])
                )
    return ClockDomain(id=key, rate=rig.domains[key].rate, leader=leader, followers=tuple(followers))


def _ticks(rig: Rig, link: object, sender: int) -> bool:
    spoken = rig.formats[link.format]  # type: ignore[attr-defined]
    if spoken.one_way and sender == 1:
        return False
    ends = [end.split(".") for end in link.join]  # type: ignore[attr-defined]
    (here, out), (there, into) = ends[sender], ends[1 - sender]
    return rig.type_of(here).ports[out].passes("out", "clock", spoken) and rig.type_of(there).ports[into].passes(
        "in", "clock", spoken
    )


# preamps


def _owners(plan: Plan, plugs: dict[str, Slot]) -> list[Ownership]:
    used = {place.device for place in plugs.values() if place.bank == "mic"}
    rows = []
    for chain in plan.chains.values():
        owner = plan.nodes[chain.home]
        path = [owner.id, f"K-{chain.id}", chain.id]
        for box in chain.boxes:
            way = path if box is chain.boxes[0] else [*path, f"C-{box.id}", box.id]
            if box.id in used:
                rows.append(
                    Ownership(preamps=Span(box.id, "mic", 1, box.inputs), owner=owner.position, door="port", path=tuple(way))
                )
    for node in plan.nodes.values():
        if node.id in used:
            rows.append(Ownership(preamps=Span(node.id, "mic", 1, node.mic), owner=node.position, door="local", path=(node.id,)))
    return sorted(rows, key=lambda row: row.preamps)


def _gains(plan: Plan, asked: Asked, act: Act, plugs: dict[str, Slot]) -> list[GainSet]:
    sources = {source.id: source for source in asked.show.sources}
    rows = []
    for leg, place in sorted(plugs.items(), key=lambda row: row[1]):
        source = sources[leg.partition(".")[0]]
        gain = asked.gains.get(source.id)
        heard = _hearing(plan, asked, leg)
        if gain is not None and heard:
            trims = {position: want - gain for position, want in source.want_db.items() if position in heard}
            if trims:
                rows.append(GainSet(leg=leg, at=place, gain_db=gain, trims_db=Table(trims)))
    return rows


def _hearing(plan: Plan, asked: Asked, leg: str) -> set[str]:
    """Return the positions a leg is delivered to: those that want it, less those that take only its other leg."""
    signal = plan.sources[asked.parts[leg.partition(".")[0]]]
    first = not signal.names or leg.endswith(f".{signal.names[0]}")
    return {plan.nodes[key].position for key in signal.wanted if first or key not in signal.folded}


def _phantom(plan: Plan, rig: Rig, act: Act, plugs: dict[str, Slot]) -> list[PhantomSet]:
    groups: dict[Span, list[str]] = {}
    for leg, place in sorted(plugs.items(), key=lambda row: row[1]):
        if place.bank == "mic":
            by = rig.type_of(place.device).preamps["pre"].phantom_by or 1
            first = (place.number - 1) // by * by + 1
            groups.setdefault(Span(place.device, "mic", first, first + by - 1), []).append(leg)
    rows = []
    for span, legs in sorted(groups.items()):
        state = {leg: _state(plan, act, leg) for leg in legs}
        need = tuple(leg for leg in legs if state[leg] == "need")
        never = tuple(leg for leg in legs if state[leg] == "never")
        unknown = tuple(leg for leg in legs if state[leg] == "unknown")
        rows.append(PhantomSet(at=span, on=bool(need), because=need or never, unknown=unknown))
    return rows


def _state(plan: Plan, act: Act, leg: str) -> str:
    part = leg.partition(".")[0]
    role = next(key for key, player in act.cast.items() if player == part)
    return plan.sources[role].phantom
