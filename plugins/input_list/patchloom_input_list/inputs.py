"""One list as a page: a row for every slot from the first to the last in use.

Comes in: a `View` and a list.  Goes out: a `Page`.  Next: the plugin's `pages`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from patchloom.address import Slot
from patchloom.model.patch import Route
from patchloom.model.show import Feed, List, Source, Want
from patchloom.pages import Cell, Column, Page, Row, Table, View, cautions, list_id
from patchloom.pages.cells import PHANTOM_NOTE, decibels, owner, phantom, runs

__all__ = ["input_page"]


class Line(NamedTuple):
    """All that a cell of one row may ask for."""

    view: View
    list: List
    at: Slot
    route: Route
    want: Want | None

    @property
    def signal(self) -> Source | Feed | None:
        """Return the source or feed of the row."""
        return self.view.signal(self.route.leg)

    @property
    def source(self) -> Source | None:
        """Return the source of the row, None for a feed."""
        return self.view.source(self.route.leg)


Fill = Callable[[Line], "str | Cell"]


def _name(line: Line) -> str:
    return line.view.name(line.route.leg, line.want.name if line.want else "")


def _stage_name(line: Line) -> str:
    return line.view.name(line.route.leg)


def _detail(line: Line) -> str:
    signal = line.signal
    if isinstance(signal, Feed):
        return ", ".join(word for word in (f"mix of {line.view.position_name(signal.mixed_at)}", signal.person) if word)
    if signal is None:
        return ""
    return ", ".join(word for word in (signal.person, line.view.zone(signal.zone)) if word)


def _mic(line: Line) -> str:
    if line.source is None:
        return "\u2013"
    return line.source.mic or line.source.kind


def _stand(line: Line) -> str:
    return line.source.stand if line.source else "\u2013"


def _phantom(line: Line) -> Cell:
    return phantom(line.view, line.route.leg, line.view.preamp_of(line.route))


def _socket(line: Line) -> str:
    start = line.route.hops[0] if line.route.hops else line.view.starts(line.route.leg)
    return line.view.line(start) if start else ""


def _owner(line: Line) -> str:
    return owner(line.view, line.route, line.list.position)


def _set(line: Line) -> str:
    at = line.view.preamp_of(line.route)
    gain = line.view.gain(at) if at else None
    if at is None:
        return "\u2013"
    return decibels(gain.gain_db) if gain else ""


def _trim(line: Line) -> str:
    at = line.view.preamp_of(line.route)
    gain = line.view.gain(at) if at else None
    if gain is not None and line.list.position in gain.trims_db:
        return decibels(gain.trims_db[line.list.position], signed=True)
    return ""


def _leg(line: Line) -> str:
    if line.want is not None and line.want.fold:
        return {"sum": "L+R", "left": "L only", "right": "R only"}.get(line.want.fold, line.want.fold)
    return line.route.leg.partition(".")[2]


def _group(line: Line) -> str:
    want, source = line.want, line.source
    words = (
        (want.insert and f"insert {want.insert}") if want else "",
        (want.group if want else "") or (source.group if source else ""),
    )
    return ", ".join(word for word in words if word)


def _colour(line: Line) -> str:
    return line.source.colour if line.source else ""


def _heard_in(line: Line) -> str:
    """Return the mixes of the position that contain the row's signal, those that contain the whole list left out."""
    found = [feed for feed in line.view.show.feeds if _contains(feed, line) and not _whole(feed, line.list)]
    return ", ".join(feed.short or feed.name or feed.id for feed in found)


def _contains(feed: Feed, line: Line) -> bool:
    return feed.mixed_at == line.list.position and feed.of is not None and line.route.leg.split(".")[0] in feed.of


def _whole(feed: Feed, row: List) -> bool:
    """Return whether a feed contains nearly all of a list, so that naming it beside each entry says nothing."""
    wanted = {want.signal for want in row.wants if want is not None} - {feed.id}
    return feed.of is not None and len(wanted - set(feed.of)) * 4 <= len(wanted)


def _less_one(line: Line) -> str:
    key = line.route.leg.split(".")[0]
    found = [feed.name or feed.id for feed in line.view.show.feeds if feed.excludes == key]
    if isinstance(line.signal, Feed) and line.signal.kind == "n-1":
        found.append(f"all but {line.signal.excludes}" if line.signal.excludes else "n-1")
    return ", ".join(found)


