"""Steps before any audio: ends muted, power, rate, clock, links, addresses, claims.

Comes in: a `Seat`.  Goes out: a `StepGroup` each, without steps where there is nothing to do.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.address import parse
from patchloom.model.rig import Link, Port
from patchloom.model.show import List
from patchloom.pages import Step, StepGroup
from patchloom.pages.cells import run
from patchloom_settings_checklist.seat import Seat

__all__ = ["addresses", "claims", "clock", "ends", "links", "power", "rate"]

_ENDS = {
    "loudspeaker": "loudspeakers and amplifiers off or muted",
    "ear": "ear packs off heads",
    "record": "recorder disarmed",
    "stream": "stream off air",
    "listen": "personal mixers turned down",
}
_KINDS = {"pa": "loudspeaker", "wedge": "loudspeaker", "ear": "ear", "record": "record", "stream": "stream"}


def ends(seat: Seat) -> StepGroup:
    """Return the ends to be muted before a route is touched."""
    kinds = [_KINDS[feed.kind] for feed in seat.feeds() if feed.kind in _KINDS]
    kinds += [bank.ends for row in seat.lists() if (bank := _bank_of(seat, row)) is not None and bank.ends]
    words = [text for kind, text in _ENDS.items() if kind in kinds]
    feeds = [seat.view.said(feed.id) for feed in seat.feeds() if feed.kind in ("pa", "wedge", "ear")]
    steps = [Step("Mute every output of this desk.", lines=tuple(feeds), caution="A change of route can pass full-level noise.")]
    if words:
        said = "; ".join(seat.view.say(text) for text in words)
        steps.append(Step(f"{said[0].upper()}{said[1:]}."))
    return StepGroup(
        "ends", "Mute the ends first", "A change of route can pass full-level noise.", tuple(steps if seat.positions else ())
    )


def _bank_of(seat: Seat, row: List):  # type: ignore[no-untyped-def]
    span = parse(row.at)
    return seat.view.bank(span.device, span.bank or "")


def power(seat: Seat) -> StepGroup:
    """Return the order of powering up what this desk is joined to: stage first, amplifiers last."""
    near = list(dict.fromkeys(parse(end).device for link in seat.view.links_of(seat.desk) for end in link.join))
    ranks = {
        "box": 0,
        "split": 0,
        "multicore": 0,
        "network": 1,
        "converter": 1,
        "rate-converter": 1,
        "desk": 3,
        "recorder": 4,
        "personal-mixer": 4,
        "transmitter": 5,
        "amplifier": 6,
        "loudspeaker-line": 6,
    }
    near = sorted(
        (key for key in near if key in seat.view.rig.devices and key != seat.desk),
        key=lambda key: ranks.get(seat.view.type_of(key).role, 4),
    )
    first = [key for key in near if ranks.get(seat.view.type_of(key).role, 4) < 3]
    after = [key for key in near if ranks.get(seat.view.type_of(key).role, 4) >= 3]
    words = [", ".join(first), seat.desk, ", ".join(after)]
    order = seat.view.say(", then ").join(word for word in words if word)
    text = seat.view.say("Power up in this order: {order}. Amplifiers last of all.", order=order)
    return StepGroup("power", "Power from the stage inward", "Down in reverse: amplifiers first.", (Step(text),) if near else ())


def rate(seat: Seat) -> StepGroup:
    """Return the sample rate of each clock section of the desk."""
    if not seat.view.type_of(seat.desk).digital:
        return StepGroup("rate", "Sample rate")
    steps = []
    for section in seat.view.rig.sections(seat.desk):
        domain = seat.view.rig.domain_of(seat.desk, section)
        named = seat.view.say(", section {section}", section=section) if len(seat.view.rig.sections(seat.desk)) > 1 else ""
        words = "Sample rate{section}: {rate} (domain {domain})."
        steps.append(Step(seat.view.say(words, section=named, rate=_hertz(domain.rate), domain=domain.id)))
    return StepGroup("rate", "Sample rate", "Changing it later mutes, re-locks, and on some desks clears routing.", tuple(steps))


def _hertz(rate: int | str) -> str:
    return (
        f"{rate} Hz"
        if "/" not in str(rate)
        else f"{rate} Hz ({float(int(str(rate).split('/')[0]) / int(str(rate).split('/')[1])):.3f} Hz)"
    )


def clock(seat: Seat) -> StepGroup:
    """Return clock source and fallback of the desk, and the word to wait for lock."""
    steps, say = [], seat.view.say
    for domain in seat.view.setting.clock:
        if domain.leader == seat.desk:
            locked = seat.view.rig.domains[domain.id].locked_to if domain.id in seat.view.rig.domains else ""
            source = say("follow {what}", what=locked) if locked else say("internal clock")
            steps.append(Step(say("{desk} LEADS domain {domain}: {source}.", desk=seat.desk, domain=domain.id, source=source)))
        for row in domain.followers:
            if row.device == seat.desk:
                section = say(", section {section}", section=row.section) if row.section else ""
                words = (
                    "{desk} FOLLOWS{section}: clock from port {port} (link {link}, from {other}). "
                    "Leader of domain {domain}: {leader}."
                )
                steps.append(
                    Step(
                        say(
                            words,
                            desk=seat.desk,
                            section=section,
                            port=row.port,
                            link=row.link,
                            other=row.from_,
                            domain=domain.id,
                            leader=domain.leader,
                        )
                    )
                )
        if steps and domain.fallback and (domain.leader == seat.desk or seat.desk in domain.fallback):
            words = "If {leader} is lost, these lead next, in order: {devices}."
            steps.append(Step(say(words, leader=domain.leader, devices=", ".join(domain.fallback))))
    if steps and seat.positions:
        steps.append(Step("Read \u201clocked\u201d here and on every device this desk hears before touching audio."))
    return StepGroup("clock", "Clock", "One leader; everybody else follows it.", tuple(steps))


def links(seat: Seat) -> StepGroup:
    """Return format, channels and framing of each link at the desk's ports."""
    return StepGroup(
        "links",
        "Links",
        "A wrong mode silently loses channels.",
        tuple(Step(_link(seat, link)) for link in seat.view.links_of(seat.desk) if _digital(seat, link)),
    )


