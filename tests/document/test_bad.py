"""Thirty and more bad documents: every complaint at once, each with kind, path, line and column, and no traceback.

`bad/expected.json` holds what is expected of each file in `bad/`.  After looking at every difference, refresh it with
`python tests/document/test_bad.py`.
"""

from __future__ import annotations

import json
import pathlib

import pytest

from patchloom import document
from patchloom.errors import DocumentError
from patchloom.finding import Complaint

BAD = pathlib.Path(__file__).parent / "bad"
EXPECTED = BAD / "expected.json"
GOOD = ("good-rig", "good-show", "expected")


def names() -> list[str]:
    return sorted(path.stem for path in BAD.glob("*.json") if path.stem not in GOOD)


def said(name: str) -> tuple[Complaint, ...]:
    kind = name.split("-")[0]
    rig = document.read(BAD / "good-rig.json", "rig").data if kind == "show" else None
    with pytest.raises(DocumentError) as caught:
        document.read((BAD / f"{name}.json").read_bytes(), kind, name=name, rig=rig)
    return caught.value.complaints


def complaints(name: str) -> list[list[object]]:
    return [[row.kind, row.path, row.line, row.column] for row in said(name)]


@pytest.mark.parametrize("name", names())
def test_every_complaint_is_made_once_and_in_its_place(name):
    """A bad document gives exactly the complaints expected of it, in reading order, with line and column."""
    assert complaints(name) == json.loads(EXPECTED.read_text(encoding="utf-8"))[name]


@pytest.mark.parametrize("name", names())
def test_complaints_read_well(name):
    """A complaint prints document, place and path; its message stands alone; nothing unprintable gets through."""
    for row in said(name):
        text = str(row)
        assert text.startswith(f"{name}:")
        assert row.path in text
        assert row.message
        assert text.isprintable()
        assert "  " not in text
        assert not row.hint or row.hint[-1] in ".?!" or row.hint.startswith(("Write ", "It should match")), row.hint


def test_there_are_at_least_thirty():
    """The collection holds at least thirty bad documents, and nothing is expected of a file that is not there."""
    assert len(names()) >= 30
    assert sorted(json.loads(EXPECTED.read_text(encoding="utf-8"))) == names()


def test_the_good_ones_are_good():
    """The two documents the bad ones were made from have no fault."""
    rig = document.read(BAD / "good-rig.json", "rig")
    assert not rig.notes
    assert not document.read(BAD / "good-show.json", "show", rig=rig.data).notes


def test_every_kind_of_complaint_is_listed_and_seen():
    """Kinds have stable names with a meaning and a remedy; each is made by a bad document here or by a case of the suite."""
    assert list(document.REMEDIES) == list(document.COMPLAINTS)
    assert all(words.endswith(".") for words in document.REMEDIES.values())
    code = "".join(path.read_text(encoding="utf-8") for path in pathlib.Path(document.__file__).parent.glob("*.py"))
    assert [kind for kind in document.COMPLAINTS if f'"{kind}"' not in code.replace(f'"{kind}": "', "")] == []
    seen = {kind for name in names() for kind, *_ in json.loads(EXPECTED.read_text(encoding="utf-8"))[name]}
    assert seen <= set(document.COMPLAINTS)
    for path in (pathlib.Path(__file__).parents[2] / "schemas" / "suite").glob("*.json"):
        for case in json.loads(path.read_text(encoding="utf-8"))["cases"]:
            seen |= {row["kind"] for row in case.get("complaints", [])} | set(case.get("notes", []))
    assert set(document.COMPLAINTS) - seen == {"unreadable"}, "a file that is not there has no document to show"


if __name__ == "__main__":
    rows = ",\n".join(
        f" {json.dumps(name)}: [" + ",".join(f"\n  {json.dumps(row)}" for row in complaints(name)) + "]" for name in names()
    )
    EXPECTED.write_text("{\n" + rows + "\n}\n", encoding="utf-8")
