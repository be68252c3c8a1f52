"""Hostile names through every format: inert, whole, and no file outside the folder."""

from __future__ import annotations

import csv
import io
import json
import re
import zipfile
from functools import lru_cache
from html import unescape
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import attrs
import pytest

from patchloom.cli.files import write_folder
from patchloom.pages import Artifact, Book, Column, Diagram, Edge, Node, Page, Plan, PlanZone, Row, Stamp, Table, Thing
from patchloom.pages.files import clean
from patchloom.plugins import load

FORMATS = ("csv", "html", "json", "markdown", "pdf", "png", "svg", "text", "xlsx")
NAMES = (
    "<script>alert(1)</script>",
    '=HYPERLINK("http://x.invalid","go")',
    "\u202egnp.exe\u202c",
    "a\u2067b\u2069 c",
    "../../../tmp/escape",
    "..\\..\\CON",
    "/etc/passwd",
    "nul",
    "]]></svg><img src=x onerror=alert(1)>",
    "w" * 10_000,
    "many words " * 909,
)
"""What somebody will call a source one day."""


def book() -> Book:
    """Return a book with every name in a list, on a plot, in a diagram, in titles and in the stamp."""
    table = Table("t", columns=(Column("a", "A", size="strong"),), rows=tuple(Row((name,)) for name in NAMES))
    things = tuple(Thing(id=f"t{n}", kind="mic", label=name, lines=(name,), at=(n - 5.0, n / 2)) for n, name in enumerate(NAMES))
    plan = Plan(width_m=12.0, depth_m=8.0, to_scale=True, things=things, zones=(PlanZone(id="z", label=NAMES[0]),))
    nodes = tuple(Node(id=name[:50] + str(n), label=name, lines=(name,)) for n, name in enumerate(NAMES))
    edges = (Edge(id=NAMES[0], from_=nodes[0].id, to=nodes[1].id, label=NAMES[1]),)
    pages = (
        Page("table", "List", paper="list", subject=NAMES[4], position=NAMES[4], tables=(table,), notes=NAMES[:3]),
        Page("plan", NAMES[0], paper=NAMES[5], subject=NAMES[7], position=NAMES[6], plan=plan),
        Page("diagram", "Diagram", subject=NAMES[0], diagram=Diagram(nodes=nodes, edges=edges)),
    )
    return Book(stamp=Stamp(show=NAMES[9], approver=NAMES[0], revision="<b>"), pages=pages)


@lru_cache(maxsize=16)
def made(name: str) -> list[Artifact]:
    """Return the files of the book in a format; of PDF the lists alone, whose drawings are those of SVG."""
    options = {"pdf": {"fonts": "shipped", "files": "book"}, "png": {"dots": 36}}.get(name, {})
    whole = book()
    lists = attrs.evolve(whole, pages=whole.pages[:1])
    return list(load("renderers", name)(lists if name == "pdf" else whole, options))


def squeezed(text: str) -> str:
    """Return a text without space and signs nobody sees."""
    return re.sub(r"[\s\u200b\u2066-\u2069]+", "", text)


def said(artifact: Artifact) -> str:
    """Return what a file says, its own way of writing undone."""
    kind, data = artifact.media_type, artifact.bytes
    if kind.startswith("image/svg"):
        return "".join(ElementTree.fromstring(data.decode("utf-8")).itertext())
    if kind.startswith("text/html"):
        return unescape(re.sub(r"<[^<>]*>", "", data.decode("utf-8")))
    if kind.startswith("text/csv"):
        rows = csv.reader(io.StringIO(data.decode("utf-8-sig"), newline=""))
        return " ".join(cell for row in rows for cell in row)
    if "spreadsheet" in kind:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            strings = packed.read("xl/sharedStrings.xml").decode("utf-8")
        return "".join(ElementTree.fromstring(strings).itertext())
    if kind == "application/pdf":
        pypdf = pytest.importorskip("pypdf", reason="pypdf comes with the extra `test`")
        return "".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(data)).pages)
    if kind == "application/json":
        return " ".join(_texts(json.loads(data)))
    if "markdown" in kind:
        return unescape(re.sub(r"\\([^A-Za-z0-9\s])", r"\1", data.decode("utf-8")))
    return data.decode("utf-8")


def _texts(item: Any) -> list[str]:
    if isinstance(item, str):
        return [item]
    values = item.values() if isinstance(item, dict) else item if isinstance(item, list) else ()
    return [text for value in values for text in _texts(value)]


@pytest.mark.parametrize("name", FORMATS)
def test_no_file_leaves_the_folder(name: str, tmp_path: Path) -> None:
    """Ids and names that look like paths make names of files inside the folder, and what is written is there."""
    files = {artifact.name: artifact.bytes for artifact in made(name)}
    write_folder(tmp_path / "out", files, force=False, whole=True)
    assert {path.relative_to(tmp_path / "out").as_posix() for path in tmp_path.rglob("*.*")} == {*files, "manifest.json"}
    assert all(re.fullmatch(r"[A-Za-z0-9_-]+\.[a-z]+", file) and len(file) < 255 for file in files)


@pytest.mark.parametrize("name", [name for name in FORMATS if name != "png"])
def test_names_come_out_whole(name: str) -> None:
    """Every letter of every name is there, ten thousand of them included; only signs that turn the direction are gone."""
    text = squeezed("".join(said(artifact) for artifact in made(name)))
    # The head of a drawing cuts what the stamp says elsewhere; a drawing cuts a name and says it in full after.
    missing = [wanted[:40] for wanted in NAMES[:-2] if squeezed(clean(wanted)) not in text and "w" * 50 not in wanted]
    assert missing == []
    assert text.count("w") >= 10_000
    assert text.count("manywords") >= 900  # the head of a further sheet may part a word from the next


@pytest.mark.parametrize("name", ["html", "svg"])
def test_nothing_in_a_name_is_markup(name: str) -> None:
    """No element that a name asks for is in the file, and no handler."""
    for artifact in made(name):
        text = artifact.bytes.decode("utf-8")
        assert not re.search(r"<(script|img|iframe|b>)", text)
        assert not re.search(r"<[^<>]*\son\w+=", text)
        assert "\u202e" not in text


def test_no_cell_is_a_formula() -> None:
    """What a spreadsheet would run stands as text, in CSV and in XLSX."""
    for artifact in made("csv"):
        for row in csv.reader(io.StringIO(artifact.bytes.decode("utf-8-sig"), newline="")):
            assert not any(cell.startswith(("=", "+", "-", "@", "\t")) and not cell[1:].isdigit() for cell in row)
    for artifact in made("xlsx"):
        with zipfile.ZipFile(io.BytesIO(artifact.bytes)) as packed:
            sheets = [packed.read(name).decode("utf-8") for name in packed.namelist() if "worksheets/sheet" in name]
        assert not any("<f>" in sheet or "hyperlink" in sheet.lower() for sheet in sheets)


def test_a_terminal_gets_no_command() -> None:
    """Plain text holds no control character but line feeds, and no override of direction."""
    for artifact in made("text"):
        text = artifact.bytes.decode("utf-8")
        assert all(sign == "\n" or sign.isprintable() or sign in "\u2068\u2069" for sign in text)
