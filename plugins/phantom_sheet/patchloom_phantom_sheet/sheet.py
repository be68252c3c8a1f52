"""One act's phantom as a page.

Comes in: a `View`.  Goes out: a `Page`, or None where nothing is plugged.

A blank is never printed here: what nobody stated is called unknown, and stands at the top.
"""

from __future__ import annotations

from patchloom.address import Slot
from patchloom.model.patch import PhantomSet
from patchloom.pages import Cell, Column, Page, Row, Table, View, cautions
from patchloom.pages.lines import pair_of, plugged, touching

__all__ = ["phantom_page"]

_BLOCK = 8
_NEED = {"need": "NEEDS 48 V", "no": "does not mind", "never": "NEVER", "unknown": "UNKNOWN"}
_COLUMNS = (
    Column("socket", "Socket", 1.3, "address", "strong"),
    Column("source", "Source", 3, size="strong"),
    Column("mic", "Mic / DI", 2.2),
    Column("need", "Asked for", 1.6, size="bold"),
    Column("set", "Set to", 1.3, size="bold"),
    Column("with", "One switch with", 2.4),
    Column("who", "Switched by", 1.4),
    Column("done", "\u2713", 0.5, "tick"),
)


def phantom_page(view: View) -> Page | None:
    """Return the phantom sheet of one act."""
    lines = plugged(view)
    if not lines:
        return None
    unknown = [line for line in lines if _need(view, line[0]) == "unknown"]
    tables = [_unknown(view, unknown)]
    for device in view.rig.devices:
        mine = sorted((line for line in lines if line[1].device == device), key=lambda line: (line[1].bank, line[1].number))
        if any(_need(view, leg) != "unknown" for leg, _ in mine):
            tables.append(_table(view, f"box-{device}", view.device_name(device), mine))
    counts = {need: sum(1 for leg, _ in lines if _need(view, leg) == need) for need in _NEED}
    return Page(
        "table",
        "Phantom sheet",
        subject="phantom",
        subject_name=view.say("48 V on stage"),
        period=view.period,
        period_name=view.period_name,
        about=view.say(
            "{need} need it, {no} do not mind, {never} must never get it, {unknown} unknown.",
            need=counts["need"],
            no=counts["no"],
            never=counts["never"],
            unknown=counts["unknown"],
        ),
        tables=tuple(tables),
        notes=(
            "Order: mute everything that hears the line, all off, on by list, wait 5-10 s, look.",
            "Asked for: what the list says. Set to: what the patch sets; where that is at another device, it is named.",
        ),
        cautions=cautions(["hearing", "phantom"]),
        touches=touching(view, [leg for leg, _ in lines]),
    )


def _need(view: View, leg: str) -> str:
    source = view.source(leg)
    return source.phantom if source else "unknown"


def _unknown(view: View, lines: list[tuple[str, Slot]]) -> Table:
    if not lines:
        words = view.say("No line is unknown, by what the list says.")
        return Table("unknown", "UNKNOWN: ask before switching anything", _COLUMNS[:2], (), (words,))
    return _table(view, "unknown", "UNKNOWN: ask before switching anything", lines)


def _table(view: View, key: str, title: str, lines: list[tuple[str, Slot]]) -> Table:
    rows = tuple(_row(view, leg, at, key) for leg, at in lines)
    kept = [place for place, column in enumerate(_COLUMNS) if column.id != "with" or any(row.cells[place].text for row in rows)]
    made = tuple(Row(tuple(row.cells[place] for place in kept), block=row.block, keep=row.keep, marks=row.marks) for row in rows)
    return Table(key, title, tuple(_COLUMNS[place] for place in kept), made)


def _row(view: View, leg: str, at: Slot, key: str) -> Row:
    source, need = view.source(leg), _need(view, leg)
    cells = (
        Cell(view.line(at)),
        Cell(view.name(leg)),
        Cell((source.mic or source.kind) if source else ""),
        Cell(view.say(_NEED[need]), (need,)),
        Cell(_set(view, leg, at)),
        Cell(_with(view, leg, at)),
        Cell(_who(view, leg, at)),
        Cell("", ("tick",)),
    )
    return Row(cells, block=None if key == "unknown" else (at.number - 1) // _BLOCK, keep=pair_of(leg))


def _switches(view: View, leg: str, at: Slot) -> dict[Slot, PhantomSet]:
    """Return the switches a line meets: at its own socket, and at every preamp it reaches, by socket."""
    places = dict.fromkeys([at, *(place for route in view.routes_of(leg) if (place := view.preamp_of(route)) is not None)])
    return {place: row for place in places if (row := view.phantom(place)) is not None}


def _set(view: View, leg: str, at: Slot) -> str:
    """Return how the switches that reach a line are set; the device is named where it is not the one plugged into."""
    found = _switches(view, leg, at)
    if not found:
        return view.say("no switch known")
    words = []
    for place, row in found.items():
        state = view.say("ON") if row.on else view.say("off")
        words.append(state if place.device == at.device else view.say("{state} at {line}", state=state, line=view.line(place)))
    return ", ".join(words)


def _with(view: View, leg: str, at: Slot) -> str:
    """Return the run of sockets one switch serves, where it serves more than this one."""
    found = []
    for row in _switches(view, leg, at).values():
        slots = list(row.at.slots()) if row.at.first is not None else []
        if len(slots) > 1:
            found.append(view.say("{first} to {last}", first=view.line(slots[0]), last=view.mark(slots[-1])))
    return ", ".join(found)


def _who(view: View, leg: str, at: Slot) -> str:
    """Return who moves the switches of a line."""
    names = []
    for place in _switches(view, leg, at) or (at,):
        row = view.owner(place)
        names.append(view.position_name(row.owner) if row is not None and row.owner else view.say("at the device"))
    return ", ".join(dict.fromkeys(names))
