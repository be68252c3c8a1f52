"""What a patch says about slots: every address must be one, and a selection's two runs equally long.

Comes in: an expanded patch.  Goes out: complaints.  Next: `reader.py`.  Whether it is right about the rig and
the show is for the judge, who has them at hand.
"""

from __future__ import annotations

from typing import Any

from patchloom.address import Span
from patchloom.document.complaints import Complaints, Path
from patchloom.document.names import address

__all__ = ["check_patch"]


def check_patch(patch: dict[str, Any], complaints: Complaints) -> None:
    """Complain about every text of a patch that should be an address and is none."""
    periods: list[str] = []
    for number, setting in enumerate(patch.get("settings", [])):
        with complaints.shield():
            here: Path = ("settings", number)
            period = setting.get("period", "")
            if period in periods:
                complaints.about((*here, "period"), "duplicate-id", f'there is a setting for "{period}" already', value=period)
            periods.append(period)
            for table in ("plugs", "mixes"):
                for leg, text in setting.get(table, {}).items():
                    _one(text, (*here, table, leg), complaints)
            for row_number, row in enumerate(setting.get("selections", [])):
                _selection(row, (*here, "selections", row_number), complaints)
            for row_number, row in enumerate(setting.get("routes", [])):
                for hop, text in enumerate(row.get("hops", [])):
                    _one(text, (*here, "routes", row_number, "hops", hop), complaints)
            for table, field in (("owners", "preamps"), ("phantom", "at")):
                for row_number, row in enumerate(setting.get(table, [])):
                    _span(row.get(field), (*here, table, row_number, field), complaints)
            for row_number, row in enumerate(setting.get("gains", [])):
                if "at" in row:
                    _one(row["at"], (*here, "gains", row_number, "at"), complaints)


def _selection(row: dict[str, Any], here: Path, complaints: Complaints) -> None:
    into = _span(row.get("into"), (*here, "into"), complaints)
    source = _span(row.get("from"), (*here, "from"), complaints)
    if into is None or source is None or not into.first or not source.first:
        return
    lengths = [(span.last or 0) - span.first + 1 for span in (into, source) if span.first]
    if lengths[0] != lengths[1]:
        words = f'"{row["into"]}" has {lengths[0]} slots and "{row["from"]}" has {lengths[1]}'
        complaints.about((*here, "from"), "unequal", words, value=row["from"], hint="Both runs have one length.")


def _span(text: Any, path: Path, complaints: Complaints) -> Span | None:
    return address(text, path, complaints, expanded=True)


def _one(text: Any, path: Path, complaints: Complaints) -> None:
    span = _span(text, path, complaints)
    if span is not None and (span.first is None or span.first != span.last):
        complaints.about(path, "address", f'"{text}" does not name one slot', value=text, hint="Write device.bank[number].")
