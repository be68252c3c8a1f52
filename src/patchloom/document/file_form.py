"""Type files and format files: packs of types or formats, outside any rig.

Comes in: a `type/1` or `format/1` document.  Goes out: the same with every type or format whole.
Next: `reader.py`; a rig read with the pack finds them by name.
"""

from __future__ import annotations

from typing import Any

from patchloom.document.complaints import Complaints
from patchloom.document.format_form import own_formats
from patchloom.document.schemas import validate_part
from patchloom.document.tidy import tidy
from patchloom.document.type_form import Types, expand_type
from patchloom.document.type_refs import check_type

__all__ = ["expand_file"]


def expand_file(raw: dict[str, Any], kind: str, complaints: Complaints, types: Any, formats: Any) -> dict[str, Any]:
    """Return the expanded file; `types` and `formats` are the shelves it may build on."""
    made = {key: item for key, item in raw.items() if key not in ("types", "formats")}
    if kind == "format":
        found = own_formats(raw.get("formats"), formats, complaints)
        made["formats"] = {key: tidy(row, "Format") for key, row in sorted(found.items())}
        return made
    shelf = Types(raw.get("types"), types, complaints)
    made["types"] = {}
    for name, (_, path) in sorted(shelf.local.items()):
        complaints.came_from(("types", name), path)
        before = len(complaints)
        value = shelf.raw(name)
        if value is None:
            continue
        whole = expand_type(value, ("types", name), complaints)
        if shelf.alike(name) and len(complaints) == before:
            validate_part(whole, "rig", "type", ("types", name), complaints)
        made["types"][name] = tidy(whole, "Type")
    complaints.next_stage()
    for name, row in made["types"].items():
        with complaints.shield():
            check_type(name, row, None, complaints)
    return made
