"""What stands in each column of a list, and which columns there are.

Comes in: a `Line`, all that a cell may ask for.  Goes out: cells.  Next: `inputs.py` lays them out.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from patchloom.address import Slot
from patchloom.model.patch import Route
from patchloom.model.show import Feed, List, Source, Want
from patchloom.pages import Cell, Column, View, list_id
from patchloom.pages.cells import decibels, owner, phantom, runs
from patchloom.pages.lines import channels, head

__all__ = ["COLUMNS", "Fill", "Line", "mix_number", "partial", "whole"]


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
        return ", ".join(
            word
            for word in (line.view.say("mix of {position}", position=line.view.position_name(signal.mixed_at)), signal.person)
            if word
        )
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
        words = {"sum": "L+R", "left": "L only", "right": "R only"}.get(line.want.fold, line.want.fold)
        return line.view.say(words)
    return line.route.leg.partition(".")[2]


def _group(line: Line) -> str:
    want, source = line.want, line.source
    words = (
        line.view.say("insert {what}", what=want.insert) if want and want.insert else "",
        (want.group if want else "") or (source.group if source else ""),
    )
    return ", ".join(word for word in words if word)


def _colour(line: Line) -> str:
    return line.source.colour if line.source else ""


def _heard_in(line: Line) -> str:
    """Return the numbers of the position's mixes that contain the row's signal, those that contain the whole list left out."""
    return ", ".join(mix_number(line.view, feed) for feed in partial(line.view, line.list) if _contains(feed, line))


def partial(view: View, row: List) -> list[Feed]:
    """Return the feeds of a list's position that contain a part of the list, not nearly all of it."""
    return [feed for feed in view.show.feeds if feed.mixed_at == row.position and feed.of is not None and not whole(feed, row)]


def mix_number(view: View, feed: Feed) -> str:
    """Return the numbers of the slots a feed is mixed on, its name where they are not known."""
    slots = [at.number for leg in feed.leg_ids() if (at := view.setting.mixes.get(leg)) is not None]
    return runs(slots) or feed.short or feed.name or feed.id


def _contains(feed: Feed, line: Line) -> bool:
    return feed.mixed_at == line.list.position and feed.of is not None and line.route.leg.split(".")[0] in feed.of


def whole(feed: Feed, row: List) -> bool:
    """Return whether a feed contains nearly all of a list, so that naming it beside each entry says nothing."""
    wanted = {want.signal for want in row.wants if want is not None} - {feed.id}
    return feed.of is not None and len(wanted - set(feed.of)) * 4 <= len(wanted)


def _less_one(line: Line) -> str:
    key = line.route.leg.split(".")[0]
    found = [feed.name or feed.id for feed in line.view.show.feeds if feed.excludes == key]
    if isinstance(line.signal, Feed) and line.signal.kind == "n-1":
        less = line.signal.excludes
        found.append(line.view.say("all but {signal}", signal=less) if less else line.view.say("n-1"))
    return ", ".join(found)


def _tap(line: Line) -> str:
    """Return the taps the row's way takes, `raw` when it takes none after anything."""
    if isinstance(line.signal, Feed):
        return line.view.say("mix")
    after: list[str] = []
    for before, here in zip(line.route.hops, line.route.hops[1:], strict=False):
        bank = line.view.bank(before.device, before.bank)
        if bank is not None and bank.does == "process" and before.device == here.device:
            tap = next((row.tap for row in line.view.setting.selections if row.into.holds(here)), "")
            after.append(tap if bank.taps.get(tap) else "")
    return next((word for word in after if word), line.view.say("raw"))


def _call(line: Line) -> str:
    at = line.view.preamp_of(line.route)
    row = line.view.owner(at) if at else None
    if row is None or not row.owner:
        return "\u2013" if at is None else ""
    return line.view.say("own") if row.owner == line.list.position else line.view.position_name(row.owner)


def _file(line: Line) -> str:
    if line.source is not None and line.source.file_name:
        leg = line.route.leg.partition(".")[2]
        return f"{line.source.file_name}{f' {leg}' if leg else ''}"
    return f"{line.at.number:02d} {_name(line)}"


def _rate(line: Line) -> str:
    bank = line.view.bank(line.at.device, line.at.bank)
    return f"{float(line.view.rig.domain_of(line.at.device, bank.clock if bank else '').hertz) / 1000:g} kHz"


def _backup(line: Line) -> str:
    """Return the tracks of other recorders that take the same leg."""
    found = []
    for row in line.view.show.lists:
        other = list_id(row) != list_id(line.list) and line.view.position(row.position).kind == "record"
        if other and (track := channels(line.view, row, line.route.leg)):
            found.append(f"{head(row)} {track}")
    return ", ".join(found)


def _alternate(line: Line) -> str:
    other = line.view.landed(list_id(line.list), line.at, True)
    if other is None or not other.hops:
        return ""
    return f"{line.view.name(other.leg)} {line.view.line(other.hops[0])}"


def _alone(line: Line) -> str:
    tags = line.signal.tags if line.signal else ()
    return (
        line.view.say("LEAVE ALONE")
        if {"private", "talk"} & set(tags) or (isinstance(line.signal, Feed) and line.signal.kind == "talkback")
        else ""
    )


def _notes(line: Line) -> str:
    words = (line.want.notes if line.want else "", line.signal.notes if line.signal else "")
    return "; ".join(dict.fromkeys(word for word in words if word))


_TICK: Fill = lambda line: Cell("", ("tick",))  # noqa: E731

COLUMNS: dict[str, tuple[Column, Fill]] = {
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
    "trim": (Column("trim", "My trim", 0.9, "number"), _trim),
    "leg": (Column("leg", "St", 0.7), _leg),
    "group": (Column("group", "Insert / group", 1.6), _group),
    "colour": (Column("colour", "Colour", 1.1), _colour),
    "heard": (Column("heard", "Heard in", 2.4), _heard_in),
    "less": (Column("less", "N\u22121", 1.2), _less_one),
    "tap": (Column("tap", "Tap", 0.9), _tap),
    "call": (Column("call", "Call for gain", 1.8), _call),
    "file": (Column("file", "File", 3), _file),
    "rate": (Column("rate", "Rate", 1), _rate),
    "backup": (Column("backup", "Backup track", 1.2), _backup),
    "arm": (Column("arm", "Arm", 0.7, "tick"), _TICK),
    "alternate": (Column("alternate", "Alternate", 1.8), _alternate),
    "alone": (Column("alone", "", 1.6, size="strong"), _alone),
    "notes": (Column("notes", "Notes", 2), _notes),
}
