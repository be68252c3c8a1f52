"""The code on a stamp, read back from a printed sheet as a camera would."""

from __future__ import annotations

import struct
import zlib
from pathlib import Path
from typing import Any

import attrs
import pytest

from patchloom.drawing.code import MASK, code_path, code_rows, code_side, code_text
from patchloom.pages import Page, Stamp
from patchloom.pages.extra import needed
from tests.pages.world import small_book

zxingcpp = pytest.importorskip("zxingcpp", reason="zxing-cpp comes with the extra `test`")
numpy = pytest.importorskip("numpy", reason="numpy comes with highspy")


def grey(png: bytes, part: int = 5) -> Any:
    """Return the upper part of an 8-bit PNG, a fifth of it, as rows of grey: its first channel (PNG specification, 9)."""
    at, packed, wide, high, channels = 8, b"", 0, 0, 1
    while at < len(png):
        length, kind = struct.unpack(">I4s", png[at : at + 8])
        body = png[at + 8 : at + 8 + length]
        if kind == b"IHDR":
            wide, high, depth, colour = struct.unpack(">IIBB", body[:10])
            assert depth == 8
            channels = {0: 1, 2: 3, 4: 2, 6: 4}[colour]
        packed += body if kind == b"IDAT" else b""
        at += length + 12
    raw, step, high = zlib.decompress(packed), wide * channels, high // part
    rows, before = [], numpy.zeros(wide, dtype=numpy.int64)
    for y in range(high):
        start = y * (step + 1)
        row = numpy.frombuffer(raw, numpy.uint8, step, start + 1)[::channels].astype(numpy.int64)  # no filter mixes channels
        rows.append(before := _unfiltered(raw[start], row, before))
    return numpy.array(rows, dtype=numpy.uint8)


def _unfiltered(kind: int, row: Any, up: Any) -> Any:
    """Return a row of one channel with its filter undone."""
    if kind == 0:
        return row
    if kind == 1:
        return numpy.cumsum(row) % 256
    if kind == 2:
        return (row + up) % 256
    done, left, corner = [], 0, 0
    for value, above in zip(row.tolist(), up.tolist(), strict=True):
        if kind == 3:
            left = (value + (left + above) // 2) % 256
        else:
            guess = left + above - corner
            a, b, c = abs(guess - left), abs(guess - above), abs(guess - corner)
            left = (value + (left if a <= b and a <= c else above if b <= c else corner)) % 256
        corner = above
        done.append(left)
    return numpy.array(done, dtype=numpy.int64)


def read(picture: bytes) -> list[str]:
    """Return what a reader of codes finds on a picture."""
    return [found.text for found in zxingcpp.read_barcodes(grey(picture))]


def test_the_code_of_a_printed_sheet_says_revision_and_digests() -> None:
    """Every sheet of a paper, as it is printed, holds a code a reader finds: revision, patch, paper."""
    from patchloom_pdf.document import Setter
    from patchloom_pdf.paper import PAPERS

    book = small_book()
    assert book.stamp is not None
    setter = Setter(needed("typst", "test"), book, PAPERS["a4"], "shipped")
    for page in (book.pages[0], next(page for page in book.pages if page.kind == "diagram")):
        for picture in setter.pictures([page], 150):
            assert read(picture) == [code_text(page, book.stamp)]
            assert page.digest.rpartition(":")[2][:8].upper() in read(picture)[0]


def test_the_code_of_a_drawing_as_svg_and_png() -> None:
    """The sheet of a drawing holds the same code: the PNG is the SVG turned into a picture."""
    from patchloom_png import render as pictures
    from patchloom_svg import render as drawings

    book = small_book()
    assert book.stamp is not None
    drawn = [next(page for page in book.pages if page.kind == kind) for kind in ("plan", "diagram")]
    book = attrs.evolve(book, pages=tuple(drawn))
    made = {artifact.name: artifact.bytes for artifact in pictures(book, {"dots": 120})}
    codes = {name: read(data) for name, data in made.items()}
    assert [len(found) for found in codes.values()] == [1] * len(made)
    assert {found[0] for found in codes.values()} == {code_text(page, book.stamp) for page in drawn}
    for artifact in drawings(book):
        assert artifact.bytes.count(b' fill="none" stroke="#000" />') >= 1
        assert sum(code_path(code_text(page, book.stamp)).encode() in artifact.bytes for page in drawn) == 1


def test_the_code_of_a_paper_in_a_browser(tmp_path: Path) -> None:
    """Every sheet a browser shows holds its paper's code: drawn on the first sheet, shown again on the others."""
    from patchloom_html import render

    from tests.plugins.browser import run

    book = small_book()
    assert book.stamp is not None
    (artifact,) = render(attrs.evolve(book, pages=(_long(book.pages[0]),)), {"files": "book"})
    page, picture = tmp_path / "book.html", tmp_path / "book.png"
    page.write_bytes(artifact.bytes)
    run(page, tmp_path / "profile", f"--screenshot={picture}", "--window-size=760,1500", "--force-device-scale-factor=1.2")
    sheets = artifact.bytes.count(b"<section ")
    assert sheets > 1
    assert artifact.bytes.count(b'href="#p1c"') == sheets - 1
    found = [code.text for code in zxingcpp.read_barcodes(grey(picture.read_bytes(), 1))]
    assert found == [code_text(book.pages[0], book.stamp)] * sheets


def _long(page: Any) -> Any:
    """Return a page with its first table twice as long as a sheet."""
    table = attrs.evolve(page.tables[0], rows=page.tables[0].rows[:1] * 50)
    return attrs.evolve(page, tables=(table,), cautions=(), remarks=(), notes=())


@pytest.mark.parametrize("length", [1, 12, 35, 38, 40, 61])
def test_codes_are_those_of_a_library(length: int) -> None:
    """With the mask it takes anyway, a code is square by square what a library for codes makes, and short or long it reads."""
    segno = pytest.importorskip("segno", reason="segno comes with the extra `test`")
    for start in range(5):
        text = ("REV A PATCH 0C19E%7$ PAPER 1*2+3-4./:" * 3)[start : start + length]
        text = f"Z{text[1:]}"  # figures alone would be another mode
        made = segno.make(
            text, error="m", micro=False, version=2 if length <= 38 else 3, mask=MASK, mode="alphanumeric", boost_error=False
        )
        assert code_rows(text) == [int("".join(map(str, row)), 2) for row in made.matrix]
        assert code_side(text) == len(made.matrix) + 4


def test_a_code_holds_what_it_can() -> None:
    """A revision of other letters, or a very long one, still gives a code, and its digests are whole in it."""
    page = Page("table", "Input list", digest="sha256:" + "ab" * 32)
    for revision in ("", "\u00e4", "late night, the second, with strings and choir"):
        text = code_text(page, Stamp(revision=revision, patch="sha256:" + "cd" * 32))
        assert text.endswith(" PATCH CDCDCDCD PAPER ABABABAB")
        assert len(text) <= 61
        assert len(code_rows(text)) == code_side(text) - 4
