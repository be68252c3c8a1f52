"""What a show refers to within itself: positions, lists, zones, acts, addresses that must make sense.

Comes in: an expanded show (its names of signals are looked up already).  Goes out: complaints.
Next: `reader.py`; `cross_refs.py` holds it against a rig.

A position may be known only from the lists and feeds that name it.
"""

from __future__ import annotations

from typing import Any

from patchloom.address import Span
from patchloom.document.complaints import Complaints, Path, near
from patchloom.document.names import address

__all__ = ["check_show"]


def check_show(show: dict[str, Any], complaints: Complaints) -> None:
    """Complain about everything in an expanded show that points nowhere or contradicts itself."""
    known = _Known(show)
    for number, row in enumerate(show.get("sources", [])):
        with complaints.shield():
            _source(("sources", number), row, known, complaints)
    for number, row in enumerate(show.get("plug", [])):
        with complaints.shield():
            for place, text in enumerate(row.get("into", [])):
                _span(text, ("plug", number, "into", place), complaints)
    for number, row in enumerate(show.get("lists", [])):
        with complaints.shield():
            _list(("lists", number), row, complaints)
    for number, row in enumerate(show.get("feeds", [])):
        with complaints.shield():
            _feed(("feeds", number), row, known, complaints)
    _owners(show.get("owners", []), ("owners",), known, complaints)
    _rows(show, known, complaints)
    _stage(show.get("stage", {}), known, complaints)
    for number, row in enumerate(show.get("periods", [])):
        with complaints.shield():
            _period(("periods", number), row, show.get("periods", [])[:number], known, complaints)
    for key, rows in show.get("wishes", {}).items():
        with complaints.shield():
            for number, row in enumerate(rows):
                _wish(("wishes", key, number), row, known, complaints)


class _Known:
    """The names a show knows, each kind in its order."""

    def __init__(self, show: dict[str, Any]) -> None:
        self.sources = [row["id"] for row in show.get("sources", [])]
        self.feeds = [row["id"] for row in show.get("feeds", [])]
        self.lists = [row["id"] for row in show.get("lists", []) if row.get("id")]
        named = [row.get("position") for row in show.get("lists", [])] + [row.get("mixed_at") for row in show.get("feeds", [])]
        self.positions = list(
            dict.fromkeys([*show.get("positions", {}), *(name for name in named if isinstance(name, str) and name)])
        )
        self.zones = list(show.get("stage", {}).get("zones", {}))
        self.legs = {row["id"]: row.get("legs", []) for row in (*show.get("sources", []), *show.get("feeds", []))}

    def signal(self, name: str) -> bool:
        """Return whether a text is a signal or a leg of one."""
        head, dot, leg = name.partition(".")
        return head in self.legs and (not dot or leg in self.legs[head])


def _dangling(name: Any, options: list[str], what: str, path: Path, complaints: Complaints, *, key: bool = False) -> bool:
    """Return whether a name is among the options; complain when it is not."""
    if not name or name in options:
        return True
    complaints.about(path, "dangling", f'there is no {what} "{name}"', value=name, hint=complaints.near(name, options), key=key)
    return False


def _span(text: Any, path: Path, complaints: Complaints) -> Span | None:
    return address(text, path, complaints, expanded=True)


def _source(here: Path, row: dict[str, Any], known: _Known, complaints: Complaints) -> None:
    for position in row.get("want_db", {}):
        _dangling(position, known.positions, "position", (*here, "want_db", position), complaints, key=True)
    _dangling(row.get("spare_of"), known.sources, "source", (*here, "spare_of"), complaints)
    if row.get("spare_of") == row["id"]:
        complaints.about((*here, "spare_of"), "loop", f'"{row["id"]}" is the spare of itself')
    if known.zones:
        _dangling(row.get("zone"), known.zones, "zone", (*here, "zone"), complaints)


def _list(here: Path, row: dict[str, Any], complaints: Complaints) -> None:
    """Complain about a list that lands nowhere, or twice on one channel."""
    span = _span(row.get("at"), (*here, "at"), complaints)
    if span is not None and span.bank is None:
        complaints.about(
            (*here, "at"),
            "list-at",
            f'"{row["at"]}" is a whole device; a list lands in one bank of it',
            value=row["at"],
            hint=f'Write "{row["at"]}.bank", such as "{row["at"]}.ch".',
        )
    seen: dict[int, str] = {}
    for number, want in enumerate(row.get("wants", [])):
        if not want:
            continue
        entry, channel = (*here, "wants", number), want.get("channel")
        if channel in seen:
            words = f'channel {channel} is fixed for "{seen[channel]}" already'
            hint = "Give one of the two another channel, or leave it to the order."
            complaints.about((*entry, "channel"), "duplicate-id", words, value=channel, hint=hint)
        if isinstance(channel, int):
            seen.setdefault(channel, want["signal"])
            if span is not None and span.first and not span.first <= channel <= (span.last or span.first):
                words = f'channel {channel} is outside "{row["at"]}"'
                complaints.about((*entry, "channel"), "out-of-range", words, value=channel)
        if want.get("within"):
            _within(want["within"], span, (*entry, "within"), row["at"], complaints)


def _within(text: str, span: Span | None, path: Path, at: str, complaints: Complaints) -> None:
    part = _span(text, path, complaints)
    if part is None or span is None or span.bank is None:
        return
    inside = part[:2] == span[:2] and (
        span.first is None or (part.first is not None and span.first <= part.first and (part.last or 0) <= (span.last or 0))
    )
    if not inside:
        complaints.about(path, "list-at", f'"{text}" is outside "{at}", where the list lands', value=text)


