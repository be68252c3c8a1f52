"""What the user fixed, what pools allow, and which signals in use enter nowhere.

Comes in: a `Scene`.  Goes out: items.  Next: `verify`.
"""

from __future__ import annotations

from collections.abc import Iterable

from patchloom.address import Slot, parse
from patchloom.check.scene import Scene
from patchloom.model.base import at_rate
from patchloom.model.rig import Limit

__all__ = ["check_entries", "check_fixed", "check_limits", "check_unmet"]


def check_entries(scene: Scene) -> None:
    """Note wanted sources that are plugged nowhere and wanted feeds that are mixed nowhere, one item a signal."""
    wanted: dict[str, bool] = {}
    for item in scene.show.lists:
        for want in item.wants:
            if want is not None:
                must = want.priority is None
                for signal, leg in ((want.signal, want.leg), (want.alternate, "")):
                    for key in scene.legs(signal, leg):
                        wanted[key] = wanted.get(key, False) or must
    for feed in scene.show.feeds:
        for key in feed.leg_ids() if feed.to else ():
            wanted[key] = wanted.get(key, False) or any(row.priority is None for row in feed.to)
    for leg, must in wanted.items():
        if not must:
            continue
        if leg in scene.sources and leg not in scene.setting.plugs:
            scene.roots[leg] = scene.report.add("plug-missing", f"{leg} is wanted and plugged in nowhere.", leg)
        elif leg in scene.feeds and leg not in scene.setting.mixes:
            scene.roots[leg] = scene.report.add("mix-missing", f"{leg} is wanted and mixed nowhere.", leg)


def check_unmet(scene: Scene) -> None:
    """Note musts the patch gives up as if they were wishes."""
    wishes = {
        f"{item.id}: {leg}"
        for item in scene.show.lists
        for want in item.wants
        if want is not None and want.priority is not None
        for leg in (*scene.legs(want.signal, want.leg), *scene.legs(want.alternate))
    }
    wishes |= {
        f"{feed.id}: {leg}"
        for feed in scene.show.feeds
        if any(row.priority is not None for row in feed.to)
        for leg in feed.leg_ids()
    }
    for text in scene.setting.unmet:
        if text not in wishes:
            scene.report.add("must-unmet", f"The patch gives up {text}, which is no wish of the show.", *text.split(": "))


def check_fixed(scene: Scene) -> None:
    """Note fixed selections that are not set."""
    for row in scene.show.fixed:
        into, source = scene.slots([row.into]), scene.slots([row.from_])
        if parse(row.into).device not in scene.rig.devices:
            continue
        for place, wanted in zip(into, source, strict=False):
            feeder = scene.feeders.of(place)
            tap = feeder.choice.tap if feeder is not None and feeder.choice is not None else ""
            if feeder is None or feeder.source != wanted or (row.tap and tap != row.tap):
                blamed = scene.feeders.blame.get((place, False))
                if blamed is not None:
                    blamed.behind.setdefault(f"fixed {row.into}")
                    break
                has = f"{feeder.source or feeder.leg}{f' at tap {tap}' if tap else ''}" if feeder is not None else "nothing"
                item = scene.report.add(
                    "fixed-ignored",
                    f"{row.into} is fixed to take {row.from_}{f' at tap {row.tap}' if row.tap else ''}; {place} takes {has}.",
                    row.into,
                    row.from_,
                    key=(row.into, row.from_),
                )
                for lost in into:
                    scene.feeders.blame.setdefault((lost, False), item)
                break


def check_limits(scene: Scene) -> None:
    """Note shared pools that are exceeded; a slot is in use when a choice, a plug or a mix feeds it and something comes."""
    limited = [device for device in scene.rig.devices if scene.rig.type_of(device).limits]
    if not limited:
        return
    used: dict[tuple[str, str], list[int]] = {}
    for place, feeder in scene.feeders.chosen():
        if feeder.kind != "void" and place.device in limited and scene.signals.at(place).leg:
            used.setdefault((place.device, place.bank), []).append(place.number)
    for device in limited:
        for limit in scene.rig.type_of(device).limits:
            _check_pool(scene, device, limit, used)


def _check_pool(scene: Scene, device: str, limit: Limit, used: dict[tuple[str, str], list[int]]) -> None:
    most = at_rate(limit.most, scene.ground.rate(device, limit.of[0].split("[")[0]))  # type: ignore[arg-type]
    if most is None:
        return
    taken = [_within(used.get((device, text.split("[")[0]), ()), text, device) for text in limit.of]
    if limit.count == "blocks":
        count = sum(len({(number - 1) // limit.by for number in numbers}) for numbers in taken)
    else:
        count = sum(map(len, taken))
    if count > most:
        scene.report.add(
            "limit-exceeded",
            f"{device} uses {count} {limit.count} of {', '.join(limit.of)}; {limit.about or 'the pool'} has {most}.",
            device,
            *(f"{device}.{text}" for text in limit.of),
            numbers=(("used", count), ("most", most)),
        )


def _within(numbers: Iterable[int], text: str, device: str) -> list[int]:
    span = parse(f"{device}.{text}")
    return [number for number in numbers if span.holds(Slot(device, span.bank or "", number))]
