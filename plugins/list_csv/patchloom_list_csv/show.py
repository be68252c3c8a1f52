"""Entries become a show document.

Comes in: entries in the order of the sheet.  Goes out: a plain show document: sources, and one list per
position.  The reader of documents accepts it as it is.

The rig is not in the sheet, so the banks the lists land in are a guess, and nothing is plugged.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Any

from patchloom_list_csv.body import Entry
from patchloom_list_csv.report import Report

__all__ = ["document"]

_KINDS = {"foh": "foh", "mon": "monitor", "bcast": "broadcast", "rec": "record", "stream": "stream"}
_MOST_CHANNELS = 1024
_FIELDS = ("phantom", "kind", "mic", "stand", "person", "zone", "group", "notes")


def document(found: list[Entry], title: str, report: Report) -> dict[str, Any]:
    """Return the show document of some entries."""
    ids = _ids(found, report)
    made: dict[str, Any] = {"format": "show/1"}
    if title:
        made["name"] = title
    positions = list(dict.fromkeys(position for entry in found for position in entry.at)) or ["foh"]
    made["positions"] = {position: {"kind": _KINDS[position]} for position in positions}
    made["sources"] = [_source(entry, ids[at]) for at, entry in enumerate(found) if not entry.gap]
    made["lists"] = [_list(position, found, ids, report) for position in positions]
    return made


def _source(entry: Entry, name: str) -> dict[str, Any]:
    made: dict[str, Any] = {"id": name}
    if entry.name != name:
        made["name"] = entry.name
    if entry.legs:
        made["legs"] = list(entry.legs)
    made.update({field: entry.fields[field] for field in _FIELDS if entry.fields.get(field)})
    return made


def _ids(found: list[Entry], report: Report) -> dict[int, str]:
    """Return an id for each entry, by its place; equal names are told apart and reported."""
    made: dict[int, str] = {}
    seen: dict[str, str] = {"all": "a reserved word"}
    for at, entry in enumerate(found):
        if entry.gap:
            continue
        base = _slug(entry.name) or f"row_{entry.row}"
        name, count = base, 2
        while name in seen:
            name, count = f"{base}_{count}", count + 1
        if name != base:
            report.guess(entry.where, f"the name is there already ({seen[base]}); this one has the id {name}", entry.name)
        seen[name] = entry.where
        made[at] = name
    return made


def _slug(text: str) -> str:
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode("ascii").lower()
    bare = re.sub(r"[^a-z0-9]+", "_", plain).strip("_")
    return bare if not bare or bare[0].isalpha() else f"s_{bare}"


def _list(position: str, found: list[Entry], ids: dict[int, str], report: Report) -> dict[str, Any]:
    """Return the list of a position: by its channel numbers where there are any, else in the order of the sheet."""
    named = any(entry.at for entry in found)
    bank = f"{position.upper()}.{'track' if position == 'rec' else 'ch'}"
    report.guess("", f"the list of {position} lands in {bank}; set it to a bank of your rig")
    wanted = [
        (at, entry, entry.at[position] if named else (entry.channels or (0,))[0])
        for at, entry in enumerate(found)
        if not entry.gap and (not named or position in entry.at)
    ]
    wants: list[Any] = []
    place = 0
    taken: dict[int, str] = {}
    for at, entry, channel in sorted(wanted, key=lambda row: (row[2] == 0, row[2] or row[0])):
        width = len(entry.legs) or 1
        if channel > _MOST_CHANNELS:
            report.ask(entry.where, f"channel {channel} of {position}? It is read without its number.", entry.name)
        elif channel and channel <= place:
            first = taken.get(channel, "above")
            report.ask(
                entry.where,
                f"channel {channel} of {position} is there twice ({first}, {entry.name}); which is it? The second goes behind.",
                entry.name,
            )
        elif channel:
            wants.extend([None] * (channel - place - 1))
            place = channel - 1
        taken.update(dict.fromkeys(range(place + 1, place + width + 1), entry.name))
        place += width
        wants.append({"signal": ids[at], "insert": entry.insert} if entry.insert else ids[at])
    return {"position": position, "at": bank, "wants": wants}
