"""Whether every gain can be set, leaves headroom, and leaves everybody a trim they have.

Comes in: a `Scene` whose deliveries are known.  Goes out: items.  Next: `verify`.

A position that wants D dB in all trims by D less the preamp's gain; the trim lies in the range of the bank the
leg lands in (no stated range: no trim is relied on).  Gain plus loudest level plus reserve stays at or below
full scale (common practice, no source).
"""

from __future__ import annotations

from patchloom.address import Slot
from patchloom.check.control import preamps_in_use
from patchloom.check.scene import Scene
from patchloom.model.patch import GainSet
from patchloom.model.rig import Preamp
from patchloom.model.show import Source

__all__ = ["check_gain"]

_CLOSE = 0.051
"""Decibels two numbers may differ by and still be the same: patches round to a tenth."""

_Heard = dict[str, list[tuple[float, float]]]
"""Position to the trim ranges of the banks it hears the leg in."""


def check_gain(scene: Scene) -> None:
    """Check the gain of every preamp in use."""
    rows: dict[Slot, GainSet] = {}
    used = preamps_in_use(scene)
    for row in scene.setting.gains:
        if used.get(row.at) == row.leg:
            rows[row.at] = row
        elif row.at in used or not _routed(scene, row):
            there = f"{used[row.at]} is there" if row.at in used else "nothing in use is there"
            scene.report.add("gain-place", f"A gain is set for {row.leg} at {row.at}, and {there}.", row.at, row.leg)
    heard = _heard(scene)
    wants = _wants(scene)
    for place, leg in used.items():
        _check(scene, place, leg, scene.sources[leg], rows.get(place), heard.get((leg, place), {}), wants)


def _routed(scene: Scene, row: GainSet) -> bool:
    """Return whether a route leads the leg past that preamp: then the way is broken, which is told already."""
    return any(route.leg == row.leg and row.at in route.hops for route in scene.setting.routes)


def _wants(scene: Scene) -> set[tuple[str, str]]:
    """Return (signal, position) for everything a list of the position wants."""
    return {
        (signal, item.position)
        for item in scene.show.lists
        for want in item.wants
        if want is not None
        for signal in (want.signal, want.alternate)
    }


def _heard(scene: Scene) -> dict[tuple[str, Slot], _Heard]:
    """Return, for each leg and preamp, who hears it through that preamp and with which trim ranges."""
    found: dict[tuple[str, Slot], _Heard] = {}
    for leg, position, node in scene.delivered:
        if leg not in scene.sources:
            continue
        place = node.amp
        if place is None:
            continue
        kind = scene.ground.bank(node.slot.device, node.slot.bank)
        low, high = kind.trim_db if kind is not None and kind.trim_db else (0.0, 0.0)
        ranges = found.setdefault((leg, place), {}).setdefault(position, [])
        if (low, high) not in ranges:
            ranges.append((low, high))
    return found


def _check(
    scene: Scene, place: Slot, leg: str, source: Source, row: GainSet | None, heard: _Heard, wants: set[tuple[str, str]]
) -> None:
    preamp = scene.preamp(place)
    assert preamp is not None
    fixed = next((line.gain_db for line in scene.show.gain.fixed if line.signal in (leg, source.id)), source.gain_db)
    wanted = {position: source.want_db[position] for position in heard if position in source.want_db}
    gain = row.gain_db if row is not None else None
    if gain is None:
        if fixed is not None or wanted:
            scene.report.add(
                "gain-missing",
                f"{leg} at {scene.ground.say(place)} has no gain, and "
                f"{f'{fixed:g} dB is fixed' if fixed is not None else f'{len(wanted)} positions want one'}.",
                place,
                leg,
            )
        return
    assert row is not None
    if fixed is not None and abs(gain - fixed) > _CLOSE:
        scene.report.add(
            "gain-fixed",
            f"{leg} at {place} is set to {gain:g} dB; {fixed:g} dB is fixed.",
            place,
            leg,
            numbers=(("gain dB", gain), ("fixed dB", fixed)),
        )
    _check_preamp(scene, place, leg, source, preamp, gain)
    _check_trims(scene, place, leg, row, gain, wanted, heard)
    if row.interval_db is not None and all(position in wanted for position in source.want_db if (source.id, position) in wants):
        _check_interval(scene, row, source, preamp, wanted, heard)
    for position in row.trims_db:
        if position not in source.want_db or (source.id, position) not in wants:
            words = f"{position} is given a trim on {leg} at {place} and wants none."
            scene.report.add("gain-trim", words, place, leg, position, todo="Take the trim out.")


