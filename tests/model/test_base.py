"""Frozen tables, fields, building and dumping."""

from __future__ import annotations

import copy
import pickle
from fractions import Fraction
from typing import Any

import attrs
import pytest

from patchloom.address import Slot
from patchloom.model import base
from patchloom.model.base import Table, at_rate, build, dump, exact, flag, many, numbers, one, plain, rate_of, table, text, words


@attrs.frozen
class Leaf:
    """A small class of every kind of field."""

    id: str = text("Id.")
    from_: str = text("A reserved name.")
    level: float = plain("A number. Absent: 6.", 6)
    on: bool = flag("A flag.")


@attrs.frozen
class Tree:
    """A root with leaves."""

    format: str = text("Format.", "tree/1")
    leaves: tuple[Leaf | None, ...] = many(Leaf, "Leaves.")
    by: Table = table(Leaf, "Leaves by id.")
    best: Leaf | None = one(Leaf, "A leaf.")
    at: tuple[float, ...] | None = numbers("Numbers.")
    tags: tuple[str, ...] = words("Words.")
    free: Any = plain("Anything.")


def test_a_table_cannot_change() -> None:
    """Every way to change a dict is shut."""
    row = Table(a=1)
    for change in (
        lambda: row.__setitem__("a", 2),
        lambda: row.__delitem__("a"),
        row.clear,
        lambda: row.pop("a"),
        row.popitem,
        lambda: row.setdefault("b", 1),
        lambda: row.update(b=1),
        lambda: row.__ior__({"b": 1}),
    ):
        with pytest.raises(TypeError, match="cannot change"):
            change()
    assert row == {"a": 1}


def test_equal_tables_are_equal_whatever_their_order() -> None:
    """Order of keys is spelling; equality and hash ignore it, and copies and pickles are the same."""
    one_way, other = Table(a=1, b=2), Table(b=2, a=1)
    assert one_way == other
    assert hash(one_way) == hash(other)
    assert pickle.loads(pickle.dumps(one_way)) == one_way
    assert copy.deepcopy(one_way) == one_way


def test_build_takes_plain_data_and_objects() -> None:
    """Plain data becomes an object, reserved names lose their tail, an object stays what it is."""
    leaf = build(Leaf, {"id": "a", "from": "b"})
    assert leaf == Leaf("a", "b")
    assert build(Leaf, leaf) is leaf
    assert build(Leaf, {"from": "b"}, id="c") == Leaf("c", "b")


def test_dump_is_the_way_back() -> None:
    """What is dumped builds the same object again, absent values left out, the format kept."""
    tree = Tree(
        leaves=({"id": "a"}, None, Leaf("b", on=True)),
        by={"z": {"level": 3}, "y": Leaf("other"), "x": Leaf("x")},  # type: ignore[arg-type]
        best={"id": "c"},
        at=[1, 2.5],
        tags="one",
        free={"k": [1, {"l": None}], "s": Slot("A", "b", 3)},  # type: ignore[arg-type]
    )
    data = dump(tree)
    assert data == {
        "format": "tree/1",
        "leaves": [{"id": "a"}, None, {"id": "b", "on": True}],
        "by": {"x": {}, "y": {}, "z": {"level": 3}},
        "best": {"id": "c"},
        "at": [1, 2.5],
        "tags": ["one"],
        "free": {"k": [1, {"l": None}], "s": "A.b[3]"},
    }
    again = build(Tree, {**data, "free": tree.free})
    assert again == tree
    assert dump(Tree()) == {"format": "tree/1"}
    assert dump(Tree(format="")) == {"format": ""}
    assert dump(tree, without=("leaves", "by", "best", "at", "tags", "free")) == {"format": "tree/1"}


def test_ids_of_a_table_are_its_keys() -> None:
    """A row under a key has that key as id, whether it came as data or with another id; keys are sorted."""
    assert list(Tree(by={"b": Leaf("q"), "a": {}}).by.items()) == [("a", Leaf("a")), ("b", Leaf("b"))]  # type: ignore[arg-type]


def test_a_default_is_absent_only_in_its_own_kind() -> None:
    """6 and 6.0 are one number; True is not 1."""
    assert dump(Leaf(level=6.0)) == {}
    assert dump(Leaf(level=True)) == dump(Leaf(level=1)) == {"level": 1}
    assert dump(Leaf(on=0)) == {"on": 0}  # type: ignore[arg-type]


def test_absent_fields_are_unknown() -> None:
    """None stays None in every field that may be absent."""
    assert Tree(best=None, at=None).at is None
    assert Tree(best=None).best is None


def test_what_goes_in_is_not_altered_and_not_shared() -> None:
    """Data handed in stays as it was, and changing it later changes nothing."""
    data = {"free": {"k": [1, 2]}, "tags": ["a"]}
    before = copy.deepcopy(data)
    tree = build(Tree, data)
    assert data == before
    data["free"]["k"].append(3)  # type: ignore[index]
    data["tags"].append("b")  # type: ignore[attr-defined]
    assert tree.free == {"k": (1, 2)}
    assert tree.tags == ("a",)


def test_rates_are_exact() -> None:
    """A rate is a whole number or a fraction, exactly."""
    assert rate_of(48000) == 48000
    assert rate_of("48000000/1001") == Fraction(48_000_000, 1001)


@pytest.mark.parametrize(
    ("value", "spelled"),
    [
        (48000, 48000),
        ("48000", 48000),
        ("96000/2", 48000),
        ("96000000/2002", "48000000/1001"),
        (True, True),
        (None, None),
        (48000.5, 48000.5),
        ("fast", "fast"),
        ("1/0", "1/0"),
    ],
)
def test_a_rate_has_one_spelling(value: Any, spelled: Any) -> None:
    """A rate is a whole number or a reduced fraction; what is no rate stays what it is, for reading to complain of."""
    assert exact(value) == spelled
    assert type(exact(value)) is type(spelled)


@pytest.mark.parametrize(
    ("size", "rate", "there"),
    [
        (32, 96000, 32),
        (None, 48000, None),
        ({"48000": 64, "96000": 32}, 96000, 32),
        ({"48000": 64, "96000": 32}, "48000000/1001", 64),
        ({"48000": 64, "96000": 32}, "96096", 32),
        ({"48000": 64, "96000": 32}, 192000, None),
        ({"48000": 64, "96000": 32}, 44100, None),
        ({}, 48000, None),
    ],
)
def test_sizes_by_rate(size: Any, rate: Any, there: Any) -> None:
    """A size is a number at any rate, or the row of its nominal rate; a rate that is not listed is not supported."""
    assert at_rate(size, rate_of(rate)) == there


def test_public_names_are_sorted() -> None:
    """`__all__` is sorted and true."""
    assert list(base.__all__) == sorted(base.__all__)
    assert all(hasattr(base, name) for name in base.__all__)