def _feed(here: Path, row: dict[str, Any], known: _Known, complaints: Complaints) -> None:
    if row.get("excludes") and not known.signal(row["excludes"]):
        complaints.about(
            (*here, "excludes"),
            "dangling",
            f'there is no signal "{row["excludes"]}"',
            value=row["excludes"],
            hint=near(row["excludes"], known.legs),
        )
    if row.get("from"):
        _span(row["from"], (*here, "from"), complaints)
    legs = max(len(row.get("legs", [])), 1)
    for number, to in enumerate(row.get("to", [])):
        for place, text in enumerate(to.get("at", [])):
            span = _span(text, (*here, "to", number, "at", place), complaints)
            if span is not None and span.first and (span.last or 0) - span.first + 1 < legs:
                complaints.about(
                    (*here, "to", number, "at", place),
                    "unequal",
                    f'"{text}" has {(span.last or 0) - span.first + 1} slots and "{row["id"]}" has {legs} legs',
                    value=text,
                    hint="Give it as many slots as the feed has legs.",
                )
        if known.zones:
            _dangling(to.get("zone"), known.zones, "zone", (*here, "to", number, "zone"), complaints)


def _owners(rows: list[Any], path: Path, known: _Known, complaints: Complaints) -> None:
    for number, row in enumerate(rows):
        _dangling(row.get("owner"), known.positions, "position", (*path, number, "owner"), complaints)
        for place, text in enumerate(row.get("preamps", [])):
            _span(text, (*path, number, "preamps", place), complaints)


def _rows(show: dict[str, Any], known: _Known, complaints: Complaints) -> None:
    """Look at the short tables of a show."""
    for key in ("groups", "routing"):
        ids: list[str] = []
        for number, row in enumerate(show.get(key, [])):
            if row.get("id") and row["id"] in ids:
                complaints.about((key, number, "id"), "duplicate-id", f'there is a row "{row["id"]}" already', value=row["id"])
            ids.append(row.get("id", ""))
            for place, position in enumerate(row.get("positions", [])):
                _dangling(position, known.positions, "position", (key, number, "positions", place), complaints)
    for number, row in enumerate(show.get("inserts", [])):
        _dangling(row.get("position"), known.positions, "position", ("inserts", number, "position"), complaints)
        for field in ("channel", "send", "return"):
            _span(row.get(field), ("inserts", number, field), complaints)
    for number, row in enumerate(show.get("talk", [])):
        if row.get("from") not in known.positions and not known.signal(str(row.get("from"))):
            _dangling(
                row.get("from"), [*known.sources, *known.positions], "source or position", ("talk", number, "from"), complaints
            )
    for number, row in enumerate(show.get("fixed", [])):
        into, source = (_span(row.get(field), ("fixed", number, field), complaints) for field in ("into", "from"))
        if into and source and into.first and source.first and _length(into) != _length(source):
            complaints.about(
                ("fixed", number, "from"),
                "unequal",
                f'"{row["into"]}" has {_length(into)} slots and "{row["from"]}" {_length(source)}',
                value=row["from"],
                hint="Give both the same length.",
            )


def _length(span: Span) -> int:
    return (span.last or 0) - (span.first or 0) + 1


def _stage(stage: dict[str, Any], known: _Known, complaints: Complaints) -> None:
    ids: list[str] = []
    for number, thing in enumerate(stage.get("things", [])):
        here: Path = ("stage", "things", number)
        if thing.get("id") and thing["id"] in ids:
            complaints.about((*here, "id"), "duplicate-id", f'there is a thing "{thing["id"]}" already', value=thing["id"])
        ids.append(thing.get("id", ""))
        _dangling(thing.get("feed"), known.feeds, "feed", (*here, "feed"), complaints)
        if known.zones:
            _dangling(thing.get("zone"), known.zones, "zone", (*here, "zone"), complaints)


def _period(here: Path, row: dict[str, Any], before: list[dict[str, Any]], known: _Known, complaints: Complaints) -> None:
    if row["id"] in [other.get("id") for other in before]:
        complaints.about((*here, "id"), "duplicate-id", f'there is a period "{row["id"]}" already', value=row["id"])
    acts = [other["id"] for other in before if not other.get("scene_of")]
    if row.get("scene_of") and row["scene_of"] not in acts:
        _dangling(row["scene_of"], acts, "act before this one called", (*here, "scene_of"), complaints)
    for key in row.get("lists", {}):
        _dangling(key, known.lists, "list", (*here, "lists", key), complaints, key=True)
    for number, key in enumerate(row.get("without_lists", [])):
        _dangling(key, known.lists, "list", (*here, "without_lists", number), complaints)
    for field in ("people", "names"):
        for key in row.get(field, {}):
            _dangling(key, list(known.legs), "source or feed", (*here, field, key), complaints, key=True)
    _owners(row.get("owners", []), (*here, "owners"), known, complaints)


def _wish(here: Path, row: dict[str, Any], known: _Known, complaints: Complaints) -> None:
    for number, text in enumerate(row.get("at", [])):
        _span(text, (*here, "at", number), complaints)
    for number, position in enumerate(row.get("reaching", [])):
        _dangling(position, known.positions, "position", (*here, "reaching", number), complaints)
