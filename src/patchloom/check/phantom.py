"""Whether phantom reaches what needs it and nothing that must not see it, from one supplier each.

Comes in: a `Scene`.  Goes out: items.  Next: `verify`.

Copper is walked from the plug onward: rows and links that carry no sampled audio, each saying whether direct
current passes (yes, no, unknown).  A switch at the far end supplies the source only over an unbroken path; a
transformer passes none.  P48 feeds both signal pins against the shield (IEC 61938, from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from patchloom.address import Slot, Span
from patchloom.check.scene import Scene
from patchloom.model.patch import PhantomSet
from patchloom.model.rig import Link
from patchloom.model.show import Source

__all__ = ["check_phantom"]


class _Supply(NamedTuple):
    """A supplier that a plug's copper leads to, and whether direct current passes between them."""

    at: Slot
    dc: str
    on: bool
    switch: PhantomSet | None


def check_phantom(scene: Scene) -> None:
    """Check every phantom switch and every plugged source."""
    switches: dict[Slot, PhantomSet] = {}
    wrong: set[Span] = set()
    for row in scene.setting.phantom:
        if _check_switch(scene, row):
            for place in row.at.slots():
                switches.setdefault(place, row)
        elif row.at.last is not None:
            wrong.update(group for place in row.at.slots() if (group := _group(scene, place)) is not None)
            wrong.add(row.at)
    plugged = [
        (leg, place)
        for leg, place in sorted(scene.setting.plugs.items(), key=lambda row: (row[1], row[0]))
        if leg in scene.sources and leg not in scene.roots and scene.ground.known(place.device, place.bank)
    ]
    settled = _clashes(scene, plugged) | wrong
    _check_said(scene, plugged, switches, settled)
    for leg, place in plugged:
        supplies = list(_supplies(scene, place, switches))
        _check_leg(scene, leg, scene.sources[leg], place, supplies, settled)


def _group(scene: Scene, place: Slot) -> Span | None:
    """Return the sockets switched together with one; None where it has no phantom switch."""
    preamp = scene.preamp(place)
    if preamp is None or not preamp.phantom_by:
        return None
    first = (place.number - 1) // preamp.phantom_by * preamp.phantom_by + 1
    return Span(place.device, place.bank, first, first + preamp.phantom_by - 1)


def _check_switch(scene: Scene, row: PhantomSet) -> bool:
    span = row.at
    if span.first is None or span.last is None or not scene.ground.known(span.device, span.bank or ""):
        scene.report.add("no-such-place", f"Phantom is set for {span}, which is no run of sockets of this rig.", span)
        return False
    first = Slot(span.device, span.bank or "", span.first)
    group = _group(scene, first)
    if group is None:
        kind = scene.ground.bank(span.device, span.bank or "")
        if not (kind is not None and kind.phantom_supply):
            scene.report.add(
                "phantom-no-switch",
                f"Phantom is set {'on' if row.on else 'off'} for {span}, which has no switch.",
                span,
                key=(span.device, span.bank),
            )
            return False
        return True
    size = scene.ground.size(span.device, span.bank or "") or 0
    cut = group._replace(last=min(group.last or size, size))
    if span not in (group, cut):
        scene.report.add(
            "phantom-group",
            f"Phantom is set for {span}; {cut} is switched together.",
            span,
            cut,
            numbers=(("set", (span.last or 0) - span.first + 1), ("together", (cut.last or 0) - (cut.first or 0) + 1)),
        )
        return False
    return True


def _clashes(scene: Scene, plugged: list[tuple[str, Slot]]) -> set[Span]:
    groups: dict[Span, list[str]] = {}
    for leg, place in plugged:
        group = _group(scene, place)
        if group is not None:
            groups.setdefault(group, []).append(leg)
    found = set()
    for group, legs in groups.items():
        need = [leg for leg in legs if _needs(scene.sources[leg])]
        never = [leg for leg in legs if scene.sources[leg].phantom == "never"]
        if need and never:
            scene.report.add(
                "phantom-clash",
                f"{group} is switched together; {', '.join(need)} {'needs' if len(need) == 1 else 'need'} phantom and "
                f"{', '.join(never)} must not see it.",
                group,
                *need,
                *never,
                numbers=(("need", len(need)), ("never", len(never))),
            )
            found.add(group)
    return found


def _check_said(scene: Scene, plugged: list[tuple[str, Slot]], switches: dict[Slot, PhantomSet], settled: set[Span]) -> None:
    """Note switches with something plugged that are not written down, and unknown needs behind one that is on."""
    for leg, place in plugged:
        group = _group(scene, place)
        if group is None or group in settled:
            continue
        switch = switches.get(place)
        if switch is None and not _needs(scene.sources[leg]):
            scene.report.add(
                "phantom-unsaid",
                f"{leg} is plugged into {scene.ground.say(place)}, and nothing is said of its phantom.",
                group,
                leg,
                key=group,
            )
        elif switch is not None and switch.on and scene.sources[leg].phantom == "unknown" and leg not in switch.unknown:
            scene.report.add(
                "phantom-unsaid", f"{group} is on, and nothing is said of {leg}, whose need is unknown.", group, leg, key=group
            )


def _needs(source: Source) -> bool:
    return source.phantom == "need" and source.powered_by not in ("battery", "mains")


