"""A show as a person writes it becomes a show as the model holds it.

Comes in: a show document in the short form, already checked by its schema (shapes that are wrong are passed
over; they have their complaint).  Goes out: expanded plain data: one row per source, plug and feed, every
list of names spelt out.  Next: `show_refs.py` looks at what it refers to; `lists_form.py`,
`each_form.py` and `rows_form.py` help here.
"""

from __future__ import annotations

from typing import Any

from patchloom.document.complaints import Complaints, Path
from patchloom.document.each_form import each_feed, each_plug
from patchloom.document.lists_form import expand_lists, expand_survives
from patchloom.document.names import check_id, listed, rows, spread, zipped
from patchloom.document.rows_form import (
    expand_gain,
    expand_named,
    expand_owners,
    expand_periods,
    expand_stage,
    expand_table,
    expand_wishes,
)
from patchloom.document.sets import Signals
from patchloom.document.tidy import tidy

__all__ = ["expand_show"]

_ZIPS = ("name", "short", "person", "file_name", "from", "excludes", "zone", "notes")
_AS_IS = ("format", "name", "about", "date")


def expand_show(raw: dict[str, Any], complaints: Complaints) -> dict[str, Any]:
    """Return the expanded show."""
    made: dict[str, Any] = {key: raw[key] for key in _AS_IS if key in raw}
    made["positions"] = expand_table(raw.get("positions"), ("positions",), complaints)
    signals = Signals(raw.get("sets"), complaints)
    made["sources"] = _many(raw.get("sources"), "sources", signals, complaints)
    for row in made["sources"]:
        signals.add(row, "sources")
    feeds = _many(raw.get("feeds"), "feeds", signals, complaints)
    for row in feeds:
        signals.add(row, "feeds")
    signals.check_sets()
    made["plug"] = _plugs(raw.get("plug"), signals, complaints)
    made["lists"] = expand_lists(raw.get("lists"), signals, complaints)
    made["feeds"] = [_feed(row, number, signals, complaints) for number, row in enumerate(feeds)]
    made["owners"] = expand_owners(raw.get("owners"), ("owners",), ("owners",), complaints)
    made["gain"] = expand_gain(raw.get("gain"), signals)
    expand_named(raw, made, signals, complaints)
    made["stage"] = expand_stage(raw.get("stage"), signals, complaints)
    made["periods"] = expand_periods(raw.get("periods"), signals, complaints)
    made["wishes"] = expand_wishes(raw.get("wishes"), signals, complaints)
    return tidy({key: value for key, value in made.items() if value is not None}, "Show")


def _many(value: Any, field: str, signals: Signals, complaints: Complaints) -> list[dict[str, Any]]:
    """Return one row per source or feed a row speaks for."""
    made: list[dict[str, Any]] = []
    for written, path in rows(value, (field,)):
        row: dict[str, Any] = {"id": written} if isinstance(written, str) else written if isinstance(written, dict) else {}
        each = row.get("each") if field == "feeds" else None
        split = each_feed(row, path, complaints) if isinstance(each, dict) else [(row, path)]
        for one, place in split:
            key = "ids" if "ids" in one else "id"
            where = path if isinstance(written, str) else (*path, key)
            if isinstance(each, dict):
                where = (*path, "each", "ids" if "ids" in each else "id")
            ids = listed(one.get(key), where, complaints)
            shared = {name: item for name, item in one.items() if name not in ("id", "ids", "each")}
            texts = {name: zipped(shared[name], len(ids), (*path, name), complaints, field) for name in _ZIPS if name in shared}
            for number, (name, at) in enumerate(ids):
                if check_id(name, at, complaints) and signals.take(name, at):
                    here = (field, len(made))
                    complaints.came_from(here, place)
                    complaints.came_from((*here, "id"), at)
                    made.append({"id": name, **shared, **{text: values[number] for text, values in texts.items()}})
                    _legs(made[-1], complaints, here)
    return made


def _legs(row: dict[str, Any], complaints: Complaints, here: Path) -> None:
    legs = row.get("legs")
    if not isinstance(legs, list):
        return
    seen: list[Any] = []
    for number, leg in enumerate(legs):
        if leg in seen:
            complaints.about((*here, "legs", number), "duplicate-id", f'the leg "{leg}" is named twice')
        elif isinstance(leg, str):
            check_id(leg, complaints.written_path((*here, "legs", number)), complaints)
        seen.append(leg)


