"""Which letters of a book can be printed, and in what fonts.

Comes in: the texts of a book, the fonts asked for.  Goes out: `Letters`.  Next: `document.py`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache
from pathlib import Path
from typing import Any

import attrs

from patchloom.drawing import fonts
from patchloom.errors import PluginError
from patchloom.model.base import dump
from patchloom.pages import Book

__all__ = ["Letters", "letters", "texts"]


@attrs.frozen
class Letters:
    """Fonts to set a book in, and the letters that none of them holds."""

    fonts: Any
    """Fonts, as typst takes them."""
    wider: bool
    """Whether fonts beyond those brought along may be asked."""
    lost: frozenset[str]


def texts(item: Any) -> Iterator[str]:
    """Yield every text of plain data."""
    if isinstance(item, str):
        yield item
    elif isinstance(item, dict):
        for value in item.values():
            yield from texts(value)
    elif isinstance(item, (list, tuple)):
        for value in item:
            yield from texts(value)


def letters(typst: Any, book: Book, more: str) -> Letters:
    """Return the fonts of a book.

    `more` is a folder with more fonts, `shipped` for none beyond those brought along, or empty: those of the machine,
    but only where the book has letters that those brought along lack.  Raises PluginError for a folder that is not there.
    """
    if more not in ("", "shipped") and not Path(more).is_dir():
        raise PluginError(f"pdf: fonts: {more} is no folder; name a folder that holds font files, or `shipped`")
    missing = fonts.missing(texts(dump(book)))
    if more == "shipped" or not missing:
        return Letters(_fonts(typst, False, ""), False, frozenset(missing))
    found = _fonts(typst, not more, more)
    return Letters(found, True, frozenset(_lost(typst, found, missing)))


@lru_cache(maxsize=4)
def _fonts(typst: Any, system: bool, more: str) -> Any:
    paths = [str(fonts.folder()), *([more] if more else [])]
    return typst.Fonts(include_system_fonts=system, include_embedded_fonts=False, font_paths=paths)


def _lost(typst: Any, found: Any, signs: Iterable[str]) -> Iterator[str]:
    """Yield the letters no font holds: a trial page under PDF/UA, where a letter without a glyph is an error."""
    by_script: dict[tuple[str, ...], list[str]] = {}
    for sign in signs:
        by_script.setdefault(fonts.scripts([sign]), []).append(sign)
    for same in by_script.values():
        if not _printed(typst, found, "".join(same)):
            yield from (sign for sign in same if not _printed(typst, found, sign))


def _printed(typst: Any, found: Any, text: str) -> bool:
    families = ", ".join(f'"{name}"' for name in fonts.FAMILIES)
    source = f'#set document(title: "letters")\n#set text(font: ({families}), lang: "en")\n#"{text}"'
    try:
        typst.compile(source.encode("utf-8"), font_paths=found, ignore_system_fonts=True, pdf_standards=["ua-1"], timestamp=0)
    except typst.TypstError:
        return False
    return True
