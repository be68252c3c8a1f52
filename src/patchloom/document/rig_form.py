"""A rig as a person writes it becomes a rig as the model holds it.

Comes in: a rig document in the short form, already checked by its schema (shapes that are wrong are passed
over; they have their complaint).  Goes out: expanded plain data; library types and formats that are used
are pulled in, local ones win.  Next: `rig_refs.py` looks at what it refers to.
"""

from __future__ import annotations

from typing import Any

from patchloom.document.complaints import Complaints, Path, near
from patchloom.document.format_form import expand_formats
from patchloom.document.names import check_id, expand, expand_keys, listed, rows, spread, zipped
from patchloom.document.schemas import validate_part
from patchloom.document.tidy import tidy
from patchloom.document.type_form import Types, expand_type

__all__ = ["expand_rig"]


def expand_rig(raw: dict[str, Any], complaints: Complaints, types: Any, formats: Any) -> dict[str, Any]:
    """Return the expanded rig; `types` and `formats` are the shelves of the library."""
    made: dict[str, Any] = {key: raw[key] for key in ("format", "name", "about") if key in raw}
    made["domains"] = _domains(raw, complaints)
    shelf = Types(raw.get("types"), types, complaints)
    used: dict[str, dict[str, Any]] = {}
    for name, (_, path) in shelf.local.items():
        complaints.came_from(("types", name), path)
        before = len(complaints)
        value = shelf.raw(name)
        if value is not None:
            used[name] = _checked(
                expand_type(value, ("types", name), complaints), name, shelf.alike(name) and len(complaints) == before, complaints
            )
    made["devices"] = _devices(raw.get("devices"), shelf, used, complaints)
    made["types"] = used
    made["links"] = _links(raw.get("links"), complaints)
    _plain_copper(made["links"], made["devices"], used)
    made["formats"] = expand_formats(raw.get("formats"), made["links"], formats, complaints)
    made["stock"] = _stock(raw.get("stock"), complaints)
    return tidy(made, "Rig")


def _domains(raw: dict[str, Any], complaints: Complaints) -> dict[str, Any]:
    """Return the clock domains; `rate` and `clock` of the rig itself make one named main."""
    made: dict[str, Any] = {}
    for key, value, path in expand_keys(raw.get("domains"), ("domains",), complaints):
        complaints.came_from(("domains", key), path)
        if isinstance(value, dict):
            made[key] = dict(value)
        elif value is not None:
            made[key] = {"rate": value}
    if "rate" in raw or "clock" in raw:
        if made:
            field = "rate" if "rate" in raw else "clock"
            complaints.add(
                (field,),
                "conflict",
                f'"{field}" of the rig and "domains" say the same thing twice',
                hint="Keep the domains.",
                key=True,
            )
            return made
        clock = raw.get("clock")
        main = dict(clock) if isinstance(clock, dict) else {"leader": clock} if isinstance(clock, str) else {}
        if "rate" in raw:
            main["rate"] = raw["rate"]
        made["main"] = main
        complaints.came_from(("domains", "main"), ("clock",) if "clock" in raw else ())
        complaints.came_from(("domains", "main", "rate"), ("rate",) if "rate" in raw else ())
    if not made or "rate" not in made.get("main", {"rate": 0}):
        complaints.add((), "missing", "the rig says no sample rate", value=None, hint='Write "rate": 48000, or give domains.')
    for key, row in made.items():
        if "fallback" in row:
            written = complaints.written_path(("domains", key, "fallback"))
            row["fallback"] = spread(row["fallback"], written, ("domains", key, "fallback"), complaints)
    return made


def _devices(value: Any, shelf: Types, used: dict[str, Any], complaints: Complaints) -> dict[str, Any]:
    """Return the devices; every type they need is put into `used`."""
    made: dict[str, Any] = {}
    keys = expand_keys(value, ("devices",), complaints)
    group: dict[Path, list[str]] = {}
    for key, _, path in keys:
        group.setdefault(path, []).append(key)
    for key, written, path in keys:
        complaints.came_from(("devices", key), path)
        row = {"type": written} if isinstance(written, str) else dict(written) if isinstance(written, dict) else {}
        patch = row.pop("set", None)
        for field in ("name", "address", "manned", "power"):
            if field in row:
                mates = group[path]
                row[field] = zipped(row[field], len(mates), (*path, field), complaints, "devices")[mates.index(key)]
        name = row.get("type")
        if isinstance(name, str):
            row["type"] = _typed(name, patch, key, path if isinstance(written, str) else (*path, "type"), shelf, used, complaints)
        made[key] = row
    return made


