"""One act's owners and gains as a page.

Comes in: a `View`.  Goes out: a `Page`, or None where no preamp is in use.  Gains and trims are in dB.
"""

from __future__ import annotations

from patchloom.address import Slot
from patchloom.model.patch import GainSet
from patchloom.pages import Cell, Column, Page, Row, Table, View, cautions
from patchloom.pages.cells import decibels, run
from patchloom.pages.lines import pair_of, touching

__all__ = ["gain_page"]

_BLOCK = 8
_DOORS = {"local": "at the device", "port": "over the port", "network": "over the network"}


def gain_page(view: View) -> Page | None:
    """Return the owner and gain sheet of one act."""
    lines = _amplified(view)
    tables = [table for table in (_owners(view), _gains(view, lines)) if table is not None]
    if not tables:
        return None
    tracking = view.say("on") if view.show.gain.tracking == "on" else view.say("off")
    reserve, margin = decibels(view.show.gain.reserve_db), decibels(view.show.gain.margin_db)
    return Page(
        "table",
        "Owner and gain sheet",
        subject="gain",
        subject_name=view.say("preamps"),
        period=view.period,
        period_name=view.period_name,
        about=view.say(
            "Gain tracking {tracking}; {reserve} dB kept above the loudest level, "
            "{margin} dB at both ends of a trim where possible.",
            tracking=tracking,
            reserve=reserve,
            margin=margin,
        ),
        tables=tuple(tables),
        notes=("One position moves each preamp. Tell the others before you move one they hear; they start from their trim.",),
        cautions=cautions(["hearing"]),
        touches=touching(
            view,
            [leg for leg, _ in lines],
            *(row.owner for row in view.setting.owners),
            *(row.preamps.device for row in view.setting.owners),
        ),
    )


def _amplified(view: View) -> list[tuple[str, Slot]]:
    """Return every leg with each preamp it reaches, by device and socket."""
    found = {
        (route.leg, at) for route in view.setting.routes if (at := view.preamp_of(route)) is not None and view.source(route.leg)
    }
    found |= {(leg, at) for leg, at in view.setting.plugs.items() if (bank := view.bank(at.device, at.bank)) and bank.preamp}
    return sorted(found, key=lambda line: (*_place(view, line[1]), line[0]))


def _owners(view: View) -> Table | None:
    """Return who moves which preamps, through which door and by which way; equal ones together."""
    same: dict[tuple[str, str, str, tuple[str, ...]], list[str]] = {}
    for row in view.setting.owners:
        same.setdefault((row.owner, row.preamps.device, row.door, row.path), []).append(run(row.preamps))
    if not same:
        return None
    columns = (
        Column("owner", "Owner", 1.6, size="strong"),
        Column("device", "Device", 2.2, size="strong"),
        Column("preamps", "Preamps", 2.2, "address"),
        Column("door", "Moved", 1.6),
        Column("way", "By way of", 2.4),
        Column("start", "When claimed", 2.6),
    )
    rows = tuple(
        Row(
            (
                view.position_name(owner) if owner else view.say("nobody from afar"),
                view.device_name(device),
                ", ".join(places),
                view.say(_DOORS.get(door, "not known")),
                " > ".join(path),
                view.say(_claimed(view, device)) if path else "\u2013",
            )
        )
        for (owner, device, door, path), places in same.items()
    )
    return Table("owners", "Who moves what", columns, rows)


def _claimed(view: View, device: str) -> str:
    return {"box": "the device keeps its gains", "desk": "the desk sends ITS gains: they can jump"}.get(
        view.type_of(device).takeover, "not known whose gains win: they can jump"
    )


def _gains(view: View, lines: list[tuple[str, Slot]]) -> Table | None:
    if not lines:
        return None
    rows = {row.at: row for row in view.setting.gains}
    hears = [key for key in view.positions() if any(key in row.trims_db for row in rows.values())]
    columns = (
        Column("line", "Line", 1.5, "address", "strong"),
        Column("source", "Source", 3, size="strong"),
        Column("owner", "Owner", 1.5),
        Column("gain", "Gain", 0.9, "number", "strong"),
        Column("from", "Works from", 0.9, "number"),
        Column("to", "to", 0.9, "number"),
        *(Column(f"trim-{key}", view.say("Trim {position}", position=key.upper()), 0.9, "number") for key in hears),
        Column("peak", "Peak dBu", 0.9, "number"),
        Column("now", "As set", 1.2),
    )
    made = tuple(_row(view, leg, at, rows.get(at), hears) for leg, at in lines)
    kept = [
        place
        for place, column in enumerate(columns)
        if column.id not in ("from", "to", "peak") or any(row.cells[place].text for row in made)
    ]
    table = tuple(Row(tuple(row.cells[place] for place in kept), block=row.block, keep=row.keep) for row in made)
    notes = ["All in dB, where to start; blank = unknown, set by ear with the others listening.", *_margins(view)]
    return Table("gains", "Gains and trims", tuple(columns[place] for place in kept), table, tuple(notes))


def _place(view: View, at: Slot) -> tuple[int, str, int]:
    order = list(view.rig.devices)
    return (order.index(at.device) if at.device in order else len(order), at.bank, at.number)


def _row(view: View, leg: str, at: Slot, gain: GainSet | None, hears: list[str]) -> Row:
    source, owner = view.source(leg), view.owner(at)
    low, high = gain.interval_db if gain is not None and gain.interval_db else (None, None)
    cells = (
        Cell(view.line(at)),
        Cell(view.name(leg)),
        Cell((view.position_name(owner.owner) if owner.owner else view.say("at the device")) if owner else ""),
        Cell(decibels(gain.gain_db, signed=True) if gain else ""),
        Cell(decibels(low)),
        Cell(decibels(high)),
        *(Cell(decibels(gain.trims_db.get(key), signed=True) if gain else "") for key in hears),
        Cell(decibels(source.peak_dbu) if source else ""),
        Cell(),
    )
    return Row(cells, block=(_place(view, at)[0] * 1000) + (at.number - 1) // _BLOCK, keep=pair_of(leg))


def _margins(view: View) -> list[str]:
    tight = [view.said(row.leg) for row in view.setting.gains if not row.margin]
    return [view.say("Trim near its end, no margin left: {names}.", names=", ".join(tight))] if tight else []
