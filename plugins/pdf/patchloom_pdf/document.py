"""One PDF file.

Comes in: a `Book`, some of its pages, paper and fonts.  Goes out: bytes, the same for the same.  Next: the artifacts.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from patchloom.drawing.fonts import FAMILIES
from patchloom.pages import Book, Page, say_in
from patchloom_pdf import checklist, grid, head, sheets
from patchloom_pdf.letters import letters
from patchloom_pdf.paper import Paper
from patchloom_pdf.words import Words

__all__ = ["Setter"]


class Setter:
    """Sets files out of one book; every page's source is made once."""

    def __init__(self, typst: Any, book: Book, paper: Paper, fonts: str) -> None:
        self.typst, self.book = typst, book
        self.letters = letters(typst, book, fonts)
        self.words = Words(self.letters.lost)
        self.sheets = sheets.Sheets(book, paper, self.words, self.letters.lost)
        self._made: dict[int, str] = {}

    def source(self, pages: Sequence[Page]) -> str:
        """Return the typst source of some pages."""
        languages = dict.fromkeys(page.language for page in pages)
        language = next(iter(languages)) if len(languages) == 1 else "en"
        title = " - ".join(
            word for word in ((self.book.stamp.show if self.book.stamp else ""), say_in(language)("papers")) if word
        )
        families = ", ".join(f'"{name}"' for name in FAMILIES)
        keys = {id(page): f"{place}" for place, page in enumerate(self.book.pages)}
        for page in pages:
            if id(page) not in self._made:
                self._made[id(page)] = self.sheets.source(page, keys[id(page)])
        faults = ""
        if not pages:
            faults = "".join(
                f"#loud({self.words.quoted(row.kind.upper())}, {self.words.quoted(row.text)})\n" for row in self.book.faults
            )
        return "".join(
            (
                f"#set document(title: {self.words.quoted(title)}, date: none)\n",
                f'#set text(font: ({families}), size: 10pt, fallback: {str(self.letters.wider).lower()}, lang: "{language}", ',
                "hyphenate: false, top-edge: 0.85em, bottom-edge: -0.15em, fill: black)\n",
                "#set par(leading: 0.2em, spacing: 0.9mm)\n",
                grid.PREAMBLE,
                sheets.PREAMBLE,
                checklist.PREAMBLE,
                head.PREAMBLE,
                *(self._made[id(page)] for page in pages),
                faults,
            )
        )

    def pdf(self, pages: Sequence[Page]) -> bytes:
        """Return the bytes of a file of some pages."""
        return bytes(self._compiled(pages, format="pdf", timestamp=0))

    def pictures(self, pages: Sequence[Page], dots: float) -> list[bytes]:
        """Return each sheet of some pages as PNG, `dots` to the inch."""
        made = self._compiled(pages, format="png", ppi=dots)
        return [made] if isinstance(made, bytes) else list(made)

    def _compiled(self, pages: Sequence[Page], **how: Any) -> Any:
        source = self.source(pages).encode("utf-8")
        return self.typst.compile(source, font_paths=self.letters.fonts, ignore_system_fonts=True, **how)
