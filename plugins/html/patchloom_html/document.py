"""One HTML file.

Comes in: a `Book`.  Goes out: the text of a file that needs nothing else.  Next: the renderer's artifacts.
"""

from __future__ import annotations

import base64
import hashlib

from patchloom_html.sheets import page_sheets
from patchloom_html.style import style
from patchloom_html.words import inert, plain

from patchloom.pages import Book

__all__ = ["document"]

_POLICY = "default-src 'none'; style-src 'sha256-{}'; base-uri 'none'; form-action 'none'"


def document(book: Book) -> str:
    """Return the HTML of a book; the same text for the same book."""
    made = [page_sheets(book, page, f"p{number}") for number, page in enumerate(book.pages, 1)]
    css = f"{style()}\n{''.join(sheets.css for sheets in made)}"
    policy = _POLICY.format(base64.b64encode(hashlib.sha256(css.encode("utf-8")).digest()).decode("ascii"))
    title = plain(" - ".join(word for word in ((book.stamp.show if book.stamp else ""), "papers") if word))
    faults = "".join(f'<p class="said loudly">{inert(row.text)}</p>' for row in book.faults)
    links = "".join(
        f'<a href="#p{number}">{inert(page.title)} {inert(page.subject_name or page.subject)} {inert(page.period_name)}</a>'
        for number, page in enumerate(book.pages, 1))
    return (
        "<!DOCTYPE html>\n"
        '<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="referrer" content="no-referrer">\n'
        f"<title>{title}</title>\n<style>{css}</style>\n</head>\n<body>\n"
        f"<nav>{faults}{links}</nav>\n{''.join(sheets.html for sheets in made)}</body>\n</html>\n"
    )
