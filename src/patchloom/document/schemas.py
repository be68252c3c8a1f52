"""Finding the JSON Schemas, and wording what a document does against them.

Comes in: raw plain data and its kind.  Goes out: complaints; `schema(name)` gives a schema itself.
The only module that knows jsonschema, and only when it is called.  Next: `reader.py`.

The schemas stand in `patchloom/schemas` after an install and in the top-level `schemas/` of an editable one.
"""

from __future__ import annotations

import json
from functools import lru_cache
from pathlib import Path
from typing import Any

from patchloom.document.complaints import Complaints, near, shorten
from patchloom.document.complaints import Path as JsonPath

__all__ = ["schema", "schema_names", "validate"]

_PACKAGE = Path(__file__).resolve().parents[1]
_NAMES = {"string": "a text", "integer": "a whole number", "number": "a number", "boolean": "true or false", "array": "a list",
          "object": "an object", "null": "null"}


@lru_cache(maxsize=1)
def _folder() -> Path:
    for folder in (_PACKAGE / "schemas", _PACKAGE.parents[1] / "schemas"):
        if folder.is_dir():
            return folder
    raise FileNotFoundError("the schemas are not installed: patchloom/schemas is missing")


def schema_names() -> tuple[str, ...]:
    """Return the names of the schemas, such as `rig-1`, sorted."""
    return tuple(sorted(path.stem for path in _folder().glob("*-*.json")))


def schema(name: str) -> dict[str, Any]:
    """Return a schema by name: `rig`, `rig-1` or `rig/1`; a fresh copy.  Raises KeyError with the names there are."""
    wanted = name.replace("/", "-")
    known = schema_names()
    for option in (wanted, f"{wanted}-1"):
        if option in known:
            found: dict[str, Any] = json.loads((_folder() / f"{option}.json").read_text(encoding="utf-8"))
            return found
    raise KeyError(f"there is no schema {name!r}; there are {', '.join(known)}")


@lru_cache(maxsize=None)
def _validator(kind: str) -> Any:
    from jsonschema.validators import Draft202012Validator
    from referencing import Registry
    from referencing.jsonschema import DRAFT202012

    registry: Any = Registry()
    for name in schema_names():
        content = schema(name)
        resource = DRAFT202012.create_resource(content)
        registry = registry.with_resource(content.get("$id", name), resource).with_resource(f"{name}.json", resource)
    return Draft202012Validator(schema(f"{kind}-1"), registry=registry)


def validate(raw: dict[str, Any], kind: str, complaints: Complaints) -> None:
    """Complain about everything in the raw data that the schema of its kind does not allow."""
    for error in _validator(kind).iter_errors(raw):
        _word(error, complaints)


def _word(error: Any, complaints: Complaints) -> None:
    """Word one error of the validator; those that only wrap others give way to what they wrap."""
    path = tuple(error.absolute_path)
    rule, want, value = error.validator, error.validator_value, error.instance
    if rule in ("anyOf", "oneOf", "allOf", "if") and error.context:
        for inner in sorted(error.context, key=lambda item: (-len(item.absolute_path), str(item.message)))[:1]:
            _word(inner, complaints)
        return
    if rule in ("additionalProperties", "unevaluatedProperties"):
        _unknown_keys(error, path, complaints)
    elif rule == "required":
        missing = [key for key in want if key not in value]
        for key in missing[:1] if error.message.count("'") < 2 else [error.message.split("'")[1]]:
            complaints.add(path, "missing", f'"{key}" is missing', value=None, hint=near(key, [k for k in value if k not in _properties(error)])
                           or f'Write "{key}": ...')
    elif rule == "type":
        wanted = " or ".join(_NAMES.get(name, name) for name in ([want] if isinstance(want, str) else want))
        complaints.add(path, "type", f"{wanted} should stand here, not {_shown(value)}")
    elif rule == "enum":
        hint = near(value, want) if isinstance(value, str) else ""
        complaints.add(path, "value", f"{_shown(value)} is none of {', '.join(map(str, want))}", hint=hint)
    elif rule == "const":
        complaints.add(path, "value", f"{_shown(value)} should be {_shown(want)}")
    elif rule == "pattern":
        _pattern(error, path, complaints)
    elif rule in ("minimum", "exclusiveMinimum", "maximum", "exclusiveMaximum", "multipleOf"):
        words = {"minimum": "at least", "exclusiveMinimum": "more than", "maximum": "at most", "exclusiveMaximum": "less than",
                 "multipleOf": "a multiple of"}
        complaints.add(path, "value", f"{_shown(value)} should be {words[rule]} {want}")
    elif rule in ("minLength", "minItems", "minProperties"):
        complaints.add(path, "value", "an empty text says nothing" if value in ("", []) and want == 1
                       else f"{len(value)} here, at least {want} are needed", hint="Leave the field out if it is unknown." if value == "" else "")
    elif rule in ("maxLength", "maxItems", "maxProperties"):
        complaints.add(path, "value", f"{len(value)} here, at most {want} are possible")
    elif rule == "uniqueItems":
        complaints.add(path, "value", "the list names something twice")
    else:
        complaints.add(path, "invalid", f"{_shown(value)} is not allowed here ({rule})")


def _unknown_keys(error: Any, path: JsonPath, complaints: Complaints) -> None:
    known = _properties(error)
    for key in error.instance:
        if key in known:
            continue
        options = [name for name in known if name not in error.instance] or list(known)
        hint = near(key, options) or f"Known here: {', '.join(known)}."
        complaints.add((*path, key), "unknown-key", f'the key "{key}" is not known here', hint=hint, key=True)


def _pattern(error: Any, path: JsonPath, complaints: Complaints) -> None:
    """Complain about a text, or a key, that does not look as it should."""
    value = error.instance
    parents = list(error.absolute_schema_path)
    key = "propertyNames" in parents
    where = (*path, value) if key else path
    if "A-Za-z" in error.validator_value:
        complaints.add(where, "id", f"{_shown(value)} is no id", key=key, value=value,
                       hint='An id is a letter, then letters, digits, "_" or "-"; other text goes in "name".')
    elif "[1-9][0-9]{3,6}" in error.validator_value:
        complaints.add(where, "value", f"{_shown(value)} is no sample rate in Hz", key=key, value=value, hint='Write "48000" or "96000".')
    else:
        complaints.add(where, "value", f"{_shown(value)} does not look as it should", key=key, value=value,
                       hint=f"It should match {error.validator_value}")


def _properties(error: Any) -> list[str]:
    found = error.schema.get("properties", {}) if isinstance(error.schema, dict) else {}
    return list(found)


def _shown(value: Any) -> str:
    short = shorten(value)
    if isinstance(value, str):
        return f'"{short}"'
    return {None: "null", True: "true", False: "false"}.get(short, str(short)) if not isinstance(short, float) else str(short)
