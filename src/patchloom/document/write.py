"""Plain data to canonical text: the same bytes for the same document, whatever the order of its keys.

Comes in: plain data in the short or the expanded form, and its kind.  Goes out: text.  Next: `files.py`.

Keys stand in the order of the model's fields, ids of tables in natural order, lists as they are.  What fits
on one line stays there; what does not is opened one level, or filled where it is a row of plain members.
"""

from __future__ import annotations

import json
import re
from typing import Any

from patchloom.document.fields import FIELDS, ROOTS

__all__ = ["WIDTH", "write_text"]

WIDTH = 110
_SHORT = {
    "id": ("ids",),
    "source": ("sources",),
    "signal": ("signals",),
    "of": ("not",),
    "wants": ("not",),
    "into": ("not", "each"),
    "type": ("set",),
    "uses": ("not",),
    "about": ("like",),
}
_FIRST = {"Rig": ("domains", ("rate", "clock")), "Show": ("positions", ("sets",))}
_DEEP = {"Period": {"lists": "Want"}}
_ALWAYS = {"List": ("wants",)}
"""Rows that stand there even when they are empty: a reader asks for them."""


def write_text(data: dict[str, Any], kind: str) -> str:
    """Return the canonical text of a document, ending in a line end.

    `data` may be in the short or the expanded form; a missing `format` is filled in.
    """
    if "format" not in data and kind in ("rig", "show", "patch", "page", "type", "format"):
        data = {"format": f"{kind}/1", **data}
    root = ROOTS.get(kind, "")
    ordered = _ordered(data, root if kind in ("rig", "show", "patch") else "")
    return _text({"format": data["format"], **ordered} if "format" in data else ordered, "") + "\n"


def _text(value: Any, indent: str, used: int = 0) -> str:
    """Return the text of a value that begins at column `used`: on one line if it fits, else opened one level.

    The document itself is always opened.  A row of plain members is filled line by line, as a person would
    write it; a table gives each of its rows a line.
    """
    flat = _flat(value)
    if not isinstance(value, (dict, list)) or not value or (indent and used + len(flat) < WIDTH):
        return flat
    inner = indent + " "
    if isinstance(value, dict):
        parts = [(f"{_flat(key)}: ", item) for key, item in value.items()]
        table = all(isinstance(item, dict) for item in value.values())
        fill = bool(indent) and not table and all(len(inner) + len(lead) + len(_flat(item)) < WIDTH for lead, item in parts)
    else:
        parts = [("", item) for item in value]
        fill = any(isinstance(item, (str, int, float)) for item in value)
    lines: list[str] = []
    for lead, item in parts:
        flat = lead + _flat(item)
        if fill and lines and len(lines[-1].rpartition("\n")[2]) + len(flat) + 3 <= WIDTH:
            lines[-1] += ", " + flat
        else:
            lines.append(inner + lead + _text(item, inner, len(inner) + len(lead)))
    ends = "{}" if isinstance(value, dict) else "[]"
    return f"{ends[0]}\n" + ",\n".join(lines) + f"\n{indent}{ends[1]}"


def _flat(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def _ordered(value: Any, cls: str) -> Any:
    """Return the value with the keys of every object in their written order."""
    if isinstance(value, (list, tuple)):
        return [_ordered(item, cls) for item in value]
    if not isinstance(value, dict):
        return value
    if cls not in FIELDS:
        return {key: _ordered(value[key], "") for key in sorted(value, key=natural_key)}
    known = {name: (kind, sub) for name, kind, _, sub in FIELDS[cls]}
    made: dict[str, Any] = {}
    for name in _order(cls):
        if name in _ALWAYS.get(cls, ()) and name not in value:
            made[name] = []
        elif name in value:
            kind, sub = known.get(name, ("plain", ""))
            item = value[name]
            if kind == "table" and isinstance(item, dict):
                made[name] = {key: _ordered(item[key], sub) for key in sorted(item, key=natural_key)}
            elif name in _DEEP.get(cls, {}) and isinstance(item, dict):
                made[name] = {key: _ordered(item[key], _DEEP[cls][name]) for key in sorted(item, key=natural_key)}
            elif name == "set" and cls == "Device":
                made[name] = _ordered(item, "Type")
            else:
                made[name] = _ordered(item, sub)
    for name in sorted(value, key=natural_key):
        if name not in made:
            made[name] = _ordered(value[name], "")
    return made


def _order(cls: str) -> list[str]:
    before, extra = _FIRST.get(cls, ("", ()))
    names: list[str] = []
    for name, *_ in FIELDS[cls]:
        if name == before:
            names.extend(extra)
        names.append(name)
        names.extend(other for other in _SHORT.get(name, ()) if other not in names)
    return names


def natural_key(key: str) -> tuple[tuple[int, int, str], ...]:
    """Return a sort key that puts BOX2 before BOX10, and 48000 before 96000."""
    return tuple((0, int(part), part) if part.isdigit() else (1, 0, part) for part in re.findall(r"[0-9]+|[^0-9]+", key))
