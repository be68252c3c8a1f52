"""One device as a page: its sockets in, its sockets out, and what a desk takes in.

Comes in: a `View` and a device.  Goes out: a `Page`, or None for a device without connectors.
"""

from __future__ import annotations

from patchloom.address import Slot
from patchloom.model.rig import Bank
from patchloom.pages import Cell, Column, Page, Row, Table, View, cautions, list_id
from patchloom.pages.cells import PHANTOM_NOTE, phantom
from patchloom_patch_sheet.inside import inside_tables
from patchloom_patch_sheet.panel import panel

__all__ = ["device_page"]

_ON_STAGE = ("box", "split", "multicore")
_SEP = " \u2013 "
_MAY_GO = {"loom", "mic", "phantom", "zone", "cable", "person", "level", "from"}


def device_page(view: View, device: str) -> Page | None:
    """Return the patch sheet of a device in one act, None when it has no connector and chooses nothing."""
    tables = [
        table
        for way in ("in", "out")
        for bank in view.sockets(device, way)
        if (table := _sockets(view, device, bank)) is not None
    ]
    desk = bool(_whose(view, device))
    inside = () if desk else tuple(inside_tables(view, device))  # a desk's choices are on its own patch sheet
    if view.type_of(device).role == "box":
        tables += [
            panel(view, device, bank, f"{bank.id}-panel")
            for bank in (*view.sockets(device, "in"), *view.sockets(device, "out"))
            if view.size(device, bank.id) > bank.row
        ]
    if not tables and not inside:
        return None
    kind = view.type_of(device)
    legs = dict.fromkeys(
        leg
        for bank in kind.banks.values()
        for n in range(1, view.size(device, bank.id) + 1)
        for leg in view.legs_at(Slot(device, bank.id, n))
    )
    lists = dict.fromkeys(route.to for route in view.setting.routes if any(place.device == device for place in route.hops))
    areas = ["hearing", *(["phantom"] if kind.preamps else []), *(["trip"] if kind.role in ("box", "split", "multicore") else [])]
    return Page(
        "table",
        "Patch sheet",
        subject=device,
        subject_name=view.device_name(device),
        position=_whose(view, device),
        period=view.period,
        period_name=view.period_name,
        about=_about(view, device),
        tables=(*tables, *inside),
        notes=tuple(word for word in (view.device(device).notes,) if word),
        cautions=cautions(areas),
        touches=tuple(
            dict.fromkeys(
                [device, *legs, *(leg.split(".")[0] for leg in legs), *lists, *(link.id for link in view.links_of(device))]
            )
        ),
    )


def _whose(view: View, device: str) -> str:
    """Return the position whose desk it is; empty for what stands on the stage for everybody."""
    return next((key for key in view.positions() if view.show.desk_of(key) == device), "")


def _about(view: View, device: str) -> str:
    row, kind = view.device(device), view.type_of(device)
    place = row.place
    where = ", ".join(word for word in ((view.zone(place.zone) if place else ""), (place.note if place else "")) if word)
    links = ", ".join(f"{link.id} ({_SEP.join(link.join)})" for link in view.links_of(device))
    words = (
        view.say(kind.role),
        view.say("stands {place}", place=where) if where else "",
        view.say("address {address}", address=row.address) if row.address else "",
        view.say("links {links}", links=links) if links else "",
    )
    return "; ".join(word for word in words if word)


def _sockets(view: View, device: str, bank: Bank) -> Table | None:
    """Return the table of one bank of sockets, a row for every one of them; None for a bank of none at this rate."""
    slots = [Slot(device, bank.id, number) for number in range(1, view.size(device, bank.id) + 1)]
    if not slots:
        return None
    heard = [row for row in view.show.lists if any(_channel(view, list_id(row), at) for at in slots)]
    coming = bank.socket == "in"
    fixed = _in_columns() if coming else _out_columns()
    columns = [
        Column("socket", "Socket", 0.9, "address", "big"),
        *fixed,
        *(Column(f"list-{list_id(row)}", list_id(row).upper(), 0.9, "number", "strong") for row in heard),
        Column("tick", "\u2713", 0.5, "tick"),
    ]
    rows = []
    for at in slots:
        cells = _in_cells(view, at) if coming else _out_cells(view, at)
        rows.append(
            (
                at,
                bool(cells[0].text),
                (Cell(view.mark(at)), *cells, *(Cell(_channel(view, list_id(row), at)) for row in heard), Cell("", ("tick",))),
            )
        )
    if not any(used for _, used, _ in rows) and view.type_of(device).role not in _ON_STAGE:
        return panel(view, device, bank)
    kept = [
        place
        for place, column in enumerate(columns)
        if column.id not in _MAY_GO or any(cells[place].text not in ("", "\u2013") for _, _, cells in rows)
    ]
    made = tuple(
        Row(
            tuple(cells[place] for place in kept),
            "row" if used else "empty",
            (at.number - 1) // max(1, bank.row),
            keep=_pair(view, at),
            marks=_marks(view, at, used),
        )
        for at, used, cells in rows
    )
    words = "{bank}: {count} sockets in" if coming else "{bank}: {count} sockets out"
    if len(slots) == 1:
        words = "{bank}: 1 socket in" if coming else "{bank}: 1 socket out"
    title = view.say(words, bank=bank.id, count=len(slots))
    title += f", {bank.connector}" if bank.connector else ""
    notes = [view.say(PHANTOM_NOTE)] if any(columns[place].id == "phantom" for place in kept) else []
    if any(str(at) in view.setting.spares for at in slots):
        notes.append(view.say("SPARE: kept free on purpose."))
    if heard:
        notes.append(
            view.say(
                "Channel at: {lists}.",
                lists="; ".join(f"{list_id(row).upper()} = {row.name or view.position_name(row.position)}" for row in heard),
            )
        )
    return Table(bank.id, title, tuple(columns[place] for place in kept), made, tuple(notes), repeat_first=len(kept) > 11)


