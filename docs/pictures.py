"""Draw the picture of the README anew: run `python docs/pictures.py`; needs Chromium and pdftoppm on the path.

The picture is a page of the demo's own papers, printed by Chromium as anybody would print it.
"""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from pathlib import Path

import patchloom
from patchloom.cli.demo import shipped

HERE = Path(__file__).parent / "pictures"
DEVICE = "DECK"


def main() -> None:
    """Write docs/pictures/patch-sheet.png."""
    texts = shipped()
    rig = patchloom.read_rig(texts["rig.json"])
    show = patchloom.read_show(texts["show.json"], rig)
    book = patchloom.book(
        rig, show, patchloom.solve(rig, show), papers=["patch-sheet"], date="2026-06-20 16:00 +0200", revision="A"
    )
    book = book.__class__(
        stamp=book.stamp, pages=tuple(page for page in book.pages if page.subject == DEVICE), faults=book.faults
    )
    [page] = [row for row in patchloom.render(book, "html") if row.name == "book.html"]
    browser = shutil.which("chromium") or shutil.which("chromium-browser")
    if browser is None:
        raise SystemExit("no Chromium on the path")
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "page.html").write_bytes(page.bytes)
        command = [
            browser,
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-background-networking",
            "--no-pdf-header-footer",
            f"--print-to-pdf={folder}/page.pdf",
            f"file://{folder}/page.html",
        ]
        subprocess.run(command, check=True, capture_output=True)
        HERE.mkdir(exist_ok=True)
        target = str(HERE / "patch-sheet")
        subprocess.run(
            ["pdftoppm", "-r", "90", "-f", "1", "-l", "1", "-gray", "-png", "-singlefile", f"{folder}/page.pdf", target],
            check=True,
        )


if __name__ == "__main__":
    main()
