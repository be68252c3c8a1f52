"""The schema of a book says what the page model says, and every book we make keeps to it."""

from __future__ import annotations

import json
from pathlib import Path

import attrs
from jsonschema.validators import Draft202012Validator

from patchloom.document.write import _text
from patchloom.library.tree import tree
from patchloom.model.base import build, dump
from patchloom.pages import Book, page
from tests.pages.page_schema import page_schema
from tests.pages.world import hostile_show, small_book

FOLDER = Path(__file__).parents[2] / "schemas"


def test_schema_is_made_from_the_model(update_golden: bool) -> None:
    """`schemas/page-1.json` and its tree are what the page model gives."""
    made = page_schema()
    if update_golden:
        (FOLDER / "page-1.json").write_text(_text(made, "") + "\n", encoding="utf-8")
        (FOLDER / "page-1.tree.txt").write_text(tree(made), encoding="utf-8")
    assert json.loads((FOLDER / "page-1.json").read_text(encoding="utf-8")) == made
    assert (FOLDER / "page-1.tree.txt").read_text(encoding="utf-8") == tree(made)


def test_schema_is_a_schema() -> None:
    """It is JSON Schema 2020-12, takes no unknown key, and chooses nowhere by a bare oneOf."""
    made = page_schema()
    Draft202012Validator.check_schema(made)
    assert "oneOf" not in json.dumps(made)
    assert all(part["additionalProperties"] is False for part in made["$defs"].values())


def test_every_field_says_what_absence_means() -> None:
    """Each field of each page class says what its absence means, or that it is required."""
    for name in page.__all__:
        if name not in ("Artifact", "KINDS"):
            for field in attrs.fields(getattr(page, name)):
                doc = field.metadata["doc"]
                assert field.name == "format" or "bsent" in doc or "Required." in doc, f"{name}.{field.name}"


def test_books_keep_to_the_schema_and_come_back_the_same() -> None:
    """A book of every paper, with plain and with hostile names, is valid, and is the same when built from its document."""
    validator = Draft202012Validator(page_schema())
    for book in (small_book(), small_book(hostile_show())):
        data = {"format": "page/1", **dump(book)}
        errors = [f"{error.json_path}: {error.message}" for error in validator.iter_errors(json.loads(json.dumps(data)))]
        assert errors == []
        assert build(Book, json.loads(json.dumps(data))) == book


def test_a_page_without_its_content_is_refused() -> None:
    """A diagram page without a diagram, a page of an unknown kind and an unknown key are invalid."""
    validator = Draft202012Validator(page_schema())
    for page_data in (
        {"kind": "diagram", "title": "x"},
        {"kind": "poster", "title": "x"},
        {"kind": "table", "title": "x", "colour": 1},
    ):
        assert not validator.is_valid({"format": "page/1", "stamp": {}, "pages": [page_data]})
