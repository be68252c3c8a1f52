"""Yardsticks of `formats.py`: writers that are handed every string and write it, each by its format's own library.

Comes in: a book, and what our renderer made of it.  Goes out: a function without arguments that writes as many rows; it returns
the bytes of our artifacts where the format allows that, so that both sides provably write the same, else None.

Reading our artifacts apart is not part of the time.  What is handed over: CSV, rows of cells; HTML, the markup between two
strings and the string as it reads, and its drawings as trees; SVG, trees; Markdown and text, rows of cells and every other
line; JSON, the document.
"""

from __future__ import annotations

import io
import json
import re
from collections.abc import Callable, Sequence
from html import escape, unescape
from typing import Any
from xml.etree import ElementTree

__all__ = ["WRITERS"]

Writer = Callable[[], "list[bytes] | None"]


def _cells(made: Any) -> list[list[list[str]]]:
    """Return the texts of the tables of a book: pages of rows of cells."""
    return [
        [[cell.text for cell in row.cells] for table in page.tables for row in table.rows] for page in made.pages if page.tables
    ]


def csv_rows(made: Any, artifacts: Sequence[Any]) -> Writer:
    """Return the writing of the same rows by csv.writer, one file a page."""
    import csv

    files = [list(csv.reader(io.StringIO(row.bytes.decode("utf-8-sig"), newline=""))) for row in artifacts]

    def write() -> list[bytes]:
        done = []
        for rows in files:
            out = io.StringIO(newline="")
            csv.writer(out).writerows(rows)
            done.append(out.getvalue().encode("utf-8-sig"))
        return done

    return write


_SVG = re.compile(r"(<svg.*?</svg>|<style>.*?</style>)", re.DOTALL)
_STRING = re.compile(r"(?<=>)[^<>]+(?=<)")


def html(made: Any, artifacts: Sequence[Any]) -> Writer:
    """Return the writing of the same strings, each escaped, the same markup between them, its drawings by the XML library."""
    files: list[list[list[tuple[str, str]] | ElementTree.Element]] = []
    for row in artifacts:
        parts: list[list[tuple[str, str]] | ElementTree.Element] = []
        for part in _SVG.split(row.bytes.decode("utf-8")):
            if part.startswith("<svg"):
                parts.append(ElementTree.fromstring(part))
            elif part.startswith("<style>"):
                parts.append([(part, "")])
            else:
                pairs, end = [], 0
                for found in _STRING.finditer(part):
                    pairs.append((part[end : found.start()], unescape(found[0])))
                    end = found.end()
                parts.append([*pairs, (part[end:], "")])
        files.append(parts)

    def write() -> None:
        for parts in files:
            "".join(
                [
                    "".join([f"{before}{escape(text)}" for before, text in part])
                    if isinstance(part, list)
                    else ElementTree.tostring(part, encoding="unicode")
                    for part in parts
                ]
            ).encode()

    return write


def svg(made: Any, artifacts: Sequence[Any]) -> Writer:
    """Return the writing of the same elements, attributes and words by the XML library."""
    roots = [ElementTree.fromstring(row.bytes) for row in artifacts]

    def write() -> None:
        for root in roots:
            ElementTree.tostring(root, encoding="utf-8")

    return write


_SIGNS = {ord(sign): f"\\{sign}" for sign in "\\`*_[]|~$@"} | {ord("<"): "&lt;", ord(">"): "&gt;", ord("&"): "&amp;"}


def markdown(made: Any, artifacts: Sequence[Any]) -> Writer:
    """Return the writing of the same rows, each text escaped by str.translate, and of every other line as it stands."""
    files: list[list[str | list[str]]] = []
    for row in artifacts:
        lines: list[str | list[str]] = []
        for line in row.bytes.decode("utf-8")[:-1].split("\n"):
            if line.startswith("| "):
                lines.append([re.sub(r"\\(.)", r"\1", unescape(cell)) for cell in line[2:-2].split(" | ")])
            else:
                lines.append(line)
        files.append(lines)

    def write() -> list[bytes]:
        done = []
        for lines in files:
            made = [
                line if isinstance(line, str) else f"| {' | '.join([cell.translate(_SIGNS) for cell in line])} |"
                for line in lines
            ]
            done.append(("\n".join(made) + "\n").encode())
        return done

    return write


