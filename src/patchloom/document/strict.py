"""Strict JSON: bytes or plain data become plain data, or complaints.

Comes in: bytes, or a dict a caller parsed or built.  Goes out: fresh dicts, lists, texts, numbers; nothing
shared with the caller.  Next: `reader.py` looks at its format and schema.

Refused: anything but UTF-8, repeated keys, NaN and Infinity, nesting over `DEEPEST`, files over `LARGEST`
bytes, numbers a double cannot hold, control characters and lone surrogates.  Whole floats become whole
numbers, since JSON does not tell 6 from 6.0.  A byte order mark is tolerated and reported.
"""

from __future__ import annotations

import json
import math
import re
from typing import Any

from patchloom.document.complaints import Complaints, Path
from patchloom.document.locate import locate

__all__ = ["DEEPEST", "LARGEST", "copy_plain", "decode", "parse"]

DEEPEST = 40
LARGEST = 16 * 1024 * 1024
_WHOLE = 2**53
_SUSPICIOUS = re.compile(r"\\u|\\[bfnrt]|[\x7f-\x9f\ud800-\udfff]")
_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f]")
_SURROGATE = re.compile(r"[\ud800-\udfff]")
_LINES_ALLOWED = {"about", "notes", "text", "why"}
_NOTHING = object()


def decode(data: bytes, complaints: Complaints) -> tuple[str, bool] | None:
    """Return the text of a file and whether it began with a byte order mark; None after a complaint."""
    if len(data) > LARGEST:
        complaints.add(
            (),
            "too-large",
            f"the document has {len(data)} bytes, more than {LARGEST}",
            value=len(data),
            hint="Split it into several documents.",
        )
        return None
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        complaints.add((), "encoding", "the document is UTF-16, not UTF-8", value="UTF-16", hint="Save it as UTF-8.")
        return None
    mark = data[:3] == b"\xef\xbb\xbf"
    try:
        return (data[3:] if mark else data).decode("utf-8"), mark
    except UnicodeDecodeError as error:
        at = error.start + 3 * mark
        complaints.text = data[:at].decode("utf-8")
        complaints.add(
            (),
            "encoding",
            f"byte {at} is not UTF-8",
            value=f"0x{data[at]:02x}",
            hint="Save it as UTF-8.",
            offset=len(complaints.text),
        )
        return None


def parse(text: str, complaints: Complaints) -> Any:
    """Return the plain data of a text; what is wrong goes to `complaints`, None where nothing can be read."""
    flags: list[str] = []

    def pairs(items: list[tuple[str, Any]]) -> dict[str, Any]:
        made = dict(items)
        if len(made) != len(items):
            flags.append("repeated")
        return made

    def real(digits: str) -> float | int | None:
        value = float(digits)
        if math.isinf(value):
            flags.append("number")
            return None
        return int(value) if value.is_integer() and abs(value) < _WHOLE else value

    def whole(digits: str) -> int | None:
        if len(digits) > 15 and (len(digits) > 17 or abs(int(digits)) > _WHOLE):
            flags.append("number")
            return None
        return int(digits)

    def constant(_: str) -> None:
        flags.append("constant")

    if not text.strip():
        complaints.add((), "syntax", "the document is empty", hint='Write at least {"format": ...}.')
        return None
    try:
        value = json.loads(text, object_pairs_hook=pairs, parse_float=real, parse_int=whole, parse_constant=constant)
    except RecursionError:
        complaints.add((), "too-deep", f"the document is nested deeper than {DEEPEST} levels")
        return None
    except ValueError as error:
        _syntax(text, error, complaints)
        return None
    complaints.written = value
    if flags:
        complaints.doubtful = True
        _flagged(text, complaints)
    if not _depth(value):
        complaints.add((), "too-deep", f"the document is nested deeper than {DEEPEST} levels")
        return None
    if _SUSPICIOUS.search(text):
        _letters(value, (), complaints)
    return value


def copy_plain(value: Any, complaints: Complaints) -> Any:
    """Return a fresh copy of data a caller handed over, checked as strictly as a text would be."""
    made = _copied(value, (), complaints, 0)
    complaints.written = made
    if not complaints:
        _letters(made, (), complaints)
    return made


