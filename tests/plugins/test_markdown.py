"""Markdown, PNG and JSON: names that are no markup, pictures with letters, a document that reads."""

from __future__ import annotations

import json
import re
import struct

import pytest
from patchloom_markdown import inert

from patchloom.document import read
from patchloom.errors import PluginError
from patchloom.pages import Book, Column, Page, Row, Stamp, Table
from patchloom.plugins import load
from tests.pages.world import HOSTILE, hostile_show, small_book


@pytest.mark.parametrize(
    ("text", "done"),
    [
        ("Kick in", "Kick in"),
        ("a_b *c* `d`", "a\\_b \\*c\\* \\`d\\`"),
        ("<b>&", "&lt;b&gt;&amp;"),
        ("[x](y) | z", "\\[x\\](y) \\| z"),
        ("# head", "\\# head"),
        ("- item", "\\- item"),
        ("+6", "\\+6"),
        ("1. first", "1\\. first"),
        ("10) ten", "10\\) ten"),
        ("12 dB", "12 dB"),
        ("https://x.invalid www.x", "https\\://x.invalid www\\.x"),
        ("two\nlines\x00here", "two lines here"),
        ("\u0643\u064a", "\u2068\u0643\u064a\u2069"),
    ],
)
def test_what_could_be_markup_is_not(text: str, done: str) -> None:
    """A sign is escaped only where it could be markup, so that the text stays readable."""
    assert inert(text) == done


def test_every_row_of_a_table_has_as_many_cells_as_its_head() -> None:
    """No name adds a cell to a row or a line to a table."""
    table = Table(
        "t", columns=(Column("a", "A|A"), Column("b", "B")), rows=tuple(Row((name, "|")) for name in (*HOSTILE, "x\ny|z"))
    )
    book = Book(stamp=Stamp(), pages=(Page("table", "x", tables=(table,)),))
    text = next(iter(load("renderers", "markdown")(book, {}))).bytes.decode("utf-8")
    rows = [line for line in text.splitlines() if line.startswith("|")]
    assert len(rows) == 2 + len(HOSTILE) + 1
    assert {len(re.split(r"(?<!\\)\|", row)) for row in rows} == {4}


def test_no_sign_that_moves_text_is_in_a_file() -> None:
    """Control characters and direction overrides of a hostile name are gone, and no tag is left."""
    for artifact in load("renderers", "markdown")(small_book(hostile_show()), {}):
        text = artifact.bytes.decode("utf-8")
        assert all(sign == "\n" or sign.isprintable() or sign in "\u2068\u2069\u200c\u200d" for sign in text)
        assert "<" not in text


def test_pictures_have_the_size_asked_for() -> None:
    """A drawing is a PNG as large as its sheet at so many dots to the inch; a number out of range is an error."""
    from patchloom.pages import Diagram, Edge, Node

    drawing = Diagram(nodes=(Node("a", "A"), Node("b", "\u6a29")), edges=(Edge("e", "a", "b"),))
    book = Book(stamp=Stamp(show="x"), pages=(Page("diagram", "Links", diagram=drawing),))
    made = [next(iter(load("renderers", "png")(book, {"dots": dots}))) for dots in (50, 100)]
    assert all(artifact.bytes.startswith(b"\x89PNG") and artifact.media_type == "image/png" for artifact in made)
    sizes = [struct.unpack(">II", artifact.bytes[16:24]) for artifact in made]
    assert sizes[0][0] == round(279 / 25.4 * 50)
    assert sizes[1][0] == round(279 / 25.4 * 100)
    for wrong in (10, 4000, "many", True):
        with pytest.raises(PluginError, match="no number from 36 to 300"):
            list(load("renderers", "png")(book, {"dots": wrong}))


def test_the_document_reads_as_page_1() -> None:
    """The JSON of a book is a page/1 document, names as they are but for what no paper may hold."""
    artifact = next(iter(load("renderers", "json")(small_book(hostile_show()), {})))
    data = json.loads(artifact.bytes)
    assert data["format"] == "page/1"
    read(data, "page")
    assert "\u6a29" in artifact.bytes.decode("utf-8")
