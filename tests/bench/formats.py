"""Print how long a book of 200 pages takes in each format, as ratios to the format's own library on as many rows.

Run as `python tests/bench/formats.py`, or with names of formats.  Never part of the suite.  Processor time of one run in a
process of its own for each, so that nothing is warm that would not be.  The yardsticks: PDF, a bare typst table of the same
texts, eight columns, heads repeated, column widths left to typst; XLSX, xlsxwriter writing the same texts into bare cells,
one sheet a page; PNG, resvg on the same drawings; JSON, json.dumps of nested lists; CSV, csv.writer; SVG, the XML library on
the same drawings, placed already; HTML, Markdown and text, the same texts escaped and joined.  Aim: 3 at most.

Drawings are placed once for all formats of a process: the line `placing` says what that costs, and `svg` has it in it.  The
last line holds the demo's papers as HTML and CSV against importing jsonschema and networkx; aim: less than 1.
"""

from __future__ import annotations

import io
import json
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from typing import Any

FORMATS = ("csv", "html", "json", "markdown", "pdf", "png", "svg", "text", "xlsx")
PAGES, ROWS, DRAWINGS = 190, 32, 10


def book() -> Any:
    """Return a book of 200 pages: lists of 32 channels as a big show has them, and ten drawings."""
    from patchloom.pages import Book, Caution, Cell, Column, Diagram, Edge, Node, Page, Row, Stamp, Table

    columns = (
        Column("ch", "Ch", kind="number", size="strong"),
        Column("name", "Name", size="strong"),
        Column("source", "Source"),
        Column("mic", "Mic / DI"),
        Column("48v", "48V"),
        Column("line", "Line", kind="address"),
        Column("owner", "Gain by"),
        Column("tick", "✓", kind="tick"),
    )
    caution = Caution("law", "Local law, venue rules and licensed, competent people take precedence over this paper.")
    pages = []
    for number in range(PAGES):
        rows = tuple(
            Row(
                (
                    f"{n + 1}",
                    f"Voice {number}.{n}",
                    "front line",
                    "hand-held moving coil",
                    "ON",
                    f"BOX{number % 9}-{n + 1}",
                    "mon",
                    Cell("", ("tick",)),
                ),
                block=n // 8,
            )
            for n in range(ROWS)
        )
        table = Table("t", columns=columns, rows=rows)
        pages.append(
            Page(
                "table",
                "Input list",
                paper="input-list",
                subject=f"s{number}",
                position=f"p{number % 6}",
                tables=(table,),
                cautions=(caution,),
                digest=f"sha256:{number:064x}",
            )
        )
    for number in range(DRAWINGS):
        nodes = tuple(Node(f"n{n}", f"Box {number}.{n}") for n in range(12))
        edges = tuple(Edge(f"e{n}", f"n{n}", f"n{n + 1}", label=f"K{n}") for n in range(11))
        pages.append(
            Page(
                "diagram",
                "Links",
                paper="links",
                subject=f"d{number}",
                diagram=Diagram(nodes=nodes, edges=edges),
                cautions=(caution,),
                digest=f"sha256:{number:064x}",
            )
        )
    return Book(stamp=Stamp(show="A big show", revision="A", patch="sha256:" + "0" * 64), pages=tuple(pages))


def strings(made: Any) -> list[list[list[str]]]:
    """Return the texts of the tables of a book: pages of rows of cells."""
    return [
        [[cell.text for cell in row.cells] for table in page.tables for row in table.rows] for page in made.pages if page.tables
    ]


def bare_typst(made: Any) -> Callable[[], object]:
    """Return the writing of the same texts as a bare typst table."""
    import typst

    heads = ", ".join("[H]" for _ in range(8))
    quoted = ",".join(json.dumps(text, ensure_ascii=False) for page in strings(made) for row in page for text in row)
    source = f"#table(columns: 8, table.header({heads}), {quoted})".encode()
    return lambda: typst.compile(source, ignore_system_fonts=True)


def bare_xlsx(made: Any) -> Callable[[], object]:
    """Return the writing of the same texts by xlsxwriter, one sheet a page."""
    import xlsxwriter

    pages = strings(made)

    def write() -> None:
        with xlsxwriter.Workbook(io.BytesIO(), {"in_memory": True}) as workbook:
            for page in pages:
                sheet = workbook.add_worksheet()
                for y, row in enumerate(page):
                    for x, text in enumerate(row):
                        sheet.write_string(y, x, text)

    return write


def bare_png(made: Any) -> Callable[[], object]:
    """Return the turning of the same drawings into pictures by resvg."""
    import resvg_py

    from patchloom.drawing import svgs
    from patchloom.drawing.fonts import folder

    pictures = [text for page in made.pages for text in svgs(page, stamp=made.stamp)]
    fonts = [str(path) for path in sorted(folder().glob("*.ttf"))]
    return lambda: [
        resvg_py.svg_to_bytes(svg_string=text, width=1648, dpi=96, skip_system_fonts=True, font_files=fonts) for text in pictures
    ]