def _copied(value: Any, path: Path, complaints: Complaints, depth: int) -> Any:
    if depth > DEEPEST:
        complaints.add((), "too-deep", f"the document is nested deeper than {DEEPEST} levels", value=None)
        return None
    if isinstance(value, dict):
        made: dict[str, Any] = {}
        for key, item in value.items():
            if isinstance(key, str):
                made[str(key)] = _copied(item, (*path, key), complaints, depth + 1)
            else:
                complaints.add(path, "type", f"the key {key!r} is no text", value=repr(key), hint="JSON keys are texts.")
        return made
    if isinstance(value, (list, tuple)):
        return [_copied(item, (*path, number), complaints, depth + 1) for number, item in enumerate(value)]
    if value is None or isinstance(value, (str, bool)):
        return value
    if isinstance(value, int) and abs(value) <= _WHOLE:
        return int(value)
    if isinstance(value, float) and math.isfinite(value):
        return int(value) if value.is_integer() and abs(value) < _WHOLE else float(value)
    kind = "number" if isinstance(value, (int, float)) else "type"
    shown = repr(value)[:60] if not isinstance(value, int) else "a number beyond 2**53"
    complaints.add(
        path,
        kind,
        f"{shown} has no place in JSON",
        value=shown,
        hint="Use objects, lists, texts, finite numbers, true, false or null.",
    )
    return None


def _syntax(text: str, error: ValueError, complaints: Complaints) -> None:
    fault = locate(text).fault
    path, at, words = fault or ((), getattr(error, "pos", 0), getattr(error, "msg", str(error)))
    if words == "nested too deep":
        complaints.add((), "too-deep", f"the document is nested deeper than {DEEPEST} levels")
        return
    complaints.add(path, "syntax", f"this is not JSON: {words}", value=text[at : at + 20], offset=at)


def _flagged(text: str, complaints: Complaints) -> None:
    places = locate(text)
    for path, _ in places.repeated:
        complaints.add(
            path,
            "duplicate-key",
            f'the key "{path[-1]}" stands twice in one object',
            hint="Keep one of them; nothing merges silently.",
            key=True,
        )
    for path, word in places.constants:
        complaints.add(path, "number", f"{word} is no number in JSON", value=word, hint="Leave the field out if it is unknown.")
    for path, digits in places.numbers:
        value = float(digits)
        if math.isinf(value) or (abs(value) >= _WHOLE and re.fullmatch(r"-?[0-9]+", digits) and abs(int(digits[:20])) > _WHOLE):
            complaints.add(
                path,
                "number",
                f"{digits[:24]} is too large to be read exactly",
                value=digits[:24],
                hint="Whole numbers go up to 2**53.",
            )


def _depth(value: Any) -> bool:
    level = [value]
    for _ in range(DEEPEST + 1):
        below: list[Any] = []
        for item in level:
            if isinstance(item, dict):
                below.extend(item.values())
            elif isinstance(item, list):
                below.extend(item)
        if not below:
            return True
        level = below
    return False


def _letters(value: Any, path: Path, complaints: Complaints) -> None:
    if isinstance(value, dict):
        for key, item in value.items():
            _letter(key, (*path, key), complaints, True)
            _letters(item, (*path, key), complaints)
    elif isinstance(value, list):
        for number, item in enumerate(value):
            _letters(item, (*path, number), complaints)
    elif isinstance(value, str):
        _letter(value, path, complaints, False)


def _letter(text: str, path: Path, complaints: Complaints, key: bool) -> None:
    if _SURROGATE.search(text):
        complaints.add(
            path,
            "surrogate",
            "half of a surrogate pair, which is no character",
            value=text,
            hint="Write the character itself.",
            key=key,
        )
    lines = not key and bool(path) and path[-1] in _LINES_ALLOWED
    found = _CONTROL.search(re.sub(r"[\n\t]", "", text) if lines else text)
    if found:
        complaints.add(
            path,
            "control-character",
            f"the control character U+{ord(found[0]):04X} in a text",
            value=text,
            hint="Take it out; labels and papers cannot print it.",
            key=key,
        )
