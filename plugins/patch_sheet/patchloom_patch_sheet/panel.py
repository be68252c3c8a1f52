"""A bank of sockets as the panel shows it, seen from the front: people count holes, not rows.

Comes in: a `View`, a device, a bank.  Goes out: a `Table` with as many columns as the panel has sockets in a row.
"""

from __future__ import annotations

from patchloom.address import Slot
from patchloom.model.rig import Bank
from patchloom.pages import Cell, Column, Row, Table, View

__all__ = ["panel"]


def panel(view: View, device: str, bank: Bank, name: str = "") -> Table:
    """Return the panel of a bank; a socket with nothing in it shows its mark alone."""
    slots = [Slot(device, bank.id, number) for number in range(1, view.size(device, bank.id) + 1)]
    wide = max(1, min(bank.row, len(slots)))
    used = sum(1 for at in slots if view.legs_at(at))
    rows = tuple(
        Row((*(_cell(view, at) for at in slots[start : start + wide]), *(Cell() for _ in range(start + wide - len(slots)))))
        for start in range(0, len(slots), wide)
    )
    columns = tuple(Column(f"s{place}", "", 1) for place in range(1, wide + 1))
    out = bank.socket == "out"
    words = "{bank} as seen from the front"
    if not name and len(slots) == 1:
        words = "{bank}: 1 socket out, not in use" if out else "{bank}: 1 socket in, not in use"
    elif not name:
        words = "{bank}: {count} sockets out, none in use" if out else "{bank}: {count} sockets in, none in use"
    title = view.say(words, bank=bank.id, count=len(slots))
    return Table(name or bank.id, title, columns, rows, () if used or not name else (view.say("None in use."),))


def _cell(view: View, at: Slot) -> Cell:
    legs = view.legs_at(at)
    if legs:
        return Cell(f"{view.mark(at)} {view.said(legs[0])}", ("strong",))
    return Cell(f"{view.mark(at)} {view.say('SPARE')}" if str(at) in view.setting.spares else view.mark(at), ("empty",))
