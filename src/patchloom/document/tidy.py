"""Expanded data in its one normal form: fields in order, defaults dropped, one text as a list of it.

Comes in: expanded data that may still spell a default out.  Goes out: the very shape the model dumps, so
that two spellings of one document are equal and share a digest.  Next: `reader.py`, `digest.py`.
"""

from __future__ import annotations

from typing import Any

from patchloom.document.fields import FIELDS
from patchloom.document.places import as_rate

__all__ = ["copied", "natural", "tidy"]


def tidy(data: dict[str, Any], cls: str) -> dict[str, Any]:
    """Return a fresh dict with the known fields of a class in order, what is absent anyway left out."""
    made: dict[str, Any] = {}
    for name, kind, default, sub in FIELDS[cls]:
        if name not in data:
            continue
        value = _value(data[name], kind, sub)
        if value is None and kind not in ("plain", "numbers", "rate"):
            continue
        if value == default and type(value) is type(default) and not (name == "format" and value):
            continue
        made[name] = value
    return made


def _value(value: Any, kind: str, sub: str) -> Any:
    if kind == "words":
        return [value] if isinstance(value, str) else copied(value)
    if kind == "many" and isinstance(value, list):
        return [tidy(row, sub) if isinstance(row, dict) else None for row in value]
    if kind == "one" and isinstance(value, dict):
        return tidy(value, sub)
    if kind == "table" and isinstance(value, dict):
        return {key: tidy(row, sub) for key, row in sorted(value.items()) if isinstance(row, dict)}
    if kind == "rate":
        rate = as_rate(value)
        return value if rate is None else rate.numerator if rate.denominator == 1 else f"{rate.numerator}/{rate.denominator}"
    return copied(value)


def copied(value: Any) -> Any:
    """Return a deep copy of plain data, keys of inner tables sorted."""
    if isinstance(value, dict):
        return {key: copied(value[key]) for key in sorted(value, key=natural)}
    if isinstance(value, (list, tuple)):
        return [copied(item) for item in value]
    return value


def natural(key: str) -> tuple[int, str] | tuple[int, int, str]:
    """Return a sort key that puts whole numbers first, by size: 48000 before 96000, both before names."""
    return (0, int(key), key) if key.isascii() and key.isdigit() else (1, key)