def _typed(name: str, patch: Any, device: str, path: Path, shelf: Types, used: dict[str, Any], complaints: Complaints) -> str:
    """Return the key of a device's type, after putting that type into `used`."""
    if shelf.raw(name) is None:
        if name not in shelf.local:
            hint = near(name, shelf.names()) or "Write it under types, or take one of `patchloom types`."
            complaints.add(path, "dangling", f'there is no type "{name}"', value=name, hint=hint)
        return name
    key = name
    if isinstance(patch, dict) and patch:
        key = f"{name}--{device}"
        where = (*path[:-1], "set")
        if key in shelf.local:
            complaints.add(where, "duplicate-id", f'the type "{key}", which this set would make, is already there')
            return key
        complaints.came_from(("types", key), where)
        before = len(complaints)
        value = shelf.with_set(name, patch, where)
        patched = len(complaints) == before
    else:
        if key in used:
            return key
        patched = False
        complaints.came_from(("types", key), path)
        value = shelf.raw(name)
    if value is not None:
        used[key] = _checked(expand_type(value, ("types", key), complaints), key, patched, complaints)
    return key


def _checked(made: dict[str, Any], name: str, merged: bool, complaints: Complaints) -> dict[str, Any]:
    """Return an expanded type; what was merged of two is looked at again, for only now it is whole."""
    if merged:
        validate_part(made, "rig", "type", ("types", name), complaints)
    return made


def _links(value: Any, complaints: Complaints) -> list[dict[str, Any]]:
    """Return one row per link; the braces of `id` and both ends of `join` zip."""
    made: list[dict[str, Any]] = []
    for row, path in rows(value, ("links",)):
        if not isinstance(row, dict):
            continue
        field = "ids" if "ids" in row else "id"
        ids = listed(row.get(field), (*path, field), complaints)
        shared = {key: item for key, item in row.items() if key not in ("id", "ids", "join", "cables")}
        ends = [
            expand(end, place, complaints) if isinstance(end, str) else []
            for end, place in rows(row.get("join"), (*path, "join"))
        ]
        count = max([len(ids), *map(len, ends)], default=0)
        if any(len(names) not in (0, 1, count) for names in ends) or len(ids) not in (0, count):
            complaints.add(
                (*path, "join"),
                "unequal",
                "ids and ends do not make the same number of links: " + ", ".join(map(str, [len(ids), *map(len, ends)])),
                hint="Give all the same length.",
            )
            continue
        cables = _cables(row.get("cables"))
        for number in range(count):
            here = ("links", len(made))
            complaints.came_from(here, path)
            link = dict(shared)
            if ids:
                check_id(ids[number][0], ids[number][1], complaints)
                complaints.came_from((*here, "id"), ids[number][1])
                link["id"] = ids[number][0]
            link["join"] = [names[number if len(names) > 1 else 0] for names in ends if names]
            if cables is not None:
                link["cables"] = cables
            for text in ("name",):
                if text in link:
                    link[text] = zipped(shared[text], count, (*path, text), complaints, "links")[number]
            if isinstance(link.get("pass"), str):
                link["pass"] = [link["pass"]]
            made.append(link)
    return made


def _cables(value: Any) -> Any:
    """Return the cables as a list of objects; one text is the medium of one cable."""
    if value is None:
        return None
    return [{"medium": row} if isinstance(row, str) else row for row, _ in rows(value, ())]


def _plain_copper(links: list[dict[str, Any]], devices: dict[str, Any], types: dict[str, Any]) -> None:
    """Take the format away where a link joins runs of sockets and says analogue, which is meant there anyway."""
    for link in links:
        if link.get("format") != "analogue":
            continue
        banks = []
        for end in link["join"]:
            device, _, bank = end.partition("[")[0].partition(".")
            kind = types.get(devices.get(device, {}).get("type"), {})
            banks.append(bank in kind.get("banks", {}))
        if banks and all(banks):
            del link["format"]


def _stock(value: Any, complaints: Complaints) -> list[Any]:
    made: list[Any] = []
    for row, path in rows(value, ("stock",)):
        complaints.came_from(("stock", len(made)), path)
        made.append(row)
    return made