def _check_interval(scene: Scene, row: GainSet, source: Source, preamp: Preamp, wanted: dict[str, float], heard: _Heard) -> None:
    """Note a stated range of workable gain that is not what range, headroom and everybody's trims leave."""
    lows = [preamp.gain_db[0]] if preamp.gain_db is not None else []
    highs = [preamp.gain_db[1]] if preamp.gain_db is not None else []
    if source.peak_dbu is not None and preamp.full_scale_dbu is not None:
        highs.append(preamp.full_scale_dbu - source.peak_dbu - scene.show.gain.reserve_db)
    for position, want in wanted.items():
        lows += [want - high for _, high in heard[position]]
        highs += [want - low for low, _ in heard[position]]
    said = row.interval_db
    if said is None or not lows or not highs:
        return
    real = (max(lows), min(highs))
    if row.gain_db is None or not real[0] - _CLOSE <= row.gain_db <= real[1] + _CLOSE:
        return  # the gain itself is the fault, and told
    if len(said) != 2 or abs(said[0] - real[0]) > _CLOSE or abs(said[1] - real[1]) > _CLOSE:
        scene.report.add(
            "gain-interval",
            f"{row.leg} at {row.at} is said to work from {said[0]:g} to {said[-1]:g} dB; range, headroom and "
            f"trims leave {real[0]:g} to {real[1]:g} dB.",
            row.at,
            row.leg,
            numbers=(("lowest dB", real[0]), ("highest dB", real[1])),
        )


def _check_preamp(scene: Scene, place: Slot, leg: str, source: Source, preamp: Preamp, gain: float) -> None:
    report = scene.report
    if preamp.gain_db is not None:
        low, high = preamp.gain_db
        if not low - _CLOSE <= gain <= high + _CLOSE:
            report.add(
                "gain-range",
                f"{leg} at {place} is set to {gain:g} dB; the preamp has {low:g} to {high:g} dB.",
                place,
                leg,
                numbers=(("gain dB", gain), ("lowest dB", low), ("highest dB", high)),
            )
            return
        if preamp.step_db and not _on_step(gain - low, preamp.step_db):
            report.add(
                "gain-step",
                f"{leg} at {place} is set to {gain:g} dB; the preamp steps by {preamp.step_db:g} dB from {low:g} dB.",
                place,
                leg,
                numbers=(("gain dB", gain), ("step dB", preamp.step_db)),
            )
    if source.peak_dbu is not None and preamp.full_scale_dbu is not None:
        cap = preamp.full_scale_dbu - source.peak_dbu - scene.show.gain.reserve_db
        if gain > cap + _CLOSE:
            report.add(
                "gain-headroom",
                f"{leg} at {place} is set to {gain:g} dB; full scale {preamp.full_scale_dbu:g} dBu less its peak of "
                f"{source.peak_dbu:g} dBu less {scene.show.gain.reserve_db:g} dB reserve leaves {cap:g} dB.",
                place,
                leg,
                numbers=(("gain dB", gain), ("most dB", cap)),
            )


def _on_step(above: float, step: float) -> bool:
    return abs(above / step - round(above / step)) * step <= 0.0011


def _check_trims(scene: Scene, place: Slot, leg: str, row: GainSet, gain: float, wanted: dict[str, float], heard: _Heard) -> None:
    report = scene.report
    for position, want in wanted.items():
        trim = row.trims_db.get(position)
        right = want - gain
        if trim is None or abs(trim - right) > _CLOSE:
            said = "no trim" if trim is None else f"{trim:+g} dB"
            report.add(
                "gain-trim",
                f"{position} wants {want:g} dB of {leg} and has {gain:g} dB at {place}: {right:+g} dB of trim are "
                f"needed, {said} is set.",
                place,
                leg,
                position,
                numbers=(("needed dB", right), ("set dB", trim)),
            )
            continue
        for low, high in heard[position]:
            if not low - _CLOSE <= right <= high + _CLOSE:
                report.add(
                    "gain-trim-range",
                    f"{position} needs {right:+g} dB of trim on {leg}; it has {low:+g} to {high:+g} dB.",
                    place,
                    leg,
                    position,
                    numbers=(("needed dB", right), ("lowest dB", low), ("highest dB", high)),
                )
            elif row.margin and not _kept(right, low, high, scene.show.gain.margin_db):
                report.add(
                    "gain-margin",
                    f"{position} trims {leg} by {right:+g} dB of {low:+g} to {high:+g} dB, which leaves less than the "
                    f"margin of {scene.show.gain.margin_db:g} dB.",
                    place,
                    leg,
                    position,
                    numbers=(("needed dB", right), ("margin dB", scene.show.gain.margin_db)),
                )


def _kept(trim: float, low: float, high: float, margin: float) -> bool:
    margin = min(margin, (high - low) / 2)
    return low + margin - _CLOSE <= trim <= high - margin + _CLOSE
