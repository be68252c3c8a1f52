"""Addresses and braces."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patchloom.address import ID, Slot, Span, braces, parse, slot, spans
from patchloom.errors import AddressError

NAMES = st.from_regex(r"[A-Za-z][A-Za-z0-9_-]{0,6}", fullmatch=True)


@pytest.mark.parametrize(
    ("text", "span"),
    [
        ("BOX", Span("BOX")),
        ("BOX.mic", Span("BOX", "mic")),
        ("BOX.mic[7]", Span("BOX", "mic", 7, 7)),
        ("BOX.mic[1-8]", Span("BOX", "mic", 1, 8)),
        ("BOX.p1.out[3]", Span("BOX", "p1.out", 3, 3)),
    ],
)
def test_an_address_may_stop_early(text: str, span: Span) -> None:
    """Device, device.bank, one slot, a run, a side of a port: each reads as what it names and prints as it was written."""
    assert parse(text) == span
    assert str(span) == text


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "is no address"),
        ("1BOX", "is no address"),
        ("BOX.mic[]", "is no address"),
        ("BOX.mic[1-8]x", "is no address"),
        ("BOX.a.b.c", "is no address"),
        ("BOX[3]", "names no bank"),
        ("BOX.mic[0]", "slots count from 1"),
        ("BOX.mic[0-4]", "slots count from 1"),
        ("BOX.mic[8-1]", "runs backward"),
    ],
)
def test_what_is_no_address_says_why(text: str, words: str) -> None:
    """Every text that is no address is refused with the value and what to write instead."""
    with pytest.raises(AddressError, match=words):
        parse(text)


def test_what_is_no_text_is_no_address() -> None:
    """A number is refused like any other thing that is no address."""
    with pytest.raises(AddressError, match="is no address"):
        parse(3)  # type: ignore[arg-type]


def test_one_slot() -> None:
    """`slot` takes exactly one slot and refuses devices, banks and runs."""
    assert slot("BOX.mic[3]") == Slot("BOX", "mic", 3)
    assert str(Slot("BOX", "mic", 3)) == "BOX.mic[3]"
    for text in ("BOX", "BOX.mic", "BOX.mic[1-2]"):
        with pytest.raises(AddressError, match="does not name one slot"):
            slot(text)


def test_slots_of_a_span() -> None:
    """A run yields its slots in order; a span that names no run refuses."""
    assert list(parse("BOX.mic[2-4]").slots()) == [Slot("BOX", "mic", n) for n in (2, 3, 4)]
    for text in ("BOX", "BOX.mic"):
        with pytest.raises(AddressError, match="names no run of slots"):
            list(parse(text).slots())
    with pytest.raises(AddressError, match="names no run of slots"):
        list(Span("BOX", "mic", 1).slots())


@pytest.mark.parametrize(
    ("text", "inside"),
    [
        ("BOX", True),
        ("BOX.mic", True),
        ("BOX.mic[3]", True),
        ("BOX.mic[1-8]", True),
        ("BOX.mic[4-8]", False),
        ("BOX.mic[1-2]", False),
        ("BOX.line", False),
        ("BOX2", False),
    ],
)
def test_the_shorter_the_freer(text: str, inside: bool) -> None:
    """A span holds a slot when nothing it names speaks against it."""
    assert parse(text).holds(Slot("BOX", "mic", 3)) is inside


def test_an_open_run_holds_its_first_slot_only() -> None:
    """A span built with a first slot and no last one is that one slot."""
    assert Span("BOX", "mic", 3).holds(Slot("BOX", "mic", 3))
    assert not Span("BOX", "mic", 3).holds(Slot("BOX", "mic", 4))


def test_runs_of_slots() -> None:
    """Consecutive slots of one bank join; a step, another bank or another device begins a new run; order is kept."""
    rows = (("B", "mic", 1), ("B", "mic", 2), ("B", "mic", 4), ("B", "line", 5), ("C", "line", 6), ("B", "mic", 3))
    places = [Slot(*row) for row in rows]
    assert [str(span) for span in spans(places)] == ["B.mic[1-2]", "B.mic[4]", "B.line[5]", "C.line[6]", "B.mic[3]"]
    assert spans([]) == []


@given(st.lists(st.builds(Slot, st.sampled_from(("A", "B")), st.sampled_from(("x", "y")), st.integers(1, 9))))
def test_runs_hold_the_slots_they_came_from(places: list[Slot]) -> None:
    """Whatever the slots, their runs yield them again in the same order."""
    assert [place for span in spans(places) for place in span.slots()] == places


@given(NAMES, NAMES, st.integers(1, 999_999), st.integers(0, 50))
def test_an_address_reads_as_it_prints(device: str, bank: str, first: int, more: int) -> None:
    """Printing and reading are each other's way back."""
    span = Span(device, bank, first, min(first + more, 999_999))
    assert parse(str(span)) == span


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("kick", ["kick"]),
        ("vox{1-3}", ["vox1", "vox2", "vox3"]),
        ("vox{08-10}", ["vox08", "vox09", "vox10"]),
        ("FX{a,c}", ["FXa", "FXc"]),
        ("FX{a, 2-3}.L", ["FXa.L", "FX2.L", "FX3.L"]),
        ("n{7}", ["n7"]),
    ],
)
def test_braces_make_names(text: str, names: list[str]) -> None:
    """One brace a string stands for names; leading zeros stay."""
    assert braces(text) == names


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("a{1-2}b{1-2}", "one brace a string"),
        ("a{1{2}}", "one brace a string"),
        ("a{1-2", "one brace a string"),
        ("a}1", "one brace a string"),
        ("a{}", "an empty item"),
        ("a{1,,2}", "an empty item"),
        ("a{3-1}", "runs backward"),
        ("a{1-100001}", "more than 100000 names"),
    ],
)
def test_bad_braces_say_why(text: str, words: str) -> None:
    """Nested, second, open, empty, backward and endless braces are refused."""
    with pytest.raises(AddressError, match=words):
        braces(text)


def test_ids() -> None:
    """An id begins with a letter and ends where the text does."""
    assert ID.match("BOX-1_a")
    assert not ID.match("1BOX")
    assert not ID.match("BOX\n")
