"""The rig and the show as they stand in one act or scene.

Comes in: a rig, a show, the id of a period.  Goes out: the same pair with the overlay applied: absent
devices and links gone, sources and feeds not in use gone, lists as this period has them.
Next: everything that looks at one period at a time.
"""

from __future__ import annotations

from typing import Any

import attrs

from patchloom.model.base import Table, build
from patchloom.model.rig import Rig
from patchloom.model.show import List, Period, Show, Want

__all__ = ["acts", "in_period", "in_use", "period_ids", "scenes"]


def period_ids(show: Show) -> tuple[str, ...]:
    """Return the ids of the periods in order: acts, each followed by its scenes; ("",) when there are none."""
    ids: list[str] = []
    for act in acts(show):
        ids.append(act.id)
        ids.extend(scene.id for scene in scenes(show, act.id))
    return tuple(ids) or ("",)


def acts(show: Show) -> tuple[Period, ...]:
    """Return the acts in order."""
    return tuple(period for period in show.periods if not period.scene_of)


def scenes(show: Show, act: str) -> tuple[Period, ...]:
    """Return the scenes of an act in order."""
    return tuple(period for period in show.periods if period.scene_of == act)


def in_use(show: Show, period: str) -> set[str]:
    """Return the ids of the signals in use in a period."""
    row = _row(show, period)
    if row is None:
        return set(show.signals())
    if row.uses is None:
        return in_use(show, row.scene_of)
    return set(row.uses)


def in_period(rig: Rig, show: Show, period: str) -> tuple[Rig, Show]:
    """Return rig and show as they stand in a period; both unchanged when there are no periods."""
    row = _row(show, period)
    if row is None:
        return rig, show
    chain = [row] if not row.scene_of else [_row(show, row.scene_of) or row, row]
    gone = {device for step in chain for device in step.without_devices}
    cut = {link for step in chain for link in step.without_links}
    links = tuple(link for link in rig.links if link.id not in cut and not any(end.split(".")[0] in gone for end in link.join))
    devices = Table({key: device for key, device in rig.devices.items() if key not in gone})
    if gone or cut:
        rig = attrs.evolve(rig, devices=devices, links=links)
    used = in_use(show, period)
    lists = []
    widths = {key: len(signal.leg_ids()) for key, signal in show.signals().items()}
    hidden = {key for step in chain for key in step.without_lists}
    for item in show.lists:
        if item.id in hidden or item.at.split(".")[0] in gone:
            continue
        own = next((step.lists[item.id] for step in reversed(chain) if item.id in step.lists), None)
        lists.append(_overlay(item, own, used, widths))
    owners = next((step.owners for step in reversed(chain) if step.owners), show.owners)
    people = {key: who for step in chain for key, who in step.people.items()}
    names = {key: name for step in chain for key, name in step.names.items()}
    show = attrs.evolve(
        show,
        sources=tuple(_renamed(source, names, people) for source in show.sources if source.id in used),
        feeds=tuple(_renamed(feed, names, people) for feed in show.feeds if feed.id in used),
        plug=tuple(plug for plug in show.plug if plug.source.split(".")[0] in used),
        lists=tuple(lists),
        owners=owners,
    )
    return rig, show


def _row(show: Show, period: str) -> Period | None:
    return next((row for row in show.periods if row.id == period), None) if period else None


def _overlay(item: List, own: Any, used: set[str], widths: dict[str, int]) -> List:
    if own is not None:
        wants = tuple(None if want is None else build(Want, want) for want in own)
        return attrs.evolve(item, wants=wants)
    kept: list[Want | None] = []
    for want in item.wants:
        if want is None or want.signal in used:
            kept.append(want)
        elif want.channel is None:
            # What is not in use leaves its slots empty, so that the rest keeps its channels from act to act.
            kept.extend([None] * (1 if want.fold or want.leg else widths.get(want.signal, 1)))
    return attrs.evolve(item, wants=tuple(kept))


def _renamed(item: Any, names: dict[str, str], people: dict[str, str]) -> Any:
    key = item.id
    if key not in names and key not in people:
        return item
    return attrs.evolve(item, name=names.get(key, item.name), person=people.get(key, item.person))
