"""The digest of a document: SHA-256 over its RFC 8785 (JSON Canonicalization Scheme) form.

Comes in: plain data.  Goes out: canonical bytes, and `sha256:...`.

RFC 8785: no spaces, keys sorted by UTF-16 code units, numbers as ECMAScript writes a double (section
3.2.2.3), texts with the shortest escapes.  Written out here because it is twenty lines and the digest must
not move with a library.
"""

from __future__ import annotations

import hashlib
import json
import math
from typing import Any

__all__ = ["canonical", "digest"]


def digest(data: Any) -> str:
    """Return `sha256:` and the hexadecimal digest of the canonical form of plain data."""
    return "sha256:" + hashlib.sha256(canonical(data)).hexdigest()


def canonical(data: Any) -> bytes:
    """Return the RFC 8785 form of plain data.  Raises ValueError for what JSON cannot hold."""
    if _usual(data):
        try:
            return _ENCODER.encode(data).encode("ascii")
        except UnicodeEncodeError:
            pass
    out: list[str] = []
    _put(data, out)
    return "".join(out).encode("utf-8")


_ENCODER = json.JSONEncoder(ensure_ascii=False, check_circular=False, sort_keys=True, separators=(",", ":"))
"""Writes what is `_usual`, and ASCII alone, as RFC 8785 asks, a whole document at once."""
_EXACT = 1 << 53


def _usual(value: Any) -> bool:
    """Return whether a value has nothing that JSON writers write in different ways, order of non-ASCII keys aside."""
    kind = type(value)
    if kind is str or value is None or kind is bool:
        return True
    if kind is int:
        return -_EXACT <= value <= _EXACT
    if kind is float:
        return 1e-4 <= abs(value) < 1e15 and not value.is_integer()
    if kind is list or kind is tuple:
        rows = value
    elif isinstance(value, dict):
        rows = value.values()
        try:
            "".join(value)
        except TypeError:
            return False
    else:
        return False
    for row in rows:
        if type(row) is str:
            continue
        if not _usual(row):
            return False
    return True


def _put(value: Any, out: list[str]) -> None:
    if value is None or isinstance(value, bool):
        out.append("null" if value is None else "true" if value else "false")
    elif isinstance(value, str):
        out.append(_text(value))
    elif isinstance(value, (int, float)):
        out.append(_number(value))
    elif isinstance(value, dict):
        out.append("{")
        for number, key in enumerate(sorted(value, key=_units)):
            out.append(("," if number else "") + _text(key) + ":")
            _put(value[key], out)
        out.append("}")
    elif isinstance(value, (list, tuple)):
        out.append("[")
        for number, item in enumerate(value):
            if number:
                out.append(",")
            _put(item, out)
        out.append("]")
    else:
        raise ValueError(f"{type(value).__name__} has no place in JSON")


def _units(key: Any) -> bytes:
    if not isinstance(key, str):
        raise ValueError(f"the key {key!r} is no text")
    return key.encode("utf-16-be", "surrogatepass")


def _text(value: str) -> str:
    if value.isascii() and value.isprintable() and '"' not in value and "\\" not in value:
        return f'"{value}"'
    try:
        value.encode("utf-8")
    except UnicodeEncodeError:
        raise ValueError("half of a surrogate pair is no character") from None
    return json.dumps(value, ensure_ascii=False)


def _number(value: int | float) -> str:
    """Return a number as ECMAScript's Number::toString writes the double it is."""
    real = float(value)
    if not math.isfinite(real) or (isinstance(value, int) and int(real) != value):
        raise ValueError(f"{value!r} is no finite double")
    if real == 0:
        return "0"
    sign, digits, exponent = _parts(abs(real), real < 0)
    count = len(digits)
    if count <= exponent <= 21:
        return sign + digits + "0" * (exponent - count)
    if 0 < exponent <= 21:
        return sign + digits[:exponent] + "." + digits[exponent:]
    if -6 < exponent <= 0:
        return sign + "0." + "0" * -exponent + digits
    power = exponent - 1
    tail = f"e{'+' if power > 0 else '-'}{abs(power)}"
    return sign + digits[0] + ("." + digits[1:] if count > 1 else "") + tail


def _parts(real: float, negative: bool) -> tuple[str, str, int]:
    """Return sign, shortest digits, and where the point stands counted from the first digit."""
    mantissa, _, power = f"{real!r}".partition("e")
    whole, _, fraction = mantissa.partition(".")
    digits = (whole + fraction).lstrip("0")
    point = len(whole) if whole.strip("0") else len(fraction.lstrip("0")) - len(fraction)
    return ("-" if negative else "", digits.rstrip("0"), point + int(power or 0))
