"""What holds for every format alike: the same rows, everything that must be said, the same bytes, plain words when it cannot."""

from __future__ import annotations

import csv
import io
import json
import re
import sys
from collections.abc import Callable, Iterator
from html.parser import HTMLParser
from typing import Any

import attrs
import pytest

from patchloom.errors import PluginError
from patchloom.pages import Artifact, Book, Cell, Page
from patchloom.pages.files import clean
from patchloom.plugins import load
from tests.pages.world import HOSTILE, hostile_show, small_book

FORMATS = ("csv", "html", "json", "markdown", "pdf", "png", "svg", "text", "xlsx")
TABLED = ("csv", "html", "json", "markdown", "pdf", "text", "xlsx")
"""Formats that hold tables."""

Rows = list[list[str]]
"""Rows of cells, blank cells aside."""


def rendered(book: Book, name: str, **options: Any) -> list[Artifact]:
    return list(load("renderers", name)(book, options))


def tight(text: str) -> str:
    """Return a text without space and without signs that print nothing: what is left must agree in every format."""
    return re.sub(r"[\s\u200b\u2068\u2069\u2610]+", "", clean(text))


def wanted(book: Book) -> Rows:
    """Return the rows of the tables of a book, page by page."""
    return [
        [tight(cell.text) for cell in row.cells if cell.text]
        for page in book.pages
        for table in page.tables
        for row in table.rows
        if any(cell.text for cell in row.cells)
    ]


def from_csv(book: Book) -> Rows:
    files = rendered(book, "csv", stamp=False)
    return [
        [tight(cell.removeprefix("'")) for cell in row if cell]
        for artifact in files
        for row in csv.reader(io.StringIO(artifact.bytes.decode("utf-8-sig"), newline=""))
    ]


class _Cells(HTMLParser):
    """The cells of the tables of an HTML file, row by row."""

    def __init__(self) -> None:
        super().__init__()
        self.rows: Rows = []
        self.inside = False

    def handle_starttag(self, tag: str, attributes: Any) -> None:
        if tag == "tr":
            self.rows.append([])
        if tag == "td":
            self.inside = "again" not in (dict(attributes).get("class") or "").split()
            if self.inside:
                self.rows[-1].append("")

    def handle_endtag(self, tag: str) -> None:
        if tag == "td":
            self.inside = False

    def handle_data(self, data: str) -> None:
        if self.inside:
            self.rows[-1][-1] += data


def from_html(book: Book) -> Rows:
    parser = _Cells()
    parser.feed(rendered(book, "html", files="book")[0].bytes.decode("utf-8"))
    return [[tight(cell) for cell in row if tight(cell)] for row in parser.rows]


def from_json(book: Book) -> Rows:
    data = json.loads(rendered(book, "json")[0].bytes)
    return [
        [tight(cell["text"]) for cell in row.get("cells", ()) if cell.get("text")]
        for page in data["pages"]
        for table in page.get("tables", ())
        for row in table.get("rows", ())
    ]


def _plain(text: str) -> str:
    text = re.sub(r"\\(.)", r"\1", text)
    return text.replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")


def from_markdown(book: Book) -> Rows:
    rows = []
    for artifact in rendered(book, "markdown"):
        for line in artifact.bytes.decode("utf-8").splitlines():
            if line.startswith("| "):
                cells = re.split(r"(?<!\\) \| ", line[2:-2])
                rows.append([tight(_plain(cell).strip("*")) for cell in cells if tight(_plain(cell).strip("*"))])
    return rows


def from_xlsx(book: Book) -> Rows:
    import openpyxl

    workbook = openpyxl.load_workbook(io.BytesIO(rendered(book, "xlsx", files="book")[0].bytes))
    return [
        [tight(str(value)) for value in row if value is not None and tight(str(value))]
        for sheet in workbook.worksheets
        for row in sheet.iter_rows(values_only=True)
    ]


def in_order(rows: Rows, found: Rows) -> str:
    """Return an empty text where all rows stand among those found, in their order; else the first that does not."""
    left: Iterator[list[str]] = iter(found)
    for row in rows:
        if not any(there == row or (len(row) == 1 and "".join(there) == row[0]) for there in left):
            return f"not there, or not in its place: {row}"
    return ""


@pytest.mark.parametrize("read", [from_csv, from_html, from_json, from_markdown, from_xlsx])
@pytest.mark.parametrize("hostile", [False, True])
def test_the_same_rows_in_every_format(read: Callable[[Book], Rows], hostile: bool) -> None:
    """Every row of every table comes back, cell by cell, in its order, also where names are hostile."""
    book = small_book(hostile_show()) if hostile else small_book()
    assert wanted(book)
    assert in_order(wanted(book), read(book)) == ""


def test_the_same_rows_in_text() -> None:
    """Plain text has every row, its cells in order on one line."""
    book = small_book()
    lines = iter([tight(line) for artifact in rendered(book, "text") for line in artifact.bytes.decode("utf-8").splitlines()])
    for row in wanted(book):
        assert any(line.replace("[]", "") == "".join(row) for line in lines), row


