"""HTML: self-contained, inert, the same rows as everywhere, and as many printed pages as it says."""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path

import attrs
import pytest
from patchloom_html.deal import Deal, Piece
from patchloom_html.grid import Grid
from patchloom_html.sheets import made_page
from patchloom_html.style import LANDSCAPE, LARGE, ROW

from patchloom.errors import PluginError
from patchloom.pages import Artifact, Book, Cell, Column, Page, Plan, PlanZone, Remark, Row, Stamp, Table, Thing
from patchloom.plugins import load
from tests.pages.world import HOSTILE, hostile_show, small_book
from tests.plugins.browser import pdf_sheets, run

PAPERS = ("input-list", "patch-sheet", "settings-checklist")


class Seen(HTMLParser):
    """Elements, attributes, and the texts of table cells."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.attributes: set[tuple[str, str]] = set()
        self.rows: list[list[str]] = []
        self._cell = False
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.attributes.update((tag, name) for name, _ in attrs)
        if tag == "tr":
            self.rows.append([])
        if tag == "td":
            self.rows[-1].append("")
            self._cell = True

    def handle_endtag(self, tag: str) -> None:
        self._cell = self._cell and tag != "td"

    def handle_data(self, data: str) -> None:
        if self._cell:
            self.rows[-1][-1] += data


def files(book: Book, **options: object) -> dict[str, str]:
    return {row.name: row.bytes.decode("utf-8") for row in load("renderers", "html")(book, options)}


def lists(book: Book) -> Book:
    return attrs.evolve(book, pages=tuple(page for page in book.pages if page.paper in PAPERS))


def test_one_file_a_position_and_one_for_all() -> None:
    """Each position has a file, what is everybody's has one, and the whole book is one; a choice narrows them."""
    assert set(files(small_book())) == {"book.html", "stage.html", "foh.html", "mon.html", "rec.html"}
    assert set(files(small_book(), files="positions")) == {"foh.html", "mon.html", "rec.html"}
    with pytest.raises(PluginError, match="no such choice of files: poster"):
        files(small_book(), files=["poster"])


def test_files_hold_everything_and_run_nothing() -> None:
    """No script, no handler, nothing loaded from anywhere; the policy names the one style sheet by its digest."""
    for text in files(small_book(hostile_show())).values():
        seen = Seen(text)
        assert not seen.tags & {"script", "link", "iframe", "object", "embed", "img", "base", "form"}
        assert not {name for _, name in seen.attributes if name.startswith("on") or name in ("src", "style", "action")}
        assert "http" not in re.sub(r'xmlns="[^"]+"|http-equiv', "", text).replace("http://x", "")
        css = text.partition("<style>")[2].partition("</style>")[0]
        digest = base64.b64encode(hashlib.sha256(css.encode("utf-8")).digest()).decode("ascii")
        assert f"default-src &#x27;none&#x27;; style-src &#x27;sha256-{digest}&#x27;" in text or (
            f"default-src 'none'; style-src 'sha256-{digest}'" in text
        )


def test_hostile_names_come_out_as_text() -> None:
    """Each hostile name is a cell's text, isolated, with only control characters and marks of direction gone."""
    table = Table("t", columns=(Column("a", "A"),), rows=tuple(Row((name,)) for name in HOSTILE))
    book = Book(stamp=Stamp(), pages=(Page("table", "x", subject="s", tables=(table,)),))
    text = files(book)["book.html"]
    cells = [row[0] for row in Seen(text).rows if row]
    expected = ["".join(sign if sign.isprintable() else " " if sign == "\x1b" else "" for sign in name) for name in HOSTILE]
    assert cells == expected
    assert text.count("<td><bdi>") >= sum(not name.isascii() for name in HOSTILE)


def test_same_rows_as_the_pages() -> None:
    """Every row of every table of the book stands in the book's file, in order."""
    book = lists(small_book())
    expected = [
        [cell.text for cell in (*row.cells, *(row.cells[:1] if table.repeat_first else ()))]
        for page in book.pages
        for table in page.tables
        for row in table.rows
    ]
    assert [row for row in Seen(files(book)["book.html"]).rows if row] == expected


