"""Drawings as PNG pictures: one a sheet, with title, stamp and everything that must be printed on them.

Comes in: a `Book` and options.  Goes out: one `Artifact` of `image/png` for each sheet of each drawn page.  Next: a mail,
a chat, a slide.

Needs the extra `papers`.  Set in the fonts brought along and no others, so that the same book gives the same bytes on
every machine; a drawing with letters they lack says so in its remarks.  Tables and checklists are no drawings: they come
as PDF, HTML or text, and give nothing here.

Options: `dots`, to the inch of the sheet at full size (36 to 300, default 150).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import attrs

from patchloom.drawing import scene_svg, scenes
from patchloom.drawing.fonts import FAMILIES, folder, missing, scripts
from patchloom.errors import PluginError
from patchloom.pages import Artifact, Book, Page, Remark, say_in
from patchloom.pages.extra import chosen, needed
from patchloom.pages.files import file_names

__all__ = ["render"]

_FAMILY = ", ".join(f"'{name}'" for name in FAMILIES)
_MM_PER_INCH = 25.4


def render(book: Book, options: Mapping[str, Any] | None = None) -> Iterator[Artifact]:
    """Yield the picture of every sheet of every drawn page.  Raises PluginError for a wrong option or a missing library."""
    dots = chosen(options, {"dots": 150}, "png")["dots"]
    if isinstance(dots, bool) or not isinstance(dots, (int, float)) or not 36 <= dots <= 300:
        raise PluginError(f"png: dots: {dots!r} is no number from 36 to 300")
    resvg = needed("resvg_py", "png")
    fonts = [str(path) for path in sorted(folder().glob("*.ttf"))]
    for index, (name, page) in enumerate(file_names(book)):
        if page.kind not in ("plan", "diagram"):
            continue
        sheets = scenes(_told(book, page), stamp=book.stamp, number=_number(page, index + 1, len(book.pages)))
        for number, scene in enumerate(sheets):
            part = f"-{number + 1}" if len(sheets) > 1 else ""
            picture = resvg.svg_to_bytes(
                svg_string=scene_svg(scene, family=_FAMILY),
                width=round(scene.wide / _MM_PER_INCH * dots),
                skip_system_fonts=True,
                font_files=fonts,
                font_family=FAMILIES[0],
                background="#ffffff",
                dpi=96,
            )
            yield Artifact(f"{name}{part}.png", "image/png", bytes(picture))


def _told(book: Book, page: Page) -> Page:
    """Return a page with everything that must be said on it, letters that cannot be printed included."""
    rows = (*book.faults, *page.remarks)
    lost = scripts(missing(_texts(page)))
    if lost:
        words = "No font here holds: {scripts}. The names in full are in the other formats."
        rows = (*rows, Remark("letters", say_in(page.language)(words, scripts=", ".join(lost))))
    return attrs.evolve(page, remarks=rows)


def _texts(item: Any) -> Iterator[str]:
    """Yield every text of a page."""
    if isinstance(item, str):
        yield item
    elif isinstance(item, (list, tuple)):
        for each in item:
            yield from _texts(each)
    elif attrs.has(type(item)):
        for field in attrs.fields(type(item)):
            yield from _texts(getattr(item, field.name))


def _number(page: Any, number: int, count: int) -> str:
    """Return which page of the book it is, in the page's language."""
    return say_in(page.language)("page {number} of {count}", number=number, count=count)
