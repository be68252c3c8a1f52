"""The things of a stage plot: what the show says stands there, sources with their line, devices on the stage.

Comes in: a `View`.  Goes out: plan `Thing`s.  Next: `plot.py` puts them on a page.

A source that belongs to a thing is a line under that thing, and one that has a place of its own gets a symbol as
well, with its line alone beside it; a source that belongs to nothing says its line and its name.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.model.base import at_rate
from patchloom.model.rig import Device
from patchloom.model.show import Feed, Source
from patchloom.model.show import Thing as StageThing
from patchloom.pages import Thing, View

__all__ = ["drawn"]

_ROUND = 3.0
"""How far from the stage's edge, in metres, a device still counts as at the stage."""

_KINDS = {"mic": "mic", "radio": "radio", "di": "di", "line": "di", "digital": "di", "playback": "playback"}
_BOXES = ("box", "split", "multicore")
_TITLES = {"drums": "DRUMS", "power": "POWER"}


def drawn(view: View) -> Iterator[Thing]:
    """Yield everything on the plot: things, sources that stand alone, devices at the stage."""
    stage = view.show.stage
    kept = [thing for thing in (stage.things if stage else ()) if _present(view, thing)]
    sources = {source.id: source for source in view.show.sources if source.kind != "talkback"}
    owner = _owners(kept, sources)
    for index, thing in enumerate(stage.things if stage else ()):
        if thing in kept:
            mine = [sources[key] for key in owner.get(index, ())]
            yield _thing(view, thing, f"thing {thing.id or index + 1}", mine)
    taken = {key for keys in owner.values() for key in keys}
    for source in sources.values():
        if source.id not in taken or source.at is not None:
            yield _source(view, source, source.id in taken)
    for device in view.rig.devices.values():
        if _on_stage(view, device):
            yield _device(view, device)


def _present(view: View, thing: StageThing) -> bool:
    """Return whether a thing belongs to this act: it has no sources, or one of them is in use."""
    return not thing.sources or any(key in view.signals for key in thing.sources)


def _owners(kept: list[StageThing], sources: dict[str, Source]) -> dict[int, list[str]]:
    """Return which sources are lines under which thing: the first that names them."""
    taken: set[str] = set()
    owner: dict[int, list[str]] = {}
    for index, thing in enumerate(kept):
        for key in thing.sources:
            if key in sources and key not in taken:
                taken.add(key)
                owner.setdefault(index, []).append(key)
    return owner


def _thing(view: View, thing: StageThing, key: str, mine: list[Source]) -> Thing:
    name = thing.name or view.say(thing.kind)
    title = view.say(_TITLES.get(thing.kind, ""))
    if title and title not in name.upper():
        name = f"{title} {name}"
    lines = [thing.person] if thing.person and thing.person.casefold() != name.casefold() else []
    if thing.size and thing.kind == "riser":
        lines.append(view.options.sizes(thing.size))
    lines += [" ".join(word for word in (_lines(view, source), _called(source)) if word != name) for source in mine]
    lines += _mixes(view, thing)
    if thing.text_:
        lines.append(thing.text_)
    marks = ["act"] if thing.own == "act" else []
    return Thing(
        id=key,
        kind=thing.kind,
        label=name,
        lines=tuple(lines),
        at=thing.at,
        size=thing.size,
        turn_deg=thing.turn_deg,
        zone=thing.zone,
        marks=tuple(marks),
        of=_stands_for(thing, mine),
    )


def _stands_for(thing: StageThing, mine: list[Source]) -> tuple[str, ...]:
    """Return what a thing stands for: the sources under it, the feed it plays."""
    return (*(f"source {source.id}" for source in mine), *([f"feed {thing.feed}"] if thing.feed else []))


def _called(source: Source) -> str:
    return source.name or source.id


