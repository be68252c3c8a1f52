"""The shipped library: generic device types and open-standard formats, as data, and the users' own packs.

Comes in: names, or the path of a pack.  Goes out: plain dicts in the expanded form of `types` and
`formats` of a rig, fresh at every look-up so that nobody can alter the shelf.  Next: `document/`
merges them into a rig.

    types/*.json      one type a file, named like the file: desks, boxes, splits, converters, ...
    formats/*.json    one format a file
    physics.py        levels, cable, sound and phantom by arithmetic; pin and pair tables as data
    packets.py        samples, bytes and bits of digital links
    streams.py        declared network streams, and what is doubtful about several; sdp.py writes and reads them
    timing.py         grades of a reference, slips, who leads by precision time, windows of delay, first nulls
    sound.py          sound level budgets on paper; hours and doses of published limits
    switching.py      stages of boxes by counting
    tree.py           a schema as a readable tree

Numbers without a `source` are typical of the trade; set your own over them with `type` + `set`.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from patchloom.errors import DocumentError
from patchloom.finding import Complaint

__all__ = ["Pack", "Shelf", "format_names", "formats", "load_pack", "type_names", "types"]

_HERE = Path(__file__).parent


class Shelf(Mapping[str, Any]):
    """Plain dicts by name, each read from its own file when it is first asked for; a fresh copy every time."""

    def __init__(self, folder: str) -> None:
        self._folder = folder

    def __getitem__(self, name: str) -> dict[str, Any]:
        if name not in _names(self._folder):
            raise KeyError(name)
        found: dict[str, Any] = json.loads(_text(self._folder, name))[self._folder][name]
        return found

    def __contains__(self, name: object) -> bool:
        return name in _names(self._folder)

    def __iter__(self) -> Iterator[str]:
        return iter(_names(self._folder))

    def __len__(self) -> int:
        return len(_names(self._folder))


class Pack(NamedTuple):
    """The types and formats of a user's own files, in the form they were written."""

    types: dict[str, Any]
    formats: dict[str, Any]


@cache
def _names(folder: str) -> tuple[str, ...]:
    return tuple(sorted(path.stem for path in (_HERE / folder).glob("*.json")))


@cache
def _text(folder: str, name: str) -> str:
    return (_HERE / folder / f"{name}.json").read_text(encoding="utf-8")


def types() -> Mapping[str, dict[str, Any]]:
    """Return the shipped types by name, as plain dicts in expanded form."""
    return Shelf("types")


def formats() -> Mapping[str, dict[str, Any]]:
    """Return the shipped formats by name, as plain dicts in expanded form."""
    return Shelf("formats")


def type_names() -> tuple[str, ...]:
    """Return the names of the shipped types, sorted."""
    return _names("types")


def format_names() -> tuple[str, ...]:
    """Return the names of the shipped formats, sorted."""
    return _names("formats")


def load_pack(path: str | Path) -> Pack:
    """Return the types and formats of one file (`type/1` or `format/1`), or of all `*.json` files of a folder.

    Nothing is merged silently: a name given twice is a complaint.  Raises DocumentError with every complaint at once.
    """
    root = Path(path)
    files = sorted(root.glob("*.json")) if root.is_dir() else [root]
    pack = Pack({}, {})
    complaints: list[Complaint] = []
    if not files:
        complaints.append(
            Complaint(str(root), "$", "the folder holds no *.json file", "missing", hint="Name a type or format file.")
        )
    for file in files:
        complaints.extend(_take(file, pack))
    if complaints:
        raise DocumentError(tuple(complaints))
    return pack


def _take(file: Path, pack: Pack) -> Iterator[Complaint]:
    """Add one file to the pack; yield what is wrong with it."""
    name = file.name
    try:
        data = json.loads(file.read_text(encoding="utf-8-sig"))
    except OSError as problem:
        yield Complaint(name, "$", f"cannot be read: {problem.strerror}", "unreadable")
        return
    except (ValueError, RecursionError) as problem:
        yield Complaint(name, "$", f"is no JSON in UTF-8: {problem}", "syntax")
        return
    kinds = {"type/1": "types", "format/1": "formats"}
    key = kinds.get(str(data.get("format"))) if isinstance(data, dict) else None
    if key is None:
        yield Complaint(
            name, "$.format", "is neither a type file nor a format file", "format", hint='Write "format": "type/1" or "format/1".'
        )
        return
    rows = data.get(key)
    if not isinstance(rows, dict):
        yield Complaint(name, f"$.{key}", f"has no {key}", "missing", hint=f'Write "{key}": {{"name": {{...}}}}.')
        return
    shelf: dict[str, Any] = getattr(pack, key)
    for row, value in rows.items():
        if row in shelf:
            yield Complaint(
                name,
                f"$.{key}.{row}",
                f"{row} is given twice in this pack",
                "duplicate-id",
                value=row,
                hint="Rename one of them.",
            )
        shelf.setdefault(row, value)
