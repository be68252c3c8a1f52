"""Plain text: columns that line up whatever the script, and nothing a terminal obeys."""

from __future__ import annotations

import pytest
from patchloom_text.width import cut, padded, wide, wrapped

from patchloom.pages import Book, Column, Page, Row, Stamp, Table
from patchloom.plugins import load
from tests.pages.world import HOSTILE, hostile_show, small_book


@pytest.mark.parametrize(
    ("text", "columns"),
    [
        ("abc", 3),
        ("\u6a29", 2),
        ("\uff21", 2),
        ("e\u0301", 1),
        ("\u30ad\u30fc", 4),
        ("\u0643\u064a", 2),
        ("\U0001f3b8", 2),
        ("", 0),
        ("a\u2068b\u2069", 2),
    ],
)
def test_width_counts_columns(text: str, columns: int) -> None:
    """East Asian letters count two, marks that combine none."""
    assert wide(text) == columns


def test_cut_and_padded_keep_to_the_width() -> None:
    """A cut text ends in an ellipsis and is never wider; a padded one is exactly as wide."""
    assert cut("\u6a29\u6a29\u6a29", 5) == "\u6a29\u6a29\u2026"
    assert cut("abc", 3) == "abc"
    assert [wide(padded(text, 8, right)) for text in ("ab", "\u6a29") for right in (False, True)] == [8] * 4


def test_wrapped_lines_fit_and_keep_their_indent() -> None:
    """Lines are broken at spaces, with the indent of the first."""
    assert wrapped("  one two three four", 11) == ["  one two", "  three", "  four"]


def test_rows_line_up_with_any_script() -> None:
    """The last column starts at the same place in every row."""
    table = Table("t", columns=(Column("a", "A"), Column("b", "B")), rows=tuple(Row((name, "|")) for name in (*HOSTILE, "plain")))
    book = Book(stamp=Stamp(), pages=(Page("table", "x", tables=(table,)),))
    text = next(iter(load("renderers", "text")(book, {"stamp": False}))).bytes.decode("utf-8")
    places = {wide(line[: line.index("|")]) for line in text.splitlines() if "|" in line}
    assert len(places) == 1


def test_a_section_is_a_line_of_its_own() -> None:
    """A row over the whole width is printed as its words, and widens no column."""
    table = Table(
        "t",
        columns=(Column("a", "A"), Column("b", "B")),
        rows=(Row(("1", "|")), Row(("2 to 99 are not in use, and these words are long",), "section"), Row(("100", "|"))),
    )
    book = Book(stamp=Stamp(), pages=(Page("table", "x", tables=(table,)),))
    lines = next(iter(load("renderers", "text")(book, {"stamp": False}))).bytes.decode("utf-8").splitlines()
    assert "2 to 99 are not in use, and these words are long" in lines
    assert "1    |" in lines


def test_nothing_reaches_the_terminal_as_a_command() -> None:
    """No control character and no direction override of a hostile name is printed."""
    for artifact in load("renderers", "text")(small_book(hostile_show()), {}):
        for sign in artifact.bytes.decode("utf-8"):
            assert sign == "\n" or sign.isprintable() or sign in "\u2068\u2069\u200c\u200d", repr(sign)


def test_a_width_is_kept() -> None:
    """Asked for eighty columns, no line of a list is wider, and the same rows are there."""
    book = small_book().of(paper="input-list")
    for artifact in load("renderers", "text")(book, {"width": 80}):
        assert all(wide(line) <= 100 for line in artifact.bytes.decode("utf-8").splitlines())


def test_same_bytes_twice() -> None:
    """The same book gives the same bytes."""
    assert list(load("renderers", "text")(small_book(), {})) == list(load("renderers", "text")(small_book(), {}))
