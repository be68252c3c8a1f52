"""One desk as a page: blocks taken in, channels with what feeds them, outputs.

Comes in: a `View` and a desk.  Goes out: a `Page`, or None where nothing is set and nothing lands.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from patchloom.address import Slot, parse
from patchloom.model.patch import Route, Selection
from patchloom.model.show import List
from patchloom.pages import Cell, Column, Page, Row, Table, View, cautions, list_id
from patchloom.pages.cells import decibels, run
from patchloom.pages.desk import contents, far_end, incoming, leaving
from patchloom.pages.lines import list_name, pair_of, touching

__all__ = ["desk_page"]

_BLOCK = 8
_MAY_GO = {"alternate", "trim", "tap"}


def desk_page(view: View, desk: str) -> Page | None:
    """Return the patch sheet of a desk in one act."""
    seats = tuple(key for key in view.positions() if view.show.desk_of(key) == desk)
    lists = [row for row in view.show.lists if row.at.split(".")[0] == desk]
    tables = [table for table in (_blocks(view, desk), *(_channels(view, row) for row in lists), _outputs(view, desk)) if table]
    if not tables:
        return None
    legs = [route.leg for route in view.setting.routes if any(at.device == desk for at in route.hops)]
    people = ", ".join(view.position_name(key) for key in seats)
    return Page(
        "table",
        "Desk patch",
        subject=desk,
        subject_name=view.device_name(desk),
        position=seats[0] if seats else "",
        period=view.period,
        period_name=view.period_name,
        about=view.say("{people}. First what comes in, then channels, then what leaves.", people=people),
        tables=tuple(tables),
        notes=tuple(dict.fromkeys(note for row in lists for note in view.notes_for(list_id(row)))),
        cautions=cautions(["hearing"]),
        touches=touching(view, legs, desk, *seats, *(list_id(row) for row in lists), *(link.id for link in view.links_of(desk))),
    )


def _blocks(view: View, desk: str) -> Table | None:
    rows = [row for row in incoming(view, desk) if view.blocks(row.into) > 1]
    if not rows:
        return None
    columns = (
        Column("into", "Import block", 1.5, "address", "strong"),
        Column("from", "Takes", 1.5, "address", "strong"),
        Column("way", "Comes from", 2),
        Column("contains", "Contains", 5),
    )
    made = tuple(
        Row((run(row.into), run(row.from_), far_end(view, row.from_) or view.say("here"), contents(view, row.into)))
        for row in rows
    )
    notes = ("Everything in a block comes along, wanted or not; what is wanted of it is named.",)
    return Table("imports", "Blocks taken in", columns, made, notes)


def _channels(view: View, row: List) -> Table | None:
    """Return the channels of a list with main input, alternate, trim and the taps copies are taken from."""
    key, slots = list_id(row), view.run(row)
    used = [at for at in slots if view.landed(key, at) is not None]
    if not used:
        return None
    columns = (
        Column("ch", "Ch", 0.8, "number", "strong"),
        Column("name", "Name", 1, size="strong"),
        Column("main", "Main input", 1.6, "address", "strong"),
        Column("line", "Line", 1.6, "address"),
        Column("alternate", "Alternate", 0.4),
        Column("trim", "Trim dB", 0.9, "number"),
        Column("tap", "Copies taken", 2.4),
        Column("built", "As built", 3),
    )
    copies = _copies(view, used[0])
    rows = [_channel(view, row, at, copies) for at in slots if at.number <= used[-1].number]
    kept = [
        place for place, column in enumerate(columns) if column.id not in _MAY_GO or any(each.cells[place].text for each in rows)
    ]
    filled = [Row(tuple(each.cells[place] for place in kept), each.kind, each.block, each.keep, each.marks) for each in rows]
    made = tuple(_folded(view, filled))
    notes = (
        (view.say("Trim: where to start, from 0; blank = unknown."),) if "trim" in {columns[place].id for place in kept} else ()
    )
    title = view.say("Channels of {name}", name=list_name(view, row))
    return Table(f"channels-{key}", title, tuple(columns[place] for place in kept), made, notes)


def _folded(view: View, rows: list[Row]) -> Iterator[Row]:
    """Yield rows, two whole blocks or more with nothing in them as one row that says so."""
    blocks = [list(same) for _, same in groupby(rows, key=lambda row: row.block)]
    for bare, group in groupby(blocks, key=lambda block: all(row.kind == "empty" for row in block)):
        run = list(group)
        if bare and len(run) > 1:
            first, last = run[0][0].cells[0].text, run[-1][-1].cells[0].text
            words = view.say("{first} to {last} not in use", first=first, last=last)
            yield Row((Cell(words),), "section", run[0][0].block, marks=("empty",))
        else:
            yield from (row for block in run for row in block)


def _copies(view: View, at: Slot) -> dict[int, list[str]]:
    """Return the copies taken of each channel of a bank: tap and where it goes."""
    found: dict[int, list[str]] = {}
    for row in view.setting.selections:
        if row.from_.device != at.device or row.from_.bank != at.bank or row.into.bank == at.bank:
            continue
        for into, from_ in zip(row.into.slots(), row.from_.slots(), strict=True):
            if view.legs_at(into):
                found.setdefault(from_.number, []).append(f"{row.tap} \u2192 {into.bank} {view.mark(into)}".strip())
    return found


def _channel(view: View, row: List, at: Slot, copies: dict[int, list[str]]) -> Row:
    key, block = list_id(row), (at.number - 1) // _BLOCK
    route, other = view.landed(key, at), view.landed(key, at, True)
    if route is None:
        return Row((view.mark(at), *(Cell() for _ in range(7))), "empty", block, marks=("empty",))
    want = view.want(row, route)
    cells = (
        Cell(view.mark(at)),
        Cell(view.name(route.leg, want.name if want else "")),
        Cell(_input(view, route)),
        Cell(view.line(route.hops[0])),
        Cell(f"{_input(view, other)} {view.said(other.leg)}" if other is not None else ""),
        Cell(_trim(view, row, route)),
        Cell(", ".join(copies.get(at.number, ()))),
        Cell(),
    )
    return Row(cells, "row", block, pair_of(route.leg))


def _input(view: View, route: Route) -> str:
    """Return what a channel is set to take: the slot before the channel, where that is on the desk itself."""
    if len(route.hops) < 2:
        return ""
    before = route.hops[-2]
    mark = view.mark(before) if view.bank(before.device, before.bank) else before.number
    return f"{before.bank} {mark}" if before.device == route.hops[-1].device else f"{before.device} {before.bank} {mark}"


def _trim(view: View, row: List, route: Route) -> str:
    at = view.preamp_of(route)
    gain = view.gain(at) if at else None
    return decibels(gain.trims_db[row.position], signed=True) if gain is not None and row.position in gain.trims_db else ""


def _outputs(view: View, desk: str) -> Table | None:
    rows = list(_output_rows(view, desk))
    if not rows:
        return None
    columns = (
        Column("out", "Out", 1.6, "address", "strong"),
        Column("from", "Takes", 1.6, "address", "strong"),
        Column("tap", "Tap", 1),
        Column("contains", "Carries", 4),
        Column("way", "Goes to", 2),
    )
    taps = any(row.cells[2].text for row in rows)
    kept = [place for place, column in enumerate(columns) if taps or column.id != "tap"]
    made = tuple(Row(tuple(row.cells[place] for place in kept), row.kind, row.block) for row in rows)
    return Table("outputs", "Outputs, and what is passed on", tuple(columns[place] for place in kept), made)


def _output_rows(view: View, desk: str) -> Iterator[Row]:
    """Yield the mixes, then output blocks, then every run that leaves, banks apart by a heavy rule."""
    for leg, at in sorted(view.setting.mixes.items(), key=lambda item: item[1]):
        if at.device == desk:
            yield Row((f"{at.bank} {view.mark(at)}", "", "", view.said(leg), ""), block=0)
    kind = view.type_of(desk)
    found = sorted(leaving(view, desk), key=lambda row: (row.into.bank not in kind.banks, bool(far_end(view, row.into))))
    banks = list(dict.fromkeys(row.into.bank for row in found))
    for row in found:
        yield Row(
            (run(row.into), run(row.from_), row.tap, contents(view, row.into), _goes(view, row)),
            block=1 + banks.index(row.into.bank),
        )


def _goes(view: View, row: Selection) -> str:
    """Return where a run leaves for: the far end of a link, or what stands at the socket."""
    far = far_end(view, row.into)
    if far:
        return far
    for insert in view.show.inserts:
        send = parse(insert.send)
        if any(send.holds(at) for at in row.into.slots()):
            words = view.say("insert, comes back on {socket}", socket=insert.return_)
            return f"{words}: {insert.what}" if insert.what else words
    names = dict.fromkeys(
        spot.name or feed.name or feed.id
        for at in row.into.slots()
        for route in view.passing(at)
        for feed in view.show.feeds
        if feed.id == route.to and 0 < route.entry <= len(feed.to) and (spot := feed.to[route.entry - 1])
    )
    return ", ".join(names)
