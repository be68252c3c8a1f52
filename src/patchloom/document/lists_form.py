"""The lists of a show: entries as a person writes them become one want each.

Comes in: raw `lists` rows and the names of a show.  Goes out: rows with an id and spelt-out wants.
Next: `show_form.py`.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from patchloom.document.complaints import Complaints, Path
from patchloom.document.names import check_id, rows, zipped
from patchloom.document.sets import Named, Signals

__all__ = ["expand_lists", "expand_survives", "expand_wants"]


def expand_lists(value: Any, signals: Signals, complaints: Complaints) -> list[dict[str, Any]]:
    """Return the lists; a list without an id has its position's.  Fills `signals.listed` for `position.list`."""
    made: list[dict[str, Any]] = []
    seen: dict[str, Path] = {}
    for row, path in rows(value, ("lists",)):
        if not isinstance(row, dict):
            continue
        here = ("lists", len(made))
        complaints.came_from(here, path)
        one = {key: item for key, item in row.items() if key not in ("not", "wants")}
        field = "id" if "id" in row else "position"
        key = row.get(field)
        if isinstance(key, str):
            one["id"] = key
            complaints.came_from((*here, "id"), (*path, field))
            if field == "id":
                check_id(key, (*path, field), complaints)
            _once(key, field, path, row, seen, complaints)
        one["wants"] = expand_wants(
            row.get("wants"), (*path, "wants"), signals, complaints, (*here, "wants"), row.get("not"), (*path, "not")
        )
        if "survives" in row:
            one["survives"] = expand_survives(row["survives"], (*path, "survives"), signals)
        wanted = [Named(want["signal"], want.get("leg", ""), path) for want in one["wants"] if want]
        if isinstance(key, str):
            signals.listed.setdefault(key, wanted)
        if isinstance(row.get("position"), str):
            signals.listed.setdefault(row["position"], wanted)
        made.append({"id": one.pop("id", ""), **one})
    return made


def _once(key: str, field: str, path: Path, row: dict[str, Any], seen: dict[str, Path], complaints: Complaints) -> None:
    if key in seen:
        bank = str(row.get("at", "")).partition(".")[2].partition("[")[0] or "2"
        complaints.add(
            (*path, field),
            "duplicate-id",
            f'there is a list "{key}" already',
            value=key,
            hint=f'A position\'s id serves one list; give this one an id, such as "{key}-{bank}".',
        )
    seen.setdefault(key, path)


def expand_wants(
    value: Any, path: Path, signals: Signals, complaints: Complaints, here: Path, without: Any = None, without_path: Path = ()
) -> list[dict[str, Any] | None]:
    """Return one want per entry, null for an empty slot; each signal (or leg of it) stands once."""
    entries: list[_Entry] = []
    for item, place in rows(value, path):
        if item is None:
            entries.append(_Entry(None, {}, place))
        elif isinstance(item, dict):
            entries.extend(_entry(item, place, signals, complaints))
        else:
            entries.extend(_Entry(named, {}, named.path) for named in signals.one(item, place))
    if without is not None:
        gone = signals.taken(without, without_path)
        entries = [
            entry._replace(named=kept)
            for entry in entries
            for kept in (signals.without([entry.named], gone) if entry.named else [None])
        ]
    return _wants(entries, complaints, here)


class _Entry(NamedTuple):
    named: Named | None
    fields: dict[str, Any]
    path: Path


def _entry(item: dict[str, Any], path: Path, signals: Signals, complaints: Complaints) -> list[_Entry]:
    """Return the wants of an entry that is an object; it may speak for many signals."""
    field = "signals" if "signals" in item else "signal"
    found = signals.less(signals.names(item.get(field), (*path, field)), item.get("not"), (*path, "not"))
    rest = {key: value for key, value in item.items() if key not in ("signal", "signals", "not", "leg")}
    if len(found) > 1 and "channel" in rest:
        complaints.add(
            (*path, "channel"),
            "conflict",
            f"the entry speaks for {len(found)} signals and fixes one channel",
            hint="Write one entry for each.",
            key=True,
        )
    leg = item.get("leg")
    if isinstance(leg, str):
        found = [named for each in found for named in signals.one(f"{each.signal}.{leg}", (*path, "leg"))]
    names = {key: zipped(rest[key], len(found), (*path, key), complaints, "signals") for key in ("name", "notes") if key in rest}
    if isinstance(rest.get("alternate"), str):
        alternate = signals.one(rest["alternate"], (*path, "alternate"))
        rest["alternate"] = alternate[0].text if len(alternate) == 1 else rest["alternate"]
        if len(alternate) > 1:
            complaints.add((*path, "alternate"), "conflict", f"an alternate is one signal, not {len(alternate)}")
    return [
        _Entry(named, {**rest, **{key: values[number] for key, values in names.items()}}, path)
        for number, named in enumerate(found)
    ]


def _wants(entries: list[_Entry], complaints: Complaints, here: Path) -> list[dict[str, Any] | None]:
    made: list[dict[str, Any] | None] = []
    seen: dict[str, list[str]] = {}
    for named, fields, path in entries:
        if named is None:
            made.append(None)
            continue
        legs = seen.setdefault(named.signal, [])
        if named.leg in legs or "" in legs or (legs and not named.leg):
            complaints.add(
                named.path,
                "duplicate-id",
                f'"{named.text}" is wanted twice in one list',
                value=named.text,
                hint='Take it out of one of them, with "not" where it comes from a set.',
            )
            continue
        legs.append(named.leg)
        complaints.came_from((*here, len(made)), path)
        if path is not named.path:
            complaints.came_from((*here, len(made), "signal"), named.path)
        want: dict[str, Any] = {"signal": named.signal, **({"leg": named.leg} if named.leg else {}), **fields}
        made.append(want)
    return made


def expand_survives(value: Any, path: Path, signals: Signals) -> list[dict[str, Any]]:
    """Return one row per loss; a text is what is lost."""
    made: list[dict[str, Any]] = []
    for row, place in rows(value, path):
        one = {"loss_of": row} if isinstance(row, str) else dict(row) if isinstance(row, dict) else {}
        if "except" in one:
            one["except"] = [named.text for named in signals.names(one["except"], (*place, "except"))]
        for lost in one["loss_of"] if isinstance(one.get("loss_of"), list) else [one.get("loss_of")]:
            made.append({**one, "loss_of": lost})
    return made