def bare_csv(made: Any) -> Callable[[], object]:
    """Return the writing of the same texts by csv, one file a page."""
    import csv

    pages = strings(made)

    def write() -> None:
        for page in pages:
            csv.writer(io.StringIO(newline="")).writerows(page)

    return write


def bare_cells(made: Any, before: str, between: str, after: str) -> Callable[[], object]:
    """Return the plain writing of the same texts, each made inert, with signs between them."""
    from html import escape

    pages = strings(made)
    return lambda: [
        "".join(f"{before}{between.join(escape(text) for text in row)}{after}" for row in page).encode() for page in pages
    ]


def bare_svg(made: Any) -> Callable[[], object]:
    """Return the writing of the same drawings, placed already, by the XML library."""
    from xml.etree import ElementTree

    from patchloom.drawing import svgs

    roots = [ElementTree.fromstring(text) for page in made.pages for text in svgs(page, stamp=made.stamp)]
    return lambda: [ElementTree.tostring(root) for root in roots]


def placing() -> float:
    """Return the processor time in seconds of placing the drawings of the book once."""
    from patchloom.drawing import scenes

    made = book()
    start = time.process_time()
    for page in made.pages:
        scenes(page, stamp=made.stamp)
    return time.process_time() - start


def demo() -> tuple[float, float]:
    """Return the processor time in seconds of the demo's papers as HTML and CSV, and of importing jsonschema and networkx."""
    import patchloom
    from patchloom.cli.demo import shipped

    texts = shipped()
    rig = patchloom.read_rig(texts["rig.json"])
    show = patchloom.read_show(texts["show.json"], rig)
    made = patchloom.book(rig, show, patchloom.solve(rig, show), revision="A")
    start = time.process_time()
    patchloom.render(made, "html", files="book")
    patchloom.render(made, "csv")
    ours = time.process_time() - start
    code = "import time; t = time.process_time(); import jsonschema, networkx; print(time.process_time() - t)"
    return ours, float(subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True).stdout)


def work(name: str, bare: bool, options: dict[str, Any]) -> float:
    """Return the processor time in seconds of making a book in a format, or of its yardstick."""
    made = book()
    if bare:
        pages = strings(made)
        run: Callable[[], object] = {
            "csv": lambda: bare_csv(made),
            "html": lambda: bare_cells(made, "<tr><td>", "</td><td>", "</td></tr>"),
            "json": lambda: lambda: json.dumps(pages).encode(),
            "markdown": lambda: bare_cells(made, "| ", " | ", " |\n"),
            "pdf": lambda: bare_typst(made),
            "png": lambda: bare_png(made),
            "svg": lambda: bare_svg(made),
            "text": lambda: bare_cells(made, "", "  ", "\n"),
            "xlsx": lambda: bare_xlsx(made),
        }[name]()
    else:
        from patchloom.plugins import load

        renderer = load("renderers", name)
        run = lambda: list(renderer(made, options))  # noqa: E731
    start = time.process_time()
    run()
    return time.process_time() - start


def main() -> None:
    """Measure each format in a process of its own, and print."""
    if sys.argv[1:2] == ["--placing"]:
        print(placing())
        return
    if sys.argv[1:2] == ["--demo"]:
        print(*demo())
        return
    if sys.argv[1:2] == ["--one"]:
        name, bare = sys.argv[2], sys.argv[3] == "bare"
        print(work(name, bare, {"files": "book"} if name in ("html", "pdf", "xlsx") else {}))
        return
    print(f"{PAGES + DRAWINGS} pages, {PAGES * ROWS} rows; aim: 3 at most")
    for name in sys.argv[1:] or FORMATS:
        times = [
            float(
                subprocess.run([sys.executable, __file__, "--one", name, how], check=True, capture_output=True, text=True).stdout
            )
            for how in ("book", "bare")
        ]
        print(f"{name:>9}: {times[0]:7.2f} s, its library alone {times[1]:7.3f} s, ratio {times[0] / max(times[1], 1e-9):.1f}")
    if not sys.argv[1:]:
        for what, said in (("--placing", "the drawings, once"), ("--demo", "HTML and CSV of the demo; jsonschema and networkx")):
            done = subprocess.run([sys.executable, __file__, what], check=True, capture_output=True, text=True).stdout.split()
            ratio = f", ratio {float(done[0]) / float(done[1]):.1f}" if len(done) > 1 else ""
            print(f"{what[2:]:>9}: {' and '.join(f'{float(word):.2f} s' for word in done)} ({said}){ratio}")
    print(f"most memory of a process: {resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main()