def test_the_same_rows_in_pdf() -> None:
    """A PDF has every row of every table, its cells in order, as text that can be selected."""
    import pypdf

    book = small_book()
    reader = pypdf.PdfReader(io.BytesIO(rendered(book, "pdf", files="book")[0].bytes))
    text = tight("".join(sheet.extract_text() for sheet in reader.pages))
    place = 0
    for row in wanted(book):
        for cell in row:
            place = text.find(cell, place)
            assert place >= 0, (cell, row)
            place += len(cell)


@pytest.mark.parametrize("name", TABLED)
def test_what_must_be_said_is_in_every_format(name: str) -> None:
    """Safety findings, what was signed off, papers that broke, and the deferral to local law stand in every format."""
    book = small_book()
    book = attrs.evolve(book, faults=(*book.faults, attrs.evolve(book.pages[0].remarks[0], kind="stop", text="Paper broken: no")))
    if name in ("pdf", "xlsx"):
        text = readable(rendered(book, name, files="book")[0], name)
    else:
        text = "".join(artifact.bytes.decode("utf-8-sig") for artifact in rendered(book, name))
    text = tight(_plain(re.sub(r"<[^>]+>", "", text)))
    for words in ("SAFETY", "loops", "Signed off: A. Person", "Paper broken: no", "take precedence"):
        assert tight(words).lower() in text.lower(), words
    assert "certified" not in text


def readable(artifact: Artifact, name: str) -> str:
    """Return the text of a PDF or a workbook."""
    import openpyxl
    import pypdf

    data = io.BytesIO(artifact.bytes)
    if name == "pdf":
        return "".join(sheet.extract_text() for sheet in pypdf.PdfReader(data).pages)
    rows = (row for sheet in openpyxl.load_workbook(data).worksheets for row in sheet.iter_rows(values_only=True))
    return "\n".join(str(value) for row in rows for value in row if value is not None)


@pytest.mark.parametrize("name", FORMATS)
def test_the_same_bytes_twice(name: str) -> None:
    """The same book gives the same bytes, in whatever format, hostile names and all."""
    book = small_book(hostile_show())
    assert rendered(book, name) == rendered(book, name)


@pytest.mark.parametrize(("name", "library"), [("pdf", "typst"), ("png", "resvg_py"), ("xlsx", "xlsxwriter")])
def test_a_library_that_is_not_there_is_asked_for(name: str, library: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the library of a format, the error names the library and the command that installs it."""
    monkeypatch.setitem(sys.modules, library, None)
    with pytest.raises(PluginError, match=rf"{name}: the library {library}.*pip install 'patchloom\[papers\]'"):
        rendered(small_book(), name)


@pytest.mark.parametrize("name", ["json", "markdown", "pdf", "png", "xlsx"])
def test_an_unknown_option_is_an_error(name: str) -> None:
    """An option a format does not know is named, with the nearest or all there are."""
    with pytest.raises(PluginError, match="no such option: papper"):
        rendered(small_book(), name, papper="a4")


@pytest.mark.parametrize(("name", "option"), [("pdf", "paper"), ("pdf", "files"), ("xlsx", "paper"), ("xlsx", "files")])
def test_a_wrong_choice_is_an_error(name: str, option: str) -> None:
    """A choice that is not among those there are names them."""
    with pytest.raises(PluginError, match="is none of"):
        rendered(small_book(), name, **{option: "b5"})


@pytest.mark.parametrize("name", TABLED)
def test_an_empty_book_and_odd_pages_are_no_trouble(name: str) -> None:
    """No pages, a page without anything, a table without rows: nothing breaks."""
    from patchloom.pages import Column, Row, Stamp, Table

    odd = (
        Page("table", "nothing"),
        Page("table", "no rows", tables=(Table("a", columns=(Column("c", "C"),)),)),
        Page("table", "no heads", tables=(Table("b", columns=(Column("c"), Column("d")), rows=(Row((Cell("1"), Cell("2"))),)),)),
        Page("steps", "no steps"),
    )
    assert isinstance(rendered(Book(stamp=None, pages=odd), name), list)
    assert isinstance(rendered(Book(stamp=Stamp()), name), list)


@pytest.mark.parametrize("name", FORMATS)
def test_long_and_hostile_names_break_nothing(name: str) -> None:
    """Names of 10,000 letters, with and without spaces, and every hostile name come through every format."""
    from patchloom.pages import Column, Diagram, Node, Row, Stamp, Table

    names = (*HOSTILE, "w" * 10_000, "long words " * 900, "# *_$@[]\\\"'", "../../etc/passwd", "")
    rows = tuple(Row((name, str(place)), block=place // 4) for place, name in enumerate(names))
    table = Table("t", columns=(Column("a", "A", size="strong"), Column("b", "B", kind="number")), rows=rows)
    nodes = Diagram(nodes=tuple(Node(f"n{place}", name[:60] or "x") for place, name in enumerate(names)))
    pages = (Page("table", HOSTILE[0], subject="x", subject_name=names[-5], tables=(table,)), Page("diagram", "d", diagram=nodes))
    files = rendered(Book(stamp=Stamp(show=HOSTILE[1]), pages=pages), name)
    assert files
    assert all(re.fullmatch(r"[A-Za-z0-9_.-]+", artifact.name) for artifact in files)
