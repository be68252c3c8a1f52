"""A schema as a tree a person can read, and the trees written beside the schemas.

Comes in: a JSON Schema as plain data.  Goes out: text, one row a field: name, what it takes, what it means
and what absence means.  Next: people; `schemas/*.tree.txt` are written by

    python -m patchloom.library.tree schemas

An asterisk marks what must be there.  `a | b` are alternatives, `x, ...` a list, `{key: x}` a table.
"""

from __future__ import annotations

import json
import sys
import textwrap
from collections.abc import Iterator
from pathlib import Path
from typing import Any

__all__ = ["main", "tree", "trees"]

_WIDTH = 118
_NAMES = {
    "string": "text",
    "boolean": "true or false",
    "integer": "whole number",
    "number": "number",
    "null": "null",
    "object": "object",
    "array": "list",
}


def tree(schema: dict[str, Any]) -> str:
    """Return the readable tree of a schema: its top first, then every part it names, by name."""
    lines = [f"{schema.get('$id', '').rpartition(':')[2]}: {schema.get('title', '')}".strip(": "), ""]
    lines += [*_rows(schema), ""]
    for name, part in schema.get("$defs", {}).items():
        lines += [*_wrapped(f"{name}: {part.get('title') or _takes(part)}", ""), *_rows(part), ""]
    return "\n".join(lines).rstrip() + "\n"


def _rows(part: dict[str, Any]) -> Iterator[str]:
    """Yield the rows of an object's fields."""
    musts = set(part.get("required", ()))
    fields = part.get("properties", {})
    for name, field in fields.items():
        if field is True:
            continue
        mark = "*" if name in musts else ""
        yield from _wrapped(f"{name}{mark}: {_takes(field)}. {field.get('description', '')}".strip(), "  ")
    free = [name for name, field in fields.items() if field is True]
    if free:
        yield from _wrapped(f"and any of {', '.join(free)}, as in the whole one", "  ")


def _wrapped(text: str, indent: str) -> list[str]:
    return textwrap.wrap(
        text, _WIDTH, initial_indent=indent, subsequent_indent=indent + "    ", break_long_words=False, break_on_hyphens=False
    )


def _takes(part: Any) -> str:
    """Return in few words what a schema takes."""
    if not isinstance(part, dict):
        return "anything"
    if "$ref" in part:
        return str(part["$ref"]).rpartition("/")[2]
    if "const" in part:
        return json.dumps(part["const"])
    kinds = part.get("type")
    if kinds is None and "enum" in part:
        return _choice(part["enum"])
    if kinds is None:
        return _takes(part["then"]) + " or " + _takes(part["else"]) if "then" in part and "else" in part else "anything"
    return " | ".join(_one(kind, part) for kind in ([kinds] if isinstance(kinds, str) else kinds))


def _one(kind: str, part: dict[str, Any]) -> str:
    """Return in few words what a schema takes of one JSON type."""
    if kind == "array":
        items = _takes(part.get("items", True))
        least, most = part.get("minItems"), part.get("maxItems")
        if least is not None and most is not None:
            return f"[{items} x {least}]" if least == most else f"[{items} x {least}-{most}]"
        return f"[{items}, ...]"
    if kind == "object":
        if isinstance(part.get("additionalProperties"), dict):
            keys = part.get("propertyNames", {})
            named = {"^[1-9][0-9]{3,6}$": "rate"}.get(keys.get("pattern", ""), "name")
            return f"{{{named}: {_takes(part['additionalProperties'])}}}"
        if "then" in part and "$ref" in part["then"]:
            return _takes(part["then"])
        names = list(part.get("properties", {}))
        return f"{{{', '.join(names)}}}" if 0 < len(names) <= 4 else "object"
    if kind == "string" and "enum" in part:
        return _choice(part["enum"])
    if kind == "string" and "enum" in part.get("then", {}):
        return _choice(part["then"]["enum"])
    if kind in ("integer", "number"):
        return _NAMES[kind] + _bounds(part)
    return _NAMES[kind]


def _bounds(part: dict[str, Any]) -> str:
    least, above, most = part.get("minimum"), part.get("exclusiveMinimum"), part.get("maximum")
    words = [
        f"from {least}" if least is not None else f"above {above}" if above is not None else "",
        f"to {most}" if most is not None else "",
    ]
    return "".join(f" {word}" for word in words if word)


def _choice(options: list[Any]) -> str:
    return " | ".join(str(option) for option in options)


def trees(folder: Path) -> dict[Path, str]:
    """Return the tree of every schema of a folder, by the path it belongs at."""
    return {
        path.with_suffix("").with_suffix(".tree.txt"): tree(json.loads(path.read_text(encoding="utf-8")))
        for path in sorted(folder.glob("*-[0-9].json"))
    }


def main(arguments: list[str]) -> int:
    """Write the trees of the folder named; return the exit status."""
    for path, text in trees(Path(arguments[0] if arguments else "schemas")).items():
        path.write_text(text, encoding="utf-8")
        print(path)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