def test_every_sheet_has_the_stamp() -> None:
    """Each sheet says show, date, revision, status, what it replaces, when it was made, who approved, digests, page x of y."""
    text = files(small_book(changes=4))["mon.html"]
    sheets = text.split('<section class="sheet')[1:]
    assert len(sheets) >= 4
    for sheet in sheets:
        for word in (
            "Hand-made show",
            "2030-06-01",
            "REV C",
            "ISSUED",
            "replaces REV B",
            "4",
            "made 2030-05-31 18:00 +00:00",
            "approved A. Person",
            "patch ",
            "this paper ",
            "page ",
        ):
            assert word in sheet, word


def test_what_must_be_said_is_said() -> None:
    """Safety first, what was signed off, what is not honoured, cautions with the law; broken papers too."""
    book = attrs.evolve(small_book(), faults=(Remark("stop", "Paper odd could not be made: no ink"),))
    text = files(book)["mon.html"]
    assert "Paper odd could not be made" in text
    assert "Asked for and not honoured yet: wishes.prefer" in text
    assert "Local law, venue rules" in text
    stage = files(book)["stage.html"]
    assert "loops: The wedge can hear itself" in stage
    assert "Signed off: A. Person" in stage


def test_same_bytes_twice() -> None:
    """The same book gives the same bytes."""
    render = load("renderers", "html")
    first: list[Artifact] = list(render(small_book(), {}))
    assert first == list(render(small_book(), {}))


def test_golden_file(golden: Callable[..., None]) -> None:
    """The monitor position's file is as it was when somebody last looked at it printed."""
    text = files(lists(small_book()), files="positions")["mon.html"]
    golden("papers/plain/mon.html", re.sub(r"base64,[A-Za-z0-9+/=]+", "base64,...", text))


