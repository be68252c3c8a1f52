"""One period's diagram of devices and links as a page: all of them, or those on the ways of one position.

Comes in: a `View`, a position.  Goes out: a diagram `Page`.  Next: `patchloom.drawing`.

Channels used are those a delivered leg passes; channels there are the least of sending side, format and receiving
side at the rate of the domain.  On the page of a position only what it hears and what it makes is counted.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.address import parse
from patchloom.model.base import at_rate, rate_of
from patchloom.model.patch import Route
from patchloom.model.rig import Device, Format, Link, Port
from patchloom.pages import Diagram, Edge, Node, Page, View, cautions, list_id
from patchloom.pages.lines import touching

__all__ = ["links_page", "position_page"]

_LAYERS = {
    "box": 0,
    "split": 0,
    "multicore": 0,
    "transmitter": 3,
    "loudspeaker-line": 3,
    "amplifier": 3,
    "recorder": 3,
    "personal-mixer": 3,
    "desk": 2,
    "converter": 1,
    "rate-converter": 1,
    "network": 1,
    "comms": 2,
}


def links_page(view: View) -> Page:
    """Return the signal diagram of one period."""
    edges = tuple(_edge(view, link, view.setting.routes) for link in view.rig.links if len(link.join) == 2)
    joined = {end for edge in edges for end in (edge.from_, edge.to)}
    nodes = tuple(_node(view, device) for device in view.rig.devices.values() if device.id in joined or _in_use(view, device.id))
    apart = [device for device in view.rig.devices if device not in {node.id for node in nodes}]
    return Page(
        kind="diagram",
        title="Signal diagram",
        subject="whole",
        subject_name=view.say("everybody's"),
        period=view.period,
        period_name=view.period_name,
        about="Devices and links. Channels: used of those there, in each direction.",
        diagram=Diagram(nodes=nodes, edges=edges),
        notes=tuple(_notes(view, apart)),
        cautions=cautions(["hearing"]),
        touches=(*view.rig.devices, *(link.id for link in view.rig.links)),
    )


def position_page(view: View, position: str) -> Page | None:
    """Return the diagram of what one position hears and makes; None where nothing of it leaves a device."""
    lists = {list_id(row) for row in view.show.lists if row.position == position}
    made = {feed.id for feed in view.show.feeds if feed.mixed_at == position}
    routes = tuple(row for row in view.setting.routes if row.to in lists or row.leg.split(".")[0] in made)
    passed = {place.device for row in routes for place in row.hops}
    edges = tuple(_edge(view, link, routes) for link in view.rig.links if len(link.join) == 2 and _passed(view, link, routes))
    if not edges:
        return None
    return Page(
        kind="diagram",
        title="Signal diagram",
        subject=position,
        subject_name=view.position_name(position),
        position=position,
        period=view.period,
        period_name=view.period_name,
        about="What this position hears, and the way of the mixes it makes. Channels: used by it, of those there.",
        diagram=Diagram(nodes=tuple(_node(view, row) for row in view.rig.devices.values() if row.id in passed), edges=edges),
        notes=(view.say(_SIGNS),),
        cautions=cautions(["hearing"]),
        touches=touching(view, [row.leg for row in routes], position, *sorted(lists), *(edge.id for edge in edges)),
    )


def _passed(view: View, link: Link, routes: tuple[Route, ...]) -> bool:
    first, second = link.join
    return bool(_used(view, link, first, second, routes) or _used(view, link, second, first, routes))


_SIGNS = "Audio arriving does not mean that control or clock does: each has its own sign at the end where it arrives."


def _notes(view: View, apart: list[str]) -> Iterator[str]:
    yield view.say(_SIGNS)
    if apart:
        yield view.say("Not drawn, nothing joined to them: {devices}.", devices=", ".join(apart))


def _in_use(view: View, device: str) -> bool:
    return any(place.device == device for route in view.setting.routes for place in route.hops)


def _node(view: View, device: Device) -> Node:
    kind = view.type_of(device.id)
    lines = [device.id] if device.name and device.name != device.id else []
    people = [view.position_name(key) for key in view.positions() if view.show.desk_of(key) == device.id]
    if people:
        lines.append(view.say("for {people}", people=", ".join(people)))
    place = device.place
    if place is not None and (place.zone or place.note):
        zone = view.show.stage.zones.get(place.zone) if view.show.stage else None
        lines.append(view.say("at {place}", place=(zone.name or zone.id) if zone else place.zone or place.note))
    lines += _clock_lines(view, device.id)
    marks = [
        *(["leader"] if any(row.leader == device.id for row in view.setting.clock) else []),
        *(["guest"] if device.belongs_to not in ("", "house") else []),
    ]
    return Node(
        id=device.id,
        label=device.name or device.id,
        lines=tuple(lines),
        kind=kind.role,
        layer=_LAYERS.get(kind.role, 1),
        marks=tuple(marks),
    )


def _clock_lines(view: View, device: str) -> Iterator[str]:
    """Yield what the device does about clock: leads, or follows by which link."""
    several = len(view.setting.clock) > 1
    for domain in view.setting.clock:
        name = f" {domain.id}" if several else ""
        if domain.leader == device:
            yield view.say("clock{domain}: LEADER, {rate}", domain=name, rate=_rate(domain.rate))
        for row in domain.followers:
            if row.device == device:
                section = f" ({row.section})" if len(view.rig.sections(device)) > 1 else ""
                yield view.say("clock{domain}: from {device} by {link}", domain=name + section, device=row.from_, link=row.link)


def _rate(rate: int | str) -> str:
    """Return a rate in kHz, to the hertz; the clock page has it exactly."""
    return f"{float(rate_of(rate)) / 1000:.5g} kHz"


def _edge(view: View, link: Link, routes: tuple[Route, ...]) -> Edge:
    """Return a link with what it carries each way, and where control and clock arrive."""
    first, second = link.join
    one, two = parse(first).device, parse(second).device
    spoken = view.rig.formats.get(link.format)
    there, back = _room(view, link, spoken)
    ahead, behind = _used(view, link, first, second, routes), _used(view, link, second, first, routes)
    label = " · ".join(words for words in (link.id, link.format or view.say("analogue")) if words)
    lines = [link.name] if link.name and link.name != link.id else []
    ways = ((one, two, ahead, there), (two, one, behind, back))
    lines += [
        view.say("{start} → {end}: {used} of {most}", start=start, end=end, used=used, most=most)
        for start, end, used, most in ways
        if most
    ]
    lines += [] if there or back else [view.say("no audio")]
    lines += list(_control_lines(view, link, one, two))
    lines += _cables(view, link)
    arrows = "both" if there and back else "to" if there else "from" if back else "none"
    return Edge(
        id=link.id,
        from_=one,
        to=two,
        from_port=first.split(".", 1)[1],
        to_port=second.split(".", 1)[1],
        label=label,
        lines=tuple(lines),
        carries=tuple(_carries(view, link, one, two)),
        kind=_kind(link, spoken),
        arrows=arrows,
    )


def _kind(link: Link, spoken: Format | None) -> str:
    """Return what kind of line a link is drawn as: audio, analogue, or clock or control where it carries nothing else."""
    if spoken is None or not link.format:
        return "analogue"
    carried = link.pass_ if link.pass_ is not None else spoken.pass_
    if carried and "audio" not in carried:
        return "clock" if "clock" in carried else "control"
    return "audio" if spoken.digital else "analogue"


def _room(view: View, link: Link, spoken: Format | None) -> tuple[int, int]:
    """Return how many channels the link has from its first end to its second, and back."""
    spans = [parse(end) for end in link.join]
    if spans[0].first is not None:
        count = min((span.last or 0) - (span.first or 0) + 1 for span in spans)
        bank = view.bank(spans[0].device, spans[0].bank or "")
        return (0, count) if bank is not None and bank.socket == "in" else (count, 0)
    ports = [view.type_of(span.device).ports.get(span.bank or "") for span in spans]
    if spoken is None or any(port is None for port in ports):
        return (0, 0)
    rate = view.rig.domain_of(spans[0].device, ports[0].clock).hertz  # type: ignore[union-attr]
    carried = spoken.each_way(rate)
    if carried is None:
        return (0, 0)
    turned = ports[0].end == "second" or ports[1].end == "first"  # type: ignore[union-attr]
    ahead, behind = (carried[1], carried[0]) if turned else carried
    return (
        min(ahead, _side(ports[0], "out", rate, ahead), _side(ports[1], "in", rate, ahead)),
        min(behind, _side(ports[1], "out", rate, behind), _side(ports[0], "in", rate, behind)),
    )


def _side(port: Port | None, way: str, rate: object, most: int) -> int:
    """Return the size of one side of a port at a rate; `most` where the port says nothing."""
    if port is None or port.ways not in ("both", way):
        return 0
    size = port.slots
    if (isinstance(size, dict) and way in size) or (isinstance(size, dict) and ("in" in size or "out" in size)):
        size = size.get(way)
    found = at_rate(size, rate) if size is not None else most  # type: ignore[arg-type]
    return int(found or 0)


def _used(view: View, link: Link, start: str, end: str, routes: tuple[Route, ...]) -> int:
    """Return how many slots of a link legs pass, one way."""
    out, into = parse(start), parse(end)
    used = set()
    for route in routes:
        for here, there in zip(route.hops, route.hops[1:], strict=False):
            if here.device != out.device or there.device != into.device:
                continue
            ported = out.first is None and here.bank == f"{out.bank}.out" and there.bank == f"{into.bank}.in"
            if ported or (out.first is not None and out.holds(here) and into.holds(there)):
                used.add(here.number)
    return len(used)


def _control_lines(view: View, link: Link, one: str, two: str) -> Iterator[str]:
    ways = sorted({way for row in view.setting.owners for way in _ways(row.path, link.id)})
    for start, end in ways:
        yield view.say("control {start} → {end}", start=start, end=end)


def _ways(path: tuple[str, ...], link: str) -> Iterator[tuple[str, str]]:
    """Yield the way control takes over a link: from the owner's desk towards the preamp."""
    for index in range(1, len(path) - 1):
        if path[index] == link:
            yield path[index - 1], path[index + 1]


def _carries(view: View, link: Link, one: str, two: str) -> Iterator[str]:
    """Yield where control and clock arrive over a link, as set."""
    ends = {two: "to", one: "from"}
    for _start, end in sorted({way for row in view.setting.owners for way in _ways(row.path, link.id)}):
        if end in ends:
            yield f"control-{ends[end]}"
    for domain in view.setting.clock:
        for row in domain.followers:
            if row.link == link.id and row.device in ends:
                yield f"clock-{ends[row.device]}"


def _cables(view: View, link: Link) -> Iterator[str]:
    """Yield the cables in words: medium and length; more than one is redundancy."""
    words = [" ".join(part for part in (cable.medium, view.options.length(cable.length_m)) if part) for cable in link.cables]
    if len(words) > 1:
        what = "; ".join(word for word in words if word)
        yield view.say("{count} cables, redundant: {what}", count=len(words), what=what)
    elif words and words[0]:
        yield words[0]
