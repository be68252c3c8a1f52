"""Canonical text: same bytes for one document, rows on one line, and reading it back changes nothing."""

from __future__ import annotations

import copy
import json
import pathlib

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from patchloom import document
from patchloom.address import braces
from patchloom.document.write import WIDTH

BAD = pathlib.Path(__file__).parent / "bad"
GOOD = {kind: json.loads((BAD / f"good-{kind}.json").read_text(encoding="utf-8")) for kind in ("rig", "show")}


def shuffled(value, random):
    if isinstance(value, dict):
        keys = list(value)
        random.shuffle(keys)
        return {key: shuffled(value[key], random) for key in keys}
    return [shuffled(item, random) for item in value] if isinstance(value, list) else value


@pytest.mark.parametrize("kind", ["rig", "show"])
def test_short_and_expanded_forms_read_back(kind):
    """What is written reads back as the same data, from the short form and from the expanded one."""
    data = document.read(GOOD[kind], kind).data
    for form in (GOOD[kind], data):
        assert document.read(document.write_text(form, kind).encode(), kind).data == data
    assert document.write_text(data, kind) == document.write_text(json.loads(document.write_text(data, kind)), kind)


@pytest.mark.parametrize("kind", ["rig", "show"])
@given(random=st.randoms(use_true_random=False))
def test_order_of_keys_is_no_part_of_a_document(kind, random):
    """Whatever the order of keys, text, data and digest are the same to the byte."""
    other = shuffled(GOOD[kind], random)
    assert document.write_text(other, kind) == document.write_text(GOOD[kind], kind)
    one, two = (document.read(form, kind).data for form in (GOOD[kind], other))
    assert json.dumps(one) == json.dumps(two)
    assert document.digest(one) == document.digest(two)


def test_rows_that_fit_stay_on_one_line():
    """Every row that fits stands on one line, no line is longer than need be, and the text ends in one line end."""
    text = document.write_text(document.read(GOOD["show"], "show").data, "show")
    assert '\n  {"id": "keys1", "legs": ["L", "R"]}' in text
    assert text.endswith("}\n")
    assert not text.endswith("\n\n")
    assert all(len(line) <= WIDTH for line in text.splitlines())


def test_the_format_comes_first_and_ids_in_natural_order():
    """`format` is filled in and leads; ids of tables count as people do."""
    text = document.write_text({"devices": {f"BOX{n}": "stage-box-8" for n in (10, 9, 1)}, "rate": 48000}, "rig")
    assert list(json.loads(text)) == ["format", "rate", "devices"]
    assert list(json.loads(text)["devices"]) == ["BOX1", "BOX9", "BOX10"]


def test_writing_alters_nothing():
    """The data handed over is not altered."""
    before = copy.deepcopy(GOOD["rig"])
    document.write_text(GOOD["rig"], "rig")
    assert before == GOOD["rig"]


def test_numbers_json_has_none_of_are_refused():
    """NaN is never written."""
    with pytest.raises(ValueError, match="JSON"):
        document.write_text({"format": "rig/1", "rate": float("nan")}, "rig")


WORDS = st.text(st.characters(exclude_categories=["Cc", "Cs"]), max_size=12)
NAMES = st.from_regex(r"[A-Za-z][A-Za-z0-9_-]{0,6}", fullmatch=True).filter(lambda name: name != "all")


@st.composite
def shows(draw):
    """Expanded shows built top-down: sources, then lists and feeds that want some of them."""
    ids = draw(st.lists(NAMES, min_size=1, max_size=8, unique=True))
    cut = draw(st.integers(1, len(ids)))
    sources, feeds = ids[:cut], ids[cut:]
    text = st.fixed_dictionaries(
        {}, optional={"name": WORDS, "notes": WORDS, "tags": st.lists(WORDS.filter(bool), min_size=1, max_size=2)}
    )
    rows = [{"id": name, **draw(text), **({"legs": ["L", "R"]} if draw(st.booleans()) else {})} for name in sources]
    for row in rows:
        if draw(st.booleans()):
            row["peak_dbu"] = draw(st.floats(-60, 30) | st.integers(-60, 30))
    wants = draw(st.lists(st.sampled_from(ids), unique=True))
    return {
        "format": "show/1",
        "name": draw(WORDS),
        "sources": rows,
        "plug": [{"source": name, "into": [f"BOX.mic[{n + 1}]"]} for n, name in enumerate(sources) if draw(st.booleans())],
        "lists": [{"id": "foh", "position": "foh", "at": "FOH.ch", "wants": [{"signal": name} for name in wants] + [None]}],
        "feeds": [{"id": name, "mixed_at": "foh", "of": draw(st.lists(st.sampled_from(sources), unique=True))} for name in feeds],
    }


@settings(suppress_health_check=[HealthCheck.too_slow])
@given(shows())
def test_any_show_reads_back(show):
    """Any show written and read is the same show, with the same digest."""
    data = document.read(show, "show").data
    text = document.write_text(data, "show")
    again = document.read(text.encode("utf-8"), "show").data
    assert again == data
    assert document.digest(again) == document.digest(data)
    assert document.write_text(again, "show") == text


@given(st.from_regex(r"[a-z]{1,3}", fullmatch=True), st.integers(0, 60), st.integers(0, 60), st.integers(0, 3))
def test_braces_count(stem, low, more, width):
    """A range of a brace is as many names as it says, in order, zeros kept, inside a document as outside."""
    text = f"{stem}{{{str(low).zfill(width)}-{low + more}}}"
    names = braces(text)
    assert len(names) == len(set(names)) == more + 1
    assert [int(name[len(stem) :]) for name in names] == list(range(low, low + more + 1))
    data = document.read({"format": "show/1", "sources": [{"ids": text}]}, "show").data
    assert [row["id"] for row in data["sources"]] == names


def test_a_list_that_wants_nothing_is_read_back() -> None:
    """Its empty wants are written: a reader asks for them."""
    data = document.read({"format": "show/1", "lists": [{"position": "foh", "at": "FOH.ch", "wants": []}]}, "show").data
    assert document.read(document.write_text(data, "show").encode(), "show").data == data
