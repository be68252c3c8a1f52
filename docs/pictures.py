"""Draw the pictures of the README and of the docs anew: run `python docs/pictures.py`; needs Chromium and pdftoppm on the path.

They are a sheet of the demo's own papers, printed by Chromium as anybody would print it, the pocket book of the demo, and
a check with a rig it speaks of above one it is silent about.
"""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from pathlib import Path

import attrs

import patchloom
from patchloom.cli.demo import shipped
from patchloom.cli.picture import draw
from patchloom.pages import Book, Page
from patchloom.pipeline import judge

HERE = Path(__file__).parent / "pictures"
CHECK = "one-owner-per-preamp"
DEVICE = "DECK"
LINE = "#position=foh&path=3"


def main() -> None:
    """Write patch-sheet.png, pocket-book.png and one-owner-per-preamp.png into docs/pictures."""
    browser = shutil.which("chromium") or shutil.which("chromium-browser")
    if browser is None:
        raise SystemExit("no Chromium on the path")
    texts = shipped()
    rig = patchloom.read_rig(texts["rig.json"])
    show = patchloom.read_show(texts["show.json"], rig)
    patch = patchloom.solve(rig, show)
    book = patchloom.book(rig, show, patch, findings=judge(rig, show, patch), date="2026-06-20 16:00 +0200", revision="A")
    HERE.mkdir(exist_ok=True)
    draw(CHECK, HERE / f"{CHECK}.png")
    _sheet(browser, attrs.evolve(book, pages=tuple(page for page in book.pages if _is_sheet(page))))
    _pocket(browser, book)


def _is_sheet(page: Page) -> bool:
    return page.paper == "patch-sheet" and page.subject == DEVICE


def _sheet(browser: str, book: Book) -> None:
    """Print the first sheet as anybody would print it."""
    [page] = [row for row in patchloom.render(book, "html") if row.name == "book.html"]
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "page.html").write_bytes(page.bytes)
        out = f"--print-to-pdf={folder}/page.pdf"
        _browse(browser, "--no-pdf-header-footer", out, f"file://{folder}/page.html")
        target = str(HERE / "patch-sheet")
        subprocess.run(
            ["pdftoppm", "-r", "90", "-f", "1", "-l", "1", "-gray", "-png", "-singlefile", f"{folder}/page.pdf", target],
            check=True,
        )


def _pocket(browser: str, book: Book) -> None:
    """Open the pocket book at one position's list, a line's path followed."""
    [page] = patchloom.render(book, "pocket")
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "pocket.html").write_bytes(page.bytes)
        out = f"--screenshot={HERE / 'pocket-book.png'}"
        size = "--window-size=1280,860"
        _browse(browser, "--hide-scrollbars", size, "--virtual-time-budget=3000", out, f"file://{folder}/pocket.html{LINE}")


def _browse(browser: str, *more: str) -> None:
    command = [browser, "--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking", *more]
    subprocess.run(command, check=True, capture_output=True)


if __name__ == "__main__":
    main()
