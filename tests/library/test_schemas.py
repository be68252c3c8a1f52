"""The schemas say the same as the model, in the same words, and their readable trees are fresh."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import attrs
import pytest
from jsonschema.validators import Draft202012Validator

from patchloom.library.tree import main, tree, trees
from patchloom.model import patch, rig, show

FOLDER = Path(__file__).parents[2] / "schemas"
OURS = ("format-1", "patch-1", "rig-1", "show-1", "type-1")
SHORT = {
    "device": {"set"},
    "rig": {"rate", "clock"},
    "link": {"ids"},
    "source": {"ids"},
    "feed": {"ids", "not", "each"},
    "plug": {"sources", "not", "each"},
    "list": {"not"},
    "period": {"not"},
    "want": {"signals", "not"},
    "group": {"not"},
    "routing": {"not"},
    "gain-fixed": {"signals"},
    "show": {"sets"},
}
"""Fields of the short form alone, by part."""


def load(name: str) -> dict[str, Any]:
    """Return a schema as plain data."""
    found: dict[str, Any] = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    return found


def kebab(name: str) -> str:
    """Return `GainFixed` as `gain-fixed`."""
    return re.sub(r"(?<!^)(?=[A-Z])", "-", name).lower()


CLASSES = [
    (module.__name__.rpartition(".")[2], cls)
    for module in (rig, show, patch)
    for cls in (getattr(module, name) for name in module.__all__)
    if attrs.has(cls)
]


@pytest.mark.parametrize(("document", "cls"), CLASSES, ids=lambda value: value if isinstance(value, str) else value.__name__)
def test_fields_and_their_meaning_agree_with_the_model(document: str, cls: type) -> None:
    """Every field of the model is a property with the same words, and there are no others but those of the short form."""
    schema = load(f"{document}-1")
    name = kebab(cls.__name__)
    part = schema if name == document else schema["$defs"][name]
    properties = part["properties"]
    fields = {field.name.rstrip("_"): field for field in attrs.fields(cls)}
    keyed = f'"#/$defs/{name}' in json.dumps(schema) and "id" in fields and "Key in" in fields["id"].metadata["doc"]
    expected = set(fields) - ({"id"} if keyed else set())
    assert set(properties) - SHORT.get(name, set()) == expected
    for key in expected - {"format"} | ({"format"} if name in ("link",) else set()):
        assert properties[key]["description"].startswith(fields[key].metadata["doc"]), f"{name}.{key}"


def parts(schema: dict[str, Any]) -> list[tuple[str, dict[str, Any]]]:
    """Return the schema and its named parts."""
    return [("", schema), *schema["$defs"].items()]


@pytest.mark.parametrize("name", OURS)
def test_every_field_says_what_absence_means(name: str) -> None:
    """Each description says what absence means, or that the field is required."""
    for part, body in parts(load(name)):
        for key, field in body.get("properties", {}).items():
            if field is True or (key == "format" and not part):
                continue
            assert "bsent" in field["description"] or "equired" in field["description"], f"{name} {part}.{key}"


@pytest.mark.parametrize("name", OURS)
def test_required_fields_say_so(name: str) -> None:
    """What the schema requires is described as required."""
    for part, body in parts(load(name)):
        for key in body.get("required", ()):
            assert key == "format" or "equired" in body["properties"][key]["description"], f"{name} {part}.{key}"


@pytest.mark.parametrize("name", OURS)
def test_schemas_are_valid_and_closed(name: str) -> None:
    """Each is JSON Schema 2020-12, takes no unknown key, and never chooses among objects by a bare oneOf or anyOf."""
    schema = load(name)
    Draft202012Validator.check_schema(schema)
    assert schema["$schema"].endswith("2020-12/schema")
    for part, body in parts(schema):
        if "properties" in body:
            assert body["additionalProperties"] is False, part
    assert '"oneOf"' not in json.dumps(schema)


def test_parts_that_stand_in_two_schemas_are_the_same() -> None:
    """Type and format files share their parts with the rig word for word."""
    whole = load("rig-1")["$defs"]
    for name in ("type-1", "format-1"):
        for part, body in load(name)["$defs"].items():
            assert body == whole[part], f"{name} {part}"


def test_trees_are_fresh() -> None:
    """The readable tree beside each schema is what the schema gives; `python -m patchloom.library.tree schemas` makes it so."""
    for path, text in trees(FOLDER).items():
        assert path.read_text(encoding="utf-8") == text, path.name


def test_trees_are_written_beside_their_schemas(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The tool writes one tree a schema and names it."""
    (tmp_path / "rig-1.json").write_text((FOLDER / "rig-1.json").read_text(encoding="utf-8"), encoding="utf-8")
    assert main([str(tmp_path)]) == 0
    assert (tmp_path / "rig-1.tree.txt").read_text(encoding="utf-8") == (FOLDER / "rig-1.tree.txt").read_text(encoding="utf-8")
    assert "rig-1.tree.txt" in capsys.readouterr().out


def test_tree_of_a_small_schema() -> None:
    """A tree marks what must be there, names alternatives, lists, tables and bounds."""
    small = {
        "$id": "urn:x:small-1",
        "title": "A small one.",
        "type": "object",
        "required": ["a"],
        "properties": {
            "a": {"type": ["integer", "string"], "minimum": 1, "maximum": 9, "description": "First."},
            "b": {"type": "array", "items": {"$ref": "#/$defs/part"}, "description": "Second."},
            "c": {"type": "object", "additionalProperties": {"type": "boolean"}, "description": "Third."},
            "d": {"enum": ["x", "y"], "description": "Fourth."},
            "e": {"type": "array", "items": {"type": "number", "exclusiveMinimum": 0}, "minItems": 2, "maxItems": 3},
            "f": {"type": "object", "properties": {"in": True, "out": True}},
            "g": {"const": "small/1"},
            "h": True,
        },
        "$defs": {
            "part": {"title": "A part.", "type": "string"},
            "other": {"if": {}, "then": {"$ref": "#/$defs/part"}, "else": True},
        },
    }
    assert tree(small).splitlines() == [
        "small-1: A small one.",
        "",
        "  a*: whole number from 1 to 9 | text. First.",
        "  b: [part, ...]. Second.",
        "  c: {name: true or false}. Third.",
        "  d: x | y. Fourth.",
        "  e: [number above 0 x 2-3].",
        "  f: {in, out}.",
        '  g: "small/1".',
        "  and any of h, as in the whole one",
        "",
        "part: A part.",
        "",
        "other: part or anything",
    ]
