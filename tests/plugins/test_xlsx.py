"""XLSX: real tables whose cells a spreadsheet leaves alone."""

from __future__ import annotations

import io
import re
import zipfile
from typing import Any

import pytest
from patchloom_xlsx.names import Names

from patchloom.pages import Book, Column, Page, Remark, Row, Stamp, Table
from patchloom.plugins import load
from tests.pages.world import HOSTILE, hostile_show, small_book

openpyxl = pytest.importorskip("openpyxl", reason="openpyxl comes with the extra `test`")

LIVE = (
    "=1+1",
    "+1",
    "-2+3",
    "@SUM(1)",
    '=HYPERLINK("http://x")',
    "9/10",
    "1-2",
    "01",
    "1E2",
    "10:30",
    "TRUE",
    "http://x.invalid",
    "mailto:a@b",
    "'quoted",
    "{=1}",
    "3 May",
    "12345678901234567890",
)


def raw(book: Book, **options: Any) -> bytes:
    return next(iter(load("renderers", "xlsx")(book, {"files": "book", **options}))).bytes


def one_table(*texts: str, kind: str = "text", size: str = "body") -> Book:
    table = Table(
        "t", columns=(Column("a", "A", kind=kind, size=size), Column("b", "B")), rows=tuple(Row((text, "")) for text in texts)
    )
    return Book(stamp=Stamp(show="A show"), pages=(Page("table", "List", subject="x", tables=(table,)),))


def head_row(sheet: Any, word: str = "A") -> int:
    return next(row[0].row for row in sheet.iter_rows() if row[0].value == word)


@pytest.mark.parametrize("kind", ["text", "address", "number"])
def test_no_cell_becomes_a_formula_a_link_a_date_or_another_number(kind: str) -> None:
    """What looks like one is a text, marked as text, whatever the column; typing over it does not change that."""
    data = raw(one_table(*LIVE, kind=kind))
    sheet = openpyxl.load_workbook(io.BytesIO(data)).worksheets[0]
    first = head_row(sheet) + 1
    cells = [sheet.cell(first + place, 1) for place in range(len(LIVE))]
    assert [cell.value for cell in cells] == list(LIVE)
    assert all(cell.data_type == "s" and cell.number_format == "@" and cell.hyperlink is None for cell in cells)
    xml = "".join(
        zipfile.ZipFile(io.BytesIO(data)).read(name).decode("utf-8") for name in zipfile.ZipFile(io.BytesIO(data)).namelist()
    )
    assert "<f>" not in xml
    assert "<hyperlink" not in xml


def test_hostile_names_are_texts() -> None:
    """With hostile names everywhere, no cell of a whole book is anything but text or a whole number."""
    workbook = openpyxl.load_workbook(io.BytesIO(raw(small_book(hostile_show()))))
    for sheet in workbook.worksheets:
        for row in sheet.iter_rows():
            assert all(cell.data_type in ("s", "n") and cell.hyperlink is None for cell in row)
    assert all(not re.search(r"[\[\]:*?/\\]", name) and len(name) <= 31 for name in workbook.sheetnames)


def test_numbers_sort_as_numbers() -> None:
    """Whole numbers in a column of numbers are numbers; in any other they are texts."""
    for kind, first in (("number", 7), ("text", "7")):
        sheet = openpyxl.load_workbook(io.BytesIO(raw(one_table("7", "12", kind=kind)))).worksheets[0]
        assert sheet.cell(head_row(sheet) + 1, 1).value == first


def test_the_head_is_frozen_filtered_and_repeated_on_paper() -> None:
    """The head stays in sight, carries a filter over exactly the rows, and is printed on every sheet; one page wide."""
    book = one_table("a", "b", "c")
    sheet = openpyxl.load_workbook(io.BytesIO(raw(book))).worksheets[0]
    top = head_row(sheet)
    assert sheet.freeze_panes == f"A{top + 1}"
    assert sheet.auto_filter.ref == f"A{top}:B{top + 3}"
    assert sheet.print_title_rows == f"${top}:${top}"
    assert sheet.sheet_properties.pageSetUpPr.fitToPage
    assert sheet.page_setup.fitToHeight == 0
    assert sheet.page_setup.paperSize == 9
    assert openpyxl.load_workbook(io.BytesIO(raw(book, paper="letter"))).worksheets[0].page_setup.paperSize == 1


def test_columns_are_as_wide_as_their_words() -> None:
    """A column holds its longest cell up to a limit, in the size it is printed in."""
    sheet = openpyxl.load_workbook(io.BytesIO(raw(one_table("x" * 20)))).worksheets[0]
    assert 20 <= sheet.column_dimensions["A"].width <= 26
    sheet = openpyxl.load_workbook(io.BytesIO(raw(one_table("x" * 500)))).worksheets[0]
    assert sheet.column_dimensions["A"].width < 50


def test_much_that_is_grave_leaves_room_for_the_table() -> None:
    """Four findings stand above the table; more are counted there and stand in full below it, none is left out."""
    for count in (4, 9):
        book = one_table("a")
        page = book.pages[0]
        remarks = tuple(Remark("safety", f"Finding {number}.") for number in range(count))
        told = Book(stamp=book.stamp, pages=(Page(page.kind, page.title, tables=page.tables, remarks=remarks),))
        sheet = openpyxl.load_workbook(io.BytesIO(raw(told))).worksheets[0]
        values = [row[0].value for row in sheet.iter_rows()]
        assert [value for value in values if value and "Finding " in value] == [
            f"SAFETY: Finding {number}." for number in range(count)
        ]
        assert head_row(sheet) <= 9
        if count == 9:
            assert "STOP or SAFETY: 9 findings; they stand in full below the table." in values


def test_names_of_sheets_are_short_single_and_allowed() -> None:
    """Names are cut to 31 letters, made different whatever the case, and never hold a sign the format forbids."""
    names = Names()
    made = [
        names.new(*words)
        for words in (
            ("a" * 40,),
            ("A" * 40,),
            ("a" * 40, "x"),
            ("[x]:*?/\\",),
            ("",),
            ("'", "'"),
            ("History",),
            *((name,) for name in HOSTILE),
        )
    ]
    assert len({name.lower() for name in made}) == len(made)
    assert all(0 < len(name) <= 31 and not set(name) & set("[]:*?/\\") and not name.startswith("'") for name in made)
    assert "history" not in [name.lower() for name in made]


def test_a_cell_holds_what_the_format_can_hold() -> None:
    """A text longer than a cell may be ends in an ellipsis; one that fits is whole."""
    sheet = openpyxl.load_workbook(io.BytesIO(raw(one_table("y" * 32767, "z" * 40000)))).worksheets[0]
    first = head_row(sheet) + 1
    assert sheet.cell(first, 1).value == "y" * 32767
    assert sheet.cell(first + 1, 1).value == "z" * 32766 + "\u2026"


def test_a_workbook_for_each_position_and_the_rest() -> None:
    """There is the whole book, what is everybody's, and one for each position."""
    names = [artifact.name for artifact in load("renderers", "xlsx")(small_book(), {})]
    assert names[:2] == ["book.xlsx", "stage.xlsx"]
    assert "foh.xlsx" in names