def _digital(seat: Seat, link: Link) -> bool:
    spoken = seat.view.rig.formats.get(link.format)
    return spoken is not None and spoken.digital


def _link(seat: Seat, link: Link) -> str:
    side = 0 if parse(link.join[0]).device == seat.desk else 1
    port = parse(link.join[side])
    row: Port | None = seat.view.type_of(seat.desk).ports.get(port.bank or "")
    domain = seat.view.rig.domain_of(seat.desk, row.clock if row else "")
    each = seat.view.rig.formats[link.format].each_way(domain.hertz)
    framing = link.framing[min(side, len(link.framing) - 1)] if link.framing else ""
    out, back = (each if side == 0 else each[::-1]) if each else ("?", "?")
    label = next((cable.label for cable in link.cables if cable.label), "")
    say = seat.view.say
    words = (
        say("{desk} port {port}: {format}", desk=seat.desk, port=port.bank, format=link.format),
        say("{out} out, {back} in", out=out, back=back),
        say("framing {framing}", framing=framing) if framing else "",
        say("to {place}", place=link.join[1 - side]),
        say("cable {label}", label=label) if label else "",
        say("link {link}", link=link.id),
    )
    return ", ".join(word for word in words if word) + "."


def addresses(seat: Seat) -> StepGroup:
    """Return addresses of the desk and of the devices it claims."""
    keys = [seat.desk, *(key for key in seat.claimed() if key != seat.desk)]
    steps = [
        Step(
            seat.view.say(
                "{device}: address {address}.", device=seat.view.device_name(key), address=seat.view.device(key).address
            ),
            at=key,
        )
        for key in keys
        if seat.view.device(key).address
    ]
    return StepGroup(
        "addresses", "Addresses", "Two devices of one address: both vanish, or gains land on the wrong one.", tuple(steps)
    )


def claims(seat: Seat) -> StepGroup:
    """Return the preamps this desk claims, by which door and way, and whose gains win at that moment."""
    return StepGroup("claims", "Ownership of preamps", "Exactly one position moves each preamp.", tuple(_claims(seat)))


def _claims(seat: Seat) -> Iterator[Step]:
    """Yield one step for each device, position, door and way of control."""
    same: dict[tuple[str, str, str, tuple[str, ...]], list[str]] = {}
    for row in seat.owned():
        if row.preamps.device != seat.desk:
            same.setdefault((row.preamps.device, row.owner, row.door, row.path), []).append(run(row.preamps))
    takeover = {
        "box": "{device} keeps its own gains when claimed.",
        "desk": "The desk sends ITS gains to {device} when it claims it: gains can jump by tens of dB.",
    }
    for (device, owner, door, path), places in same.items():
        say = seat.view.say
        way = say(", by way of {path}", path=" > ".join(path)) if path else ""
        words = takeover.get(
            seat.view.type_of(device).takeover, "Whose gains win at this moment is not known: gains can jump by tens of dB."
        )
        yield Step(
            say(
                "Claim {device} {preamps} for {owner} ({door}{way}).",
                device=device,
                preamps=", ".join(places),
                owner=owner,
                door=say(door or "door unknown"),
                way=way,
            ),
            at=device,
            caution=say(words, device=device),
            hears=tuple(key for key in _hearers(seat, device) if key != owner),
        )


def _hearers(seat: Seat, device: str) -> Iterator[str]:
    found = {row.id or row.position: row.position for row in seat.view.show.lists}
    yield from dict.fromkeys(
        found[route.to]
        for route in seat.view.setting.routes
        if route.to in found and any(place.device == device for place in route.hops)
    )