def text(made: Any, artifacts: Sequence[Any]) -> Writer:
    """Return the writing of the same rows, each cell filled up to the width of its column, and of every other line as it stands.

    How wide a column is, the writer finds out: lining up is what a table of plain text is.
    """
    pages = [
        [tuple(cell.text or "[ ]" * bool(cell.marks) for cell in row.cells) for table in page.tables for row in table.rows]
        for page in made.pages
    ]
    files: list[tuple[list[str], dict[int, tuple[str, ...]], list[tuple[str, ...]]]] = []
    for row, page, rows in zip(artifacts, made.pages, pages, strict=True):
        heads = tuple(column.title for table in page.tables for column in table.columns)
        lines = row.bytes.decode("utf-8")[:-1].split("\n")
        start = next((place + 1 for place, line in enumerate(lines) if line.startswith("\u2501")), len(lines))
        inside = [place for place in range(start, len(lines)) if not lines[place].startswith("\u2500")][: len(rows)]
        files.append((lines, dict(zip(inside, rows, strict=True)), [heads, *rows]))

    def write() -> list[bytes]:
        done = []
        for lines, inside, rows in files:
            widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
            pattern = "  ".join([f"%{width}s" if place == 0 else f"%-{width}s" for place, width in enumerate(widths)])
            text = [(pattern % inside[place]).rstrip() if place in inside else line for place, line in enumerate(lines)]
            done.append(("\n".join(text) + "\n").encode())
        return done

    return write


def json_document(made: Any, artifacts: Sequence[Any]) -> Writer:
    """Return the writing of the same document by json.dumps; it breaks no lines, so that its bytes are not ours."""
    document = json.loads(artifacts[0].bytes)

    def write() -> None:
        json.dumps(document, ensure_ascii=False).encode()

    return write


def pdf(made: Any, artifacts: Sequence[Any]) -> Writer:
    """Return the writing of the same texts as a bare typst table."""
    import typst

    heads = ", ".join("[H]" for _ in range(8))
    quoted = ",".join(json.dumps(text, ensure_ascii=False) for page in _cells(made) for row in page for text in row)
    source = f"#table(columns: 8, table.header({heads}), {quoted})".encode()

    def write() -> None:
        typst.compile(source, ignore_system_fonts=True)

    return write


def xlsx(made: Any, artifacts: Sequence[Any]) -> Writer:
    """Return the writing of the same texts by xlsxwriter, one sheet a page."""
    import xlsxwriter

    pages = _cells(made)

    def write() -> None:
        with xlsxwriter.Workbook(io.BytesIO(), {"in_memory": True}) as workbook:
            for page in pages:
                sheet = workbook.add_worksheet()
                for y, row in enumerate(page):
                    for x, words in enumerate(row):
                        sheet.write_string(y, x, words)

    return write


def png(made: Any, artifacts: Sequence[Any]) -> Writer:
    """Return the turning of the same drawings into pictures by resvg."""
    import resvg_py

    from patchloom.drawing import svgs
    from patchloom.drawing.fonts import folder

    pictures = [words for page in made.pages for words in svgs(page, stamp=made.stamp)]
    fonts = [str(path) for path in sorted(folder().glob("*.ttf"))]

    def write() -> None:
        for words in pictures:
            resvg_py.svg_to_bytes(svg_string=words, width=1648, dpi=96, skip_system_fonts=True, font_files=fonts)

    return write


WRITERS: dict[str, Callable[[Any, Sequence[Any]], Writer]] = {
    "csv": csv_rows,
    "html": html,
    "json": json_document,
    "markdown": markdown,
    "pdf": pdf,
    "png": png,
    "svg": svg,
    "text": text,
    "xlsx": xlsx,
}