def tall_table(rows: int, words: str = "word") -> Table:
    columns = (Column("ch", "Ch", 0.8, "number", "strong"), Column("name", "Name", 3, size="strong"), Column("notes", "Notes", 3))
    return Table(
        "t",
        "A table",
        columns,
        tuple(Row((str(n + 1), f"{words} {n}", "note"), block=n // 8, keep=f"pair{n // 2}") for n in range(rows)),
    )


def test_blocks_and_pairs_are_never_parted() -> None:
    """Eight rows of a block lie on one sheet, heads are repeated, and a sheet is never over-full."""
    book = Book(stamp=Stamp(), pages=(Page("table", "x", subject="s", tables=(tall_table(96),)),))
    sheets = files(book)["book.html"].split('<section class="sheet')[1:]
    assert len(sheets) > 2
    seen = []
    for sheet in sheets:
        assert "<thead>" in sheet or "word" not in sheet
        numbers = [int(row[0]) for row in Seen("<section" + sheet).rows if row]
        assert not numbers or (numbers[0] % 8 == 1 and numbers[-1] % 8 == 0)
        seen += numbers
    assert seen == list(range(1, 97))


def test_a_block_higher_than_a_sheet_is_parted_between_pairs() -> None:
    """Rows so high that eight do not fit are cut, but not inside a pair."""
    book = Book(
        stamp=Stamp(), pages=(Page("table", "x", subject="s", tables=(tall_table(16, "long words again and again " * 30),)),)
    )
    for sheet in files(book)["book.html"].split('<section class="sheet')[1:]:
        numbers = [int(row[0]) for row in Seen("<section" + sheet).rows if row]
        assert len(numbers) % 2 == 0


def test_rows_kept_together_are_parted_where_no_sheet_holds_them() -> None:
    """More rows of one thing than a sheet has room for come on several sheets, each no fuller than the room."""
    grid = Grid.of(Table("t", "", (Column("n", "N"),), tuple(Row((str(n),), keep="same") for n in range(60))), 180.0)
    pieces = [piece for unit in grid.units() for piece in unit.pieces(200.0)]
    assert len(pieces) > 1
    assert all(piece.high <= 200.0 for piece in pieces)
    assert sum(piece.html.count("<tr>") for piece in pieces) == 60


def test_a_file_is_in_the_language_of_its_papers() -> None:
    """What a browser and a reading aid are told is the papers' own language; English where they differ."""
    table = Page("table", "x", subject="s", tables=(tall_table(8),), language="de")
    both = (table, Page("table", "y", subject="t", tables=(tall_table(8),)))
    for pages, language, word in (((table,), "de", "Blätter"), (both, "en", "papers")):
        text = files(Book(stamp=Stamp(show="Abend"), pages=pages))["book.html"]
        assert f'<html lang="{language}">' in text
        assert f"<title>Abend - {word}</title>" in text


def test_strips_keep_their_pitch() -> None:
    """Labels to cut out stand at their pitch however wide the sheet is, and a name that may be big is, its row high enough."""
    rows = (Row(("1", "2")), Row((Cell("Hat", ("big",)), Cell("Kick", ("strong",)))))
    grid = Grid.of(Table("strip", "1", (Column("l1", ""), Column("l2", "")), rows, pitch_mm=25.4), 189.0)
    assert grid.widths == (25.4, 25.4)
    assert "table.x{width:50.80mm}" in grid.css("x")[0]
    assert '<td class="big">Hat</td><td class="loud">Kick</td>' in grid.units()[-1].whole.html
    assert grid.highs[1] > grid.highs[0] >= ROW


def test_rows_can_be_written_in() -> None:
    """No row is lower than 6.5 mm, and columns fill the width."""
    grid = Grid.of(tall_table(8), 180.0)
    assert ROW >= 6.5
    assert all(piece.high >= ROW for unit in grid.units() for piece in unit.pieces(200.0))
    assert sum(grid.widths) == pytest.approx(180.0)


def test_dealing_keeps_a_heading_with_what_follows() -> None:
    """A piece that needs room after it moves on with it."""
    deal = Deal(100.0)
    deal.put(Piece(80.0, "a"))
    deal.put(Piece(10.0, "head"), after=15.0)
    deal.put(Piece(15.0, "b"))
    assert deal.sheets == [["a"], ["head", "b"]]


@pytest.mark.browser
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_as_many_printed_pages_as_sheets(tmp_path: Path, paper: str) -> None:
    """Printed on A4 and on Letter, each file has exactly the pages its stamps count, names in any script included."""
    size = "" if paper == "Letter" else "@page{size:A4;margin:10mm}@page tall{size:A4 portrait}@page wide{size:A4 landscape}"
    for kind, book in (("plain", small_book()), ("hostile", small_book(hostile_show()))):
        text = files(book, files="book")["book.html"]
        text = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", text).replace("</style>", f"{size}</style>")
        page = tmp_path / f"{kind}.html"
        page.write_text(text, encoding="utf-8")
        out = tmp_path / f"{kind}.pdf"
        run(page, tmp_path / f"profile-{kind}", f"--print-to-pdf={out}")
        assert pdf_sheets(out.read_bytes()) == text.count('<section class="sheet')


@pytest.mark.browser
def test_the_policy_lets_our_own_style_in(tmp_path: Path) -> None:
    """A browser that keeps to the policy applies the style and reports nothing blocked."""
    page = tmp_path / "mon.html"
    page.write_text(files(small_book(), files="positions")["mon.html"], encoding="utf-8")
    out = run(page, tmp_path / "profile", "--dump-dom", "--enable-logging=stderr", "--v=0")
    assert b"<section" in out


@pytest.mark.parametrize("lines", [4, 45, 105])
def test_no_drawing_is_shrunk(lines: int) -> None:
    """A drawing stands on A4, on A3, or on a sheet as large as it needs: never in less room than it was placed in."""
    things = tuple(
        Thing(f"t{n}", "amp", f"Amp {n}", lines=tuple(f"line {row}" for row in range(lines)), zone="z") for n in range(3)
    )
    plan = Plan(zones=(PlanZone("z", "Back", side="C"),), things=things)
    page = Page("plan", "Stage plot", plan=plan)
    made = made_page(Book(stamp=Stamp(), pages=(page,)), page, "p1")
    names = set(re.findall(r'<section class="sheet (\w+)"', made.html))
    own = re.findall(r"\.p1d{width:([\d.]+)mm", made.css[0])
    room = {"wide": LANDSCAPE.wide, "large": LARGE.wide, "p1d": max(map(float, own), default=0.0)}
    drawn = [float(wide) for wide in re.findall(r'<svg [^>]*width="([\d.]+)mm"', made.html)]
    assert len(names) == 1
    assert drawn
    assert max(drawn) <= room[names.pop()]
    assert bool(own) == (lines > 100)
