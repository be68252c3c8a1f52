"""One guest's list as a page: their channel to our line, and our line to their channel.

Comes in: a `View` and a list.  Goes out: a `Page`, or None where nothing lands.
"""

from __future__ import annotations

from patchloom.address import Slot
from patchloom.model.patch import Route
from patchloom.model.show import List, Show
from patchloom.pages import Cell, Column, Page, Row, Table, View, cautions, list_id
from patchloom.pages.cells import PHANTOM_NOTE, owner, phantom
from patchloom.pages.lines import list_name, pair_of, touching

__all__ = ["guest_page", "is_guests"]

_BLOCK = 8
_HOUSE = ("", "house")


def is_guests(show: Show, view: View, row: List) -> bool:
    """Return whether a list is a guest's: its desk is not the house's, or the act brings the list along."""
    device = row.at.split(".")[0]
    if device in view.rig.devices and view.device(device).belongs_to not in _HOUSE:
        return True
    period = next((each for each in show.periods if each.id == view.period), None)
    act = next((each for each in show.periods if period is not None and each.id == period.scene_of), None)
    return any(each is not None and list_id(row) in each.lists for each in (period, act))


def guest_page(view: View, row: List) -> Page | None:
    """Return the guest map of a list in one act."""
    key = list_id(row)
    lines = [(at, route) for at in view.run(row) if (route := view.landed(key, at)) is not None and route.hops]
    if not lines:
        return None
    theirs = tuple(_theirs(view, row, at, route) for at, route in lines)
    ours = tuple(_ours(view, row, at, route) for at, route in sorted(lines, key=lambda line: _place(view, line[1].hops[0])))
    person = view.position(row.position).person
    return Page(
        "table",
        "Guest map",
        subject=key,
        subject_name=list_name(view, row),
        position=row.position,
        period=view.period,
        period_name=view.period_name,
        about=" ".join(
            word for word in (view.say("Your channels and our lines, both ways round."), f"{person}." if person else "") if word
        ),
        tables=(
            _without_blank(Table("yours", "Your channel, our line", _YOURS, theirs, (PHANTOM_NOTE,)), "ours", "note"),
            _without_blank(Table("ours", "Our line, your channel", _OURS, ours), "yours"),
        ),
        cautions=cautions(["hearing", "phantom", "earth"]),
        touches=touching(view, [route.leg for _, route in lines], key, row.position),
    )


_YOURS = (
    Column("ch", "Your ch", 0.9, "number", "strong"),
    Column("yours", "Your name", 3, size="strong"),
    Column("ours", "Our name", 2.6),
    Column("socket", "Our socket", 1.6, "address", "strong"),
    Column("phantom", "48V", 1),
    Column("owner", "Gain by", 1.4),
    Column("note", "Note", 2.6),
)
_OURS = (
    Column("socket", "Our socket", 1.6, "address", "strong"),
    Column("ours", "Our name", 1, size="strong"),
    Column("ch", "Your ch", 0.9, "number", "strong"),
    Column("yours", "Your name", 2.6),
    Column("built", "As built", 3),
)


def _without_blank(table: Table, *may_go: str) -> Table:
    """Return a table less those of some columns in which nothing stands."""
    kept = [
        place
        for place, column in enumerate(table.columns)
        if column.id not in may_go or any(row.cells[place].text for row in table.rows)
    ]
    rows = tuple(Row(tuple(row.cells[place] for place in kept), block=row.block, keep=row.keep) for row in table.rows)
    return Table(table.id, table.title, tuple(table.columns[place] for place in kept), rows, table.notes)


def _names(view: View, row: List, route: Route) -> tuple[str, str]:
    want = view.want(row, route)
    return view.name(route.leg, want.name if want else ""), view.name(route.leg)


def _theirs(view: View, row: List, at: Slot, route: Route) -> Row:
    yours, ours = _names(view, row, route)
    want = view.want(row, route)
    who = owner(view, route, row.position)
    cells = (
        Cell(view.mark(at)),
        Cell(yours),
        Cell(ours if ours != yours else ""),
        Cell(view.line(route.hops[0])),
        phantom(view, route.leg, view.preamp_of(route)),
        Cell(view.say("you") if who == "own" else view.position_name(who) if who in view.show.positions else who),
        Cell("; ".join(word for word in ((want.notes if want else ""), _note(view, route)) if word)),
    )
    return Row(cells, block=(at.number - 1) // _BLOCK, keep=pair_of(route.leg))


def _note(view: View, route: Route) -> str:
    """Return the devices of other positions a line comes by, so that a guest knows who can take it away."""
    desks = {view.show.desk_of(key): key for key in view.positions() if view.show.desk_of(key)}
    own = route.hops[-1].device
    through = dict.fromkeys(at.device for at in route.hops if at.device in desks and at.device not in (own, route.hops[0].device))
    return view.say("comes by way of {devices}", devices=", ".join(through)) if through else ""


def _ours(view: View, row: List, at: Slot, route: Route) -> Row:
    yours, ours = _names(view, row, route)
    first = route.hops[0]
    block = _place(view, first)[0] * 1000 + (first.number - 1) // _BLOCK
    return Row((view.line(first), ours, view.mark(at), yours if yours != ours else "", ""), block=block, keep=pair_of(route.leg))


def _place(view: View, at: Slot) -> tuple[int, str, int]:
    order = list(view.rig.devices)
    return (order.index(at.device) if at.device in order else len(order), at.bank, at.number)
