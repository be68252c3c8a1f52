"""Changes of documents written so that a person can read them: where, and what is set, added or taken away.

Comes in: plain data of rig, show and patch, rows such as `{"at": "show.sources[kick].phantom", "set": "never"}`.
Goes out: the data changed.  Next: `shown`.

A path begins with rig, show or patch; names follow after dots, rows in brackets: by id (`devices[FOH]`,
`wants[kick]`, `selections[FOH.ch[3]]`, `routes[foh: kick]`) or by number, counted from 1 (`cables[1]`).  A path of the
patch may leave out `settings[...]` where there is one setting.
"""

from __future__ import annotations

from typing import Any

from patchloom.document.type_form import merge
from patchloom.errors import PatchloomError

__all__ = ["EditError", "apply"]

_KEYS = ("id", "period", "signal", "source", "leg", "into", "at", "preamps", "from", "loss_of", "device", "rule", "position")
"""Fields a row may be called by, the likeliest first."""


class EditError(PatchloomError):
    """A change names a place that is not there, or says nothing to do."""


def apply(data: dict[str, Any], rows: list[dict[str, Any]]) -> None:
    """Change plain data `{"rig": ..., "show": ..., "patch": ...}` in place, row by row.

    A row has `at` and one of `set` (a value), `add` (a row, or a list of rows, at the end), `merge` (RFC 7396) and
    `drop` (true).  Raises EditError for a place that is not there.
    """
    for row in rows:
        todo = [key for key in ("set", "add", "merge", "drop") if key in row]
        if not isinstance(row.get("at"), str) or len(todo) != 1 or len(row) != 2:
            raise EditError(f"{row!r}: write at, and one of set, add, merge, drop")
        steps = _steps(row["at"])
        holder: Any = data
        for number, step in enumerate(steps[:-1]):
            if holder is data.get("patch") and step[1] == "name" and step[0] not in _PATCH:
                holder = data["patch"]["settings"][0]
            holder = _enter(holder, step, row["at"], steps[number + 1])
        if holder is data.get("patch") and steps[-1][0] not in _PATCH:
            holder = data["patch"]["settings"][0]
        _do(holder, steps[-1], todo[0], row[todo[0]], row["at"])


_PATCH = ("format", "rig", "show", "previous", "made_by", "settings", "wishes", "rules", "unhonoured")
_Step = tuple[str, str]


def _steps(path: str) -> list[_Step]:
    """Return the steps of a path: (text, `name` or `row`)."""
    steps: list[_Step] = []
    word, depth = "", 0
    for sign in path + ".":
        if sign == "[" and depth == 0:
            if word:
                steps.append((word, "name"))
            word, depth = "", 1
        elif sign == "]" and depth == 1:
            steps.append((word, "row"))
            word, depth = "", 0
        elif sign == "." and depth == 0:
            if word:
                steps.append((word, "name"))
            word = ""
        else:
            depth += {"[": 1, "]": -1}.get(sign, 0)
            word += sign
    if depth or len(steps) < 2 or steps[0][0] not in ("rig", "show", "patch"):
        raise EditError(f"{path!r} is no path; begin with rig, show or patch")
    return steps


def _enter(holder: Any, step: _Step, path: str, after: _Step) -> Any:
    text, _ = step
    if isinstance(holder, dict):
        if text not in holder:
            holder[text] = [] if after[1] == "row" and text not in _TABLES else {}
        return holder[text]
    at = _index(holder, text)
    if at is None:
        raise EditError(f"{path}: no row {text!r}; there are {_names(holder)}")
    if holder[at] is None:
        raise EditError(f"{path}: row {text!r} is null")
    return holder[at]


_TABLES = ("types", "formats", "devices", "domains", "positions", "zones", "banks", "ports", "preamps", "plugs", "mixes")


def _index(rows: Any, text: str) -> int | None:
    if not isinstance(rows, list):
        return None
    if text.isdigit():
        return int(text) - 1 if 0 < int(text) <= len(rows) else None
    for key in _KEYS:
        for at, row in enumerate(rows):
            value = row.get(key) if isinstance(row, dict) else None
            if value == text or (isinstance(value, list) and text in value):
                return at
    for at, row in enumerate(rows):
        if isinstance(row, dict) and f"{row.get('to')}: {row.get('leg')}" == text:
            return at
    return rows.index(text) if text in rows else None


def _names(rows: Any) -> str:
    if not isinstance(rows, list):
        return "no rows here"
    known = [next((str(row[key]) for key in _KEYS if key in row), "?") if isinstance(row, dict) else str(row) for row in rows]
    return ", ".join(known[:20]) or "none"


def _do(holder: Any, step: _Step, what: str, value: Any, path: str) -> None:
    text, _ = step
    if isinstance(holder, dict):
        key: Any = text
        there = text in holder
    else:
        key = _index(holder, text)
        there = key is not None
    if not there and not (isinstance(holder, dict) and what in ("set", "add", "merge")):
        raise EditError(f"{path}: nothing there; there is {', '.join(holder) if isinstance(holder, dict) else _names(holder)}")
    if what == "set":
        holder[key] = value
    elif what == "drop":
        del holder[key]
    elif what == "merge":
        holder[key] = merge(holder[key] if there else {}, value)
    else:
        rows = holder[key] if there else []
        holder[key] = [*rows, *(value if isinstance(value, list) else [value])]
