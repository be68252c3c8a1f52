"""The schema of a book, made from the page model: every field, its words and what it takes."""

from __future__ import annotations

import re
from typing import Any

import attrs

from patchloom.pages import page as model

CHOICES = {
    ("Page", "kind"): list(model.KINDS),
    ("Stamp", "status"): ["DRAFT", "ISSUED", "AS-BUILT"],
    ("Column", "kind"): ["number", "address", "tick", "text"],
    ("Column", "size"): ["body", "bold", "strong", "big"],
    ("Row", "kind"): ["row", "empty", "section"],
    ("Edge", "arrows"): ["to", "from", "both", "none"],
    ("Diagram", "flow"): ["right", "down"],
    ("Tie", "kind"): ["run", "belongs"],
    ("Plan", "units"): ["metres", "feet"],
    ("PathEnd", "kind"): ["list", "feed"],
    ("PathHop", "step"): ["plug", "mix", "link", "wired", "select"],
    ("Remark", "kind"): ["stop", "safety", "warn", "advice", "note", "waived", "unhonoured", "unmet"],
}
NUMBERS: dict[tuple[str, str], dict[str, Any]] = {
    ("Column", "width"): {"type": "number", "exclusiveMinimum": 0},
    ("Row", "block"): {"type": "integer", "minimum": 0},
    ("Table", "pitch_mm"): {"type": "number", "exclusiveMinimum": 0},
    ("Stamp", "changes"): {"type": "integer", "minimum": 0},
    ("Plan", "width_m"): {"type": "number", "exclusiveMinimum": 0},
    ("Plan", "depth_m"): {"type": "number", "exclusiveMinimum": 0},
    ("Thing", "turn_deg"): {"type": "number"},
    ("Node", "layer"): {"type": "integer", "minimum": 0},
    ("Path", "number"): {"type": "integer", "minimum": 1},
    ("Path", "hops"): {"type": "array", "items": {"type": "integer", "minimum": 0}},
}
DIGEST = "^sha256:[0-9a-f]{64}$"


def kebab(name: str) -> str:
    """Return `PlanZone` as `plan-zone`."""
    return re.sub(r"(?<!^)(?=[A-Z])", "-", name).lower()


def page_schema() -> dict[str, Any]:
    """Return the whole schema as plain data."""
    whole = _object(model.Book)
    whole["required"] = ["format", *whole["required"]]
    parts = sorted((kebab(name), getattr(model, name)) for name in model.__all__ if name not in ("Artifact", "Book", "KINDS"))
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "urn:patchloom:schema:page-1",
        "title": whole.pop("title"),
        "$comment": "Made from `patchloom.pages.page` (pytest --update-golden); the readable tree beside it is made from it.",
        **whole,
        "$defs": {name: _object(cls) for name, cls in parts},
    }


def _object(cls: type) -> dict[str, Any]:
    fields = attrs.fields(cls)  # type: ignore[misc]
    made: dict[str, Any] = {
        "title": (cls.__doc__ or "").split("\n")[0],
        "type": "object",
        "properties": {field.name.rstrip("_"): _property(cls, field) for field in fields},
    }
    required = [field.name.rstrip("_") for field in fields if "Required." in field.metadata["doc"]]
    if required:
        made["required"] = required
    made["additionalProperties"] = False
    if cls is model.Page:
        made["allOf"] = [
            {"if": {"properties": {"kind": {"const": kind}}, "required": ["kind"]}, "then": {"required": [kind]}}
            for kind in ("diagram", "plan")
        ]
    return made


def _property(cls: type, field: Any) -> dict[str, Any]:
    kind, doc = field.metadata["kind"], {"description": field.metadata["doc"]}
    key = (cls.__name__, field.name)
    if field.name == "format":
        return {**doc, "const": "page/1"}
    if key in CHOICES:
        return {**doc, "enum": CHOICES[key]}
    if key in NUMBERS:
        return {**doc, **NUMBERS[key]}
    if kind in ("many", "one"):
        part = {"$ref": f"#/$defs/{kebab(field.metadata['cls'].__name__)}"}
        return {**doc, "type": "array", "items": part} if kind == "many" else {**doc, **part}
    if kind == "words":
        return {**doc, "type": "array", "items": {"type": "string"}}
    if kind == "numbers":
        return {**doc, "type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 3 if field.name == "size" else 2}
    made = {**doc, "type": {"text": "string", "flag": "boolean"}[kind]}
    if (cls.__name__, field.name) in (("Stamp", "patch"), ("Page", "digest"), ("Paths", "show"), ("Paths", "compared")):
        made["pattern"] = DIGEST
    return made
