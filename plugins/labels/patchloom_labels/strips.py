"""Strips to cut out: three lines a channel or socket, at a pitch in mm.

Comes in: a `View` and a list or a box.  Goes out: a `Page`, or None where there is nothing to label.
"""

from __future__ import annotations

from collections.abc import Sequence

from patchloom.address import Slot
from patchloom.drawing import metrics
from patchloom.model.show import List
from patchloom.pages import Cell, Column, Page, Row, Table, View, cautions, list_id
from patchloom.pages.cells import labels
from patchloom.pages.lines import list_name, short_length, touching

__all__ = ["box_page", "desk_page"]

_DESK_MM, _BOX_MM, _SHEET_MM = 25.0, 30.0, 259.0
_BIG, _SLACK, _PADS_MM = 14.0, 1.06, 2.6
"""Points of a big name, how much wider another font may be, and what stays free at both sides."""
_BLOCK = 8
_BOXES = ("box", "split", "multicore")


def desk_page(view: View, row: List) -> Page | None:
    """Return the strip of a list: channel number, short name, line."""
    key, slots = list_id(row), view.run(row)
    landed = {at: route for at in slots if (route := view.landed(key, at)) is not None}
    if not landed:
        return None
    length = short_length(view, row)
    names = []
    for at, route in landed.items():
        want, signal = view.want(row, route), view.signal(route.leg)
        names.append((str(at.number), view.name(route.leg, (want.name if want else "") or (signal.short if signal else ""))))
    short = labels(names, length)
    last = max(at.number for at in landed)
    cells = [
        (view.mark(at), short.get(str(at.number), ""), view.line(landed[at].hops[0]) if at in landed and landed[at].hops else "")
        for at in slots
        if at.number <= last
    ]
    pitch = view.options.pitch or _DESK_MM
    return Page(
        "table",
        "Labels",
        subject=key,
        subject_name=list_name(view, row),
        position=row.position,
        period=view.period,
        period_name=view.period_name,
        about=_about(view, pitch, length),
        tables=tuple(_strips(view, cells, pitch)),
        cautions=cautions([]),
        touches=touching(view, [route.leg for route in landed.values()], key, row.position),
    )


def box_page(view: View, device: str) -> Page | None:
    """Return the strips of a box: mark, short name, zone, bank by bank; None for a box with nothing plugged and for a desk."""
    if view.type_of(device).role not in _BOXES:
        return None
    pitch, length = view.options.box_pitch or _BOX_MM, short_length(view)
    tables: list[Table] = []
    legs: list[str] = []
    for bank in (*view.sockets(device, "in"), *view.sockets(device, "out")):
        slots = [Slot(device, bank.id, number) for number in range(1, view.size(device, bank.id) + 1)]
        carried = {at: found[0] for at in slots if (found := view.legs_at(at))}
        if not carried:
            continue
        legs += carried.values()
        short = labels([(str(at.number), _short(view, leg)) for at, leg in carried.items()], length)
        cells = [(view.mark(at), short.get(str(at.number), ""), _place(view, carried.get(at, ""))) for at in slots]
        tables += _strips(view, cells, pitch, bank.id, max(1, bank.row))
    if not tables:
        return None
    return Page(
        "table",
        "Labels",
        subject=device,
        subject_name=view.device_name(device),
        period=view.period,
        period_name=view.period_name,
        about=_about(view, pitch, length),
        tables=tuple(tables),
        cautions=cautions([]),
        touches=touching(view, legs, device),
    )


def _about(view: View, pitch: float, length: int) -> str:
    words = "Cut out; {pitch} mm from one to the next, at most {length} characters, no two alike. Print at 100 %."
    return view.say(words, pitch=f"{pitch:g}", length=length)


def _short(view: View, leg: str) -> str:
    signal = view.signal(leg)
    return view.name(leg, signal.short if signal else "")


def _place(view: View, leg: str) -> str:
    source = view.source(leg) if leg else None
    return view.zone(source.zone) if source else ""


def _strips(view: View, cells: Sequence[tuple[str, str, str]], pitch: float, bank: str = "", row: int = _BLOCK) -> list[Table]:
    """Return strips of as many labels as a sheet holds side by side, never more than a row of the panel."""
    fit = max(1, min(int(_SHEET_MM // pitch), row))
    wide = row if fit >= row else _even(row, fit)
    found = []
    for start in range(0, len(cells), wide):
        part = cells[start : start + wide]
        if not any(name for _, name, _ in part):
            continue
        columns = tuple(Column(f"l{place}", "", 1) for place in range(1, len(part) + 1))
        rows = (
            Row(tuple(Cell(number, ("strong",)) for number, _, _ in part), keep="strip"),
            Row(tuple(Cell(name, _mark(name, pitch)) for _, name, _ in part), keep="strip"),
            Row(tuple(Cell(line) for _, _, line in part), keep="strip"),
        )
        title = " ".join(word for word in (bank, f"{part[0][0]} \u2013 {part[-1][0]}") if word)
        found.append(Table(f"strip-{bank or 'ch'}-{start + 1}", title, columns, rows, pitch_mm=pitch))
    return found


def _mark(name: str, pitch: float) -> tuple[str, ...]:
    """Return how large a short name may be: big where it stands on one line at the pitch."""
    return ("big",) if metrics.width(name, _BIG, True) * _SLACK <= pitch - _PADS_MM else ("strong",)


def _even(row: int, fit: int) -> int:
    """Return the greatest part of a row that it divides into evenly and that fits a sheet."""
    return next(wide for wide in range(fit, 0, -1) if row % wide == 0)
