"""Finding the JSON Schemas, and wording what a document does against them.

Comes in: raw plain data and its kind.  Goes out: complaints; `schema(name)` gives a schema itself.
The only module that knows jsonschema, and only when `quick.py` cannot say yes by itself.  Next: `reader.py`.

The schemas stand in `patchloom/schemas` after an install and in the top-level `schemas/` of an editable one.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from patchloom.document.complaints import Complaints, near, shorten
from patchloom.document.complaints import Path as JsonPath

__all__ = ["schema", "schema_names", "validate", "validate_part"]

_PACKAGE = Path(__file__).resolve().parents[1]
_NAMES = {
    "string": "a text",
    "integer": "a whole number",
    "number": "a number",
    "boolean": "true or false",
    "array": "a list",
    "object": "an object",
    "null": "null",
}
_BOUNDS = {
    "minimum": "at least",
    "exclusiveMinimum": "more than",
    "maximum": "at most",
    "exclusiveMaximum": "less than",
    "multipleOf": "a multiple of",
}


@lru_cache(maxsize=1)
def _folder() -> Path:
    for folder in (_PACKAGE / "schemas", _PACKAGE.parents[1] / "schemas"):
        if folder.is_dir():
            return folder
    raise FileNotFoundError("the schemas are not installed: patchloom/schemas is missing")


_PATTERNS = (
    ("sha256", "value", "is no digest", 'A digest is "sha256:" and 64 hexadecimal digits.'),
    (r"\[[1-9]", "address", "is no address of slots", "Write device.bank[number] or device.bank[first-last]."),
    ("A-Za-z", "id", "is no id", 'An id is a letter, then letters, digits, "_" or "-"; other text goes in "name".'),
    ("{3,6}", "value", "is no sample rate in Hz", 'Write "48000" or "96000".'),
    ("[1-9][0-9]*(/", "value", "is no sample rate in Hz", 'Write 48000, or a fraction such as "48000000/1001".'),
)
"""A mark in a pattern of the schemas, and the kind, words and hint of a text that does not match it."""


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


@lru_cache(maxsize=1)
def _registry() -> Any:
    from referencing import Registry
    from referencing.jsonschema import DRAFT202012

    registry: Any = Registry()
    for name in schema_names():
        content = schema(name)
        registry = registry.with_resource(content.get("$id", name), DRAFT202012.create_resource(content))
    return registry


@cache
def _validator(kind: str, part: str = "") -> Any:
    """Return a compiled validator of a kind of document, or of one definition in its schema."""
    from jsonschema.validators import Draft202012Validator

    whole = schema(kind)
    content = {"$ref": f"{whole['$id']}#/$defs/{part}"} if part else whole
    return Draft202012Validator(content, registry=_registry())


@cache
def _quick(kind: str, part: str = "") -> Any:
    """Return the quick check of a kind of document or a part of it; None where only jsonschema will do."""
    from patchloom.document.quick import Unknown, compiled

    whole = schema(kind)

    def resolve(name: str) -> Any:
        address, _, pointer = name.partition("#/$defs/")
        if not pointer or (address and address != whole["$id"]):
            raise Unknown(name)
        return whole["$defs"][pointer]

    try:
        return compiled(whole["$defs"][part] if part else whole, resolve)
    except (KeyError, Unknown):
        return None


def validate(raw: dict[str, Any], kind: str, complaints: Complaints) -> None:
    """Complain about everything in the raw data that the schema of its kind does not allow."""
    sure = _quick(kind)
    if sure is None or not sure(raw):
        for error in _validator(kind).iter_errors(raw):
            _word(error, complaints.add, ())


def validate_part(value: Any, kind: str, part: str, at: JsonPath, complaints: Complaints) -> None:
    """Complain about an expanded value at an expanded path that a definition of a schema does not allow."""
    sure = _quick(kind, part)
    if sure is None or not sure(value):
        for error in _validator(kind, part).iter_errors(value):
            _word(error, complaints.about, at)


def _word(error: Any, say: Callable[..., None], base: JsonPath) -> None:
    """Word one error of the validator; those that only wrap others give way to what they wrap."""
    path = (*base, *error.absolute_path)
    rule, value = error.validator, error.instance
    if rule in ("anyOf", "oneOf", "allOf", "if") and error.context:
        _word(min(error.context, key=lambda item: (-len(item.absolute_path), str(item.message))), say, base)
    elif rule in ("additionalProperties", "unevaluatedProperties"):
        _unknown_keys(error, path, say)
    elif rule == "required":
        _missing(error, path, say)
    elif rule == "pattern":
        _pattern(error, path, say)
    else:
        message, hint = _plain(rule, error.validator_value, value)
        say(path, "type" if rule == "type" else "value", message, value=value, hint=hint)


def _plain(rule: str, want: Any, value: Any) -> tuple[str, str]:
    """Return message and hint for a rule about one value."""
    if rule == "type":
        wanted = [want] if isinstance(want, str) else want
        return f"{' or '.join(_NAMES.get(name, name) for name in wanted)} should stand here, not {_shown(value)}", ""
    if rule == "enum":
        return f"{_shown(value)} is none of {', '.join(map(str, want))}", near(value, want) if isinstance(value, str) else ""
    if rule == "const":
        return f"{_shown(value)} should be {_shown(want)}", ""
    if rule in _BOUNDS:
        return f"{_shown(value)} should be {_BOUNDS[rule]} {want}", ""
    if rule == "minLength":
        return "an empty text says nothing", "Leave the field out if it is unknown."
    if rule == "minItems" and not value:
        return f"an empty list says nothing, and at least {want} must stand here", "Name what belongs here, or take the row out."
    if rule in ("minItems", "minProperties"):
        return f"{len(value)} here, and at least {want} are needed", ""
    if rule in ("maxLength", "maxItems", "maxProperties"):
        return f"{len(value)} here, and at most {want} are possible", ""
    if rule == "uniqueItems":
        return "the list names something twice", ""
    return f"{_shown(value)} is not allowed here ({rule})", ""


def _missing(error: Any, path: JsonPath, say: Callable[..., None]) -> None:
    """Complain about one required key; the validator names it in its message, one error each."""
    key = next((key for key in error.validator_value if error.message.startswith(repr(key))), error.validator_value[0])
    known = _properties(error)
    strange = [name for name in error.instance if name not in known] if known else []
    guess = near(key, strange)
    say(
        path,
        "missing",
        f'"{key}" is missing',
        value=None,
        hint=f"Is {guess[14:-1]} meant for it?" if guess else f'Write "{key}": ...',
    )


def _unknown_keys(error: Any, path: JsonPath, say: Callable[..., None]) -> None:
    known = _properties(error)
    for key in error.instance:
        if key in known:
            continue
        options = [name for name in known if name not in error.instance] or list(known)
        hint = near(key, options) or f"Known here: {', '.join(known)}."
        say((*path, key), "unknown-key", f'the key "{key}" is not known here', value=key, hint=hint, key=True)


def _pattern(error: Any, path: JsonPath, say: Callable[..., None]) -> None:
    """Complain about a text, or a key, that does not look as it should."""
    value = error.instance
    key = "propertyNames" in error.absolute_schema_path
    where = (*path, value) if key else path
    kind, words, hint = "value", "does not look as it should", f"It should match {error.validator_value}"
    for mark, *said in _PATTERNS:
        if mark in error.validator_value:
            kind, words, hint = said
            break
    say(where, kind, f"{_shown(value)} {words}", key=key, value=value, hint=hint)


def _properties(error: Any) -> list[str]:
    found = error.schema.get("properties", {}) if isinstance(error.schema, dict) else {}
    return list(found)


def _shown(value: Any) -> str:
    short = shorten(value)
    if isinstance(value, str):
        return f'"{short}"'
    return {None: "null", True: "true", False: "false"}.get(short, str(short)) if not isinstance(short, float) else str(short)
