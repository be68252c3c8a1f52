"""The smaller tables of a show, expanded: owners, gain, groups, talk, stage, acts, wishes and their like.

Comes in: raw rows and the names of a show.  Goes out: rows with every list spelt out.  Next: `show_form.py`.
"""

from __future__ import annotations

from typing import Any

from patchloom.document.complaints import Complaints, Path
from patchloom.document.lists_form import expand_wants
from patchloom.document.names import expand_keys, rows, spread
from patchloom.document.sets import Signals

__all__ = ["expand_gain", "expand_named", "expand_owners", "expand_periods", "expand_stage", "expand_table", "expand_wishes"]


def expand_table(value: Any, path: Path, complaints: Complaints) -> dict[str, Any]:
    """Return a table by id, keys expanded; a text stands for a row with that name."""
    made = {}
    for key, row, place in expand_keys(value, path, complaints):
        complaints.came_from((*path, key), place)
        made[key] = row if isinstance(row, dict) else {"name": row} if isinstance(row, str) else {}
    return made


def expand_owners(value: Any, path: Path, at: Path, complaints: Complaints) -> list[dict[str, Any]]:
    """Return one row per owner; `path` is where they are written, `at` where they stand expanded."""
    made: list[dict[str, Any]] = []
    for row, place in rows(value, path):
        if isinstance(row, dict):
            here = (*at, len(made))
            complaints.came_from(here, place)
            made.append({**row, "preamps": spread(row.get("preamps"), (*place, "preamps"), (*here, "preamps"), complaints)})
    return made


def expand_gain(value: Any, signals: Signals) -> Any:
    """Return how gain is chosen, one row per fixed gain."""
    if not isinstance(value, dict) or "fixed" not in value:
        return value
    fixed: list[dict[str, Any]] = []
    for row, path in rows(value["fixed"], ("gain", "fixed")):
        if isinstance(row, dict):
            field = "signals" if "signals" in row else "signal"
            rest = {key: item for key, item in row.items() if key != field}
            fixed.extend({"signal": named.text, **rest} for named in signals.names(row.get(field), (*path, field)))
    return {**value, "fixed": fixed}


def expand_named(raw: dict[str, Any], made: dict[str, Any], signals: Signals, complaints: Complaints) -> None:
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
                    one[field] = spread(one[field], (*path, field), (key, len(out), field), complaints)
            out.append(one)
        made[key] = out


def expand_stage(value: Any, signals: Signals, complaints: Complaints) -> Any:
    """Return the stage with its zones and what belongs to each thing."""
    if not isinstance(value, dict):
        return None
    made = dict(value)
    if "zones" in value:
        made["zones"] = expand_table(value["zones"], ("stage", "zones"), complaints)
    if "things" in value:
        made["things"] = [
            _thing(row, path, signals) for row, path in rows(value["things"], ("stage", "things")) if isinstance(row, dict)
        ]
    return made


def _thing(row: dict[str, Any], path: Path, signals: Signals) -> dict[str, Any]:
    if "sources" not in row:
        return row
    return {**row, "sources": [named.text for named in signals.names(row["sources"], (*path, "sources"))]}


def expand_periods(value: Any, signals: Signals, complaints: Complaints) -> list[dict[str, Any]]:
    """Return the acts and scenes with what is in use spelt out."""
    made: list[dict[str, Any]] = []
    for row, path in rows(value, ("periods",)):
        if not isinstance(row, dict):
            continue
        here = ("periods", len(made))
        complaints.came_from(here, path)
        one = {key: item for key, item in row.items() if key != "not"}
        if "uses" in row or "not" in row:
            act = next((other.get("uses") for other in made if other.get("id") == row.get("scene_of")), None)
            found = signals.names(row.get("uses", act or "all"), (*path, "uses"), everything=True)
            kept = signals.less(found, row.get("not"), (*path, "not"))
            one["uses"] = list(dict.fromkeys(named.signal for named in kept))
        if "mute" in row:
            muted = signals.names(row["mute"], (*path, "mute"), everything=True)
            one["mute"] = list(dict.fromkeys(named.signal for named in muted))
        if isinstance(row.get("lists"), dict):
            one["lists"] = {
                key: expand_wants(item, (*path, "lists", key), signals, complaints, (*here, "lists", key))
                for key, item in row["lists"].items()
            }
        for field in ("without_lists", "without_devices", "without_links"):
            if field in row:
                one[field] = spread(row[field], (*path, field), (*here, field), complaints)
        for field in ("people", "names"):
            if isinstance(row.get(field), dict):
                one[field] = {key: item for key, item, _ in expand_keys(row[field], (*path, field), complaints)}
        if "owners" in row:
            one["owners"] = expand_owners(row["owners"], (*path, "owners"), (*here, "owners"), complaints)
        made.append(one)
    return made


def expand_wishes(value: Any, signals: Signals, complaints: Complaints) -> Any:
    """Return the wishes with their lists spelt out."""
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
            here = ("wishes", key, len(out))
            complaints.came_from(here, path)
            one["at"] = spread(row.get("at"), (*path, "at"), (*here, "at"), complaints)
            if "signals" in row:
                one["signals"] = [named.text for named in signals.names(row["signals"], (*path, "signals"))]
            if "reaching" in row:
                one["reaching"] = spread(row["reaching"], (*path, "reaching"), (*here, "reaching"), complaints)
            out.append(one)
        made[key] = out
    return made
