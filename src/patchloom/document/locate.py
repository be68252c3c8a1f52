"""A second, slow scan of a JSON text that knows where everything stands.

Comes in: the text of a document something is wrong with.  Goes out: offsets of every key and value,
repeated keys, constants JSON does not have, and the place where the text stops being JSON.
Next: `complaints.py` turns offsets into lines and columns; `strict.py` words the faults.
"""

from __future__ import annotations

import json
import re
from bisect import bisect_right
from typing import Any

__all__ = ["Places", "locate"]

_SPACE = re.compile(r"[ \t\r\n]*")
_STRING = re.compile(r'"(?:[^"\\\x00-\x1f]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*"')
_SCALAR = re.compile(r"-?Infinity|NaN|true|false|null|-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?(?:[eE][+-]?[0-9]+)?")
_ODD_NUMBER = re.compile(r"-?0[0-9]|\+[0-9]|-?\.[0-9]")
_CONSTANTS = ("NaN", "Infinity", "-Infinity")
_DEEPEST = 200


class Places:
    """Where things stand in one text."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.values: dict[tuple[Any, ...], int] = {}
        self.keys: dict[tuple[Any, ...], int] = {}
        self.repeated: list[tuple[tuple[Any, ...], int]] = []
        self.constants: list[tuple[tuple[Any, ...], str]] = []
        self.numbers: list[tuple[tuple[Any, ...], str]] = []
        self.fault: tuple[tuple[Any, ...], int, str] | None = None
        self._lines = [0, *(match.end() for match in re.finditer("\r\n|\r|\n", text))]

    def find(self, path: tuple[Any, ...], *, key: bool = False) -> int:
        """Return the offset of the value (or key) at a path, or of the nearest thing above it."""
        if key and path in self.keys:
            return self.keys[path]
        while path and path not in self.values:
            path = path[:-1]
        return self.values.get(path, 0)

    def line_column(self, offset: int) -> tuple[int, int]:
        """Return line and column of an offset, both from 1."""
        line = bisect_right(self._lines, offset)
        return line, offset - self._lines[line - 1] + 1


class _Stop(Exception):
    pass


def locate(text: str) -> Places:
    """Return the places of everything in a text, up to the first fault if there is one."""
    places = Places(text)
    try:
        end = _space(text, _value(places, text, _space(text, 0), (), 0))
        if end < len(text):
            places.fault = ((), end, "more text after the end of the document")
    except _Stop:
        pass
    return places


def _space(text: str, at: int) -> int:
    found = _SPACE.match(text, at)
    return found.end() if found else at


def _fail(places: Places, path: tuple[Any, ...], at: int, words: str) -> _Stop:
    places.fault = (path, at, words)
    return _Stop()


def _value(places: Places, text: str, at: int, path: tuple[Any, ...], depth: int) -> int:
    places.values[path] = at
    if depth > _DEEPEST:
        raise _fail(places, path, at, "nested too deep")
    first = text[at : at + 1]
    if first == "{":
        return _object(places, text, at, path, depth)
    if first == "[":
        return _array(places, text, at, path, depth)
    if first == '"':
        return _string(places, text, at, path)
    found = _SCALAR.match(text, at)
    if found is None or _ODD_NUMBER.match(text, at):
        raise _fail(places, path, at, _what_is_wrong(text, at, "a value"))
    if found[0] in _CONSTANTS:
        places.constants.append((path, found[0]))
    elif found[0][-1].isdigit():
        places.numbers.append((path, found[0]))
    return found.end()


def _string(places: Places, text: str, at: int, path: tuple[Any, ...]) -> int:
    found = _STRING.match(text, at)
    if found is not None:
        return found.end()
    stop = at + 1
    while stop < len(text):
        letter = text[stop]
        if letter == "\\":
            if not re.match(r'\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4})', text[stop : stop + 6]):
                raise _fail(places, path, stop, "a backslash that begins no escape; write \\\\ for a backslash")
            stop += 2
            continue
        if ord(letter) < 0x20:
            raise _fail(places, path, stop, "a line end or control character inside a text, or a text without its closing quote")
        stop += 1
    raise _fail(places, path, at, "a text without its closing quote")


def _object(places: Places, text: str, at: int, path: tuple[Any, ...], depth: int) -> int:
    seen: set[str] = set()
    at = _space(text, at + 1)
    if text[at : at + 1] == "}":
        return at + 1
    while True:
        if text[at : at + 1] != '"':
            raise _fail(places, path, at, _what_is_wrong(text, at, "a key in double quotes"))
        end = _string(places, text, at, path)
        key = json.loads(text[at:end])
        here = (*path, key)
        if key in seen:
            places.repeated.append((here, at))
        seen.add(key)
        places.keys[here] = at
        at = _space(text, end)
        if text[at : at + 1] != ":":
            raise _fail(places, here, at, _what_is_wrong(text, at, "a colon after the key"))
        at = _space(text, _value(places, text, _space(text, at + 1), here, depth + 1))
        if text[at : at + 1] == "}":
            return at + 1
        if text[at : at + 1] != ",":
            raise _fail(places, here, at, _what_is_wrong(text, at, "a comma or a closing brace"))
        at = _space(text, at + 1)
        if text[at : at + 1] == "}":
            raise _fail(places, path, at, "a comma before the closing brace; take the comma away")


def _array(places: Places, text: str, at: int, path: tuple[Any, ...], depth: int) -> int:
    at = _space(text, at + 1)
    if text[at : at + 1] == "]":
        return at + 1
    number = 0
    while True:
        here = (*path, number)
        at = _space(text, _value(places, text, at, here, depth + 1))
        if text[at : at + 1] == "]":
            return at + 1
        if text[at : at + 1] != ",":
            raise _fail(places, here, at, _what_is_wrong(text, at, "a comma or a closing bracket"))
        at = _space(text, at + 1)
        if text[at : at + 1] == "]":
            raise _fail(places, path, at, "a comma before the closing bracket; take the comma away")
        number += 1


def _what_is_wrong(text: str, at: int, expected: str) -> str:
    rest = text[at : at + 20]
    if not rest:
        return f"the text ends where {expected} should stand; is the file cut off?"
    if rest.startswith("'"):
        return "a single quote; JSON texts stand in double quotes"
    if rest.startswith(("//", "/*", "#")):
        return 'a comment; JSON has none, write "notes" or "about" instead'
    if rest.startswith(("True", "False", "None")):
        return f"{re.match('[A-Za-z]+', rest)[0]}; JSON writes true, false and null"  # type: ignore[index]
    if _ODD_NUMBER.match(rest):
        return "a number JSON cannot read: no leading zeros, no plus sign, a digit before the point"
    word = re.match(r"[^\s,:\[\]{}\"]{1,16}|.", rest, re.DOTALL)
    return f'{expected} should stand here, not "{word[0] if word else rest}"'
