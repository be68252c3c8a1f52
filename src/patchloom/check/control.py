"""Who owns each preamp, and whether control really gets there.

Comes in: a `Scene`.  Goes out: items.  Next: `gain`.  Audio arriving does not mean control does: the path is
checked edge by edge, from the owner's desk to the box.
"""

from __future__ import annotations

from patchloom.address import Slot, Span, parse
from patchloom.check.scene import Scene
from patchloom.model.patch import Ownership
from patchloom.model.rig import Preamp

__all__ = ["check_owners", "preamps_in_use"]


def check_owners(scene: Scene) -> None:
    """Check every ownership, and that every preamp in use has one."""
    owner_at: dict[Slot, Ownership] = {}
    for row in scene.setting.owners:
        if not _preamps(scene, row):
            continue
        again = False
        for place in row.preamps.slots():
            other = owner_at.setdefault(place, row)
            if other is not row:
                again = True
                scene.report.add(
                    "owner-two",
                    f"{scene.ground.say(place)} is owned by {other.owner or 'nobody'} and by {row.owner or 'nobody'}.",
                    place,
                    other.owner,
                    row.owner,
                    numbers=(("owners", 2),),
                    key=(str(other.preamps), str(row.preamps), other.owner, row.owner),
                )
        if not again:
            _check_row(scene, row)
    _check_units(scene, owner_at)
    _check_show(scene, owner_at)
    _check_used(scene, owner_at)


def preamps_in_use(scene: Scene) -> dict[Slot, str]:
    """Return each preamp socket in use with the leg it amplifies: plugged there, or passed on a delivered way."""
    found: dict[Slot, str] = {}
    for leg, place in scene.setting.plugs.items():
        if leg in scene.sources and leg not in scene.roots and scene.preamp(place) is not None:
            found.setdefault(place, leg)
    for leg, _, node in scene.delivered:
        if leg in scene.sources:
            if node.amp is not None:
                found.setdefault(node.amp, leg)
    return dict(sorted(found.items()))


def _preamps(scene: Scene, row: Ownership) -> bool:
    span = row.preamps
    kind = scene.ground.bank(span.device, span.bank or "")
    size = scene.ground.size(span.device, span.bank or "") if kind is not None else 0
    if kind is None or not kind.preamp or span.last is None or span.last > (size or 0):
        scene.report.add("owner-no-preamp", f"{row.owner or 'Nobody'} owns {span}, which has no preamps.", span, row.owner)
        return False
    return True


def _positions(scene: Scene) -> set[str]:
    show = scene.show
    return {*show.positions, *(item.position for item in show.lists), *(feed.mixed_at for feed in show.feeds)}


def _check_row(scene: Scene, row: Ownership) -> None:
    span = row.preamps
    preamp = scene.preamp(Slot(span.device, span.bank or "", span.first or 1))
    assert preamp is not None
    doors = preamp.doors or ("local", "port")
    if not row.owner:
        if "local" not in doors:
            scene.report.add("owner-missing", f"{span} is left to local hands, and its doors are {', '.join(doors)}.", span)
        return
    if row.owner not in _positions(scene):
        scene.report.add("owner-unknown", f"{span} is owned by {row.owner}, which is no position of the show.", span, row.owner)
        return
    desk = scene.show.desk_of(row.owner)
    if not desk or desk not in scene.rig.devices:
        scene.report.add("owner-unreachable", f"{row.owner} owns {span} and has no desk to control it from.", span, row.owner)
        return
    at_home = desk == span.device
    if (
        (row.door not in doors and not at_home)
        or row.door not in ("local", "port", "network")
        or (row.door == "local") != at_home
    ):
        afar = row.door == "local" and not at_home
        why = f"by hand from {desk}, which stands elsewhere" if afar else f"through door {row.door or '(none)'} from {desk}"
        scene.report.add(
            "owner-door",
            f"{row.owner} owns {span} {why}; its doors are {', '.join(doors)}.",
            span,
            row.owner,
        )
        return
    _check_path(scene, row, desk, preamp)


