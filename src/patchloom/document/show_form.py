"""A show as a person writes it becomes a show as the model holds it.

Comes in: a show document in the short form, already checked by its schema (shapes that are wrong are passed
over; they have their complaint).  Goes out: expanded plain data: one row per source, plug and feed, every
list of names spelt out.  Next: `show_refs.py` looks at what it refers to; `lists_form.py` and
`each_form.py` help here.
"""

from __future__ import annotations

from typing import Any

from patchloom.document.complaints import Complaints, Path
from patchloom.document.each_form import each_feed, each_plug
from patchloom.document.lists_form import expand_lists, expand_survives, expand_wants
from patchloom.document.names import check_id, expand_keys, listed, rows, zipped
from patchloom.document.sets import Signals
from patchloom.document.tidy import tidy

__all__ = ["expand_show"]

_ZIPS = ("name", "short", "person", "file_name", "from", "excludes", "zone", "notes")
_AS_IS = ("format", "name", "about", "date")


def expand_show(raw: dict[str, Any], complaints: Complaints) -> dict[str, Any]:
    """Return the expanded show."""
    made: dict[str, Any] = {key: raw[key] for key in _AS_IS if key in raw}
    made["positions"] = _table(raw.get("positions"), ("positions",), complaints)
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
    made["owners"] = _owners(raw.get("owners"), ("owners",), complaints)
    made["gain"] = _gain(raw.get("gain"), signals)
    _named(raw, made, signals, complaints)
    made["stage"] = _stage(raw.get("stage"), signals, complaints)
    made["periods"] = _periods(raw.get("periods"), made["lists"], signals, complaints)
    made["wishes"] = _wishes(raw.get("wishes"), signals, complaints)
    return tidy({key: value for key, value in made.items() if value is not None}, "Show")


def _table(value: Any, path: Path, complaints: Complaints) -> dict[str, Any]:
    made = {}
    for key, row, place in expand_keys(value, path, complaints):
        complaints.came_from((*path, key), place)
        made[key] = row if isinstance(row, dict) else {"name": row} if isinstance(row, str) else {}
    return made


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
    if isinstance(value, str) or (isinstance(value, list) and all(isinstance(item, str) for item in value)):
        value = [{"at": value}]
        places = [(path, path)]
    else:
        places = [(place, (*place, "at")) for _, place in rows(value, path)]
        value = [item for item, _ in rows(value, path)]
    made: list[dict[str, Any]] = []
    for row, (place, at) in zip(value, places, strict=True):
        one = {"at": row} if isinstance(row, str) else dict(row) if isinstance(row, dict) else {}
        choice = listed(one.get("at"), place if isinstance(row, str) else at, complaints)
        one["at"] = [text for text, _ in choice]
        complaints.came_from((*here, "to", len(made)), place)
        for number, (_, where) in enumerate(choice):
            complaints.came_from((*here, "to", len(made), "at", number), where)
        made.append(one)
    return made


def _owners(value: Any, path: Path, complaints: Complaints) -> list[dict[str, Any]]:
    made: list[dict[str, Any]] = []
    for row, place in rows(value, path):
        if isinstance(row, dict):
            found = listed(row.get("preamps"), (*place, "preamps"), complaints)
            complaints.came_from((*path, len(made)), place)
            for number, (_, where) in enumerate(found):
                complaints.came_from((*path, len(made), "preamps", number), where)
            made.append({**row, "preamps": [text for text, _ in found]})
    return made


def _gain(value: Any, signals: Signals) -> Any:
    if not isinstance(value, dict) or "fixed" not in value:
        return value
    fixed: list[dict[str, Any]] = []
    for row, path in rows(value["fixed"], ("gain", "fixed")):
        if isinstance(row, dict):
            field = "signals" if "signals" in row else "signal"
            rest = {key: item for key, item in row.items() if key != field}
            fixed.extend({"signal": named.text, **rest} for named in signals.names(row.get(field), (*path, field)))
    return {**value, "fixed": fixed}


