"""The official cases of the documents: each is read, and says what it should.

A case file is `{"about", "cases": [...]}`.  A case holds `kind`, one of `document` (JSON), `text`, `hex` (bytes) or
`made_of` (head, unit, times, tail), perhaps a `rig` to read a show against, and `valid`.  An invalid one lists
`complaints`: each `{kind, path, hint}` must be among those given; `path` null means anywhere, `hint` is a part of it.
A valid one may name `notes` (kinds), and `same_as`, another spelling whose expanded form is equal.
"""

from __future__ import annotations

import copy
import json
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from patchloom import document
from patchloom.errors import DocumentError

FOLDER = Path(__file__).parents[2] / "schemas" / "suite"
CASES = [
    (path.stem, number, case)
    for path in sorted(FOLDER.glob("*.json"))
    for number, case in enumerate(json.loads(path.read_text(encoding="utf-8"))["cases"])
]


def source(case: dict[str, Any]) -> Any:
    """Return what the case gives to read: bytes, or plain data."""
    if "text" in case:
        return case["text"].encode("utf-8")
    if "hex" in case:
        return bytes.fromhex(case["hex"])
    if "made_of" in case:
        made = case["made_of"]
        return (made["head"] + made["unit"] * made["times"] + made["tail"]).encode("utf-8")
    return case["document"]


def rig_of(case: dict[str, Any]) -> dict[str, Any] | None:
    """Return the expanded rig a show is read against, if any."""
    return document.read(case["rig"], "rig").data if "rig" in case else None


@pytest.mark.parametrize("case", [pytest.param(case, id=f"{name}-{number}") for name, number, case in CASES])
def test_case(case: dict[str, Any]) -> None:
    """A valid document is read, an invalid one gives every complaint listed; the input is never altered."""
    given = source(case)
    before = copy.deepcopy(given) if isinstance(given, dict) else None
    rig = rig_of(case)
    if case["valid"]:
        read = document.read(given, case["kind"], name="case", rig=rig)
        assert [note.kind for note in read.notes] == case.get("notes", [])
        if "same_as" in case:
            assert read.data == document.read(case["same_as"], case["kind"]).data
    else:
        with pytest.raises(DocumentError) as caught:
            document.read(given, case["kind"], name="case", rig=rig)
        found = [(item.kind, item.path, item.hint) for item in caught.value.complaints]
        for wanted in case["complaints"]:
            assert any(
                kind == wanted["kind"] and wanted["path"] in (None, path) and wanted.get("hint", "") in hint
                for kind, path, hint in found
            ), (wanted, found)
        if "text" in case or "hex" in case:
            assert all(item.document == "case" for item in caught.value.complaints)
    assert before is None or given == before


@pytest.mark.parametrize(
    "case",
    [pytest.param(case, id=f"{name}-{number}") for name, number, case in CASES if "document" in case and not case["valid"]],
)
def test_case_as_text_says_line_and_column(case: dict[str, Any]) -> None:
    """The same document as text gives the same complaints, each with line and column."""
    text = json.dumps(case["document"], ensure_ascii=False, indent=1)
    with pytest.raises(DocumentError) as plain:
        document.read(case["document"], case["kind"], rig=rig_of(case))
    with pytest.raises(DocumentError) as placed:
        document.read(text.encode("utf-8"), case["kind"], rig=rig_of(case))
    assert sorted((item.kind, item.path) for item in placed.value.complaints) == sorted(
        (item.kind, item.path) for item in plain.value.complaints
    )
    assert all(item.line and item.column for item in placed.value.complaints)


@pytest.mark.parametrize("case", [pytest.param(case, id=f"{name}-{number}") for name, number, case in CASES if case["valid"]])
def test_expanded_form_is_valid_and_stable(case: dict[str, Any]) -> None:
    """What reading gives is itself a valid document and reads as itself."""
    read = document.read(source(case), case["kind"], rig=rig_of(case))
    assert document.read(read.data, case["kind"], rig=rig_of(case)).data == read.data


def test_there_are_enough_cases() -> None:
    """At least 150 cases, a third of them valid spellings or limits, and at least three for each kind of complaint."""
    assert len(CASES) >= 150
    kinds = Counter(wanted["kind"] for _, _, case in CASES for wanted in case.get("complaints", ()))
    few = {kind: count for kind, count in kinds.items() if count < 3}
    assert not few
    assert {
        "encoding",
        "duplicate-key",
        "number",
        "too-deep",
        "too-large",
        "format",
        "version",
        "unknown-key",
        "dangling",
        "duplicate-id",
        "address",
        "control-character",
        "surrogate",
    } <= set(kinds)


def test_the_guide_names_every_kind() -> None:
    """Each kind of complaint of a case stands in the guide beside the cases."""
    guide = (FOLDER / "README.md").read_text(encoding="utf-8")
    kinds = sorted({wanted["kind"] for _, _, case in CASES for wanted in case.get("complaints", ())})
    assert [kind for kind in kinds if f"`{kind}`" not in guide] == []


@pytest.mark.parametrize("case", [pytest.param(case, id=f"{name}-{number}") for name, number, case in CASES if "same_as" in case])
def test_two_spellings_share_a_digest(case: dict[str, Any]) -> None:
    """The digest is that of the expanded form."""
    ours, other = (document.read(given, case["kind"]).data for given in (source(case), case["same_as"]))
    assert document.digest(ours) == document.digest(other)