def _tap(line: Line) -> str:
    """Return the taps the row's way takes, `raw` when it takes none after anything."""
    if isinstance(line.signal, Feed):
        return "mix"
    after: list[str] = []
    for before, here in zip(line.route.hops, line.route.hops[1:], strict=False):
        bank = line.view.bank(before.device, before.bank)
        if bank is not None and bank.does == "process" and before.device == here.device:
            tap = next((row.tap for row in line.view.setting.selections if row.into.holds(here)), "")
            after.append(tap if bank.taps.get(tap) else "raw")
    return next((word for word in after if word != "raw"), "raw")


def _call(line: Line) -> str:
    at = line.view.preamp_of(line.route)
    row = line.view.owner(at) if at else None
    if row is None or not row.owner:
        return "\u2013" if at is None else ""
    who = line.view.position(row.owner)
    return ", ".join(word for word in (who.name or row.owner, who.person) if word)


def _file(line: Line) -> str:
    if line.source is not None and line.source.file_name:
        leg = line.route.leg.partition(".")[2]
        return f"{line.source.file_name}{f' {leg}' if leg else ''}"
    return f"{line.at.number:02d} {_name(line)}"


def _rate(line: Line) -> str:
    bank = line.view.bank(line.at.device, line.at.bank)
    return f"{float(line.view.rig.domain_of(line.at.device, bank.clock if bank else '').hertz) / 1000:g} kHz"


def _alternate(line: Line) -> str:
    other = line.view.landed(list_id(line.list), line.at, True)
    if other is None or not other.hops:
        return ""
    return f"{line.view.name(other.leg)} {line.view.line(other.hops[0])}"


def _alone(line: Line) -> str:
    tags = line.signal.tags if line.signal else ()
    return (
        "LEAVE ALONE"
        if {"private", "talk"} & set(tags) or (isinstance(line.signal, Feed) and line.signal.kind == "talkback")
        else ""
    )


def _notes(line: Line) -> str:
    words = (line.want.notes if line.want else "", line.signal.notes if line.signal else "")
    return "; ".join(dict.fromkeys(word for word in words if word))


_TICK: Fill = lambda line: Cell("", ("tick",))  # noqa: E731

_COLUMNS: dict[str, tuple[Column, Fill]] = {
    "name": (Column("name", "Name", 3.4, size="strong"), _name),
    "stage": (Column("stage", "Name on stage", 3, size="strong"), _stage_name),
    "detail": (Column("detail", "Source", 2.4), _detail),
    "mic": (Column("mic", "Mic / DI", 2.2), _mic),
    "stand": (Column("stand", "Stand", 1.6), _stand),
    "phantom": (Column("phantom", "48V", 1.2), _phantom),
    "phantom-strong": (Column("phantom", "48V", 1.3, size="bold"), _phantom),
    "line": (Column("line", "Line", 1.9, "address"), _socket),
    "line-strong": (Column("line", "Line on stage", 2, "address", "strong"), _socket),
    "owner": (Column("owner", "Gain by", 1.2), _owner),
    "owner-strong": (Column("owner", "Gain by", 1.4, size="bold"), _owner),
    "gain": (Column("gain", "Gain dB", 0.9, "number"), _set),
    "trim": (Column("trim", "My trim dB", 0.9, "number"), _trim),
    "leg": (Column("leg", "St", 0.7), _leg),
    "group": (Column("group", "Insert / group", 1.6), _group),
    "colour": (Column("colour", "Colour", 1.1), _colour),
    "heard": (Column("heard", "Heard in", 2.4), _heard_in),
    "less": (Column("less", "N\u22121", 1.2), _less_one),
    "tap": (Column("tap", "Tap", 0.9), _tap),
    "call": (Column("call", "Call for gain", 1.8), _call),
    "file": (Column("file", "File", 3), _file),
    "rate": (Column("rate", "Rate", 1), _rate),
    "arm": (Column("arm", "Arm", 0.7, "tick"), _TICK),
    "alternate": (Column("alternate", "Alternate", 1.8), _alternate),
    "alone": (Column("alone", "", 1.6, size="strong"), _alone),
    "notes": (Column("notes", "Notes", 2), _notes),
}