def _lines(view: View, source: Source) -> str:
    """Return the line a source plugs into, its legs joined by `+`: `BOX1-9+10`; words where it has none."""
    places = [view.setting.plugs.get(leg) for leg in source.leg_ids()]
    known = [place for place in places if place is not None]
    if not known:
        return view.say("(no line)")
    first = view.line(known[0])
    same = all(place.device == known[0].device and place.bank == known[0].bank for place in known)
    return "+".join([first, *((view.mark(place) if same else view.line(place)) for place in known[1:])])


def _mixes(view: View, thing: StageThing) -> Iterator[str]:
    """Yield the mix of a wedge or ear pack with its socket, and the ears of a performer by name."""
    feeds = [feed for feed in view.show.feeds if feed.id == thing.feed]
    if not thing.feed and thing.kind == "performer" and thing.person:
        feeds = [feed for feed in view.show.feeds if feed.kind == "ear" and feed.person == thing.person]
    for feed in feeds:
        what = f"{view.say('ears')}: " if feed.kind == "ear" and thing.kind == "performer" else ""
        yield f"{what}{_mix(view, feed)}"


def _mix(view: View, feed: Feed) -> str:
    """Return a feed as `mix MON 3+4 → BOX line-12`, as far as the patch says."""
    slots = [view.setting.mixes[leg] for leg in feed.leg_ids() if leg in view.setting.mixes]
    made = f"{slots[0].device} {'+'.join(str(slot.number) for slot in slots)}" if slots else feed.name or feed.id
    mix = view.say("mix {name}", name=made)
    ends = [route.hops[-1] for route in view.setting.routes if route.to == feed.id and route.hops and route.entry == 1]
    if not ends:
        return mix
    return f"{mix} → {'+'.join([view.line(ends[0]), *(view.mark(end) for end in ends[1:])])}"


def _source(view: View, source: Source, belongs: bool) -> Thing:
    """Return a source as a symbol: with its line alone where it is named under a thing, else with name and person."""
    kind = _KINDS.get(source.kind, "mic" if source.mic else "other")
    if belongs:
        return Thing(
            id=f"source {source.id}",
            kind=kind,
            label=_lines(view, source),
            at=source.at,
            zone=source.zone,
            of=(f"source {source.id}",),
        )
    person = [source.person] if source.person and source.person.casefold() != _called(source).casefold() else []
    return Thing(
        id=f"source {source.id}",
        kind=kind,
        label=f"{_lines(view, source)} {_called(source)}",
        lines=tuple(person),
        at=source.at,
        zone=source.zone,
        of=(f"source {source.id}",),
    )


def _on_stage(view: View, device: Device) -> bool:
    """Return whether a device stands on the stage or within a few metres of it, as far as is stated."""
    stage, place = view.show.stage, device.place
    if place is None or stage is None:
        return False
    if place.at is not None and stage.width_m and stage.depth_m:
        x, y = place.at[0], place.at[1]
        return abs(x) <= stage.width_m / 2 + _ROUND and -_ROUND <= y <= stage.depth_m + _ROUND
    zone = stage.zones.get(place.zone)
    return zone is not None and bool(zone.side)


def _device(view: View, device: Device) -> Thing:
    role = view.type_of(device.id).role
    ways = sum(
        int(at_rate(bank.slots, view.rig.domain_of(device.id, bank.clock).hertz) or 0)
        for bank in view.sockets(device.id, "in")
        if not bank.only_for
    )
    kind = "box" if role in _BOXES else "desk" if role == "desk" else "other"
    lines = (
        [view.say("{device} · {ways}-way", device=device.id, ways=ways) if ways and role in _BOXES else device.id]
        if device.name or role in _BOXES
        else []
    )
    guest = device.belongs_to not in ("", "house")
    place = device.place
    return Thing(
        id=f"device {device.id}",
        kind=kind,
        label=device.name or device.id,
        lines=tuple(lines),
        at=place.at if place else None,
        zone=place.zone if place else "",
        marks=("act",) if guest else (),
        of=(f"device {device.id}",),
    )
