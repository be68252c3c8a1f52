"""`each`: the one place where lists zip one to one.

Comes in: `{"each": {"sources": [...], "into": [...]}}` of a plug row, `{"each": {"ids": [...], "to": [...]}}`
of a feed.  Goes out: one pair per leg, or one feed per id.  Next: `show_form.py`.

Lists are laid out leg by leg and slot by slot; unequal lengths are complaints.
"""

from __future__ import annotations

from typing import Any

from patchloom.address import spans
from patchloom.document.complaints import Complaints, Path
from patchloom.document.names import address, expand, listed, texts
from patchloom.document.sets import Named, Signals

__all__ = ["each_feed", "each_plug"]


def each_plug(each: dict[str, Any], path: Path, signals: Signals, complaints: Complaints) -> list[tuple[Named, str, Path]]:
    """Return (leg, slot, path of the slot) one to one."""
    field = "sources" if "sources" in each else "source"
    legs: list[Named] = []
    for named in signals.names(each.get(field), (*path, field)):
        parts = signals.legs.get(named.signal) or []
        legs.extend([named] if named.leg or not parts else [named._replace(leg=leg) for leg in parts])
    slots = _slots(each.get("into"), (*path, "into"), complaints)
    if slots is None:
        return []
    if len(slots) != len(legs):
        complaints.add(
            (*path, "into"),
            "unequal",
            f"{len(legs)} legs meet {len(slots)} slots",
            value=len(slots),
            hint="Under each, both lists have the same length, leg by leg.",
        )
        return []
    return [(leg, slot, place) for leg, (slot, place) in zip(legs, slots, strict=True)]


def each_feed(row: dict[str, Any], path: Path, complaints: Complaints) -> list[tuple[dict[str, Any], Path]]:
    """Return one row per feed of an `each`, every list in it zipped with the ids."""
    each = row["each"]
    field = "ids" if "ids" in each else "id"
    ids = listed(each.get(field), (*path, "each", field), complaints)
    shared = {key: item for key, item in row.items() if key != "each"}
    legs = shared.get("legs")
    width = max(len(legs), 1) if isinstance(legs, list) else 1
    columns: dict[str, list[Any]] = {}
    for key, value in each.items():
        if key == field:
            continue
        place = (*path, "each", key)
        if key in ("to", "from"):
            slots = _slots(value, place, complaints)
            if slots is None:
                continue
            if len(slots) != len(ids) * width:
                complaints.add(
                    place,
                    "unequal",
                    f"{len(ids)} feeds of {width} legs meet {len(slots)} slots",
                    value=len(slots),
                    hint="Under each, both lists have the same length, leg by leg.",
                )
                continue
            runs = [_run([text for text, _ in slots[at : at + width]], complaints, place) for at in range(0, len(slots), width)]
            if all(runs):
                columns[key] = runs
        else:
            column = [name for text, at in texts(value, place) for name in expand(text, at, complaints)]
            if len(column) != len(ids):
                complaints.add(
                    place,
                    "unequal",
                    f"{len(ids)} ids meet {len(column)} items",
                    value=len(column),
                    hint="Under each, both lists have the same length.",
                )
                continue
            columns[key] = column
    return [
        ({**shared, "id": name, **{key: column[number] for key, column in columns.items()}}, path)
        for number, (name, _) in enumerate(ids)
    ]


def _run(slots: list[str], complaints: Complaints, path: Path) -> str | None:
    """Return the run some slots make; complain when they are no neighbours."""
    places = [next(span.slots()) for text in slots if (span := address(text, path, complaints)) and span.first]
    runs = [str(span) for span in spans(places)]
    if len(runs) > 1:
        complaints.add(
            path,
            "address",
            f"the legs of one feed would land on {' and '.join(runs)}",
            value=runs[0],
            hint="Legs of one feed land on neighbouring slots of one bank.",
        )
        return None
    return runs[0]


def _slots(value: Any, path: Path, complaints: Complaints) -> list[tuple[str, Path]] | None:
    """Return every slot of a list of addresses that name their runs; None after a complaint."""
    made: list[tuple[str, Path]] = []
    good = True
    for text, place in listed(value, path, complaints):
        span = address(text, place, complaints)
        if span is None:
            good = False
        elif span.first is None:
            complaints.add(
                place, "address", f'"{text}" names no run of slots', value=text, hint=f"Under each, write {text}[first-last]."
            )
            good = False
        else:
            made.extend((str(slot), place) for slot in span.slots())
    return made if good else None
