"""Pages as a `page/1` document: everything on the papers as data, for programs of one's own.

Comes in: a `Book`.  Goes out: one `Artifact` of `application/json` with the whole book, as `schemas/page-1.json`
describes it, each page on a line.  Next: a script, a web page, an archive that is to be read in ten years.

Text stands as rig and show have it, control characters and direction overrides aside; what shows it must make it inert.
No options.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from patchloom.model.base import dump
from patchloom.pages import Artifact, Book
from patchloom.pages.extra import chosen
from patchloom.pages.files import clean

__all__ = ["render"]


def render(book: Book, options: Mapping[str, Any] | None = None) -> Iterator[Artifact]:
    """Yield the document of a book.  Raises PluginError for any option: there is none."""
    import json

    chosen(options, {}, "json")
    data = dump(book)
    parts = []
    for key, value in data.items():
        if key == "pages":
            rows = ",\n  ".join(json.dumps(_cleaned(page), ensure_ascii=False) for page in value)
            parts.append(f'"pages": [\n  {rows}\n ]')
        else:
            parts.append(f"{json.dumps(key)}: {json.dumps(_cleaned(value), ensure_ascii=False)}")
    text = ",\n ".join(parts)
    yield Artifact("book.json", "application/json", f"{{\n {text}\n}}\n".encode())


def _cleaned(item: Any) -> Any:
    """Return plain data with every text as it may be printed."""
    if isinstance(item, str):
        return clean(item)
    if isinstance(item, dict):
        return {key: _cleaned(value) for key, value in item.items()}
    return [_cleaned(value) for value in item] if isinstance(item, (list, tuple)) else item