def _check_path(scene: Scene, row: Ownership, desk: str, preamp: Preamp) -> None:
    span, path = row.preamps, row.path
    if len(path) % 2 == 0 or path[0] != desk or path[-1] != span.device:
        scene.report.add(
            "owner-path",
            f"{row.owner} owns {span} over {' - '.join(path) or 'no path'}, which does not lead from {desk} to {span.device}.",
            span,
            row.owner,
            key=(row.owner, path),
        )
        return
    for number in range(0, len(path) - 2, 2):
        here, link_id, there = path[number : number + 3]
        ends = scene.ground.ends.get(link_id)
        sender = (
            None if ends is None else next((n for n in (0, 1) if (ends[n].device, ends[1 - n].device) == (here, there)), None)
        )
        if ends is None or sender is None:
            scene.report.add(
                "owner-path",
                f"{row.owner} owns {span} over {' - '.join(path)}, but {link_id} does not join {here} and {there}.",
                span,
                row.owner,
                link_id,
                key=(row.owner, path),
            )
            return
        why = scene.ground.shut(scene.ground.links[link_id], sender, "control")
        if not why and number > 0 and not scene.rig.type_of(here).passes_control:
            why = f"{here} hands no control on"
        if why:
            scene.report.add(
                "owner-unreachable",
                f"{row.owner} owns {span} and does not reach it from {desk} to {there}: {why}.",
                span,
                row.owner,
                link_id,
                key=(row.owner, path),
            )
            return
    _check_role(scene, row, desk)


def _check_role(scene: Scene, row: Ownership, desk: str) -> None:
    if desk == row.preamps.device:
        return
    kind, box = scene.rig.type_of(desk), scene.rig.type_of(row.preamps.device)
    if not kind.controls and kind.role == "desk":
        return
    if box.role not in kind.controls and box.id not in kind.controls:
        scene.report.add(
            "owner-cannot-control",
            f"{row.owner} owns {row.preamps}; {desk} controls {', '.join(kind.controls) or 'no boxes'}, and "
            f"{row.preamps.device} is a {box.role} of type {box.id}.",
            row.preamps,
            row.owner,
            desk,
        )


def _unit(preamp: Preamp, place: Slot) -> tuple[str, str, int]:
    """Return what must have one owner together with a socket."""
    if preamp.owner_by == "socket":
        return (place.device, place.bank, place.number)
    if preamp.owner_by == "group":
        return (place.device, place.bank, (place.number - 1) // (preamp.phantom_by or 8))
    return (place.device, place.bank if preamp.owner_by == "port" else "", -1)


def _check_units(scene: Scene, owner_at: dict[Slot, Ownership]) -> None:
    units: dict[tuple[str, str, int], dict[str, Span]] = {}
    for place, row in owner_at.items():
        preamp = scene.preamp(place)
        assert preamp is not None
        units.setdefault(_unit(preamp, place), {}).setdefault(row.owner, row.preamps)
    for (device, bank, _), owners in units.items():
        if len(owners) > 1 and scene.report.get("owner-two", _pair_key(owners)) is None:
            names = [f"{owner or 'nobody'} ({span})" for owner, span in owners.items()]
            spans = tuple(owners.values())
            preamp = scene.preamp(Slot(spans[0].device, spans[0].bank or "", spans[0].first or 1))
            scene.report.add(
                "owner-finer",
                f"{device}{f'.{bank}' if bank else ''} takes one owner per {preamp.owner_by if preamp else ''}, "
                f"and has {', '.join(names)}.",
                *spans,
                numbers=(("owners", len(owners)), ("most", 1)),
            )


def _pair_key(owners: dict[str, Span]) -> tuple[str, str, str, str]:
    (one, a), (two, b) = list(owners.items())[:2]
    return (str(a), str(b), one, two)


def _check_show(scene: Scene, owner_at: dict[Slot, Ownership]) -> None:
    wanted = [(parse(text), row.owner) for row in scene.show.owners for text in row.preamps]
    for place, row in owner_at.items():
        for span, owner in wanted:
            if span.holds(place) and row.owner != owner:
                scene.report.add(
                    "owner-unlike-show",
                    f"{row.preamps} is owned by {row.owner or 'nobody'}; the show says {owner}.",
                    row.preamps,
                    owner,
                    key=(str(row.preamps), owner),
                )


def _check_used(scene: Scene, owner_at: dict[Slot, Ownership]) -> None:
    bare = [(place, leg) for place, leg in preamps_in_use(scene).items() if place not in owner_at]
    for place, leg in bare:
        item = scene.report.add(
            "owner-missing",
            f"{scene.ground.say(place)} and others of {place.device} are in use and have no owner.",
            place,
            leg,
            key=(place.device, place.bank),
        )
        item.behind.setdefault(f"{leg} at {place}")