def _named(raw: dict[str, Any], made: dict[str, Any], signals: Signals, complaints: Complaints) -> None:
    """Fill the rows that only hold names of signals and addresses in places of their own."""
    fields = {"groups": ("of",), "routing": ("signals",)}
    for key in ("groups", "inserts", "talk", "fixed", "routing", "waivers"):
        out: list[dict[str, Any]] = []
        for row, path in rows(raw.get(key), (key,)):
            if not isinstance(row, dict):
                continue
            complaints.came_from((key, len(out)), path)
            one = dict(row)
            for field in fields.get(key, ()):
                found = signals.less(signals.names(row.get(field), (*path, field)), row.get("not"), (*path, "not"))
                one[field] = [named.text for named in found]
            for field in ("at", "to", "where", "positions"):
                if field in one:
                    one[field] = [text for text, _ in listed(one[field], (*path, field), complaints)]
            out.append(one)
        made[key] = out


def _stage(value: Any, signals: Signals, complaints: Complaints) -> Any:
    if not isinstance(value, dict):
        return None
    made = dict(value)
    if "zones" in value:
        made["zones"] = _table(value["zones"], ("stage", "zones"), complaints)
    if "things" in value:
        made["things"] = [
            {
                **row,
                **(
                    {"sources": [named.text for named in signals.names(row["sources"], (*path, "sources"))]}
                    if "sources" in row
                    else {}
                ),
            }
            for row, path in rows(value["things"], ("stage", "things"))
            if isinstance(row, dict)
        ]
    return made


def _periods(value: Any, lists: list[dict[str, Any]], signals: Signals, complaints: Complaints) -> list[dict[str, Any]]:
    """Return the acts and scenes with what is in use spelt out."""
    made: list[dict[str, Any]] = []
    for row, path in rows(value, ("periods",)):
        if not isinstance(row, dict):
            continue
        here = ("periods", len(made))
        complaints.came_from(here, path)
        one = {key: item for key, item in row.items() if key != "not"}
        if "uses" in row or "not" in row:
            found = signals.names(row.get("uses", "all"), (*path, "uses"), everything=True)
            one["uses"] = [named.signal for named in signals.less(found, row.get("not"), (*path, "not"))]
            one["uses"] = list(dict.fromkeys(one["uses"]))
        if isinstance(row.get("lists"), dict):
            one["lists"] = {
                key: expand_wants(item, (*path, "lists", key), signals, complaints, (*here, "lists", key))
                for key, item in row["lists"].items()
            }
        for field in ("without_lists", "without_devices", "without_links"):
            if field in row:
                one[field] = [text for text, _ in listed(row[field], (*path, field), complaints)]
        for field in ("people", "names"):
            if isinstance(row.get(field), dict):
                one[field] = {key: item for key, item, _ in expand_keys(row[field], (*path, field), complaints)}
        if "owners" in row:
            one["owners"] = _owners(row["owners"], (*path, "owners"), complaints)
        made.append(one)
    return made


def _wishes(value: Any, signals: Signals, complaints: Complaints) -> Any:
    if not isinstance(value, dict):
        return None
    made = dict(value)
    for key in ("spare", "prefer"):
        if key not in value:
            continue
        out: list[dict[str, Any]] = []
        for row, path in rows(value[key], ("wishes", key)):
            if not isinstance(row, dict):
                continue
            one = dict(row)
            complaints.came_from(("wishes", key, len(out)), path)
            one["at"] = [text for text, _ in listed(row.get("at"), (*path, "at"), complaints)]
            if "signals" in row:
                one["signals"] = [named.text for named in signals.names(row["signals"], (*path, "signals"))]
            if "reaching" in row:
                one["reaching"] = [text for text, _ in listed(row["reaching"], (*path, "reaching"), complaints)]
            out.append(one)
        made[key] = out
    return made
