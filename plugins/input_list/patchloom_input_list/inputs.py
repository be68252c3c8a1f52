"""One list as a page: a row for every slot from the first to the last in use.

Comes in: a `View` and a list.  Goes out: a `Page`.  Next: the plugin's `pages`.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

import attrs

from patchloom.address import Slot
from patchloom.errors import PatchloomError
from patchloom.model.show import List
from patchloom.pages import Cell, Column, Page, Row, Table, View, cautions, list_id
from patchloom.pages.cells import PHANTOM_NOTE, runs
from patchloom.pages.lines import walking_order
from patchloom_input_list.fills import COLUMNS, Fill, Line, mix_number, partial, whole

__all__ = ["input_page"]

_LAYOUTS = {
    "foh": "name detail mic stand phantom line owner gain trim leg group colour alternate notes",
    "monitor": "name detail mic stand phantom-strong line owner-strong gain trim leg heard colour alternate notes",
    "broadcast": "name stage line-strong mic phantom tap less call trim leg group alternate notes",
    "record": "name stage file line tap rate arm backup leg alternate notes",
    "stream": "name line alone notes",
    "other": "name detail mic stand phantom line owner gain trim leg group colour alternate notes",
}
_MAY_GO = {"alternate", "backup", "colour", "detail", "group", "heard", "less", "notes", "stand", "leg", "alone"}
_QUIETLY = ("Backup track",)
"""Columns nobody could have filled in: they are there where there is something to say."""
_HEADS = {"record": "Track"}
Layout = list[tuple[Column, Fill]]
_BLOCK, _FEW, _WIDE = 8, 6, 10


def input_page(view: View, row: List) -> Page:
    """Return the page of one list in one act."""
    position = view.position(row.position)
    kind = "stream" if position.plain_words else position.kind
    layout = _chosen(view, _LAYOUTS.get(kind, _LAYOUTS["other"]).split())
    slots = view.run(row)
    lines = {
        at: Line(view, row, at, route, view.want(row, route))
        for at in slots
        if (route := view.landed(list_id(row), at)) is not None
    }
    last = max((at.number for at in lines), default=0)
    layout, gone = _without_blank(layout, list(lines.values()))
    layout, below = _few_below(view, layout, list(lines.values()))
    head = Column("ch", _HEADS.get(kind, "Ch"), 0.8, "number", "strong")
    if view.options.sort in ("walking", "name"):
        rows = tuple(_sorted(view, lines, layout))
    else:
        rows = tuple(_rows(view, [at for at in slots if at.number <= last], lines, layout))
    table = Table(
        "inputs",
        columns=(head, *(column for column, _ in layout)),
        rows=rows,
        notes=tuple(_notes_below(view, row, layout, slots, last, gone)),
        repeat_first=len(layout) > _WIDE,
    )
    signals = [line.route.leg for line in lines.values()]
    devices = [place.device for line in lines.values() for place in line.route.hops]
    return Page(
        "table",
        "Record list" if kind == "record" else "Input list",
        subject=list_id(row),
        subject_name=row.name or position.name or list_id(row),
        position=row.position,
        period=view.period,
        period_name=view.period_name,
        about=_about(view, row, len(lines)),
        tables=(table,),
        notes=tuple(
            word
            for word in (row.notes, *(f"{view.say(head.title)} {words}" for words in below), *view.notes_for(list_id(row)))
            if word
        ),
        cautions=cautions(_areas(kind, list(lines.values()))),
        touches=tuple(
            dict.fromkeys(
                [
                    list_id(row),
                    row.position,
                    *signals,
                    *(leg.split(".")[0] for leg in signals),
                    *devices,
                    *(feed.id for feed in view.show.feeds if feed.mixed_at == row.position),
                ]
            )
        ),
    )


def _chosen(view: View, usual: list[str]) -> Layout:
    """Return the columns of a list: the usual ones, or those asked for, its name and what it says of 48 V always among them.

    Raises PatchloomError for a column there is none of.
    """
    if not view.options.columns:
        return [COLUMNS[key] for key in usual]
    named = {column.id: key for key, (column, _) in COLUMNS.items()} | {key: key for key in COLUMNS}
    named |= {column.id: key for key in usual for column in (COLUMNS[key][0],)}
    unknown = [key for key in view.options.columns if key not in named]
    if unknown:
        raise PatchloomError(f"option columns: no column is called {', '.join(unknown)}; there are {', '.join(COLUMNS)}")
    keys = dict.fromkeys(named[key] for key in view.options.columns)
    first = [] if "name" in keys else ["name"]
    fixed = [key for key in usual if COLUMNS[key][0].id == "phantom" and key not in keys]
    return [COLUMNS[key] for key in (*first, *keys, *fixed)]


def _sorted(view: View, lines: dict[Slot, Line], layout: Layout) -> Iterator[Row]:
    """Yield the lines in use by name, or on a walk by zone; blocks of eight are then no blocks of the desk."""
    if view.options.sort == "name":
        order = sorted(lines, key=lambda at: (str(COLUMNS["name"][1](lines[at])).casefold(), at.number))
    else:
        place = {leg: number for number, (leg, _) in enumerate(walking_order(view))}
        order = sorted(lines, key=lambda at: (place.get(lines[at].route.leg, len(place)), at.number))
    for number, at in enumerate(order):
        yield attrs.evolve(_row(view, at, lines[at], layout), block=number // _BLOCK)


def _few_below(view: View, layout: Layout, lines: list[Line]) -> tuple[Layout, list[str]]:
    """Return the columns but those that few lines fill, and what these say as notes, equal ones together."""
    below: list[str] = []
    for key, words in (("alternate", f"{view.say('alternate input')} "), ("notes", "")):
        said: dict[str, list[Line]] = {}
        for line in lines:
            if text := str(COLUMNS[key][1](line)):
                said.setdefault(text, []).append(line)
        if sum(map(len, said.values())) <= _FEW or len(said) <= _FEW // 2:
            layout = [(column, fill) for column, fill in layout if column.id != key]
            below += [f"{', '.join(view.mark(line.at) for line in same)}: {words}{text}" for text, same in said.items()]
    return layout, below


def _about(view: View, row: List, count: int) -> str:
    person = view.position(row.position).person
    device = row.at.split(".")[0]
    words = view.say(
        "{count} in use of {most} on {device}", count=count, most=len(view.run(row)), device=view.device_name(device)
    )
    return f"{words}, {person}" if person else words


def _without_blank(layout: Layout, lines: list[Line]) -> tuple[Layout, list[str]]:
    """Return the columns that say something or may not go, and the titles of the others."""
    kept, gone = [], []
    for column, fill in layout:
        filled = (fill(line) for line in lines)
        if column.id == "stage" and all(fill(line) == COLUMNS["name"][1](line) for line in lines):
            continue  # the position calls everything what the stage calls it
        if column.id in _MAY_GO and not any(
            (cell.text if isinstance(cell, Cell) else cell) not in ("", "\u2013") for cell in filled
        ):
            gone.append(column.title)
        else:
            kept.append((column, fill))
    return kept, [title for title in gone if title and title not in _QUIETLY]


def _rows(view: View, slots: list[Slot], lines: dict[Slot, Line], layout: Layout) -> Iterator[Row]:
    """Yield a row for each slot; two whole blocks or more with nothing in them are one row that says so."""
    blocks = [list(same) for _, same in groupby(slots, key=lambda at: (at.number - 1) // _BLOCK)]
    for bare, group in groupby(blocks, key=lambda block: not any(at in lines for at in block)):
        run = list(group)
        if bare and len(run) > 1:
            first, last = view.mark(run[0][0]), view.mark(run[-1][-1])
            words = view.say("{first} to {last} not in use", first=first, last=last)
            yield Row((Cell(words),), "section", (run[0][0].number - 1) // _BLOCK, marks=("empty",))
            continue
        yield from (_row(view, at, lines.get(at), layout) for block in run for at in block)


def _row(view: View, at: Slot, line: Line | None, layout: Layout) -> Row:
    head = Cell(view.mark(at))
    block = (at.number - 1) // _BLOCK
    if line is None:
        return Row((head, *(Cell() for _ in layout)), "empty", block, marks=("empty",))
    pair = line.route.leg.split(".")[0] if "." in line.route.leg else ""
    return Row((head, *(fill(line) for _, fill in layout)), "row", block, keep=pair)


def _notes_below(view: View, row: List, layout: Layout, slots: tuple[Slot, ...], last: int, gone: list[str]) -> Iterator[str]:
    ids = {column.id for column, _ in layout}
    if view.options.sort in ("walking", "name"):
        words = {"walking": "walking order", "name": "name"}[view.options.sort]
        yield view.say("Sorted by {order}, not by channel.", order=view.say(words))
    if "phantom" in ids:
        yield view.say(PHANTOM_NOTE)
    if "trim" in ids:
        yield view.say(
            "Gain and trim are where to start, in dB; blank = unknown. Gain by, call: own = you move it; a name = call there."
        )
    if "heard" in ids:
        named = "; ".join(f"{mix_number(view, feed)} = {feed.name or feed.id}" for feed in partial(view, row))
        yield view.say("Heard in: number of the mix. {mixes}.", mixes=named)
        every = [feed.name or feed.id for feed in view.show.feeds if feed.mixed_at == row.position and whole(feed, row)]
        if every:
            yield view.say("Hear (nearly) everything, and are not named beside each line: {mixes}.", mixes=", ".join(every))
    if "call" in ids:
        people = [(view.position_name(key), view.position(key).person) for key in view.positions() if view.position(key).person]
        yield view.say("Call for gain: {people}.", people="; ".join(f"{name} = {person}" for name, person in people))
    rest = [at.number for at in slots if at.number > last]
    if rest:
        yield view.say("Not in use: {channels}.", channels=runs(rest))
    if gone:
        titles = ", ".join(view.say(title) for title in gone)
        yield view.say("Left out because nobody filled it in: {titles}.", titles=titles)


def _areas(kind: str, lines: list[Line]) -> Iterator[str]:
    if kind in ("foh", "monitor", "other"):
        yield "hearing"
        yield "phantom"
    if kind in ("broadcast", "record", "stream"):
        yield "privacy"
    if any(line.source is not None and line.source.kind == "radio" for line in lines):
        yield "radio"
