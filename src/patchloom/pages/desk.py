"""What is set on a desk: what it takes in, and what it sends on.

Comes in: a `View` and a device.  Goes out: its selections, sorted.  Next: the settings checklist, the desk's patch sheet.
"""

from __future__ import annotations

from patchloom.address import Span
from patchloom.model.patch import Selection
from patchloom.pages.cells import runs
from patchloom.pages.view import View

__all__ = ["contents", "far_end", "incoming", "leaving", "selections"]


def selections(view: View, device: str) -> tuple[Selection, ...]:
    """Return the selections set on a device."""
    return tuple(row for row in view.setting.selections if row.into.device == device)


def incoming(view: View, device: str) -> list[Selection]:
    """Return the selections that bring signals in: into no connector out and no port."""
    found = []
    for row in selections(view, device):
        bank = view.bank(device, row.into.bank or "")
        if bank is not None and bank.socket != "out" and not _only_leaves(view, device, bank.id):
            found.append(row)
    return found


def _only_leaves(view: View, device: str, bank: str) -> bool:
    """Return whether a bank only gathers what leaves: nothing but ports and connectors out take from it."""
    kind = view.type_of(device)
    takers = [
        row.into.split("[")[0] for row in kind.select if bank in [text.split("[")[0] for text in (*row.from_, row.wired) if text]
    ]
    return (
        kind.banks[bank].does == "carry"
        and bool(takers)
        and all(taker.endswith(".out") or (taker in kind.banks and kind.banks[taker].socket == "out") for taker in takers)
    )


def leaving(view: View, device: str) -> list[Selection]:
    """Return the selections that take signals out: into connectors out, ports, and banks that gather for them."""
    kind = view.type_of(device)
    gather = {text.split("[")[0] for row in kind.select if row.into.endswith(".out") or ".out[" in row.into for text in row.from_}
    found = []
    for row in selections(view, device):
        bank = kind.banks.get(row.into.bank or "")
        if (
            bank is None
            or bank.socket == "out"
            or (bank.id in gather and bank.does == "carry" and bank.socket is None and not _feeds_channels(view, device, bank.id))
        ):
            found.append(row)
    return found


def _feeds_channels(view: View, device: str, bank: str) -> bool:
    kind = view.type_of(device)
    return any(
        bank in [text.split("[")[0] for text in row.from_]
        and row.into.split("[")[0] in kind.banks
        and kind.banks[row.into.split("[")[0]].does != "carry"
        for row in kind.select
    )


def contents(view: View, into: Span) -> str:
    """Return what a run of slots is known to carry that somebody wants, by name, with its slot."""
    return ", ".join(f"{at.number} {view.said(legs[0])}" for at in into.slots() if (legs := view.legs_at(at)))


def far_end(view: View, span: Span) -> str:
    """Return the other end of the port a run comes in or leaves by, with its link; empty for the device's own banks."""
    port = (span.bank or "").partition(".")
    link = view.rig.link_at(span.device, port[0]) if port[1] else None
    if link is None:
        return ""
    other = next((end for end in link.join if end != f"{span.device}.{port[0]}"), "")
    slots = runs(slot.number for slot in span.slots())
    words = "{link} from {other} {slots}" if port[2] == "in" else "{link} to {other} {slots}"
    return view.say(words, link=link.id, other=other, slots=slots)
