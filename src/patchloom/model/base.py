"""Frozen tables and the field helpers every model class is made of.

Comes in: plain data (dicts, lists, numbers, strings) or model objects.  Goes out: frozen attrs
objects, and plain data again (`dump`).  Next: `model/rig.py`, `model/show.py`, `model/patch.py`.

A field helper (`text`, `many`, `table`, ...) fixes how plain data becomes the field and keeps its
documentation in the field's metadata under `doc`: unit, meaning, and what absence means.  Names that
Python reserves carry a trailing underscore here (`from_`, `pass_`) and none in documents.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from itertools import compress
from operator import attrgetter, is_not
from typing import Any, NamedTuple, NoReturn

import attrs

__all__ = [
    "Table",
    "at_rate",
    "build",
    "dump",
    "exact",
    "flag",
    "many",
    "numbers",
    "one",
    "plain",
    "rate_of",
    "table",
    "text",
    "words",
]


class Table(dict):  # type: ignore[type-arg]
    """A dict that cannot change; equal tables are equal whatever the order of their keys."""

    __slots__ = ()

    def _frozen(self, *_: Any, **__: Any) -> NoReturn:
        raise TypeError("a Table cannot change; build a new one")

    __setitem__ = __delitem__ = clear = pop = popitem = setdefault = update = __ior__ = _frozen  # type: ignore[assignment]

    def __hash__(self) -> int:  # type: ignore[override]
        return hash(frozenset(self))

    def __reduce__(self) -> tuple[Any, ...]:
        return (Table, (dict(self),))


def build(cls: type, data: Any, **given: Any) -> Any:
    """Return an object of `cls` from plain data (or the object itself when it already is one)."""
    if isinstance(data, cls):
        return data
    reserved = _reserved(cls)
    return cls(**{reserved.get(key, key): value for key, value in data.items()}, **given)


def _reserved(cls: type) -> dict[str, str]:
    known = cls.__dict__.get("_reserved_names")
    if known is None:
        known = {f.name.rstrip("_"): f.name for f in attrs.fields(cls) if f.name.endswith("_")}
        cls._reserved_names = known  # type: ignore[attr-defined]
    return known


def _freeze(value: Any) -> Any:
    if isinstance(value, Mapping):
        return Table({key: _freeze(item) for key, item in value.items()})
    if isinstance(value, (list, tuple)) and not hasattr(value, "_fields"):
        return tuple(_freeze(item) for item in value)
    return value


def _field(converter: Callable[[Any], Any] | None, default: Any, doc: str, kind: str, cls: type | None = None) -> Any:
    return attrs.field(default=default, converter=converter, metadata={"doc": doc, "kind": kind, "cls": cls})


def text(doc: str, default: str = "") -> Any:
    """A field of text; absent is the empty text unless `default` says otherwise."""
    return _field(None, default, doc, "text")


def flag(doc: str, default: bool = False) -> Any:
    """A yes-or-no field."""
    return _field(None, default, doc, "flag")


def plain(doc: str, default: Any = None) -> Any:
    """A field of plain data (number, list, table), frozen."""
    return _field(_freeze, default, doc, "plain")


def words(doc: str) -> Any:
    """A field of texts in order; absent is none; one text stands for a list of it."""
    return _field(lambda value: (value,) if isinstance(value, str) else tuple(value), (), doc, "words")


def numbers(doc: str) -> Any:
    """A field of numbers in order, such as `[low, high]`; absent is None, unknown."""
    return _field(lambda value: None if value is None else tuple(value), None, doc, "numbers")


def one(cls: type, doc: str) -> Any:
    """A field of one object; absent is None."""
    return _field(lambda value: None if value is None else build(cls, value), None, doc, "one", cls)


def many(cls: type, doc: str) -> Any:
    """A field of objects in order; absent is none."""

    def convert(rows: Any) -> tuple[Any, ...]:
        # What the solver makes is of the class already: tens of thousands of rows in a big show.
        if set(map(type, rows)) <= {cls}:
            return tuple(rows)
        return tuple(None if row is None else build(cls, row) for row in rows)

    return _field(convert, (), doc, "many", cls)


def table(cls: type, doc: str) -> Any:
    """A field of objects by id; the object's `id` is filled from its key; absent is none."""

    def convert(rows: Any) -> Table:
        return Table({key: placed(key, row) for key, row in sorted(rows.items())})

    def placed(key: str, row: Any) -> Any:
        if not isinstance(row, cls):
            return build(cls, row, id=key)
        item: Any = row
        return item if getattr(item, "id", key) == key else attrs.evolve(item, id=key)

    return _field(convert, Table(), doc, "table", cls)


