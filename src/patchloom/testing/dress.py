"""What else a drawn show says: gains, owners, groups, talk, a stage; never more than its hidden patch keeps.

Comes in: a rig, a show that can be patched, and what was drawn beside its sources.  Goes out: the show with more said.
Next: `asking`.

As in `asking`, every number means something: a choice among n is taken modulo n, and what makes no sense for a source is
left out.  Gains are drawn first and what people want is asked for afterwards, a margin inside every trim; an owner is one
whose desk is the device itself or at the other end of a link that passes control; a relation is one the sockets have.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import attrs

from patchloom.address import parse
from patchloom.model.base import Table
from patchloom.model.rig import Rig
from patchloom.model.show import Group, List, Owner, Show, Source, Stage, Talk, Thing, Zone
from patchloom.testing.lead import Place

__all__ = ["EXTRAS", "VALUES", "Extra", "dress"]

EXTRAS = ("", "", "", "", "gains", "gains", "owners", "groups", "groups", "talk", "stage")
"""What may be said beside a source, the plainest first, each as often as it is to come."""
VALUES = 8
"""How many values whatever is said may take."""

_MARGIN_DB = 3
_RESERVE_DB = 6
_WIDTHS_M = (8.0, 12.0, 6.0, 16.0)
_ZONES = ("DSC", "DSR", "USL", "USC")


class Extra(NamedTuple):
    """What was drawn beside a source."""

    source: str
    place: Place
    """Bank of sockets it stands on."""
    first: int
    """Its first socket; 0 where it may stand anywhere in the bank."""
    what: str
    """One of `EXTRAS`, none of it empty."""
    value: int


def dress(rig: Rig, show: Show, extras: Sequence[Extra]) -> Show:
    """Return a show with more said, which can be patched as it could before."""
    if not extras:
        return show
    sources = {row.id: row for row in show.sources}
    owners: dict[str, Owner] = {}
    groups: list[Group] = []
    talk: list[Talk] = []
    zones: dict[str, str] = {}
    places = {row.source: row for row in extras}
    for row in extras:
        hearing = _hearing(show, row.source)
        if row.what == "gains":
            sources[row.source] = _gains(rig, sources[row.source], row, hearing)
        elif row.what == "owners":
            owner = _owner(rig, show, row)
            if owner is not None:
                owners.setdefault(row.place[0], owner)
        elif row.what == "groups":
            groups.extend(_group(rig, list(places.values()), row, len(groups) + 1))
        elif row.what == "talk" and hearing:
            to = hearing[row.value % len(hearing)].position
            talk.append(Talk(from_=row.source, to=(to,)))
        elif row.what == "stage":
            zones[row.source] = _ZONES[row.value % len(_ZONES)]
            sources[row.source] = attrs.evolve(sources[row.source], zone=zones[row.source])
    return attrs.evolve(
        show,
        sources=tuple(sources.values()),
        owners=tuple(owners.values()),
        groups=tuple(groups),
        talk=tuple(talk),
        stage=_stage(zones, extras) if zones else None,
    )


def _hearing(show: Show, source: str) -> list[List]:
    """Return the lists that want a source."""
    return [row for row in show.lists if any(want is not None and want.signal == source for want in row.wants)]


def _gains(rig: Rig, source: Source, row: Extra, hearing: list[List]) -> Source:
    """Return a source with the totals people want: those its preamp gives at one gain, each trim within its range."""
    device, bank = row.place
    kind = rig.type_of(device)
    amp = kind.preamps.get(kind.banks[bank].preamp or "")
    if amp is None or amp.gain_db is None or not hearing:
        return source
    low, high = amp.gain_db
    step = amp.step_db or 1
    gain = low + step * (row.value * 5 % (int((high - low) // step) + 1))
    wanted: dict[str, float] = {}
    for number, item in enumerate(hearing):
        span = parse(item.at)
        there = rig.type_of(span.device).banks[span.bank or ""]
        if there.does == "process":
            least, most = there.trim_db or (0, 0)
            room = int(most - least) - 2 * _MARGIN_DB
            trim = int(least) + _MARGIN_DB + (row.value * 3 + number * 7) % (room + 1) if room > 0 else 0
            wanted[item.position] = gain + trim
    peak = amp.full_scale_dbu - _RESERVE_DB - gain - row.value if amp.full_scale_dbu is not None and wanted else None
    return attrs.evolve(source, want_db=Table(wanted), peak_dbu=peak)


def _owner(rig: Rig, show: Show, row: Extra) -> Owner | None:
    """Return an owner of the preamps a source stands on: somebody whose desk moves them for certain."""
    device, bank = row.place
    kind = rig.type_of(device)
    amp = kind.preamps.get(kind.banks[bank].preamp or "")
    if amp is None or amp.doors:
        return None
    desks = {device, *_commanding(rig, device)}
    able = [position for position, item in show.positions.items() if item.desk in desks and item.kind != "record"]
    return Owner(preamps=(f"{device}.{bank}",), owner=able[row.value % len(able)]) if able else None


def _commanding(rig: Rig, device: str) -> list[str]:
    """Return the desks at the other end of a link over which control gets to a device."""
    found = []
    for link in rig.links:
        ends = [parse(text) for text in link.join]
        spoken = rig.formats.get(link.format)
        for here, there in (ends, ends[::-1]):
            if there.device != device or spoken is None or (link.pass_ is not None and "control" not in link.pass_):
                continue
            ports = rig.type_of(here.device).ports.get(here.bank or ""), rig.type_of(device).ports.get(there.bank or "")
            if rig.type_of(here.device).role == "desk" and ports[0] is not None and ports[1] is not None:
                if ports[0].passes("out", "control", spoken) and ports[1].passes("in", "control", spoken):
                    found.append(here.device)
    return found


def _group(rig: Rig, rows: list[Extra], row: Extra, number: int) -> list[Group]:
    """Return a relation of a source and one drawn before it, which their sockets have already."""
    before = rows[: rows.index(row)]
    if not before:
        return []
    other = before[row.value % len(before)]
    kinds = ["never-open-together"]
    if row.place[0] != other.place[0]:
        kinds.append("apart")
    elif row.place == other.place:
        kinds.append("one-box")
        if row.first and other.first:
            kinds.append("in-order")
    return [Group(id=f"g{number}", of=(other.source, row.source), relation=kinds[row.value // 2 % len(kinds)])]


def _stage(zones: dict[str, str], extras: Sequence[Extra]) -> Stage:
    """Return a stage with the zones sources stand in, and a thing in each."""
    value = next(row.value for row in extras if row.what == "stage")
    width = _WIDTHS_M[value % len(_WIDTHS_M)]
    depth = width / 2
    rows = {}
    things = []
    for number, zone in enumerate(dict.fromkeys(zones.values())):
        rows[zone] = Zone(id=zone, order=number + 1)
        mine = tuple(source for source, name in zones.items() if name == zone)
        things.append(Thing(id=f"t{number + 1}", kind="riser", zone=zone, size=(2.0, 2.0), sources=mine))
    return Stage(width_m=width, depth_m=depth, zones=Table(rows), things=tuple(things))
