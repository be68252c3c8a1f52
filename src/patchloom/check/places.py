"""Whether everything enters where it may: plugs of sources, mixes of feeds.

Comes in: a `Scene`.  Goes out: items; every right plug and mix is entered as the feeder of its slot.
Next: `wants` and `destinations`, which follow signals back to here.
"""

from __future__ import annotations

from patchloom.address import Slot, parse
from patchloom.check.report import Item
from patchloom.check.scene import Scene

__all__ = ["check_mixes", "check_plugs"]


def check_plugs(scene: Scene, allowed_now: frozenset[str], act_plugs: dict[str, Slot] | None) -> None:
    """Check and enter every plug; `allowed_now` names the signals that may be plugged in this act."""
    report = scene.report
    taken: dict[Slot, str] = {}
    for leg, place in sorted(scene.setting.plugs.items(), key=lambda row: (row[1], row[0])):
        signal = leg.partition(".")[0]
        known = leg in scene.sources or (signal in allowed_now and leg not in scene.feeds)
        if not known:
            report.add(
                "plug-unknown",
                f"{leg} is plugged into {scene.ground.say(place)}, but no source of this period has that leg.",
                leg,
                place,
            )
            continue
        item = None
        if place.device not in scene.rig.devices:
            item = report.add("device-absent", f"{leg} is plugged into {place}, but {place.device} is not there.", place, leg)
        elif not _is_socket(scene, place):
            item = report.add(
                "plug-no-socket", f"{leg} is plugged into {place}, which is no input socket of this rig.", place, leg
            )
        elif act_plugs is not None and act_plugs.get(leg, place) != place:
            item = report.add(
                "plug-moved-in-scene", f"{leg} is plugged into {place}, and into {act_plugs[leg]} in the act.", leg, place
            )
        elif leg in scene.sources:
            _check_allowed(scene, leg, place)
        if item is not None:
            scene.roots[leg] = item
            continue
        if place in taken:
            item = report.add(
                "plug-shared",
                f"{taken[place]} and {leg} are both plugged into {scene.ground.say(place)}.",
                place,
                taken[place],
                leg,
                numbers=(("sources", 2),),
            )
            scene.roots[leg] = item
            continue
        taken[place] = leg
        scene.feeders.enter("plug", leg, place)


def _is_socket(scene: Scene, place: Slot) -> bool:
    kind = scene.ground.bank(place.device, place.bank)
    return kind is not None and kind.socket == "in" and place.number <= (scene.ground.size(place.device, place.bank) or 0)


def _check_allowed(scene: Scene, leg: str, place: Slot) -> None:
    """Note a plug the show's rows do not allow; rows for the leg itself go before rows for its source."""
    kind = scene.ground.bank(place.device, place.bank)
    texts = scene.plug_rows.get(leg) or scene.plug_rows.get(scene.sources[leg].id) or []
    named = [text for text in texts if parse(text).holds(place)]
    if texts and not named:
        scene.report.add(
            "plug-not-allowed",
            f"{leg} is plugged into {scene.ground.say(place)}; the show allows {', '.join(texts)}.",
            leg,
            place,
        )
    elif kind is not None and kind.only_for and not any(parse(text).bank for text in named):
        scene.report.add(
            "plug-not-allowed",
            f"{leg} is plugged into {scene.ground.say(place)}, which is only for {kind.only_for}, and "
            "no plug row names that bank.",
            leg,
            place,
        )


def check_mixes(scene: Scene) -> None:
    """Check and enter every mix."""
    report = scene.report
    taken: dict[Slot, str] = {}
    for leg, place in sorted(scene.setting.mixes.items(), key=lambda row: (row[1], row[0])):
        feed = scene.feeds.get(leg)
        if feed is None:
            report.add("mix-unknown", f"{leg} is mixed on {place}, but no feed of this period has that leg.", leg, place)
            continue
        item = None
        kind = scene.ground.bank(place.device, place.bank)
        if place.device not in scene.rig.devices:
            item = report.add("device-absent", f"{leg} is mixed on {place}, but {place.device} is not there.", place, leg)
        elif kind is None or kind.does != "sum" or place.number > (scene.ground.size(place.device, place.bank) or 0):
            item = report.add("mix-not-sum", f"{leg} is mixed on {place}, which is no mix of this rig.", place, leg)
        else:
            strayed = _check_desk(scene, leg, place)
            if strayed is not None:
                scene.roots[leg] = strayed
        if item is None and place in taken:
            item = report.add(
                "mix-shared",
                f"{taken[place]} and {leg} are both mixed on {place}.",
                place,
                taken[place],
                leg,
                numbers=(("feeds", 2),),
            )
        if item is not None:
            scene.roots[leg] = item
            continue
        taken[place] = leg
        scene.feeders.enter("mix", leg, place)


def _check_desk(scene: Scene, leg: str, place: Slot) -> Item | None:
    """Return the item for a mix that is not where its position works."""
    feed = scene.feeds[leg]
    desk = scene.show.desk_of(feed.mixed_at)
    if feed.from_:
        if not parse(feed.from_).holds(place):
            return scene.report.add("mix-elsewhere", f"{leg} is mixed on {place}; the show says {feed.from_}.", leg, place)
    elif desk and place.device != desk:
        return scene.report.add("mix-elsewhere", f"{leg} is mixed on {place}; {feed.mixed_at} works at {desk}.", leg, place)
    return None