def _in_columns() -> tuple[Column, ...]:
    return (
        Column("source", "Source", 3, size="big"),
        Column("loom", "Loom / label", 1.3),
        Column("mic", "Mic / DI", 2),
        Column("phantom", "48V", 1.2, size="strong"),
        Column("zone", "Zone", 1.4),
        Column("cable", "Cable", 1, "number"),
    )


def _out_columns() -> tuple[Column, ...]:
    return (
        Column("source", "Feed", 3, size="big"),
        Column("person", "For", 2),
        Column("from", "Comes from", 1.8, "address"),
        Column("level", "Level", 1),
        Column("zone", "Zone", 1.4),
        Column("cable", "Cable", 1.2),
    )


def _in_cells(view: View, at: Slot) -> tuple[Cell, ...]:
    """Return source, loom, mic, phantom, zone, cable of a socket; blank but for SPARE where nothing is plugged."""
    leg = view.plugged(at)
    far = view.link_into(at)
    carried = view.legs_at(at)
    if not leg and not carried:
        words = view.say("SPARE") if str(at) in view.setting.spares else ""
        return (Cell(words), Cell(_loom(view, at)), Cell(), Cell(), Cell(), Cell())
    leg = leg or carried[0]
    source = view.source(leg)
    cable = view.options.length(source.cable_m) if source and far is None else ""
    zone = view.zone(source.zone) if source else ""
    return (
        Cell(view.name(leg)),
        Cell(_loom(view, at)),
        Cell((source.mic or view.say(source.kind)) if source else view.say("feed")),
        phantom(view, leg, at),
        Cell(zone),
        Cell(cable),
    )


def _loom(view: View, at: Slot) -> str:
    """Return the far end of the analogue link into a socket, or the colour of the loom of what is plugged."""
    far = view.link_into(at)
    if far is not None:
        link, there = far
        label = next((cable.label for cable in link.cables if cable.label), "")
        return label or view.line(there)
    source = view.source(view.plugged(at))
    return source.colour if source else ""


def _out_cells(view: View, at: Slot) -> tuple[Cell, ...]:
    """Return feed, person, origin, level, zone, cable of an output socket."""
    legs = view.legs_at(at)
    if not legs:
        return tuple(Cell() for _ in range(6))
    route = next(row for row in view.passing(at) if row.leg == legs[0])
    feed = next((row for row in view.show.feeds if row.id == route.to), None)
    spot = feed.to[route.entry - 1] if feed and 0 < route.entry <= len(feed.to) else None
    person = ", ".join(
        word for word in ((spot.name if spot else ""), (spot.person if spot else "") or (feed.person if feed else "")) if word
    )
    return (
        Cell(view.name(legs[0])),
        Cell(person or _goes_to(view, at)),
        Cell(view.line(route.hops[0])),
        Cell(spot.level if spot else ""),
        Cell(view.zone(spot.zone) if spot else ""),
        Cell(spot.cable if spot else ""),
    )


def _goes_to(view: View, at: Slot) -> str:
    """Return the lists that what passes an output socket is on its way to."""
    names = {list_id(row): row.name or view.position(row.position).name or list_id(row) for row in view.show.lists}
    return ", ".join(dict.fromkeys(names.get(route.to, route.to) for route in view.passing(at)))


def _channel(view: View, row: str, at: Slot) -> str:
    """Return the channel of a list that hears a socket; several are parted by `+`, an alternate input says so."""
    other = f" {view.say('alt')}"
    found = [f"{view.mark(route.hops[-1])}{other if route.alternate else ''}" for route in view.passing(at) if route.to == row]
    return "+".join(dict.fromkeys(found))


def _pair(view: View, at: Slot) -> str:
    leg = next(iter(view.legs_at(at)), "")
    return leg.split(".")[0] if "." in leg else ""


def _marks(view: View, at: Slot, used: bool) -> tuple[str, ...]:
    if str(at) in view.setting.spares:
        return ("spare",)
    return () if used else ("empty",)
