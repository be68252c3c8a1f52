"""CSV: the same rows as on paper, nothing a spreadsheet runs or rewrites."""

from __future__ import annotations

import csv
import io

import pytest
from patchloom_csv import defused

from patchloom.pages import Book, Column, Page, Row, Stamp, Table
from patchloom.plugins import load
from tests.pages.world import HOSTILE, hostile_show, small_book


def cells(data: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))


@pytest.mark.parametrize(
    "text",
    [
        "=1+1",
        "+1",
        "-2+3",
        "@SUM(1)",
        "\t=1",
        "\r=1",
        "\n=1",
        " =1",
        "=cmd|' /C calc'!A0",
        "\uff1d1",
        "'=1",
        "-",
        "+12 dB",
        "\u200b=1",
        "\ufeff=1",
        "\u00a0=1",
    ],
)
def test_formulas_are_defused(text: str) -> None:
    """A cell that a spreadsheet would run begins with an apostrophe."""
    assert defused(text).startswith("'")


@pytest.mark.parametrize(
    "text",
    [
        "9/10",
        "1-2",
        "01",
        "007.5",
        "1E2",
        "1e+5",
        "MAY-7",
        "Mar 3",
        "3 May",
        "10:30",
        "1.2.2030",
        "12345678901234567",
        "TRUE",
        "1 - 2",
        "Dec-12",
    ],
)
def test_what_would_become_a_date_or_another_number_is_kept(text: str) -> None:
    """Stereo pairs, leading zeros and the like stay as they are written."""
    assert defused(text) == f"'{text}"


@pytest.mark.parametrize(
    "text", ["1", "48", "12.5", "-6", "0", "Kick", "BOX-7", "SPLIT-12", "5:1 pad", "1/4 jack", "STAGE-1", "9/10 mixed"]
)
def test_plain_cells_stay_plain(text: str) -> None:
    """Numbers stay numbers, names stay names."""
    assert defused(text) == text


def test_no_cell_of_a_hostile_show_is_live() -> None:
    """With hostile names everywhere, no cell begins with what a spreadsheet runs, and none holds a control character."""
    for artifact in load("renderers", "csv")(small_book(hostile_show()), {}):
        assert artifact.media_type == "text/csv; charset=utf-8"
        for row in cells(artifact.bytes):
            for cell in row:
                assert not cell.startswith(("=", "+", "@", "\t", "\r")), cell
                assert not cell.startswith("-") or cell[1:].replace(".", "").isdigit(), cell
                assert all(sign.isprintable() or sign in "\u200c\u200d" for sign in cell), repr(cell)


def test_same_rows_as_the_page() -> None:
    """Without the stamp a file is the heads and the rows of its table, cell by cell."""
    book = small_book()
    files = {artifact.name: artifact for artifact in load("renderers", "csv")(book, {"stamp": False, "bom": False})}
    page = next(row for row in book.pages if row.subject == "foh" and row.paper == "input-list")
    rows = cells(files["input-list-foh.csv"].bytes)
    assert rows[0] == [column.title for column in page.tables[0].columns]
    assert rows[1 : 1 + len(page.tables[0].rows)] == [[defused(cell.text) for cell in row.cells] for row in page.tables[0].rows]


def test_stamp_cautions_and_remarks_are_in_the_file() -> None:
    """Revision, digest, what was signed off and the deferral to local law stand in the file."""
    files = {artifact.name: artifact.bytes.decode("utf-8-sig") for artifact in load("renderers", "csv")(small_book(), {})}
    text = files["patch-sheet-BOX.csv"]
    assert "Revision,C" in text
    assert "SAFETY: loops" in text
    assert "Signed off: A. Person" in text
    assert "take precedence" in text


def test_same_bytes_twice_and_line_ends() -> None:
    """The same book gives the same bytes, with a byte order mark and CRLF."""
    first = list(load("renderers", "csv")(small_book(), {}))
    assert first == list(load("renderers", "csv")(small_book(), {}))
    assert all(artifact.bytes.startswith(b"\xef\xbb\xbf") and b"\r\n" in artifact.bytes for artifact in first)


def test_names_alone_in_a_table() -> None:
    """Each hostile name, as a cell of its own, comes back with nothing lost but control characters and marks of direction."""
    table = Table("t", columns=(Column("a", "A"),), rows=tuple(Row((name,)) for name in HOSTILE))
    book = Book(stamp=Stamp(), pages=(Page("table", "x", tables=(table,)),))
    artifact = next(iter(load("renderers", "csv")(book, {"stamp": False, "bom": False})))
    back = [row[0].removeprefix("'") for row in cells(artifact.bytes)[1 : 1 + len(HOSTILE)]]
    assert back == ["".join(sign if sign.isprintable() else " " if sign == "\x1b" else "" for sign in name) for name in HOSTILE]
