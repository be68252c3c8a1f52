"""PDF: A4 and Letter from one layout, blocks whole, heads on every sheet, letters named that cannot be printed."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import pytest

from patchloom.drawing import fonts
from patchloom.pages import Book, Caution, Column, Diagram, Edge, Node, Page, Plan, Remark, Row, Stamp, Table, Thing
from patchloom.plugins import load
from tests.pages.world import hostile_show, small_book

pypdf = pytest.importorskip("pypdf", reason="pypdf comes with the extra `test`")

STAMP = Stamp(
    show="A show",
    revision="C",
    replaces="B",
    status="ISSUED",
    generated="2030-06-01 10:00 +0000",
    approver="A. Person",
    patch="sha256:0123456789abcdef",
    changes=3,
)


def pdf(book: Book, **options: Any) -> Any:
    made = list(load("renderers", "pdf")(book, {"files": "book", "fonts": "shipped", **options}))
    return pypdf.PdfReader(io.BytesIO(made[0].bytes))


def sheets(book: Book, **options: Any) -> list[str]:
    return [sheet.extract_text() for sheet in pdf(book, **options).pages]


def long_table(rows: int, block: int = 8, **more: Any) -> Book:
    columns = (Column("ch", "Ch", kind="number", size="strong"), Column("name", "Name", size="strong"), Column("note", "Note"))
    body = tuple(
        Row((f"{n + 1}", f"Name{n + 1:03}", "words"), block=n // block, keep=f"pair{n // 2}" if block == 1 else "")
        for n in range(rows)
    )
    page = Page(
        "table",
        "List",
        subject="x",
        tables=(Table("t", columns=columns, rows=body),),
        digest="sha256:fedcba98",
        cautions=(Caution("law", "Local law takes precedence."),),
    )
    return Book(stamp=STAMP, pages=(page,))


@pytest.mark.parametrize("papers", [("a4", "letter")])
def test_two_papers_break_their_pages_at_the_same_rows(papers: tuple[str, str]) -> None:
    """A4 and Letter hold the same words on every sheet; only the sheet differs."""
    first, second = (sheets(small_book(), paper=paper) for paper in papers)
    assert first == second
    boxes = [pdf(small_book(), paper=paper).pages[0].mediabox for paper in papers]
    assert boxes[0] != boxes[1]


@pytest.mark.parametrize(
    ("paper", "size"), [("a4", (210, 297)), ("letter", (215.9, 279.4)), ("a3", (210, 297)), ("tabloid", (215.9, 279.4))]
)
def test_sheets_have_the_size_of_the_paper(paper: str, size: tuple[float, float]) -> None:
    """A short list stands upright on the small sheet of the paper asked for."""
    box = pdf(long_table(4), paper=paper).pages[0].mediabox
    assert (float(box.width) / 72 * 25.4, float(box.height) / 72 * 25.4) == pytest.approx(size, abs=0.1)


def test_drawings_go_on_the_large_sheet_when_asked() -> None:
    """`paper=a3` puts a drawing on A3 that A4 would hold, and a name is never set under its size."""
    nodes = Diagram(nodes=(Node("a", "A"), Node("b", "B")), edges=(Edge("e", "a", "b"),))
    book = Book(stamp=STAMP, pages=(Page("diagram", "Small", diagram=nodes),))
    wide = {paper: float(pdf(book, paper=paper).pages[0].mediabox.width) / 72 * 25.4 for paper in ("a4", "a3")}
    assert wide == {"a4": pytest.approx(297, abs=0.1), "a3": pytest.approx(420, abs=0.1)}


def _numbers(text: str) -> list[int]:
    return [int(found) for found in re.findall(r"Name(\d{3})", text)]


def test_a_block_is_never_split() -> None:
    """Every sheet begins with the first row of a block and ends with the last, and all rows are there."""
    found = [_numbers(text) for text in sheets(long_table(120))]
    assert len(found) > 2
    assert [number for sheet in found for number in sheet] == list(range(1, 121))
    assert all(sheet[0] % 8 == 1 and sheet[-1] % 8 == 0 for sheet in found)


def test_a_pair_is_never_split() -> None:
    """Rows kept together end on one sheet."""
    found = [_numbers(text) for text in sheets(long_table(90, block=1))]
    assert [number for sheet in found for number in sheet] == list(range(1, 91))
    assert all(sheet[0] % 2 == 1 and sheet[-1] % 2 == 0 for sheet in found)


def test_a_block_higher_than_a_sheet_comes_in_parts() -> None:
    """A block no sheet can hold is parted between rows, and nothing is lost."""
    found = [_numbers(text) for text in sheets(long_table(100, block=100))]
    assert [number for sheet in found for number in sheet] == list(range(1, 101))


def test_heads_and_stamp_are_on_every_sheet() -> None:
    """Heads of the table, revision, what it replaces, status, both digests and x of y stand on every sheet."""
    texts = sheets(long_table(120))
    for number, text in enumerate(texts, 1):
        squeezed = " ".join(text.split())
        for words in (
            "Ch",
            "Name",
            "Note",
            f"REV C \u00b7 ISSUED \u00b7 page {number} of {len(texts)}",
            "replaces REV B",
            "01234567",
            "fedcba98",
            "changes since last issue: 3",
            "approved A. Person",
            "2030-06-01 10:00 +0000",
        ):
            assert words in squeezed, words


def test_rows_can_be_written_in() -> None:
    """No row of a table is lower than 6.5 mm, blank ones included."""
    columns = (Column("a", "A"), Column("b", "B", size="strong"))
    rows = tuple(Row(("", "")) if n % 2 else Row((f"row{n}", "")) for n in range(30))
    book = Book(stamp=STAMP, pages=(Page("table", "List", tables=(Table("t", columns=columns, rows=rows),)),))
    places: list[float] = []

    def visit(text: str, outer: list[float], inner: list[float], *_: Any) -> None:
        if re.match(r"row\d+", text.strip()):
            places.append(outer[3] * inner[5] + outer[5])

    for sheet in pdf(book).pages[:1]:
        sheet.extract_text(visitor_text=visit)
    gaps = [abs(one - two) / 72 * 25.4 for one, two in pairwise(places)]
    assert gaps
    assert all(gap >= 2 * 6.5 - 0.01 for gap in gaps), gaps


def test_it_is_tagged_and_its_fonts_are_inside() -> None:
    """The file is tagged, names its language, and holds every font it is set in; those are the ones brought along."""
    reader = pdf(small_book())
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    names = set()
    for sheet in reader.pages:
        for font in _fonts(sheet["/Resources"]):
            descriptor = font["/DescendantFonts"][0].get_object()["/FontDescriptor"]
            assert any(key in descriptor for key in ("/FontFile2", "/FontFile3"))
            names.add(str(descriptor["/FontName"]).partition("+")[2])
    assert names <= {"PatchloomSans-Regular", "PatchloomSans-Bold", "DejaVuSans", "DejaVuSans-Bold"}


def _fonts(resources: Any) -> Iterator[Any]:
    yield from (font.get_object() for font in resources.get("/Font", {}).values())
    for inside in resources.get("/XObject", {}).values():
        yield from _fonts(inside.get_object().get("/Resources", {}))


def test_no_time_of_making_is_in_the_file() -> None:
    """Nothing in the file says when it was made but the stamp."""
    made = next(iter(load("renderers", "pdf")(long_table(3), {"files": "book"})))
    assert b"CreationDate" not in made.bytes
    assert b"ModDate" not in made.bytes


def test_letters_no_font_holds_are_named() -> None:
    """With the fonts brought along alone, the paper names the scripts it cannot print, loudly, and still prints the rest."""
    text = " ".join("".join(sheets(small_book(hostile_show()))).split())
    assert "Letters that no font here holds stand as boxes: Han, Katakana" in text
    assert "\u25a1" in text


def test_a_folder_of_fonts_can_be_named(tmp_path: Any) -> None:
    """A folder given is searched for letters that are missing; one that is not there is an error."""
    from patchloom.errors import PluginError

    assert sheets(small_book(hostile_show()), fonts=str(tmp_path))
    with pytest.raises(PluginError, match="is no folder"):
        sheets(small_book(), fonts=str(tmp_path / "none"))


def test_nothing_in_a_name_is_markup() -> None:
    """What typst would run or set in another way is printed as it stands."""
    names = (
        "#panic(1)",
        "*not bold*",
        "_not slanted_",
        "$x^2$",
        "@ref <label>",
        "[x] \\ \"q\" 'q'",
        "= no heading",
        "- no list",
        "// no comment",
        "#{1}",
        "https://x.invalid",
        "~ -- ---",
    )
    table = Table("t", columns=(Column("a", "A"),), rows=tuple(Row((name,)) for name in names))
    text = "".join(sheets(Book(stamp=Stamp(show=names[0]), pages=(Page("table", names[1], about=names[2], tables=(table,)),))))
    for name in names:
        assert "".join(name.split()) in "".join(text.replace("\u200b", "").split()), name


def test_safety_and_cautions_cannot_be_switched_off() -> None:
    """There is no option that leaves out a finding or a caution: what is grave stands in a frame before the table."""
    book = long_table(3)
    page = book.pages[0]
    told = Book(
        stamp=STAMP,
        pages=(
            page.__class__(
                **{
                    **{field.name: getattr(page, field.name) for field in page.__attrs_attrs__},
                    "remarks": (Remark("safety", "Mind the loop."),),
                }
            ),
        ),
    )
    text = sheets(told)[0]
    assert text.index("Mind the loop.") < text.index("Name001")
    assert "Local law takes precedence." in text


def test_the_fonts_tell_letters_apart() -> None:
    """Figures are of one width; 0 and O, 1, l and I have widths of their own kinds; the licences stand beside the fonts."""
    assert len({fonts.width(figure, 10) for figure in "0123456789"}) == 1
    assert len({fonts.width(sign, 10) for sign in "1lI"}) == 3
    assert fonts.width("0", 10) != fonts.width("O", 10)
    there = {path.name for path in fonts.folder().iterdir()}
    assert {"PatchloomSans-LICENSE.txt", "DejaVu-LICENSE.txt", "PatchloomSans-Bold.ttf", "DejaVuSans.ttf"} <= there
    assert fonts.missing(["Kick \u0643 \u0142\u00f3\u017c", "\u6a29"]) == ("\u6a29",)
    assert fonts.scripts("\u6a29\u30ad\ud55c") == ("Han", "Hangul", "Katakana")
    assert fonts.width("\u6a29", 10) > fonts.width("a", 10)


def test_the_code_says_what_the_stamp_says() -> None:
    """The code on the stamp holds revision and both digests, and nothing else."""
    from patchloom_pdf.head import code_text

    assert code_text(long_table(1).pages[0], STAMP) == "REV C PATCH 01234567 PAPER FEDCBA98"
    assert json.dumps(code_text(Page("table", "x"), Stamp())) == '"REV - PATCH - PAPER -"'


def test_names_of_many_scripts_can_be_selected() -> None:
    """Polish, Greek, Cyrillic, Arabic and Hebrew words come out of a list and of a plot as they were put in, letter by letter."""
    names = ("Zażółć gęślą jaźń", "Ελληνικά Γιώργος", "Кириллица", "ميكروفون المغنية", "עברית קול")
    table = Table("t", columns=(Column("a", "A"),), rows=tuple(Row((name,)) for name in names))
    things = tuple(Thing(id=f"t{place}", kind="mic", label=name) for place, name in enumerate(names))
    pages = (Page("table", "List", tables=(table,)), Page("plan", "Plot", plan=Plan(things=things)))
    for text in sheets(Book(stamp=STAMP, pages=pages)):
        # This reader gives words that run right to left in the order they stand on the paper, some letters too.
        for word in " ".join(names).split():
            assert word in text or word[::-1] in text, word
