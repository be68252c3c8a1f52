"""The schemas are found, and the quick yes never says yes where jsonschema says no."""

from __future__ import annotations

import copy
import json
import pathlib
import random

import pytest

from patchloom import document
from patchloom.document import schemas
from patchloom.document.quick import Unknown, compiled

TOP = pathlib.Path(__file__).resolve().parents[2]
CASES = [
    (case["kind"], case["document"])
    for path in sorted((TOP / "schemas" / "suite").glob("*.json"))
    for case in json.loads(path.read_text(encoding="utf-8"))["cases"]
    if isinstance(case.get("document"), dict) and case["kind"] in ("rig", "show", "patch", "type", "format")
]
JUNK = [
    None,
    0,
    -1,
    1,
    3.5,
    2.0,
    True,
    "",
    "x",
    "a{1-3}",
    "BOX.mic[1]",
    [],
    {},
    ["x", "x"],
    [None],
    {"like": "x"},
    10**9,
    "48000",
]


def test_schemas_are_found_by_any_of_their_names():
    """A schema is found as `rig`, `rig-1` or `rig/1`, and what is handed out can be altered without harm."""
    for name in ("rig", "rig-1", "rig/1"):
        assert document.schema(name)["$id"] == "urn:patchloom:schema:rig-1"
    document.schema("rig").clear()
    assert document.schema("rig")
    assert {"rig-1", "show-1", "patch-1", "type-1", "format-1"} <= set(document.schema_names())
    with pytest.raises(KeyError, match="rig-1"):
        document.schema("rgi")


def _spots(value):
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, item in items:
        yield value, key
        yield from _spots(item)


def _changed(value, pick):
    """Return the document changed in one place: a value replaced, a key gone, a key too many."""
    made = copy.deepcopy(value)
    spots = list(_spots(made))
    if spots:
        holder, key = pick.choice(spots)
        way = pick.random()
        if way < 0.6:
            holder[key] = copy.deepcopy(pick.choice(JUNK))
        elif way < 0.8 or isinstance(holder, list):
            del holder[key]
        else:
            holder[pick.choice(["like", "ids", "x", "not"])] = holder[key]
    return made


@pytest.mark.parametrize("kind", ["rig", "show", "patch", "type", "format"])
def test_the_quick_yes_agrees_with_jsonschema(kind):
    """Over the suite and a thousand documents changed at random, both say yes to the same ones."""
    sure, judge = schemas._quick(kind), schemas._validator(kind)
    assert sure is not None, "the schema uses a keyword the quick check does not know"
    pick = random.Random(kind)
    documents = [value for found, value in CASES if found == kind]
    documents += [_changed(pick.choice(documents), pick) for _ in range(200)]
    answers = [(sure(value), judge.is_valid(value)) for value in documents]
    assert [value for value, (quick, slow) in zip(documents, answers, strict=True) if quick != slow] == []
    assert {quick for quick, _ in answers} == {True, False}


@pytest.mark.parametrize(
    "schema",
    [
        {"oneOf": []},
        {"not": {"pattern": "x"}},
        {"if": {"enum": ["x"]}},
        {"enum": [1]},
        {"const": 3},
        {"patternProperties": {}},
        {"anyOf": [{"uniqueItems": True}]},
        {"type": "odd"},
        {"properties": {"a": {"contains": {}}}},
    ],
)
def test_the_quick_check_steps_aside(schema):
    """What the quick check does not know for certain is left to jsonschema."""
    with pytest.raises(Unknown):
        compiled(schema, lambda name: {})


@pytest.mark.parametrize(
    ("schema", "good", "bad"),
    [
        ({"type": "integer"}, [1, 2.0, -3], [1.5, True, "1", None]),
        ({"type": "number"}, [1, 2.5], [True, "1"]),
        ({"type": ["string", "null"]}, ["", None], [0, []]),
        ({"enum": ["a"]}, ["a"], ["b", 1, None]),
        ({"minLength": 1, "maxLength": 2}, ["a", "ab", 5], ["", "abc"]),
        ({"minItems": 1, "maxItems": 2}, [[1], "x"], [[], [1, 2, 3]]),
        ({"minimum": 1, "exclusiveMaximum": 3}, [1, 2.9, True], [0, 3]),
        ({"exclusiveMinimum": 0, "maximum": 3}, [0.1, 3], [0, 3.1]),
        ({"uniqueItems": True}, [["a", "b"], "x"], [["a", "a"]]),
        ({"items": {"type": "string"}}, [["a"], "x", []], [[1]]),
        ({"allOf": [{"minimum": 1}, {"maximum": 2}]}, [1, 2], [0, 3]),
        ({"anyOf": [{"type": "string"}, {"required": ["a"]}]}, ["x", {"a": 1}, 3], [{}]),
        ({"not": {"required": ["a"]}}, [{}], [{"a": 1}, 3]),
        ({"if": {"type": "object"}, "then": {"required": ["a"]}, "else": {"type": "string"}}, [{"a": 1}, "x"], [{}, 3]),
        (
            {"properties": {"a": True, "b": False}, "additionalProperties": {"type": "string"}},
            [{"a": 1}, {"c": "x"}],
            [{"b": 1}, {"c": 1}],
        ),
        ({"propertyNames": {"pattern": "^a"}, "type": "object"}, [{"ab": 1}, {}], [{"b": 1}]),
    ],
)
def test_each_keyword(schema, good, bad):
    """Each keyword means what the standard says."""
    from jsonschema import Draft202012Validator

    check, judge = compiled(schema, lambda name: {}), Draft202012Validator(schema)
    assert [check(item) for item in good] == [judge.is_valid(item) for item in good] == [True] * len(good)
    assert [check(item) for item in bad] == [judge.is_valid(item) for item in bad] == [False] * len(bad)


def test_references_may_go_round():
    """A schema that refers to itself is followed as deep as the data goes."""
    tree = {"type": "object", "additionalProperties": {"$ref": "#"}}
    check = compiled(tree, lambda name: tree)
    assert check({"a": {"b": {}}})
    assert not check({"a": {"b": 1}})
