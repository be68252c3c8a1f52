"""Changes of what is there: bigger banks and pools, other preamps, another leader, another rate.

Comes in: rig, show, what is changed and to what.  Goes out: the pair with another rig.  Next: `change/__init__.py`.

A type that several devices share is copied for the device that changes: `TYPE-for-DEVICE`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import attrs

from patchloom.address import parse
from patchloom.model.base import Table
from patchloom.model.rig import Bank, Port, Rig, Type
from patchloom.model.show import Show

__all__ = ["DOES", "larger", "retype"]

Pair = tuple[Rig, Show]


def retype(rig: Rig, device: str, change: Callable[[Type], Type]) -> Rig:
    """Return a rig in which one device alone is of the type that `change` makes of its own."""
    placed = rig.devices[device]
    new = change(rig.types[placed.type])
    name = placed.type
    if any(other.type == name for key, other in rig.devices.items() if key != device):
        name = f"{placed.type}-for-{device}"
    return attrs.evolve(
        rig,
        types=Table({**rig.types, name: attrs.evolve(new, id=name)}),
        devices=Table({**rig.devices, device: attrs.evolve(placed, type=name)}),
    )


def larger(size: Any, more: int) -> Any:
    """Return a size with so many more, at every rate it is given for."""
    if isinstance(size, Mapping):
        return Table({key: larger(value, more) for key, value in size.items()})
    return size + more if size else size


def slots(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Make banks larger by `to` slots; a port that is wired to one is no limit of its own then."""
    for text in of:
        span = parse(text)

        def change(kind: Type, name: str = span.bank or "") -> Type:
            banks = {**kind.banks, name: attrs.evolve(kind.banks[name], slots=larger(kind.banks[name].slots, to))}
            ports = {key: _opened(kind, key, port, name) for key, port in kind.ports.items()}
            return attrs.evolve(kind, banks=Table(banks), ports=Table(ports))

        rig = retype(rig, span.device, change)
    return rig, show


def _opened(kind: Type, key: str, port: Port, bank: str) -> Port:
    """Return a port that holds as much as its link carries where a bank is wired straight to it."""
    sizes = port.slots
    if sizes is None:
        return port
    made = dict(sizes) if isinstance(sizes, Mapping) and {"in", "out"} & set(sizes) else {"in": sizes, "out": sizes}
    for row in kind.select:
        if row.wired and row.into == f"{key}.out" and row.wired == bank:
            made.pop("out", None)
        if row.wired and row.into == bank and row.wired == f"{key}.in":
            made.pop("in", None)
    return attrs.evolve(port, slots=Table(made) if made else None)


def pool(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Make shared pools larger by `to`: `FOH.limits[0]`."""
    for text in of:
        device, _, number = text.rstrip("]").partition(".limits[")

        def change(kind: Type, at: int = int(number)) -> Type:
            rows = tuple(
                attrs.evolve(row, most=larger(row.most, to)) if index == at else row for index, row in enumerate(kind.limits)
            )
            return attrs.evolve(kind, limits=rows)

        rig = retype(rig, device, change)
    return rig, show


def _banks(rig: Rig, of: tuple[str, ...], change: Callable[[Bank], Bank]) -> Rig:
    for text in of:
        span = parse(text)

        def make(kind: Type, name: str = span.bank or "") -> Type:
            return attrs.evolve(kind, banks=Table({**kind.banks, name: change(kind.banks[name])}))

        rig = retype(rig, span.device, make)
    return rig


def _preamps(rig: Rig, of: tuple[str, ...], **values: Any) -> Rig:
    """Return a rig whose banks `of` have preamps of their own with other values."""
    for text in of:
        span = parse(text)

        def change(kind: Type, name: str = span.bank or "") -> Type:
            bank = kind.banks[name]
            if not bank.preamp:
                return kind
            key = f"{bank.preamp}-of-{name}"
            preamps = {**kind.preamps, key: attrs.evolve(kind.preamps[bank.preamp], id=key, **values)}
            banks = {**kind.banks, name: attrs.evolve(bank, preamp=key)}
            return attrs.evolve(kind, banks=Table(banks), preamps=Table(preamps))

        rig = retype(rig, span.device, change)
    return rig


def switched_alone(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Let phantom of banks be switched socket by socket."""
    return _preamps(rig, of, phantom_by=1), show


def any_preamp_gain(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Let the preamps of banks have any gain, in any step."""
    return _preamps(rig, of, gain_db=None, step_db=None), show


def owned_alone(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Let each preamp of banks have an owner of its own."""
    return _preamps(rig, of, owner_by="socket"), show


def trim(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Let the trims of banks reach from `to[0]` to `to[1]` dB."""
    return _banks(rig, of, lambda bank: attrs.evolve(bank, trim_db=tuple(to))), show


def any_pairs(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Let stereo start on any slot of banks."""
    return _banks(rig, of, lambda bank: attrs.evolve(bank, pairs=False)), show


def leader(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Let clock domains be led by `to`; empty for whoever is best."""
    domains = {key: attrs.evolve(row, leader=to or "") if key in of else row for key, row in rig.domains.items()}
    return attrs.evolve(rig, domains=Table(domains)), show


def may_lead(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Let devices lead a clock domain."""
    devices = {key: attrs.evolve(row, can_lead=True) if key in of else row for key, row in rig.devices.items()}
    return attrs.evolve(rig, devices=Table(devices)), show


def rate(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Run clock domains at `to` Hz."""
    domains = {key: attrs.evolve(row, rate=to) if key in of else row for key, row in rig.domains.items()}
    return attrs.evolve(rig, domains=Table(domains)), show


def join_domain(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Put devices with one clock section into clock domain `to`."""
    devices = {key: attrs.evolve(row, domain=to) if key in of else row for key, row in rig.devices.items()}
    return attrs.evolve(rig, devices=Table(devices)), show


DOES: dict[str, Callable[[Rig, Show, tuple[str, ...], Any], Pair]] = {
    "any-pairs": any_pairs,
    "any-preamp-gain": any_preamp_gain,
    "join-domain": join_domain,
    "leader": leader,
    "may-lead": may_lead,
    "owned-alone": owned_alone,
    "pool": pool,
    "rate": rate,
    "slots": slots,
    "switched-alone": switched_alone,
    "trim": trim,
}
