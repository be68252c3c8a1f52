"""What a device chooses inside: blocks that come in first, then slots one by one.

Comes in: a `View` and a device.  Goes out: tables.  Next: `device.py`.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.address import Span
from patchloom.model.patch import Selection
from patchloom.pages import Column, Row, Table, View
from patchloom.pages.cells import run, runs

__all__ = ["contents", "inside_tables"]

_BLOCK = 8
_MOST = 10_000


def inside_tables(view: View, device: str) -> Iterator[Table]:
    """Yield the table of blocks, then that of single slots, of the selections set on a device."""
    mine = [row for row in view.setting.selections if row.into.device == device]
    blocks = [row for row in mine if view.blocks(row.into) > 1]
    single = [row for row in mine if view.blocks(row.into) == 1]
    if blocks:
        yield _blocks(view, blocks)
    if single:
        yield _single(view, single)


def contents(view: View, into: Span) -> str:
    """Return what a run of slots is known to carry that somebody wants, by name, with its slot."""
    found = []
    for at in into.slots():
        legs = view.legs_at(at)
        if legs:
            found.append(f"{at.number} {view.said(legs[0])}")
    return ", ".join(found)


def _blocks(view: View, rows: list[Selection]) -> Table:
    columns = (
        Column("into", "Block", 1.5, "address", "strong"),
        Column("from", "Takes", 1.5, "address", "strong"),
        Column("way", "From", 1.6),
        Column("contains", "What is wanted of it", 5),
    )
    return Table(
        "blocks",
        "Blocks, in and out",
        columns,
        tuple(Row((run(row.into), run(row.from_), _far(view, row.from_), contents(view, row.into))) for row in rows),
        ("Everything in a block comes along, wanted or not.",),
    )


def _single(view: View, rows: list[Selection]) -> Table:
    columns = (
        Column("into", "Slot", 1.5, "address", "strong"),
        Column("name", "Carries", 3, size="strong"),
        Column("from", "Takes", 1.8, "address"),
        Column("input", "Input", 1),
        Column("tap", "Tap", 1),
    )
    made = []
    banks = list(dict.fromkeys(row.into.bank for row in rows))
    for row in rows:
        for into, from_ in zip(row.into.slots(), row.from_.slots(), strict=True):
            legs = view.legs_at(into)
            made.append(
                Row(
                    (
                        f"{into.bank} {view.mark(into)}",
                        view.name(legs[0]) if legs else "",
                        f"{from_.bank} {view.mark(from_)}",
                        view.say("alternate") if row.alternate else view.say("main"),
                        row.tap or "\u2013",
                    ),
                    block=_MOST * banks.index(into.bank) + (into.number - 1) // _BLOCK,
                    keep=legs[0].split(".")[0] if legs and "." in legs[0] else "",
                )
            )
    return Table("slots", "Slots chosen one by one", columns, tuple(made))


def _far(view: View, span: Span) -> str:
    """Return the device at the other end of the port a run comes in by; `here` for the device's own banks."""
    port = (span.bank or "").partition(".")
    if not port[1]:
        return view.say("here")
    link = view.rig.link_at(span.device, port[0])
    if link is None:
        return ""
    other = next((end for end in link.join if end != f"{span.device}.{port[0]}"), "")
    return view.say("{link} from {other} {slots}", link=link.id, other=other, slots=runs(slot.number for slot in span.slots()))
