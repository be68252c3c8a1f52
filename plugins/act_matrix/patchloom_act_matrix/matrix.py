"""All lines against all acts as a page, a table for each bank of sockets.

Comes in: the `View`s of the acts.  Goes out: a `Page`, or None where nothing is plugged.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import attrs

from patchloom.address import Slot
from patchloom.pages import Cell, Column, Page, Row, Table, View, cautions
from patchloom.pages.lines import touching

__all__ = ["matrix_page"]

_MOST_ACTS = 8


def matrix_page(seen: Sequence[View]) -> Page | None:
    """Return the matrix of acts; banks in the rig's order, eight acts to a table."""
    view = seen[0]
    banks = _banks(seen)
    tables = [table for device, bank in banks for table in _tables(seen, device, bank)]
    if not tables:
        return None
    moves = sum(_moves(before, after) for before, after in pairwise(seen))
    legs = dict.fromkeys(leg for each in seen for leg in each.setting.plugs)
    return Page(
        "table",
        "Act matrix",
        subject="acts",
        subject_name=view.say("the whole show"),
        about=view.say("Acts: {acts}. Plugs that change from one act to the next: {moves}.", acts=len(seen), moves=moves),
        tables=tuple(tables),
        notes=("\u2192 = other than the act before; \u2013 = in use before, not in this act; blank = not in use.",),
        cautions=cautions(["hearing", "phantom"]),
        touches=touching(view, legs, *(device for device, _ in banks)),
    )


def _banks(seen: Sequence[View]) -> list[tuple[str, str]]:
    """Return the banks something is plugged into in any act, in the rig's order; banks of one purpose are left out."""
    found: dict[tuple[str, str], None] = {}
    for view in seen:
        for device in view.rig.devices:
            for bank in view.sockets(device, "in"):
                used = any(at.device == device and at.bank == bank.id for at in view.setting.plugs.values())
                if used and not bank.only_for:
                    found.setdefault((device, bank.id))
    order = list(dict.fromkeys(device for view in seen for device in view.rig.devices))
    return sorted(found, key=lambda place: order.index(place[0]))


def _tables(seen: Sequence[View], device: str, bank: str) -> Iterator[Table]:
    whole = next(view for view in seen if device in view.rig.devices)
    size = max(view.size(device, bank) for view in seen if device in view.rig.devices)
    slots = [Slot(device, bank, number) for number in range(1, size + 1)]
    row = whole.bank(device, bank)
    wide = max(1, row.row) if row is not None else 8
    for start in range(0, len(seen), _MOST_ACTS):
        part = seen[start : start + _MOST_ACTS]
        columns = (
            Column("line", "Line", 1.2, "address", "strong"),
            Column("zone", "Zone", 1.4),
            *(Column(f"act-{number}", view.period_name or view.period, 2) for number, view in enumerate(part, start + 1)),
        )
        before = seen[start - 1] if start else None
        rows = tuple(_row(part, before, at, wide, _zone(seen, at)) for at in slots)
        if not any(row.cells[1].text for row in rows):
            columns = (columns[0], *columns[2:])
            rows = tuple(attrs.evolve(row, cells=(row.cells[0], *row.cells[2:])) for row in rows)
        several = f", {start + 1} \u2013 {start + len(part)}" if len(seen) > _MOST_ACTS else ""
        yield Table(
            f"{device}-{bank}-{start + 1}", f"{whole.device_name(device)} {bank}{several}", columns, rows, repeat_first=True
        )


def _zone(seen: Sequence[View], at: Slot) -> str:
    """Return where what is plugged there stands, the first act first; several are parted by a comma."""
    sources = [view.source(leg) for view in seen if (leg := view.plugged(at))]
    return ", ".join(dict.fromkeys(seen[0].zone(row.zone) for row in sources if row is not None and row.zone))


def _row(part: Sequence[View], before: View | None, at: Slot, wide: int, zone: str) -> Row:
    """Return a line in every act; what is other than in the act before has an arrow, what was taken out a dash."""
    cells = []
    last = before.plugged(at) if before is not None else None
    for view in part:
        leg = view.plugged(at)
        changed = last is not None and leg != last
        name = view.name(leg) if leg else ""
        cells.append(Cell(f"\u2192 {name}" if changed and leg else "\u2013" if changed else name, ("strong",) if changed else ()))
        last = leg
    kind = "row" if any(cell.text for cell in cells) else "empty"
    mark = part[0].mark(at) if at.device in part[0].rig.devices else str(at.number)
    return Row((Cell(mark), Cell(zone), *cells), kind, (at.number - 1) // wide)


def _moves(before: View, after: View) -> int:
    """Return how many sockets hold something else after than before."""
    places = {*before.setting.plugs.values(), *after.setting.plugs.values()}
    return sum(before.plugged(at) != after.plugged(at) for at in places)