_LAYOUTS = {
    "foh": "name detail mic stand phantom line owner gain trim leg group colour alternate notes",
    "monitor": "name detail mic stand phantom-strong line owner-strong gain trim leg heard colour alternate notes",
    "broadcast": "name stage line-strong mic phantom tap less call trim leg group alternate notes",
    "record": "name stage file line tap rate arm leg alternate notes",
    "stream": "name line alone notes",
    "other": "name detail mic stand phantom line owner gain trim leg group colour alternate notes",
}
_MAY_GO = {"alternate", "colour", "detail", "group", "heard", "less", "notes", "stand", "leg", "alone"}
_HEADS = {"record": "Track"}
_BLOCK, _FEW = 8, 6


def input_page(view: View, row: List) -> Page:
    """Return the page of one list in one act."""
    position = view.position(row.position)
    kind = "stream" if position.plain_words else position.kind
    layout = [_COLUMNS[key] for key in _LAYOUTS.get(kind, _LAYOUTS["other"]).split()]
    slots = view.run(row)
    lines = {
        at: Line(view, row, at, route, view.want(row, route))
        for at in slots
        if (route := view.landed(list_id(row), at)) is not None
    }
    last = max((at.number for at in lines), default=0)
    layout, gone = _without_blank(layout, list(lines.values()))
    below: list[str] = []
    for key, words in (("alternate", "alternate input "), ("notes", "")):
        some = [f"{view.mark(at)}: {words}{text}" for at, line in lines.items() if (text := str(_COLUMNS[key][1](line)))]
        if len(some) <= _FEW:
            layout = [(column, fill) for column, fill in layout if column.id != key]
            below += some
    head = Column("ch", _HEADS.get(kind, "Ch"), 0.8, "number", "strong")
    rows = tuple(_row(view, at, lines.get(at), layout) for at in slots if at.number <= last)
    table = Table(
        "inputs",
        columns=(head, *(column for column, _ in layout)),
        rows=rows,
        notes=tuple(_notes_below(view, row, layout, slots, last, gone)),
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
            word for word in (row.notes, *(f"{head.title} {words}" for words in below), *view.notes_for(list_id(row))) if word
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


def _about(view: View, row: List, count: int) -> str:
    person = view.position(row.position).person
    device = row.at.split(".")[0]
    return ", ".join(word for word in (f"{count} in use of {len(view.run(row))} on {view.device_name(device)}", person) if word)


def _without_blank(layout: list[tuple[Column, Fill]], lines: list[Line]) -> tuple[list[tuple[Column, Fill]], list[str]]:
    """Return the columns that say something or may not go, and the titles of the others."""
    kept, gone = [], []
    for column, fill in layout:
        filled = (fill(line) for line in lines)
        if column.id in _MAY_GO and not any(
            (cell.text if isinstance(cell, Cell) else cell) not in ("", "\u2013") for cell in filled
        ):
            gone.append(column.title)
        else:
            kept.append((column, fill))
    return kept, [title for title in gone if title]


def _row(view: View, at: Slot, line: Line | None, layout: list[tuple[Column, Fill]]) -> Row:
    head = Cell(view.mark(at))
    block = (at.number - 1) // _BLOCK
    if line is None:
        return Row((head, *(Cell() for _ in layout)), "empty", block, marks=("empty",))
    pair = line.route.leg.split(".")[0] if "." in line.route.leg else ""
    return Row((head, *(fill(line) for _, fill in layout)), "row", block, keep=pair)


def _notes_below(
    view: View, row: List, layout: list[tuple[Column, Fill]], slots: tuple[Slot, ...], last: int, gone: list[str]
) -> Iterator[str]:
    ids = {column.id for column, _ in layout}
    if "phantom" in ids:
        yield PHANTOM_NOTE
    if "trim" in ids:
        yield "Gain and trim are where to start, in dB; blank = unknown. Gain by: own = you move it; a name = call there."
    whole = [feed.name or feed.id for feed in view.show.feeds if feed.mixed_at == row.position and _whole(feed, row)]
    if "heard" in ids and whole:
        yield f"Hear (nearly) everything, and are not named beside each line: {', '.join(whole)}."
    rest = [at.number for at in slots if at.number > last]
    if rest:
        yield f"Not in use: {runs(rest)}."
    if gone:
        yield f"Left out because nobody filled it in: {', '.join(gone)}."


def _areas(kind: str, lines: list[Line]) -> Iterator[str]:
    if kind in ("foh", "monitor", "other"):
        yield "hearing"
        yield "phantom"
    if kind in ("broadcast", "record", "stream"):
        yield "privacy"
    if any(line.source is not None and line.source.kind == "radio" for line in lines):
        yield "radio"
