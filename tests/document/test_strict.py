"""Strict reading of text, before anything is known of rigs or shows."""

from __future__ import annotations

import copy
import json
import pathlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patchloom import document
from patchloom.document import strict
from patchloom.document.complaints import Complaints, json_path
from patchloom.document.locate import locate
from patchloom.errors import DocumentError

BAD = pathlib.Path(__file__).parent / "bad"
RIG = (BAD / "good-rig.json").read_text(encoding="utf-8")


def kinds(source, kind="rig", **more):
    with pytest.raises(DocumentError) as caught:
        document.read(source, kind, **more)
    return [(row.kind, row.path) for row in caught.value.complaints]


def test_byte_order_mark_is_a_note():
    """A byte order mark is passed over and reported, and moves no column."""
    found = document.read(b"\xef\xbb\xbf" + RIG.encode(), "rig")
    assert [note.kind for note in found.notes] == ["byte-order-mark"]
    assert found.data == document.read(RIG.encode(), "rig").data
    broken = (b"\xef\xbb\xbf" + RIG.encode()).replace(b"rig/1", b"rig/2")
    with pytest.raises(DocumentError) as caught:
        document.read(broken, "rig")
    assert (caught.value.complaints[0].line, caught.value.complaints[0].column) == (1, 12)


def test_missing_and_unreadable_files(tmp_path):
    """A file that is not there, a folder, or a name no file can have is a complaint that names it."""
    for source in (tmp_path / "none.json", str(tmp_path), "a\0b"):
        assert kinds(source) == [("unreadable", "$")]


def test_too_large(tmp_path, monkeypatch):
    """A file over the limit is not even read."""
    monkeypatch.setattr(strict, "LARGEST", 100)
    (tmp_path / "big.json").write_text(RIG)
    assert kinds(tmp_path / "big.json") == [("too-large", "$")]
    assert kinds(RIG.encode()) == [("too-large", "$")]


@pytest.mark.parametrize("depth", [41, 300, 5000, 100_000])
def test_too_deep(depth):
    """Nesting ends in one complaint, however deep it is."""
    assert kinds(b'{"format": "rig/1", "x": ' + b"[" * depth + b"]" * depth + b"}") == [("too-deep", "$")]


def test_too_deep_in_python():
    """Data nested too deep, or in itself, is a complaint as well."""
    loop: list[object] = []
    loop.append(loop)
    assert ("too-deep", "$") in kinds({"format": "rig/1", "x": loop})


@pytest.mark.parametrize(
    ("value", "kind"),
    [(float("nan"), "number"), (float("-inf"), "number"), (2**60, "number"), (b"x", "type"), ({1}, "type"), ({1: 2}, "type")],
)
def test_python_data_is_checked_as_strictly(value, kind):
    """A dict a caller hands over may hold only what JSON can."""
    assert kind in [row[0] for row in kinds({"format": "rig/1", "rate": 48000, "name": value})]


def test_input_is_never_altered():
    """Reading alters nothing of what it was given, and hands nothing of it out."""
    raw = json.loads(RIG)
    before = copy.deepcopy(raw)
    data = document.read(raw, "rig").data
    data["devices"]["FOH"]["type"] = "gone"
    data["types"].clear()
    assert raw == before
    assert document.read(raw, "rig").data["types"]


def test_line_ends_stand_in_long_texts_only():
    """A line end may stand in notes, not in a name."""
    raw = json.loads(RIG) | {"about": "one\ntwo"}
    assert document.read(raw, "rig").data["about"] == "one\ntwo"
    assert kinds(raw | {"name": "one\ntwo"}) == [("control-character", "$.name")]


@pytest.mark.parametrize("text", ["", " ", "null", "3", '"x"', "[]", "{", "{}", '{"format": 1}', '{"format": null}', "\ufeff{}"])
def test_no_document_at_all(text):
    """Whatever is no document is one complaint."""
    assert len(kinds(text.encode())) == 1


def test_paths_with_odd_keys():
    """Odd keys are quoted in paths, and nothing unprintable comes through."""
    assert json_path(("a", 0, "b-c", "d'e\\", "\n")) == "$.a[0]['b-c']['d\\'e\\\\']['\\u000a']"


JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53), 2**53)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text('ab "\\\n\u00e9\U0001f600', max_size=5),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text("abc\u00e9'", max_size=3), inner, max_size=4),
    max_leaves=12,
)


@given(JSON, st.sampled_from([None, 1, "\t"]))
def test_every_value_is_found_where_it_stands(value, indent):
    """The second scan finds each value at the offset where its own text begins."""
    text = json.dumps(value, indent=indent, ensure_ascii=False)
    places = locate(text)
    assert places.fault is None
    decoder = json.JSONDecoder()

    def walk(item, path):
        found, _ = decoder.raw_decode(text, places.values[path])
        assert found == item
        for key, inner in item.items() if isinstance(item, dict) else enumerate(item) if isinstance(item, list) else ():
            walk(inner, (*path, key))

    walk(value, ())


@given(JSON, st.data())
def test_the_two_scans_agree_on_what_is_json(value, data):
    """A text cut or changed anywhere: where the fast reader finds a fault the slow scan finds it too."""
    text = json.dumps(value, ensure_ascii=False)
    at = data.draw(st.integers(0, len(text)))
    text = (
        text[:at]
        + data.draw(st.sampled_from(["", ",", "]", "}", '"', "x", "0", "\\", ":", "//", "'"]))
        + text[at + data.draw(st.integers(0, 2)) :]
    )
    complaints = Complaints("x")
    strict.parse(text, complaints)
    faults = [row for row in complaints.finish() if row.kind == "syntax" and "empty" not in row.message]
    assert bool(faults) == (locate(text).fault is not None) or not text.strip()


@settings(max_examples=300)
@given(st.binary(max_size=60))
def test_no_bytes_make_a_traceback(data):
    """Any bytes at all give complaints, never another exception."""
    for kind in ("rig", "show", "patch"):
        with pytest.raises(DocumentError):
            document.read(data, kind)


def test_the_text_of_a_document_is_no_file_name():
    """A text that looks like a document is told apart from the name of a file."""
    with pytest.raises(DocumentError) as caught:
        document.read(RIG, "rig")
    assert caught.value.complaints[0].document == "rig"
    assert "as bytes" in caught.value.complaints[0].hint


def test_only_known_kinds():
    """A kind there is none of is a mistake of the caller, named with the kinds there are."""
    with pytest.raises(ValueError, match="rig"):
        document.read({}, "rigg")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('{"a": "x', "closing quote"),
        ('{"a": "\\x"}', "backslash"),
        ('{"a": "x\ny"}', "line end"),
        ('{"a" 1}', "colon"),
        ('{"a": 1 "b": 2}', "comma or a closing brace"),
        ('{"a": [1 2]}', "comma or a closing bracket"),
        ('{"a": [1,]}', "comma before the closing bracket"),
        ('{"a": 01}', "leading zeros"),
        ('{"a": +1}', "no plus sign"),
        ('{"a": True}', "true, false and null"),
        ('{"a": 1} 2', "more text"),
        ('{"a": # b', "comment"),
        ('{"a": ', "cut off"),
        ("{a: 1}", "double quotes"),
        ('{"a": nothing}', "a value should stand here"),
    ],
)
def test_what_is_wrong_with_the_text_is_said(text, words):
    """Each way a text can fail to be JSON is named in plain words."""
    with pytest.raises(DocumentError) as caught:
        document.read(text.encode(), "rig")
    assert [row.kind for row in caught.value.complaints] == ["syntax"]
    assert words in caught.value.complaints[0].message