def _check_leg(scene: Scene, leg: str, source: Source, place: Slot, supplies: list[_Supply], settled: set[Span]) -> None:
    """Check one plugged leg; `settled` are groups something else is already said about."""
    report = scene.report
    if any(_group(scene, row.at) in settled for row in supplies) or any(span.holds(place) for span in settled):
        return
    live = [row for row in supplies if row.on and row.dc == "yes"]
    maybe = [row for row in supplies if row.on and row.dc == "unknown"]
    if len(live) > 1:
        report.add(
            "phantom-two-suppliers",
            f"{leg} at {scene.ground.say(place)} gets phantom from {live[0].at} and from {live[1].at}.",
            leg,
            *(row.at for row in live),
            numbers=(("suppliers", len(live)),),
        )
        return
    if source.phantom == "never":
        if live:
            report.add("phantom-never-on", f"{leg} must not see phantom, and {live[0].at} feeds it.", leg, live[0].at, place)
        elif maybe:
            _unknown(scene, leg, maybe[0])
        return
    isolated = [
        row
        for row in supplies
        if row.on and row.dc == "no" and (row.switch is None or leg in row.switch.because or not row.switch.because)
    ]
    if _needs(source) and not live:
        if isolated:
            report.add(
                "phantom-isolated",
                f"{leg} needs phantom, and {isolated[0].at} is on behind a path that passes no direct current.",
                leg,
                isolated[0].at,
                place,
            )
        elif maybe:
            _unknown(scene, leg, maybe[0])
        else:
            _off(scene, leg, place, supplies)
    elif isolated and any(row.switch is not None and leg in row.switch.because for row in isolated):
        report.add(
            "phantom-isolated",
            f"{isolated[0].at} is on for {leg}, and no direct current passes between them.",
            leg,
            isolated[0].at,
        )
    if len(live) + len(maybe) > 1:
        _unknown(scene, leg, maybe[0])


def _off(scene: Scene, leg: str, place: Slot, supplies: list[_Supply]) -> None:
    """Note a leg that needs phantom and gets none; legs behind one switch are one finding."""
    able = next((row for row in supplies if row.dc == "yes"), None)
    group = _group(scene, able.at) if able is not None else None
    if group is None:
        why = "; nothing there supplies it" if not supplies else "; no direct current passes from where it could"
        scene.report.add("phantom-need-off", f"{leg} at {scene.ground.say(place)} needs phantom and gets none{why}.", leg, place)
        return
    item = scene.report.add("phantom-need-off", f"{group} is off and {leg} needs phantom.", group, leg, key=group)
    item.behind.setdefault(leg)


def _unknown(scene: Scene, leg: str, row: _Supply) -> None:
    scene.report.add(
        "phantom-dc-unknown", f"{row.at} is on, and whether direct current passes from there to {leg} is unknown.", leg, row.at
    )


# copper, from the plug onward


def _supplies(scene: Scene, place: Slot, switches: dict[Slot, PhantomSet]) -> Iterator[_Supply]:
    """Yield the suppliers a socket's copper leads to, nearest first."""
    todo = [(place, "yes")]
    seen = {place}
    for here, dc in todo:
        kind = scene.ground.bank(here.device, here.bank)
        switch = switches.get(here)
        if kind is not None and kind.phantom_supply:
            yield _Supply(here, dc, switch.on if switch is not None else True, switch)
        elif kind is not None and kind.preamp:
            if switch is not None:
                yield _Supply(here, dc, switch.on, switch)
            elif _group(scene, here) is not None:
                yield _Supply(here, dc, False, None)
        if kind is not None and kind.preamp:
            continue
        for there, step in _onward(scene, here):
            if there not in seen:
                seen.add(there)
                todo.append((there, _worse(dc, step)))


def _worse(one: str, two: str) -> str:
    if "no" in (one, two):
        return "no"
    return "yes" if one == two == "yes" else "unknown"


def _onward(scene: Scene, here: Slot) -> Iterator[tuple[Slot, str]]:
    ground = scene.ground
    if not scene.rig.type_of(here.device).digital:
        for row in ground.rows_from(here.device, here.bank):
            for run in row.sources:
                low, high = ground.bounds(here.device, run)
                if row.wired and run.bank == here.bank and low <= here.number <= high:
                    first, last = ground.bounds(here.device, row.into)
                    number = first + here.number - low
                    if number <= last:
                        yield Slot(here.device, row.into.bank, number), row.select.dc or "unknown"
    for link, number in ground.joined.get((here.device, here.bank), ()):
        end, other = ground.ends[link.id][number], ground.ends[link.id][1 - number]
        spoken = scene.rig.formats.get(link.format)
        if ground.sends(link) != number or (spoken is not None and spoken.digital) or other.device not in scene.rig.devices:
            continue
        there = here.number - end.first + other.first
        if end.first <= here.number <= (end.last or here.number) and other.first <= there <= (other.last or there):
            yield Slot(other.device, other.name, there), _cable(link)


def _cable(link: Link) -> str:
    """Return whether direct current passes a link's cables; several in parallel pass it when one does."""
    words = [cable.dc or "unknown" for cable in link.cables]
    return "yes" if "yes" in words else "no" if words and set(words) == {"no"} else "unknown"
