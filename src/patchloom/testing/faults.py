"""Faults to plant in a right patch, each kind named for the check that must speak of it.

Comes in: a patch the judge has nothing against.  Goes out: functions that give it with one fault in it.  Next:
`strategies.broken`.

A kind says what a patch needs for it to have a place; where a patch offers several places, each is one choice.  Only the
patch is spoiled, never rig or show.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

import attrs

from patchloom.address import Slot, Span
from patchloom.model.base import Table
from patchloom.model.patch import Patch, Selection, Setting
from patchloom.model.rig import Rig

__all__ = ["BROKEN", "Fault", "breaks"]

_Spoil = Callable[[], Setting]


class Fault(NamedTuple):
    """One kind of fault: what it needs, and where it can be planted in one setting."""

    needs: str
    places: Callable[[Setting], Iterator[_Spoil]]
    blocks: Callable[[Setting, int, Selection], Iterator[_Spoil]] | None = None
    """The same for one block of it, where the fault is one of blocks."""


BROKEN: dict[str, Fault] = {}
"""Kinds by the name of the check that must speak."""


def breaks(kind: str, patch: Patch, rig: Rig | None = None) -> list[Callable[[], Patch]]:
    """Return every way to plant a kind of fault into a patch; empty where it has no place for it.

    Only with a `rig` is it known which choices are blocks, and which runs were chosen slot by slot.
    """
    if rig is not None:
        patch = attrs.evolve(patch, settings=tuple(_slot_by_slot(rig, row) for row in patch.settings))
    if kind == "digest-mismatch":
        return [lambda: attrs.evolve(patch, rig="sha256:" + "0" * 64), lambda: attrs.evolve(patch, show="sha256:" + "0" * 64)]
    if kind == "period-unknown":
        return [lambda: attrs.evolve(patch, settings=(*patch.settings, Setting(period="encore")))]
    if kind == "period-missing":
        several = len(patch.settings) > 1
        return [_less(patch, number) for number in range(len(patch.settings))] if several else []
    fault = BROKEN[kind]
    if fault.blocks:
        return [
            _put(patch, number, spoil)
            for number, row in enumerate(patch.settings)
            for at, choice in enumerate(row.selections)
            if rig is not None and _is_block(rig, choice)
            for spoil in fault.blocks(row, at, choice)
        ]
    return [_put(patch, number, spoil) for number, row in enumerate(patch.settings) for spoil in fault.places(row)]


def _is_block(rig: Rig, choice: Selection) -> bool:
    """Return whether a choice is one whole run of a row that takes so many at once."""
    rows = [row for row in rig.type_of(choice.into.device).select if row.into.partition("[")[0] == choice.into.bank]
    return bool(rows) and all(row.by > 1 for row in rows)


def _slot_by_slot(rig: Rig, setting: Setting) -> Setting:
    """Return a setting with every choice that is no block written for each slot of its own."""
    rows: list[Selection] = []
    for choice in setting.selections:
        if choice.into.first == choice.into.last or choice.into.device not in rig.devices or _is_block(rig, choice):
            rows.append(choice)
        else:
            rows += [
                attrs.evolve(choice, into=Span(*into[:2], into[2], into[2]), from_=Span(*source[:2], source[2], source[2]))
                for into, source in zip(choice.into.slots(), choice.from_.slots(), strict=True)
            ]
    return attrs.evolve(setting, selections=tuple(rows))


def _less(patch: Patch, number: int) -> Callable[[], Patch]:
    return lambda: attrs.evolve(patch, settings=(*patch.settings[:number], *patch.settings[number + 1 :]))


def _put(patch: Patch, number: int, spoil: _Spoil) -> Callable[[], Patch]:
    return lambda: attrs.evolve(patch, settings=(*patch.settings[:number], spoil(), *patch.settings[number + 1 :]))


def _fault(name: str, needs: str = "nothing") -> Callable[[Callable[[Setting], Iterator[_Spoil]]], Any]:
    def enter(places: Callable[[Setting], Iterator[_Spoil]]) -> Any:
        BROKEN[name] = Fault(needs, places)
        return places

    return enter


def _nowhere(setting: Setting) -> Iterator[_Spoil]:
    """Kinds of the whole patch have no place in one setting."""
    return iter(())


_fault("digest-mismatch")(_nowhere)
_fault("period-unknown")(_nowhere)
_fault("period-missing", "two acts")(_nowhere)


def _swap(setting: Setting, field: str, number: int, *rows: Any) -> _Spoil:
    """Return the setting with row `number` of a field replaced by `rows`."""
    held = getattr(setting, field)
    changed: dict[str, Any] = {field: (*held[:number], *rows, *held[number + 1 :])}
    return lambda: attrs.evolve(setting, **changed)


def _single(setting: Setting) -> Iterator[tuple[int, Selection]]:
    """Yield the choices of one slot that end at what a route delivers to a list."""
    ends = {route.hops[-1] for route in setting.routes if route.hops and route.to != route.leg.partition(".")[0]}
    for number, row in enumerate(setting.selections):
        if row.into.first == row.into.last and row.into.first is not None and _slot(row.into) in ends:
            yield number, row


def _slot(span: Span) -> Slot:
    return Slot(span.device, span.bank or "", span.first or 1)


# plugs, mixes, routes


@_fault("plug-missing", "a wanted source")
def _plug_missing(setting: Setting) -> Iterator[_Spoil]:
    wanted = {route.leg for route in setting.routes}
    for leg in setting.plugs:
        if leg in wanted:
            plugs = Table({key: place for key, place in setting.plugs.items() if key != leg})
            yield lambda plugs=plugs: attrs.evolve(setting, plugs=plugs)  # type: ignore[misc]


@_fault("plug-unknown")
def _plug_unknown(setting: Setting) -> Iterator[_Spoil]:
    for place in list(setting.plugs.values())[:1]:
        far = place._replace(number=place.number)
        yield lambda far=far: attrs.evolve(setting, plugs=Table({**setting.plugs, "nobody": far}))  # type: ignore[misc]


@_fault("plug-no-socket", "a source")
def _plug_no_socket(setting: Setting) -> Iterator[_Spoil]:
    for leg, place in setting.plugs.items():
        far = Table({**setting.plugs, leg: place._replace(number=9999)})
        yield lambda far=far: attrs.evolve(setting, plugs=far)  # type: ignore[misc]


@_fault("mix-missing", "a feed")
def _mix_missing(setting: Setting) -> Iterator[_Spoil]:
    for leg in setting.mixes:
        mixes = Table({key: place for key, place in setting.mixes.items() if key != leg})
        yield lambda mixes=mixes: attrs.evolve(setting, mixes=mixes)  # type: ignore[misc]


@_fault("mix-unknown", "a feed")
def _mix_unknown(setting: Setting) -> Iterator[_Spoil]:
    for place in list(setting.mixes.values())[:1]:
        yield lambda place=place: attrs.evolve(  # type: ignore[misc]
            setting, mixes=Table({**setting.mixes, "nothing": place._replace(number=place.number)})
        )


@_fault("route-missing", "a delivery")
def _route_missing(setting: Setting) -> Iterator[_Spoil]:
    for number in range(len(setting.routes)):
        yield _swap(setting, "routes", number)


@_fault("route-unknown", "a delivery")
def _route_unknown(setting: Setting) -> Iterator[_Spoil]:
    for number, row in enumerate(setting.routes):
        yield _swap(setting, "routes", number, row, attrs.evolve(row, entry=9999))


# choices


@_fault("not-delivered", "a channel that chooses for itself")
def _not_delivered(setting: Setting) -> Iterator[_Spoil]:
    for number, _ in _single(setting):
        yield _swap(setting, "selections", number)


@_fault("out-of-range", "a channel that chooses for itself")
def _out_of_range(setting: Setting) -> Iterator[_Spoil]:
    for number, row in _single(setting):
        beyond = row.into._replace(first=9999, last=9999)
        yield _swap(setting, "selections", number, row, attrs.evolve(row, into=beyond))


@_fault("no-such-place", "a choice")
def _no_such_place(setting: Setting) -> Iterator[_Spoil]:
    for number, row in enumerate(setting.selections):
        yield _swap(setting, "selections", number, row, attrs.evolve(row, into=row.into._replace(bank="attic")))


@_fault("no-select-row", "a channel that chooses for itself")
def _no_select_row(setting: Setting) -> Iterator[_Spoil]:
    for number, row in _single(setting):
        yield _swap(setting, "selections", number, attrs.evolve(row, from_=row.into))


def _misaligned(setting: Setting, number: int, row: Selection) -> Iterator[_Spoil]:
    if row.from_.first is not None and row.from_.last is not None:
        moved = row.from_._replace(first=row.from_.first + 1, last=row.from_.last + 1)
        yield _swap(setting, "selections", number, attrs.evolve(row, from_=moved))


def _length(setting: Setting, number: int, row: Selection) -> Iterator[_Spoil]:
    if row.into.first is not None and row.into.last is not None and row.into.last > row.into.first:
        yield _swap(setting, "selections", number, attrs.evolve(row, into=row.into._replace(last=row.into.last - 1)))


_BLOCK = "a block; give the whole answer, so that it is known which choices are blocks"
BROKEN["select-misaligned"] = Fault(_BLOCK, _nowhere, _misaligned)
BROKEN["select-length"] = Fault(_BLOCK, _nowhere, _length)


@_fault("one-feeder", "two channels that choose for themselves")
def _one_feeder(setting: Setting) -> Iterator[_Spoil]:
    rows = list(_single(setting))
    for number, row in rows:
        other = next((two for _, two in rows if two.into.device == row.into.device and two.from_ != row.from_), None)
        if other is not None:
            yield _swap(setting, "selections", number, row, attrs.evolve(row, from_=other.from_))


# clock


def _domain(setting: Setting, **change: Any) -> Iterator[_Spoil]:
    for number, row in enumerate(setting.clock):
        if row.followers or "followers" not in change:
            yield _swap(setting, "clock", number, attrs.evolve(row, **change))


@_fault("clock-no-row", "a device that works on samples")
def _clock_no_row(setting: Setting) -> Iterator[_Spoil]:
    for number in range(len(setting.clock)):
        yield _swap(setting, "clock", number)


@_fault("clock-unknown-domain", "a device that works on samples")
def _clock_unknown(setting: Setting) -> Iterator[_Spoil]:
    for number, row in enumerate(setting.clock):
        yield _swap(setting, "clock", number, row, attrs.evolve(row, id="elsewhere"))


@_fault("clock-no-leader", "a device that works on samples")
def _clock_no_leader(setting: Setting) -> Iterator[_Spoil]:
    yield from _domain(setting, leader="", followers=())


@_fault("clock-rate", "a device that works on samples")
def _clock_rate(setting: Setting) -> Iterator[_Spoil]:
    yield from _domain(setting, rate=32000)


@_fault("clock-missing", "a device that follows")
def _clock_missing(setting: Setting) -> Iterator[_Spoil]:
    for number, row in enumerate(setting.clock):
        for at, follower in enumerate(row.followers):
            if not any(other.from_ == follower.device for other in row.followers):
                rest = (*row.followers[:at], *row.followers[at + 1 :])
                yield _swap(setting, "clock", number, attrs.evolve(row, followers=rest))


@_fault("clock-depth", "a device that follows")
def _clock_depth(setting: Setting) -> Iterator[_Spoil]:
    for number, row in enumerate(setting.clock):
        for at, follower in enumerate(row.followers):
            wrong = attrs.evolve(follower, depth=follower.depth + 1)
            rest = (*row.followers[:at], wrong, *row.followers[at + 1 :])
            yield _swap(setting, "clock", number, attrs.evolve(row, followers=rest))


# owners, phantom


@_fault("owner-unknown", "a preamp in use")
def _owner_unknown(setting: Setting) -> Iterator[_Spoil]:
    for device in dict.fromkeys(row.preamps.device for row in setting.owners if row.owner):
        rows = tuple(
            attrs.evolve(row, owner="nobody") if row.owner and row.preamps.device == device else row for row in setting.owners
        )
        yield lambda rows=rows: attrs.evolve(setting, owners=rows)  # type: ignore[misc]


@_fault("owner-missing", "a preamp in use")
def _owner_missing(setting: Setting) -> Iterator[_Spoil]:
    plugged = set(setting.plugs.values())
    for number, row in enumerate(setting.owners):
        if any(row.preamps.holds(place) for place in plugged):
            yield _swap(setting, "owners", number)


@_fault("phantom-need-off", "a source that needs phantom")
def _need_off(setting: Setting) -> Iterator[_Spoil]:
    for number, row in enumerate(setting.phantom):
        if row.on:
            yield _swap(setting, "phantom", number, attrs.evolve(row, on=False))
