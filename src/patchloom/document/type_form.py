"""Types and formats of a rig, from the short form to the plain one.

Comes in: the `types` and `formats` a rig writes, and the shipped library.  Goes out: plain types with
key braces, `like`, `set` (RFC 7396) and rows that speak for many resolved.  Next: `rig_form.py`.
"""

from __future__ import annotations

from collections import ChainMap
from collections.abc import Mapping, Sequence
from typing import Any

from patchloom.document.complaints import Complaints, Path, near
from patchloom.document.names import expand, expand_keys, listed, rows, spread

__all__ = ["Types", "expand_type", "merge"]

_TABLES = ("banks", "ports", "preamps")


class Types:
    """The types a rig can name: its own first, then the library's; each resolved once."""

    def __init__(self, written: Any, library: ChainMap[str, Any], complaints: Complaints) -> None:
        self.complaints = complaints
        self.library = library
        self.local = {key: (value, path) for key, value, path in expand_keys(written, ("types",), complaints)}
        self._raw: dict[str, dict[str, Any] | None] = {}

    def names(self) -> list[str]:
        """Return every name that can be asked for."""
        return [*self.local, *self.library]

    def raw(self, name: str) -> dict[str, Any] | None:
        """Return a type with keys and `like` resolved and rows still short; None when there is no such type."""
        if name in self._raw:
            return self._raw[name]
        if name in self.local:
            value, path = self.local[name]
            self._raw[name] = None
            made = self._resolve(name, value, path) if isinstance(value, dict) else None
        elif name in self.library:
            made = self._shelved(name, self.library.maps)
        else:
            return None
        self._raw[name] = made
        return made

    def _resolve(self, name: str, value: dict[str, Any], path: Path) -> dict[str, Any]:
        """Return a type with what it is like merged in; one that is like its own name means the shelf's."""
        base: dict[str, Any] | None = {}
        other = value.get("like")
        if isinstance(other, str):
            base = self._shelved(name, self.library.maps) if other == name and name in self.library else self.raw(other)
            if base is None:
                known = other in self.local
                self.complaints.add(
                    (*path, "like"),
                    "loop" if known else "dangling",
                    f'"{other}" is like itself in the end' if known else f'there is no type "{other}"',
                    hint="" if known else near(other, self.names()),
                )
                base = {}
        return self._merged(base or {}, value, path)

    def _shelved(self, name: str, maps: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
        """Return a type of the first shelf that has it; one that is like its own name means the next shelf's."""
        number = next(number for number, shelf in enumerate(maps) if name in shelf)
        value, rest = maps[number][name], maps[number + 1 :]
        base: dict[str, Any] | None = {}
        if value.get("like") == name and any(name in shelf for shelf in rest):
            base = self._shelved(name, rest)
        elif value.get("like") not in (None, name):
            self._raw[name] = {}
            base = self.raw(value["like"])
        return self._merged(base or {}, value, ())

    def _merged(self, base: dict[str, Any], value: dict[str, Any], path: Path) -> dict[str, Any]:
        own = _open({key: item for key, item in value.items() if key != "like"}, path, self.complaints)
        return _likes(merge(base, own), path, self.complaints)

    def alike(self, name: str) -> bool:
        """Return whether a local type starts from something else, itself or in one of its rows."""
        value = self.local[name][0]
        rows_of = [row for table in _TABLES if isinstance(value.get(table), dict) for row in value[table].values()]
        return any(isinstance(row, dict) and "like" in row for row in (value, *rows_of))

    def with_set(self, name: str, patch: dict[str, Any], path: Path) -> dict[str, Any] | None:
        """Return a type with a merge patch applied; None when there is no such type."""
        base = self.raw(name)
        if base is None:
            return None
        if "like" in patch:
            self.complaints.add(
                (*path, "like"),
                "conflict",
                '"set" changes the type of the device; it cannot be like another',
                key=True,
                hint='Name the other type in "type".',
            )
            patch = {key: item for key, item in patch.items() if key != "like"}
        return _likes(merge(base, _open(patch, path, self.complaints)), path, self.complaints)


def merge(base: Any, patch: Any) -> Any:
    """Return the JSON Merge Patch (RFC 7396) of two plain values: null takes a key away, lists are replaced."""
    if not isinstance(patch, dict):
        return patch
    made = dict(base) if isinstance(base, dict) else {}
    for key, value in patch.items():
        if value is None:
            made.pop(key, None)
        else:
            made[key] = merge(made.get(key), value)
    return made


def _open(value: dict[str, Any], path: Path, complaints: Complaints) -> dict[str, Any]:
    """Return a raw type with the braces in the keys of its tables expanded."""
    made = dict(value)
    for table in _TABLES:
        if isinstance(made.get(table), dict):
            made[table] = {key: _one_field(table, row) for key, row, _ in expand_keys(made[table], (*path, table), complaints)}
    return made


def _one_field(table: str, row: Any) -> Any:
    """Return a bank, port or preamp row as an object where a plain value stood for its one field."""
    if table == "banks" and isinstance(row, int) and not isinstance(row, bool):
        return {"slots": row}
    if table == "ports" and isinstance(row, (str, list)):
        return {"speaks": row}
    return row


def _likes(value: dict[str, Any], path: Path, complaints: Complaints) -> dict[str, Any]:
    """Return a raw type with every `like` inside its tables resolved."""
    made = dict(value)
    for table in _TABLES:
        if isinstance(made.get(table), dict):
            found = made[table]
            made[table] = {key: _like(found, key, (), (*path, table, key), complaints) for key in found}
    return made


def _like(table: dict[str, Any], key: str, asked: tuple[str, ...], path: Path, complaints: Complaints) -> Any:
    row = table[key]
    if not isinstance(row, dict) or not isinstance(row.get("like"), str):
        return row
    other = row["like"]
    own = {name: item for name, item in row.items() if name != "like"}
    if other not in table or other == key or other in asked:
        kind, words = (
            ("dangling", f'there is no "{other}" to be like')
            if other not in table
            else ("loop", f'"{key}" is like itself in the end')
        )
        complaints.about((*path, "like"), kind, words, value=other, hint=near(other, [name for name in table if name != key]))
        return own
    return merge(_like(table, other, (*asked, key), (*path[:-1], other), complaints), own)


def expand_type(raw: dict[str, Any], at: Path, complaints: Complaints) -> dict[str, Any]:
    """Return a raw type with its rows expanded; `at` is its expanded path, for complaints."""
    made = {key: value for key, value in raw.items() if key not in ("format", "id")}
    if "select" in made:
        made["select"] = _selects(made["select"], (*at, "select"), complaints)
    if "limits" in made:
        made["limits"] = [
            dict(row, of=_names(row.get("of"), (*at, "limits", number, "of"), complaints))
            for number, (row, _) in enumerate(rows(made["limits"], ()))
            if isinstance(row, dict)
        ]
    for table in _TABLES:
        members = made.get(table)
        if isinstance(members, dict):
            here = (*at, table)
            made[table] = {
                key: _member(table, row, (*here, key), complaints) for key, row in members.items() if isinstance(row, dict)
            }
    return made


def _selects(value: Any, at: Path, complaints: Complaints) -> list[dict[str, Any]]:
    """Return the select rows, one per bank or run that is fed."""
    where = complaints.written_path(at)
    made: list[dict[str, Any]] = []
    for number, (row, _) in enumerate(rows(value, ())):
        if not isinstance(row, dict):
            continue
        place = (*where, number) if where[-1:] == ("select",) and isinstance(value, list) else where
        for one in _select(row, place, complaints):
            here = (*at, len(made))
            complaints.came_from(here, place)
            if "from" in row:
                one["from"] = spread(row["from"], (*place, "from"), (*here, "from"), complaints)
            made.append(one)
    return made


def _select(row: dict[str, Any], path: Path, complaints: Complaints) -> list[dict[str, Any]]:
    """Return one row per bank or run that is fed; `wired` braces zip with `into`, `from` is a list of choices."""
    intos = [name for name, _ in listed(row.get("into"), (*path, "into"), complaints)]
    wired = row.get("wired")
    feeders: list[Any] = [wired] * len(intos)
    if isinstance(wired, str) and "{" in wired:
        names = expand(wired, (*path, "wired"), complaints)
        if len(names) == len(intos):
            feeders = list(names)
        elif names:
            complaints.add(
                (*path, "wired"),
                "unequal",
                f'"{wired}" makes {len(names)} but the row feeds {len(intos)}',
                hint="Give both the same length.",
            )
    made = []
    for into, feeder in zip(intos, feeders, strict=True):
        one = {**row, "into": into}
        if feeder is not None:
            one["wired"] = feeder
        made.append(one)
    return made


def _names(value: Any, at: Path, complaints: Complaints) -> list[str]:
    return spread(value, complaints.written_path(at), at, complaints)


def _member(table: str, row: dict[str, Any], at: Path, complaints: Complaints) -> dict[str, Any]:
    made = dict(row)
    if table == "banks" and "of" in made:
        made["of"] = _names(made["of"], (*at, "of"), complaints)
    if table == "ports" and "pass" in made:
        passes = made["pass"]
        if isinstance(passes, str):
            made["pass"] = [passes]
        elif isinstance(passes, dict):
            made["pass"] = {way: [item] if isinstance(item, str) else item for way, item in passes.items()}
    if table == "banks" and isinstance(made.get("taps"), dict):
        made["taps"] = {tap: [after] if isinstance(after, str) else after for tap, after in made["taps"].items()}
    return made
