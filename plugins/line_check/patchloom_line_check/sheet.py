"""One order of the line check as a page: what to say aloud, where it is plugged, who has to hear it.

Comes in: a `View` and the name of an order.  Goes out: a `Page`, or None where nothing is plugged.
"""

from __future__ import annotations

from itertools import groupby

from patchloom.address import Slot
from patchloom.model.show import List
from patchloom.pages import Cell, Column, Page, Row, Table, View, cautions, list_id
from patchloom.pages.cells import PHANTOM_NOTE, phantom
from patchloom.pages.lines import channel_order, channels, head, list_name, pair_of, touching, walking_order

__all__ = ["ORDERS", "check_page"]

ORDERS = ("channel", "walking")
_TITLES = {"channel": "channel order", "walking": "walking order"}
_ABOUT = {
    "channel": "In the order of the house desk. Say the label aloud; tick each position that calls it.",
    "walking": "Zone by zone, the shortest walk. Say the label aloud; tick each position that calls it.",
}
_BLOCK = 8
_MOST_HEARD, _WIDE = 8, 11


def check_page(view: View, order: str) -> Page | None:
    """Return the line check sheet of one act in one order."""
    lines = walking_order(view) if order == "walking" else channel_order(view)
    if not lines:
        return None
    every_list = [row for row in view.show.lists if any(channels(view, row, leg) for leg, _ in lines)]
    heard, left = every_list[:_MOST_HEARD], every_list[_MOST_HEARD:]
    first = _first_of_blocks(lines)
    every = _rows(view, lines, heard, order)
    columns = _columns(heard)
    wide = len(columns) > _WIDE
    tables = [
        Table("first", "One line of each block first", columns, _rows(view, first, heard, "first"), repeat_first=wide),
        Table("lines", "Then every line", columns, every, tuple(_notes(view, heard, left)), repeat_first=wide),
    ]
    return Page(
        "table",
        "Line check",
        subject=order,
        subject_name=view.say(_TITLES[order]),
        period=view.period,
        period_name=view.period_name,
        about=_ABOUT[order],
        tables=tuple(tables if len(first) > 1 else tables[1:]),
        cautions=cautions(["hearing", "phantom"]),
        touches=touching(view, [leg for leg, _ in lines], *(list_id(row) for row in heard), *(row.position for row in heard)),
    )


def _columns(heard: list[List]) -> tuple[Column, ...]:
    return (
        Column("order", "No.", 0.7, "number", "strong"),
        Column("say", "Say aloud", 3, size="strong"),
        Column("line", "Line", 1.5, "address", "strong"),
        Column("phantom", "48V", 1),
        *(Column(f"list-{list_id(row)}", head(row), 0.9, "number", "bold") for row in heard),
        Column("hum", "Hum, noise", 0.7, "tick"),
        Column("polarity", "Polarity", 0.7, "tick"),
        Column("fault", "Fault, remedy", 2.6),
        Column("by", "Initials", 0.8),
    )


def _first_of_blocks(lines: tuple[tuple[str, Slot], ...]) -> tuple[tuple[str, Slot], ...]:
    """Return the first line of each block of eight sockets, in the order of the lines."""
    found: dict[tuple[str, str, int], tuple[str, Slot]] = {}
    for leg, at in lines:
        found.setdefault((at.device, at.bank, (at.number - 1) // _BLOCK), (leg, at))
    return tuple(found.values())


def _rows(view: View, lines: tuple[tuple[str, Slot], ...], heard: list[List], order: str) -> tuple[Row, ...]:
    """Return a row for each line; on a walk each zone begins with its name."""
    made: list[Row] = []
    number = 0
    for block, (zone, group) in enumerate(groupby(lines, key=lambda line: _together(view, line, order))):
        if order == "walking":
            made.append(Row((Cell(view.zone(zone) if zone else view.say("Zone not stated")),), "section", block))
        for leg, at in group:
            number += 1
            part = block if order == "walking" else (number - 1) // _BLOCK if order == "channel" else None
            made.append(Row(_cells(view, number, leg, at, heard), block=part, keep=pair_of(leg)))
    return tuple(made)


def _cells(view: View, number: int, leg: str, at: Slot, heard: list[List]) -> tuple[Cell, ...]:
    return (
        Cell(str(number)),
        Cell(view.name(leg)),
        Cell(view.line(at)),
        phantom(view, leg, at),
        *(Cell(channels(view, row, leg)) for row in heard),
        Cell("", ("tick",)),
        Cell("", ("tick",)),
        Cell(),
        Cell(),
    )


def _together(view: View, line: tuple[str, Slot], order: str) -> str:
    """Return what lines stand together by: their zone on a walk, nothing otherwise."""
    source = view.source(line[0])
    return source.zone if order == "walking" and source else ""


def _notes(view: View, heard: list[List], left: list[List]) -> list[str]:
    names = "; ".join(f"{head(row)} = {list_name(view, row)}" for row in heard)
    rest = ", ".join(list_name(view, row) for row in left)
    return [
        view.say("{names}. The number is the channel there: tick it when they call it. Blank: not heard there.", names=names),
        *([view.say("No room here for: {names}; tick them on their own lists.", names=rest)] if left else []),
        PHANTOM_NOTE,
    ]
