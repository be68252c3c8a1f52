"""The mixes a position makes, and the way of each to whoever hears it.

Comes in: a `View` and a position.  Goes out: a `Page`, or None for a position that makes nothing.
"""

from __future__ import annotations

from patchloom.model.patch import Route
from patchloom.model.show import Destination, Feed
from patchloom.pages import Cell, Column, Page, Row, Table, View, cautions, list_id

__all__ = ["output_page"]

_COLUMNS = (
    Column("out", "Out", 0.8, "number", "strong"),
    Column("name", "Mix", 2.8, size="strong"),
    Column("leg", "St", 0.7),
    Column("mix", "Made on", 1.4, "address"),
    Column("via", "By way of", 2.6),
    Column("socket", "To", 2, "address", "strong"),
    Column("device", "What stands there", 2.2),
    Column("person", "Who hears it", 2),
    Column("zone", "Zone", 1.2),
    Column("level", "Level", 1),
    Column("cable", "Cable", 1.2),
    Column("notes", "Notes", 1.8),
)
_PASSING = ("box", "split", "multicore", "desk", "converter", "network")
_MAY_GO = {"leg", "device", "person", "zone", "level", "cable", "notes", "via"}


def output_page(view: View, position: str) -> Page | None:
    """Return the output list of a position in one act, None when it makes no feed."""
    feeds = [feed for feed in view.show.feeds if feed.mixed_at == position]
    if not feeds:
        return None
    made = [row for feed in feeds for row in _rows(view, feed)]
    rows = [Row((Cell(str(number)), *row.cells), row.kind, row.block, row.keep) for number, row in enumerate(made, 1)]
    words = {feed.id: feed.notes for feed in feeds if feed.notes}
    below = tuple(f"{view.name(key)}: {text}" for key, text in words.items())
    columns = tuple(
        column
        for place, column in enumerate(_COLUMNS)
        if column.id not in _MAY_GO or any(row.cells[place].text not in ("", "\u2013") for row in rows)
    )
    kept = [place for place, column in enumerate(_COLUMNS) if column in columns]
    table = Table(
        "outputs",
        columns=columns,
        rows=tuple(Row(tuple(row.cells[place] for place in kept), row.kind, row.block, row.keep) for row in rows),
        notes=("Blank = unknown.", *below),
        repeat_first=len(columns) > 10,
    )
    return Page(
        "table",
        "Output list",
        subject=position,
        subject_name=view.position_name(position),
        position=position,
        period=view.period,
        period_name=view.period_name,
        about=view.say("Mixes made at {desk}: {count}.", count=len(feeds), desk=view.show.desk_of(position) or "\u2013"),
        tables=(table,),
        cautions=cautions(["hearing"]),
        touches=tuple(
            dict.fromkeys(
                [
                    position,
                    *(feed.id for feed in feeds),
                    *(leg for feed in feeds for leg in feed.leg_ids()),
                    *(
                        place.device
                        for route in view.setting.routes
                        for place in route.hops
                        if route.leg.split(".")[0] in {feed.id for feed in feeds}
                    ),
                ]
            )
        ),
    )


def _rows(view: View, feed: Feed) -> list[Row]:
    """Return one row for every leg at every place it arrives, the legs of one place together, and one where it arrives not."""
    legs = feed.leg_ids()
    routes = [route for route in view.setting.routes if route.leg in legs and route.hops and not route.alternate]
    places = dict.fromkeys((route.to != feed.id, route.to, route.entry) for route in routes)
    rows = [
        _row(view, feed, route.leg, route)
        for place in sorted(places)
        for route in sorted(routes, key=lambda route: legs.index(route.leg))
        if (route.to != feed.id, route.to, route.entry) == place
    ]
    served = {route.leg for route in routes}
    return rows + [_row(view, feed, leg, None) for leg in legs if leg not in served]


def _row(view: View, feed: Feed, leg: str, route: Route | None) -> Row:
    mix = view.starts(leg)
    spot = _destination(feed, route) if route is not None and route.to == feed.id else None
    cells = (
        Cell(view.name(leg)),
        Cell(leg.partition(".")[2]),
        Cell(view.line(mix) if mix else ""),
        Cell(_via(view, route) if route else ""),
        Cell(view.line(route.hops[-1]) if route else view.say("nowhere"), () if route else ("strong",)),
        Cell(spot.name if spot else _list_name(view, route)),
        Cell((spot.person if spot else "") or feed.person),
        Cell(_zone(view, spot, route)),
        Cell(spot.level if spot else ""),
        Cell(spot.cable if spot else ""),
        Cell(spot.notes if spot else ""),
    )
    here = f" {route.to} {route.entry}" if route else ""
    return Row(cells, "row" if route else "empty", keep=f"{feed.id}{here}" if len(feed.legs) > 1 else "")


def _destination(feed: Feed, route: Route) -> Destination | None:
    return feed.to[route.entry - 1] if 0 < route.entry <= len(feed.to) else None


def _list_name(view: View, route: Route | None) -> str:
    if route is None:
        return ""
    row = next((row for row in view.show.lists if list_id(row) == route.to), None)
    return view.say("list {name}", name=row.name or list_id(row)) if row else ""


def _via(view: View, route: Route) -> str:
    """Return the devices and links between the mix and the place it arrives at."""
    words: list[str] = []
    for before, here in zip(route.hops, route.hops[1:], strict=False):
        if before.device != here.device:
            words.append(
                view.line(before)
                if view.bank(before.device, before.bank)
                else f"{before.device} {before.bank.removesuffix('.out')}-{before.number}"
            )
    return " > ".join(words)


def _zone(view: View, spot: Destination | None, route: Route | None) -> str:
    """Return where it is heard: the zone stated, else that of the device it ends on, unless that only hands it on."""
    if spot is None or route is None:
        return ""
    if spot.zone:
        return view.zone(spot.zone)
    end = route.hops[-1].device
    place = view.device(end).place
    return view.zone(place.zone) if place and view.type_of(end).role not in _PASSING else ""
