"""One act's stage plot as a page: what stands where, with its line, its mix and the words that must be on it.

Comes in: a `View`.  Goes out: a plan `Page`.  Next: `patchloom.drawing`.

Conventions are common practice: side names are the performer's, and are printed at the edges every time.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.model.show import Source
from patchloom.pages import Page, Plan, PlanZone, Thing, View, cautions
from patchloom_stage_plot.things import drawn

__all__ = ["plot_page"]

SIDES = "Stage right (SR) is on the LEFT of this page: sides are the performer's, facing the audience."
DAISY = "Power drops as supplied by others. Do not daisy-chain."
TALK = "Talkback stands at the desks, not drawn."


def plot_page(view: View) -> Page:
    """Return the stage plot of one period."""
    stage = view.show.stage
    things = tuple(drawn(view))
    placed = any(thing.at for thing in things)
    to_scale = bool(stage and stage.width_m and stage.depth_m and placed)
    zones = tuple(_zones(view, things))
    return Page(
        kind="plan",
        title="Stage plot",
        period=view.period,
        period_name=view.period_name,
        about=_about(view, to_scale),
        plan=Plan(
            width_m=stage.width_m if stage else None,
            depth_m=stage.depth_m if stage else None,
            to_scale=to_scale,
            units=view.options.units,
            zones=zones,
            things=things,
        ),
        notes=tuple(_notes(view, things)),
        cautions=cautions(_areas(view, things)),
        touches=tuple(_touches(view, things)),
    )


def _about(view: View, to_scale: bool) -> str:
    """Return the line under the title."""
    stage = view.show.stage
    if stage is None or not (stage.width_m and stage.depth_m):
        return view.say("Plan view, audience at the bottom. Size of the stage not stated. NOT TO SCALE.")
    words = "Plan view, audience at the bottom. Stage {width} wide, {depth} deep."
    size = view.say(words, width=view.options.length(stage.width_m), depth=view.options.length(stage.depth_m))
    return size if to_scale else f"{size} {view.say('NOT TO SCALE.')}"


def _zones(view: View, things: tuple[Thing, ...]) -> Iterator[PlanZone]:
    """Yield the zones something stands in, in walking order, then those that only their id tells of."""
    known = view.show.stage.zones if view.show.stage else {}
    used = dict.fromkeys(thing.zone for thing in things if thing.zone)
    for zone in sorted(known.values(), key=lambda zone: (zone.order is None, zone.order or 0, zone.id)):
        if zone.id in used:
            side, depth = _spoken(zone.id)
            yield PlanZone(id=zone.id, label=zone.name or zone.id, at=zone.at, side=zone.side or side, depth=zone.depth or depth)
    for key in used:
        if key not in known:
            side, depth = _spoken(key)
            yield PlanZone(id=key, side=side, depth=depth)


def _spoken(key: str) -> tuple[str, str]:
    """Return the side and depth that a zone's id says in the trade's words, such as SR, C, USL or DSC."""
    word = key.upper()
    depth = word[:2] if word[:2] in ("US", "MS", "DS") else ""
    side = word[len(depth) :]
    side = {"R": "SR", "L": "SL"}.get(side, side) if depth else side
    return (side, depth) if side in ("SR", "C", "SL") else ("", "")


def _notes(view: View, things: tuple[Thing, ...]) -> Iterator[str]:
    yield view.say(SIDES)
    stage = view.show.stage
    if stage is not None and stage.notes:
        yield stage.notes
    yield from _stereo(view)
    if any(thing.kind == "power" for thing in things):
        yield view.say(DAISY)
    if any(source.kind == "talkback" for source in view.show.sources):
        yield view.say(TALK)
    yield from _agreement(view, things)


def _stereo(view: View) -> Iterator[str]:
    """Yield whose left the left leg of every stereo source on the stage is, one line for each answer."""
    plain = ("playback", "line", "talkback")
    pairs = [source for source in view.show.sources if len(source.legs) == 2 and source.kind not in plain]
    for whose, words in (
        ("audience", "L is the audience's left, left of this page: {names}."),
        ("player", "L is the player's left, right of this page: {names}."),
        ("", "Stereo, but nobody stated whose left L is: {names}. Ask before plugging."),
    ):
        names = [source.name or source.id for source in pairs if source.left_is == whose]
        if names:
            yield view.say(words, names=", ".join(names))


def _agreement(view: View, things: tuple[Thing, ...]) -> Iterator[str]:
    """Yield what is on the lists and has no place on the plot: neither coordinates nor a zone, nor a thing it belongs to."""
    owned = {key for thing in (view.show.stage.things if view.show.stage else ()) for key in thing.sources}
    lost = [
        source.name or source.id
        for source in view.show.sources
        if source.kind != "talkback" and source.at is None and not source.zone and source.id not in owned
    ]
    if lost:
        yield view.say("On the lists, but nobody said where it stands: {names}.", names=", ".join(lost))


def _areas(view: View, things: tuple[Thing, ...]) -> list[str]:
    """Return the areas of caution this plot touches."""
    areas = ["trip"]
    if any(thing.kind == "power" for thing in things):
        areas += ["mains", "earth"]
    if any(source.stand == "hang" for source in view.show.sources):
        areas.append("rigging")
    return areas


def _touches(view: View, things: tuple[Thing, ...]) -> Iterator[str]:
    """Yield what the plot speaks of: the sources on it, the devices drawn, the feeds of wedges and ears."""
    drawn_ids = {thing.id for thing in things}
    for source in view.show.sources:
        if isinstance(source, Source) and source.kind != "talkback":
            yield source.id
    for device in view.rig.devices:
        if f"device {device}" in drawn_ids:
            yield device
    if view.show.stage is not None:
        yield from dict.fromkeys(thing.feed for thing in view.show.stage.things if thing.feed)
