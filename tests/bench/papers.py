"""Print how long the demo's papers take, against importing jsonschema and networkx in a bare interpreter.

Run as `python tests/bench/papers.py`, or with how many runs of each (5).  Never part of the suite.  Begun with a solved patch
in memory: rig, show and patch are read, and nothing of papers, plugins or renderers is loaded.  Then, one after the other and
each timed: `load` (the entry points read, the papers and the two renderers imported), `book`, `html` (one file, the whole
book), `csv` (a file a page); and all four again in the same process, everything loaded and the drawings placed.  Every run is
a process of its own, runs of both sides take turns; processor time, the least of each.  Modules are compiled beforehand on
both sides, as in any installed package.

Aim: `html` and `csv` together, cold, in less time than the imports.  What `load` and `book` take beside them is printed too.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

PARTS = ("load", "book", "html", "csv")
IMPORTS = "import time; t = time.process_time(); import jsonschema, networkx; print(time.process_time() - t)"


def write_demo(folder: Path) -> None:
    """Write rig, show and solved patch of the demo into a folder."""
    import patchloom
    from patchloom.cli.demo import shipped

    texts = shipped()
    for name in ("rig.json", "show.json"):
        (folder / name).write_bytes(texts[name])
    rig = patchloom.read_rig(folder / "rig.json")
    patchloom.write(patchloom.solve(rig, patchloom.read_show(folder / "show.json", rig)), folder / "patch.json")


def one(folder: Path) -> list[dict[str, float]]:
    """Return the processor time in seconds of each part, cold and again."""
    import patchloom

    rig = patchloom.read_rig(folder / "rig.json")
    show = patchloom.read_show(folder / "show.json", rig)
    patch = patchloom.read_patch(folder / "patch.json")
    return [_parts(patchloom, rig, show, patch) for _ in range(2)]


def _parts(patchloom, rig, show, patch) -> dict[str, float]:  # type: ignore[no-untyped-def]
    times = [time.process_time()]
    from patchloom import plugins

    plugins.load_all("papers")
    plugins.load("renderers", "html")
    plugins.load("renderers", "csv")
    times.append(time.process_time())
    book = patchloom.book(rig, show, patch, findings=(), revision="A")
    times.append(time.process_time())
    patchloom.render(book, "html", files="book")
    times.append(time.process_time())
    patchloom.render(book, "csv")
    times.append(time.process_time())
    return {part: times[place + 1] - times[place] for place, part in enumerate(PARTS)}


def main() -> None:
    """Measure, and print."""
    if sys.argv[1:2] == ["--one"]:
        print(json.dumps(one(Path(sys.argv[2]))))
        return
    runs = int(sys.argv[1]) if sys.argv[1:] else 5
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write_demo(folder)
        environment = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
        environment["PYTHONPYCACHEPREFIX"] = str(folder / "compiled")

        def run(*words: str) -> str:
            done = subprocess.run([sys.executable, *words], check=True, stdout=subprocess.PIPE, text=True, env=environment)
            return done.stdout

        imports, cold, again = [], [], []
        for turn in range(runs + 1):
            asked = float(run("-c", IMPORTS))
            first, second = json.loads(run(__file__, "--one", str(folder)))
            if turn:  # the first run compiles
                imports.append(asked)
                cold.append(first)
                again.append(second)
    least = min(imports)
    print(f"importing jsonschema and networkx: {least * 1000:.0f} ms, the least of {runs}")
    for said, rows in (("cold", cold), ("again", again)):
        parts = {part: min(row[part] for row in rows) for part in PARTS}
        words = ", ".join(f"{part} {value * 1000:.0f} ms" for part, value in parts.items())
        both, all_ = min(row["html"] + row["csv"] for row in rows), min(sum(row.values()) for row in rows)
        print(f"{said:>5}: {words}; html and csv {both / least:.2f} of the imports (aim: below 1), all four {all_ / least:.2f}")


if __name__ == "__main__":
    main()
