"""The code on a stamp, read back from a printed sheet as a camera would."""

from __future__ import annotations

import struct
import zlib
from typing import Any

import pytest

from patchloom.pages.extra import needed
from tests.pages.world import small_book

zxingcpp = pytest.importorskip("zxingcpp", reason="zxing-cpp comes with the extra `test`")
numpy = pytest.importorskip("numpy", reason="numpy comes with highspy")


def grey(png: bytes) -> Any:
    """Return the upper part of an 8-bit PNG as rows of grey: the first channel, its filters undone (PNG specification, 9)."""
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
    raw, step, high = zlib.decompress(packed), wide * channels, high // 5
    rows, before = [], numpy.zeros(step, dtype=numpy.int64)
    for y in range(high):
        start = y * (step + 1)
        row = numpy.frombuffer(raw, numpy.uint8, step, start + 1).astype(numpy.int64)
        rows.append(before := _unfiltered(raw[start], row, before, channels))
    return numpy.ascontiguousarray(numpy.array(rows, dtype=numpy.uint8).reshape(high, wide, channels)[:, :, 0])


def _unfiltered(kind: int, row: Any, up: Any, channels: int) -> Any:
    if kind == 0:
        return row
    if kind == 1:
        return numpy.cumsum(row.reshape(-1, channels), axis=0).reshape(-1) % 256
    if kind == 2:
        return (row + up) % 256
    done = row.tolist()
    for x in range(len(done)):
        left, above, corner = (
            (done[x - channels] if x >= channels else 0),
            int(up[x]),
            (int(up[x - channels]) if x >= channels else 0),
        )
        if kind == 3:
            done[x] = (done[x] + (left + above) // 2) % 256
            continue
        guess = left + above - corner
        nearest = min((abs(guess - left), 0, left), (abs(guess - above), 1, above), (abs(guess - corner), 2, corner))
        done[x] = (done[x] + nearest[2]) % 256
    return numpy.array(done, dtype=numpy.int64)


def test_the_code_of_a_printed_sheet_says_revision_and_digests() -> None:
    """Every sheet of a paper, as it is printed, holds a code a reader finds: revision, patch, paper."""
    from patchloom_pdf.document import Setter
    from patchloom_pdf.head import code_text
    from patchloom_pdf.paper import PAPERS

    book = small_book()
    assert book.stamp is not None
    setter = Setter(needed("typst", "test"), needed("segno", "test"), book, PAPERS["a4"], "shipped")
    for page in (book.pages[0], next(page for page in book.pages if page.kind == "diagram")):
        for picture in setter.pictures([page], 150):
            found = zxingcpp.read_barcodes(grey(picture))
            assert [code.text for code in found] == [code_text(page, book.stamp)]
            assert page.digest.rpartition(":")[2][:8].upper() in found[0].text
