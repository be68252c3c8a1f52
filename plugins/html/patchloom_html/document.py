"""One HTML file.

Comes in: a `Book` and its pages as sheets.  Goes out: the text of a file that needs nothing else.
Next: the renderer's artifacts.
"""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Sequence

from patchloom.pages import Book, Page, say_in
from patchloom_html.sheets import MadePage
from patchloom_html.style import style
from patchloom_html.words import inert, plain

__all__ = ["document"]

_POLICY = "default-src 'none'; style-src 'sha256-{}'; font-src data:; base-uri 'none'; form-action 'none'"


def _entry(page: Page) -> str:
    """Return what stands for a page in the list of papers: what it is, of what, in which act."""
    words = (page.title, page.subject_name or page.subject, page.period_name)
    return " \u00b7 ".join(inert(word) for word in words if word)


def document(book: Book, made: Sequence[MadePage]) -> str:
    """Return the HTML of some pages of a book; the same text for the same pages."""
    wide, phone = "".join([each.css[0] for each in made]), "".join([each.css[1] for each in made])
    css = f"{style()}\n@media print,(min-width:701px){{{wide}}}\n@media screen and (max-width:700px){{{phone}}}"
    policy = _POLICY.format(base64.b64encode(hashlib.sha256(css.encode("utf-8")).digest()).decode("ascii"))
    languages = dict.fromkeys(each.page.language for each in made)
    language = next(iter(languages)) if len(languages) == 1 else "en"
    title = plain(" - ".join(word for word in ((book.stamp.show if book.stamp else ""), say_in(language)("papers")) if word))
    faults = "".join(f'<p class="said loudly">{inert(row.text)}</p>' for row in book.faults)
    links = "".join(f'<a href="#{each.anchor}">{_entry(each.page)}</a>' for each in made)
    return (
        "<!DOCTYPE html>\n"
        f'<html lang="{plain(language)}">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="referrer" content="no-referrer">\n'
        f"<title>{title}</title>\n<style>{css}</style>\n</head>\n<body>\n"
        f"<nav>{faults}{links}</nav>\n{''.join(each.html for each in made)}</body>\n</html>\n"
    )
