"""The pictures of the gallery: the first sheet of every paper of the demo, made anew whenever the docs are built.

`conf.py` calls `make`; `python docs/gallery.py` does the same by hand.  Nothing of it is kept in the repository: `_gallery/`
holds a picture for each paper and `pictures.md`, which `gallery.md` takes in.  Without the libraries of the extra `papers` the
page says so instead.
"""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from patchloom.pages import Page

HERE = Path(__file__).parent / "_gallery"
DOTS = 72
DATE = "2026-06-20 16:00 +0200"


def make(folder: Path = HERE) -> int:
    """Write the pictures and the page that shows them, and return how many there are."""
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    try:
        rows = list(_pictures(folder))
    except ImportError as problem:
        rows = [f"No pictures were made: {problem}. They need the extra `papers`: `pip install 'patchloom[papers]'`.\n"]
    (folder / "pictures.md").write_text("\n".join(rows), encoding="utf-8")
    return sum(row.startswith("```{figure}") for row in rows)


def _pictures(folder: Path):  # type: ignore[no-untyped-def]
    import typst
    from patchloom_pdf.document import Setter
    from patchloom_pdf.paper import PAPERS

    import patchloom
    from patchloom.cli.demo import shipped

    texts = shipped()
    rig = patchloom.read_rig(texts["rig.json"])
    show = patchloom.read_show(texts["show.json"], rig)
    book = patchloom.book(rig, show, patchloom.solve(rig, show), date=DATE, revision="A")
    setter = Setter(typst, book, PAPERS["a4"], "shipped")
    fullest: dict[str, Page] = {}
    for page in book.pages:
        name = f"{page.paper}-{page.kind}"
        if name not in fullest or _rows(page) > _rows(fullest[name]):
            fullest[name] = page
    for name, page in fullest.items():
        sheets = setter.pictures([page], DOTS)
        (folder / f"{name}.png").write_bytes(sheets[0])
        more = f" Sheet 1 of {len(sheets)}." if len(sheets) > 1 else ""
        subject = page.subject_name or page.subject
        said = f"{page.title}{f', {subject}' if subject else ''}"
        alt = f"{said}: the first sheet of this paper, as it is printed"
        yield f"```{{figure}} _gallery/{name}.png\n:alt: {alt}\n\n**{said}.** {page.about}{more}\n```\n"


def _rows(page: Page) -> int:
    """Return how many rows a page has: of several pages of a paper the fullest is shown."""
    return sum(len(table.rows) for table in page.tables)


if __name__ == "__main__":
    print(f"{make()} pictures in {HERE}")
