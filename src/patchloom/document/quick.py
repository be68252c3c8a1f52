"""A quick yes: whether data certainly is what a schema asks for.

Comes in: a JSON Schema made of the plain keywords below.  Goes out: a function that answers True (valid, for
certain) or False (ask jsonschema, which judges and words the errors).  Next: `schemas.py`.

Nearly every document that is read is valid, and jsonschema takes longer to import than everything else
takes to run.  A keyword this module does not know makes it step aside altogether.  Tests hold its answers
against jsonschema's over the whole suite and over documents changed at random.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

__all__ = ["Unknown", "compiled"]

Check = Callable[[Any], bool]
_SAYS_NOTHING = {"$schema", "$id", "$comment", "$defs", "title", "description", "default", "examples"}
_OBJECT = {"properties", "additionalProperties", "required", "propertyNames"}
_CERTAIN = {"type", "required", "not", "properties", "anyOf", "allOf", "const", "minLength", "minItems", "minimum"}
"""Keywords whose False is as certain as their True: only these may stand under `if`, `not` and `anyOf`."""


class Unknown(Exception):
    """The schema uses something only jsonschema knows."""


def compiled(schema: Any, resolve: Callable[[str], Any]) -> Check:
    """Return the check of a schema; `resolve` gives the schema a `$ref` names.  Raises Unknown."""
    return _Compiler(resolve).check(schema)


class _Compiler:
    def __init__(self, resolve: Callable[[str], Any]) -> None:
        self.resolve = resolve
        self.named: dict[str, Check | None] = {}

    def check(self, schema: Any, *, certain: bool = False) -> Check:
        """Return the check of one schema."""
        if isinstance(schema, bool):
            return lambda _: schema
        checks: list[Check] = []
        for keyword, value in schema.items():
            if certain and keyword not in _CERTAIN and keyword not in _SAYS_NOTHING:
                raise Unknown(keyword)
            if keyword not in _SAYS_NOTHING and keyword not in _OBJECT and keyword not in ("then", "else"):
                checks.append(self._keyword(keyword, value, schema))
        if _OBJECT & set(schema):
            checks.append(self._object(schema, certain))
        return _all(checks)

    def _keyword(self, keyword: str, value: Any, schema: dict[str, Any]) -> Check:
        simple = _SIMPLE.get(keyword)
        if simple is not None:
            return simple(value)
        if keyword == "$ref":
            return self._ref(value)
        if keyword == "items":
            inner = self.check(value)
            return lambda item: not isinstance(item, list) or all(map(inner, item))
        if keyword == "allOf":
            return _all([self.check(row) for row in value])
        if keyword == "anyOf":
            some = [self.check(row, certain=True) for row in value]
            return lambda item: any(check(item) for check in some)
        if keyword == "not":
            wrong = self.check(value, certain=True)
            return lambda item: not wrong(item)
        if keyword == "if":
            test = self.check(value, certain=True)
            then, other = self.check(schema.get("then", True)), self.check(schema.get("else", True))
            return lambda item: then(item) if test(item) else other(item)
        raise Unknown(keyword)

    def _ref(self, name: str) -> Check:
        if name not in self.named:
            self.named[name] = None
            self.named[name] = self.check(self.resolve(name))
        made = self.named[name]
        if made is not None:
            return made

        def later(item: Any) -> bool:
            check = self.named[name]
            return check is not None and check(item)

        return later

    def _object(self, schema: dict[str, Any], certain: bool) -> Check:
        known = {key: self.check(value, certain=certain) for key, value in schema.get("properties", {}).items()}
        required = schema.get("required", [])
        more = schema.get("additionalProperties", True)
        rest = self.check(more)
        names = self.check(schema["propertyNames"]) if "propertyNames" in schema else None

        def check(item: Any) -> bool:
            if not isinstance(item, dict):
                return True
            for key in required:
                if key not in item:
                    return False
            for key, value in item.items():
                if not known.get(key, rest)(value) or (names is not None and not names(key)):
                    return False
            return True

        return check


def _all(checks: list[Check]) -> Check:
    if len(checks) == 1:
        return checks[0]

    def every(item: Any) -> bool:
        for check in checks:  # noqa: SIM110 - twice as fast as all()
            if not check(item):
                return False
        return True

    return every


def _type(value: Any) -> Check:
    wanted = [value] if isinstance(value, str) else value
    if not set(wanted) <= set(_TYPES):
        raise Unknown("type")
    tests = [_TYPES[name] for name in wanted]
    return tests[0] if len(tests) == 1 else lambda item: any(test(item) for test in tests)


def _is_number(item: Any) -> bool:
    return isinstance(item, (int, float)) and not isinstance(item, bool)


_TYPES: dict[str, Check] = {
    "string": lambda item: isinstance(item, str),
    "object": lambda item: isinstance(item, dict),
    "array": lambda item: isinstance(item, list),
    "boolean": lambda item: isinstance(item, bool),
    "null": lambda item: item is None,
    "number": _is_number,
    "integer": lambda item: _is_number(item) and item == int(item),
}


def _one_of_texts(value: list[Any]) -> Check:
    if not all(isinstance(item, str) for item in value):
        raise Unknown("enum")
    texts = frozenset(value)
    return lambda item: isinstance(item, str) and item in texts


def _pattern(value: str) -> Check:
    search = re.compile(value).search
    return lambda item: not isinstance(item, str) or search(item) is not None


def _different(value: bool) -> Check:
    return lambda item: (
        not value or not isinstance(item, list) or (all(isinstance(row, str) for row in item) and len(set(item)) == len(item))
    )


_SIMPLE: dict[str, Callable[[Any], Check]] = {
    "type": _type,
    "enum": _one_of_texts,
    "const": lambda value: _one_of_texts([value]),
    "pattern": _pattern,
    "uniqueItems": _different,
    "minLength": lambda value: lambda item: not isinstance(item, str) or len(item) >= value,
    "maxLength": lambda value: lambda item: not isinstance(item, str) or len(item) <= value,
    "minItems": lambda value: lambda item: not isinstance(item, list) or len(item) >= value,
    "maxItems": lambda value: lambda item: not isinstance(item, list) or len(item) <= value,
    "minimum": lambda value: lambda item: not _is_number(item) or item >= value,
    "maximum": lambda value: lambda item: not _is_number(item) or item <= value,
    "exclusiveMinimum": lambda value: lambda item: not _is_number(item) or item > value,
    "exclusiveMaximum": lambda value: lambda item: not _is_number(item) or item < value,
}