def dump(item: Any, *, without: tuple[str, ...] = ()) -> dict[str, Any]:
    """Return plain data for a model object, in field order, absent values left out."""
    kind = type(item)
    plan = _plans.get(kind) or _plan(kind)
    values = plan.values(item)
    data: dict[str, Any] = {}
    # Most fields of most objects are absent, and hold the default itself.
    for number in compress(plan.numbers, map(is_not, values, plan.defaults)):
        name, key, default, way = plan.fields[number]
        value = values[number]
        if name in without or (_absent(value, default) and not (name == "format" and value)):
            continue
        data[key] = value if type(value) is str else _plain(value, way)
    return data


class _Plan(NamedTuple):
    """How objects of a class become plain data: each field's name, key, default and kind, and what fetches all values."""

    fields: tuple[tuple[str, str, Any, str | None], ...]
    numbers: tuple[int, ...]
    values: Callable[[Any], tuple[Any, ...]]
    defaults: tuple[Any, ...]
    """The default of each field; of `format`, which is never absent, something no field holds."""


_plans: dict[type, _Plan] = {}


def _plan(kind: type) -> _Plan:
    fields = tuple((row.name, row.name.rstrip("_"), row.default, row.metadata.get("kind")) for row in attrs.fields(kind))
    names = [name for name, _, _, _ in fields]
    if len(names) > 1:
        values: Callable[[Any], tuple[Any, ...]] = attrgetter(*names)
    else:

        def values(item: Any) -> tuple[Any, ...]:
            return tuple(getattr(item, name) for name in names)

    defaults = tuple(_plans if name == "format" else default for name, _, default, _ in fields)
    _plans[kind] = _Plan(fields, tuple(range(len(fields))), values, defaults)
    return _plans[kind]


def _absent(value: Any, default: Any) -> bool:
    """Return whether a value is its field's default; 6 and 6.0 are one number, True and 1 are two things."""
    if value != default:
        return False
    return type(value) is type(default) or {type(value), type(default)} == {int, float}


_BARE = frozenset((str, int, float, bool, type(None)))


def _plain(value: Any, kind: str | None = None) -> Any:
    if type(value) in _BARE:
        return value
    if type(value) in _plans:
        return dump(value)
    if isinstance(value, tuple):
        if hasattr(value, "_fields"):
            return str(value)
        return [row if type(row) is str else _plain(row) for row in value]
    if isinstance(value, Table):
        if kind == "table":
            return {key: dump(row, without=("id",)) for key, row in value.items()}
        return {key: _plain(item) for key, item in value.items()}
    return dump(value) if attrs.has(type(value)) else value


def exact(value: Any) -> Any:
    """Return a sample rate in its one spelling: a whole number, or a reduced fraction as text; else the value itself."""
    try:
        rate = Fraction(value) if isinstance(value, (int, str)) and not isinstance(value, bool) else None
    except (ValueError, ZeroDivisionError):
        rate = None
    if rate is None:
        return value
    return rate.numerator if rate.denominator == 1 else f"{rate.numerator}/{rate.denominator}"


def rate_of(value: int | str) -> Fraction:
    """Return a sample rate in Hz as an exact fraction: 48000 or "48000000/1001"."""
    return Fraction(value)


def at_rate(size: int | Mapping[str, Any] | None, rate: Fraction) -> Any:
    """Return a size at a sample rate: the number itself, or the row of a table by rate; None is unsupported.

    A rate pulled by at most 0.2 % (video rates, 1000/1001) takes the row of its nominal rate.
    """
    if not isinstance(size, Mapping):
        return size
    best = None
    for key in sorted(size, key=int):
        if abs(rate - int(key)) * 500 <= int(key):
            best = size[key]
    return best
