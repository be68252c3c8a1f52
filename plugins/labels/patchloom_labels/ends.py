"""Labels for both ends of every cable: the same text on both, with the name of the far end.

Comes in: a `View`.  Goes out: a `Page`, or None where nothing is joined.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.address import parse
from patchloom.model.rig import Link
from patchloom.pages import Cell, Column, Page, Row, Table, View, cautions

__all__ = ["ends_page"]

_COLUMNS = (
    Column("cable", "Cable", 1.2, "address", "strong"),
    Column("near", "This end", 2.4, size="strong"),
    Column("far", "Far end", 2.4, size="strong"),
    Column("what", "What it is", 2.4),
    Column("length", "Length", 0.9, "number"),
    Column("route", "Route", 1.2),
    Column("done", "\u2713", 0.5, "tick"),
)


def ends_page(view: View) -> Page | None:
    """Return the labels of cable ends in one act, two for each cable."""
    rows = [row for number, link in enumerate(view.rig.links) for row in _ends(view, link, number)]
    if not rows:
        return None
    kept = [
        place
        for place, column in enumerate(_COLUMNS)
        if column.id not in ("length", "route") or any(row.cells[place].text for row in rows)
    ]
    made = tuple(Row(tuple(row.cells[place] for place in kept), block=row.block, keep=row.keep) for row in rows)
    return Page(
        "table",
        "Labels",
        subject="cable-ends",
        subject_name=view.say("ends of cables"),
        period=view.period,
        period_name=view.period_name,
        about="Two labels for each cable, one at each end; the first word is the same on both.",
        tables=(Table("ends", columns=tuple(_COLUMNS[place] for place in kept), rows=made),),
        cautions=cautions(["trip"]),
        touches=(*view.rig.devices, *(link.id for link in view.rig.links)),
    )


def _ends(view: View, link: Link, number: int) -> Iterator[Row]:
    """Yield both ends of each cable of a link; a link whose cables nobody stated is one cable."""
    if len(link.join) != 2:
        return
    for place, cable in enumerate(link.cables or (None,)):
        mark = (cable.label if cable is not None else "") or (
            link.id if len(link.cables) < 2 else f"{link.id} {'ABCDEFGH'[place % 8]}"
        )
        length = view.options.length(cable.length_m if cable is not None else None)
        route = cable.route if cable is not None else ""
        for near, far in (link.join, link.join[::-1]):
            cells = (mark, _end(near), _end(far), link.name or link.format, length, route, Cell("", ("tick",)))
            yield Row(cells, block=number, keep=mark)


def _end(address: str) -> str:
    """Return an end as it is written on a label: device and port, or device and run of sockets."""
    span = parse(address)
    if span.first is None:
        return f"{span.device} {span.bank}"
    return f"{span.device} {span.bank} {span.first}" + (f"-{span.last}" if span.last != span.first else "")