def _plugs(value: Any, signals: Signals, complaints: Complaints) -> list[dict[str, Any]]:
    """Return one row per source (or leg) and where it may plug in."""
    made: list[dict[str, Any]] = []
    seen: dict[tuple[str, str], Path] = {}

    def put(signal: str, leg: str, into: list[str], path: Path, at: Path) -> None:
        other = (
            seen.get((signal, leg))
            or seen.get((signal, ""))
            or (next((where for (name, _), where in seen.items() if name == signal), None) if not leg else None)
        )
        if other is not None:
            complaints.add(
                at,
                "duplicate-id",
                f'"{signal}" has a plug row already',
                value=signal,
                hint="Give each source one plug row; nothing merges silently.",
            )
            return
        seen[signal, leg] = at
        here = ("plug", len(made))
        complaints.came_from(here, path)
        complaints.came_from((*here, "source"), at)
        made.append({"source": f"{signal}.{leg}" if leg else signal, "into": into})

    for row, path in rows(value, ("plug",)):
        if not isinstance(row, dict):
            continue
        if isinstance(row.get("each"), dict):
            for named, place, where in each_plug(row["each"], (*path, "each"), signals, complaints):
                complaints.came_from(("plug", len(made), "into"), where)
                put(named.signal, named.leg, [place], path, named.path)
            continue
        field = "sources" if "sources" in row else "source"
        into = listed(row.get("into"), (*path, "into"), complaints)
        found = signals.names(row.get(field), (*path, field))
        for named in signals.less(found, row.get("not"), (*path, "not")):
            for number, (_, where) in enumerate(into):
                complaints.came_from(("plug", len(made), "into", number), where)
            put(named.signal, named.leg, [text for text, _ in into], path, named.path)
    return made


def _feed(row: dict[str, Any], number: int, signals: Signals, complaints: Complaints) -> dict[str, Any]:
    """Return one feed with its contents and destinations spelt out."""
    here: Path = ("feeds", number)
    path = complaints.written_path(here)
    made = {key: item for key, item in row.items() if key not in ("not", "to")}
    if "of" in row:
        found = signals.less(signals.names(row["of"], (*path, "of")), row.get("not"), (*path, "not"))
        if any(named.signal == row["id"] for named in found):
            at = next(named.path for named in found if named.signal == row["id"])
            complaints.add(
                at, "loop", f'the feed "{row["id"]}" contains itself', value=row["id"], hint='Take it away with "not".'
            )
        made["of"] = [named.text for named in found]
        for place, named in enumerate(found):
            complaints.came_from((*here, "of", place), named.path)
    elif "not" in row:
        complaints.add(
            (*path, "not"),
            "conflict",
            '"not" takes away from "of", and there is no "of"',
            hint='Say what it contains in "of".',
            key=True,
        )
    if "to" in row:
        made["to"] = _destinations(row["to"], complaints.written_path((*here, "to")), here, complaints)
    if "survives" in row:
        made["survives"] = expand_survives(row["survives"], (*path, "survives"), signals)
    return made


def _destinations(value: Any, path: Path, here: Path, complaints: Complaints) -> list[dict[str, Any]]:
    """Return the destinations: an address or a list of them is one with a choice, each object is its own."""
    if isinstance(value, str) or (isinstance(value, list) and value and all(isinstance(item, str) for item in value)):
        value = [{"at": value}]
        places = [(path, path)]
    else:
        places = [(place, (*place, "at")) for _, place in rows(value, path)]
        value = [item for item, _ in rows(value, path)]
    made: list[dict[str, Any]] = []
    for row, (place, at) in zip(value, places, strict=True):
        one = {"at": row} if isinstance(row, str) else dict(row) if isinstance(row, dict) else {}
        number = (*here, "to", len(made))
        complaints.came_from(number, place)
        one["at"] = spread(one.get("at"), place if isinstance(row, str) else at, (*number, "at"), complaints)
        made.append(one)
    return made
