"""Print how long a book of 200 pages takes in each format, as ratios to the format's own library on the same strings.

Run as `python tests/bench/formats.py`, or with names of formats.  Never part of the suite.  A process for each format makes
both, in turns, and every turn has a book of its own: other names of channels and devices, so that nothing a renderer keeps
from the book before helps it, while words that come again inside a book help as they do in any show.  The book is there when
the time begins.  Processor time; the least of the turns of each side, the first of ours (nothing warm, imports of
what the renderer loads on use included) beside it.  Aim: 3 at most.

What the other side does is in `plain.py`: it writes the same strings, is handed them ready, in the shape that suits it best, and
escapes what the format must have escaped.  It measures nothing, places nothing, deals nothing onto sheets and cleans nothing.
CSV, Markdown and text: its bytes are ours, which is checked.  HTML: the same strings and markup, joined; SVG, and drawings in
HTML: the XML library on the same trees.  JSON: `json.dumps` of the same document.  PDF: a bare
typst table of the same texts, eight columns, heads repeated.  XLSX: xlsxwriter, the same texts in bare cells, one sheet a page.
PNG: resvg on the same drawings.

The first line, `placing`, says what placing the ten drawings costs: all formats of a process share it, and HTML, SVG,
PNG and PDF each have it in their time here.
"""

from __future__ import annotations

import gc
import resource
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

import plain

FORMATS = ("csv", "html", "json", "markdown", "pdf", "png", "svg", "text", "xlsx")
PAGES, ROWS, DRAWINGS = 190, 32, 10
TURNS = {"pdf": 2, "png": 2, "xlsx": 3}
MANY = 9


def book(turn: int = 0) -> Any:
    """Return a book of 200 pages: lists of 32 channels as a big show has them, and ten drawings; other names each turn."""
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
                    f"Voice {turn}.{number}.{n}",
                    "front line",
                    "hand-held moving coil",
                    "ON",
                    f"BOX{turn}.{number % 9}-{n + 1}",
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
                digest=f"sha256:{turn * 1000 + number:064x}",
            )
        )
    for number in range(DRAWINGS):
        nodes = tuple(Node(f"n{n}", f"Box {turn}.{number}.{n}") for n in range(12))
        edges = tuple(Edge(f"e{n}", f"n{n}", f"n{n + 1}", label=f"K{turn}.{n}") for n in range(11))
        pages.append(
            Page(
                "diagram",
                "Links",
                paper="links",
                subject=f"d{number}",
                diagram=Diagram(nodes=nodes, edges=edges),
                cautions=(caution,),
                digest=f"sha256:{turn * 1000 + PAGES + number:064x}",
            )
        )
    return Book(stamp=Stamp(show="A big show", revision="A", patch=f"sha256:{turn:064x}"), pages=tuple(pages))


def placing() -> float:
    """Return the processor time in seconds of placing the drawings of the book once."""
    from patchloom.drawing import scenes

    times = []
    for turn in range(MANY):
        made = book(turn)
        start = time.process_time()
        for page in made.pages:
            scenes(page, stamp=made.stamp)
        times.append(time.process_time() - start)
    return min(times)


def turns(name: str, count: int) -> tuple[float, float, float]:
    """Return the processor time in seconds of making a book in a format: first, least; and the least of its yardstick."""
    from patchloom.plugins import load

    options = {"files": "book"} if name in ("html", "pdf", "xlsx") else {}
    renderer = load("renderers", name)
    ours, bare = [], []
    for turn in range(count):
        made = book(turn)
        gc.collect()
        start = time.process_time()
        artifacts = list(renderer(made, options))
        ours.append(time.process_time() - start)
        write = plain.WRITERS[name](made, artifacts)
        gc.collect()
        start = time.process_time()
        written = write()
        bare.append(time.process_time() - start)
        if written is not None and written != [row.bytes for row in artifacts]:
            raise SystemExit(f"{name}: the plain writer wrote something else")
    return ours[0], min(ours), min(bare)


def main() -> None:
    """Measure each format in a process of its own, and print."""
    if sys.argv[1:2] == ["--placing"]:
        print(placing())
        return
    if sys.argv[1:2] == ["--one"]:
        print(*turns(sys.argv[2], TURNS.get(sys.argv[2], MANY)))
        return
    print(f"{PAGES + DRAWINGS} pages, {PAGES * ROWS} rows; aim: 3 at most")
    if not sys.argv[1:]:
        print(f"  placing: {_run('--placing')[0]:7.3f} s (ten drawings, once)")
    for name in sys.argv[1:] or FORMATS:
        first, ours, bare = _run("--one", name)
        print(f"{name:>9}: {ours:7.3f} s (first {first:.3f}), plain {bare:7.3f} s, ratio {ours / max(bare, 1e-9):.1f}")
    print(f"most memory of a process: {resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024:.0f} MB")


def _run(*words: str) -> list[float]:
    done = subprocess.run([sys.executable, __file__, *words], check=True, stdout=subprocess.PIPE, text=True)
    return [float(word) for word in done.stdout.split()]


if __name__ == "__main__":
    main()
