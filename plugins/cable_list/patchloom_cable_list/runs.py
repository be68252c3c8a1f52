"""What has to be run: the cables of every link, and one stage cable for each source leg.

Comes in: a rig and the views of all acts.  Goes out: `Run`s in the order they are printed.  Next: `stock.py`.

No length is made up: where nobody stated one, it is unknown and stays so.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import attrs

from patchloom.address import Slot, parse
from patchloom.model.rig import Cable, Link, Rig
from patchloom.pages import View

__all__ = ["Run", "cable_runs", "stage_runs"]


@attrs.frozen
class Run:
    """One run of cable."""

    key: str
    """What its labels begin with."""
    near: str
    far: str
    kind: str
    """Kind of cable, as far as it is stated."""
    length_m: float | None
    connector: str = ""
    """Connector of the socket it plugs into; empty where nobody stated it."""
    stock: str = ""
    """Row of stock it is to be taken from; empty where nobody stated it."""
    ways: int = 1
    route: str = ""
    label: str = ""
    colour: str = ""
    joints: int = 0


def cable_runs(rig: Rig) -> Iterator[Run]:
    """Yield a run for each cable of each link; a link whose cables nobody stated is one cable of unknown length."""
    for link in rig.links:
        if len(link.join) != 2:
            continue
        several = len(link.cables) > 1
        for place, cable in enumerate(link.cables or (Cable(),)):
            key = f"{link.id} {'ABCDEFGH'[place % 8]}" if several else link.id
            yield Run(
                key,
                _end(link.join[0]),
                _end(link.join[1]),
                kind=cable.medium or link.format or ("analogue" if parse(link.join[0]).first is not None else ""),
                length_m=cable.length_m,
                connector=_connector(rig, link),
                stock=cable.stock,
                ways=_ways(link),
                route=cable.route,
                label=cable.label,
                joints=cable.joints,
            )


def _ways(link: Link) -> int:
    """Return how many sockets a link joins one by one; 1 for a link of ports."""
    span = parse(link.join[0])
    return 1 if span.first is None else (span.last or span.first) - span.first + 1


def _connector(rig: Rig, link: Link) -> str:
    """Return the connector of the sockets a link joins one by one; empty for ports, and where nobody stated it."""
    for end in link.join:
        span = parse(end)
        bank = rig.type_of(span.device).banks.get(span.bank or "") if span.first is not None else None
        if bank is not None and bank.connector:
            return bank.connector
    return ""


def _end(address: str) -> str:
    span = parse(address)
    if span.first is None:
        return f"{span.device} {span.bank}"
    return f"{span.device} {span.bank} {span.first}" + (f"-{span.last}" if span.last != span.first else "")


def stage_runs(seen: Sequence[View]) -> Iterator[Run]:
    """Yield a run for each source leg, at the socket it is first plugged into; sockets of one purpose need no stage cable."""
    found: dict[str, tuple[View, Slot]] = {}
    for view in seen:
        for row in view.show.sources:
            for leg in row.leg_ids():
                at = view.setting.plugs.get(leg)
                bank = view.bank(at.device, at.bank) if at is not None else None
                if at is not None and bank is not None and not bank.only_for:
                    found.setdefault(leg, (view, at))
    order = {key: place for place, key in enumerate(key for view in seen for key in view.rig.devices)}
    for leg, (view, at) in sorted(found.items(), key=lambda item: (order[item[1][1].device], item[1][1], item[0])):
        source, bank = view.source(leg), view.bank(at.device, at.bank)
        if source is None or bank is None:
            continue
        zone = view.zone(source.zone)
        yield Run(
            leg,
            view.name(leg) + (f", {zone}" if zone else ""),
            view.line(at),
            kind="",
            length_m=source.cable_m,
            connector=bank.connector,
            colour=source.colour,
        )
