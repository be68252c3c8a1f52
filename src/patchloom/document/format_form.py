"""Formats of a rig or a format file, with what they are like merged in.

Comes in: `formats` as written, and the shelf of the library.  Goes out: plain formats by name.
Next: `rig_form.py`, `file_form.py`.
"""

from __future__ import annotations

from typing import Any

from patchloom.document.complaints import Complaints, near
from patchloom.document.names import expand_keys
from patchloom.document.schemas import validate_part
from patchloom.document.type_form import merge

__all__ = ["expand_formats", "own_formats"]


def expand_formats(value: Any, links: list[dict[str, Any]], shelf: Any, complaints: Complaints) -> dict[str, Any]:
    """Return the formats a rig writes and those of the library that a link uses."""
    made = own_formats(value, shelf, complaints)
    for name in sorted({link.get("format", "analogue") for link in links if isinstance(link.get("format", ""), str)}):
        if name not in made and name in shelf:
            made[name] = shelf[name]
    return made


def own_formats(value: Any, shelf: Any, complaints: Complaints) -> dict[str, Any]:
    """Return the formats as written, each whole."""
    own = {key: (row, path) for key, row, path in expand_keys(value, ("formats",), complaints) if isinstance(row, dict)}
    made: dict[str, Any] = {}
    for key, (row, path) in own.items():
        complaints.came_from(("formats", key), path)
        made[key] = _format(key, own, shelf, (), complaints)
        if "like" in row:
            validate_part(made[key], "rig", "format", ("formats", key), complaints)
    return made


def _format(key: str, own: dict[str, Any], shelf: Any, asked: tuple[str, ...], complaints: Complaints) -> dict[str, Any]:
    """Return one format with what it is like merged in."""
    row, path = own[key]
    other = row.get("like")
    rest = {name: item for name, item in row.items() if name != "like"}
    if not isinstance(other, str):
        return rest
    if other in own and other != key and other not in asked:
        base = _format(other, own, shelf, (*asked, key), complaints)
    elif other in shelf and (other == key or other not in own):
        base = shelf[other]
    else:
        known = other in own
        complaints.add(
            (*path, "like"),
            "loop" if known else "dangling",
            f'"{other}" is like itself in the end' if known else f'there is no format "{other}"',
            hint="" if known else near(other, [*own, *shelf]),
        )
        return rest
    made: dict[str, Any] = merge(base, rest)
    return made
