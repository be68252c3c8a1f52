"""Pages as a `page/1` document: everything on the papers as data, for programs of one's own.

Comes in: a `Book`.  Goes out: one `Artifact` of `application/json` with the whole book, as `schemas/page-1.json`
describes it, each page on a line.  Next: a script, a web page, an archive that is to be read in ten years.

Text stands as rig and show have it, control characters and direction overrides aside; what shows it must make it inert.
No options.

Cells are most of a book: each is written once and found again by what it says; the rest goes through the plain data of the
model.  Both give the same text (`tests/plugins/test_formats.py`).
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from functools import lru_cache
from json.encoder import encode_basestring
from typing import Any

import attrs

from patchloom.collector import at_rest
from patchloom.model.base import dump
from patchloom.pages import Artifact, Book, Cell, Page, Row, Table
from patchloom.pages.extra import chosen
from patchloom.pages.files import clean

__all__ = ["render"]

_ENCODE = json.JSONEncoder(ensure_ascii=False).encode
_PAGE, _TABLE = tuple(attrs.fields_dict(Page)), tuple(attrs.fields_dict(Table))


def render(book: Book, options: Mapping[str, Any] | None = None) -> Iterator[Artifact]:
    """Yield the document of a book.  Raises PluginError for any option: there is none."""
    chosen(options, {}, "json")
    with at_rest():
        data = _document(book).encode()
    yield Artifact("book.json", "application/json", data)


def _document(book: Book) -> str:
    """Return the text of a book."""
    cells = _Cells()
    parts = {key: f"{json.dumps(key)}: {_text(value)}" for key, value in dump(book, without=("pages",)).items()}
    if book.pages:
        rows = ",\n  ".join([_page(page, cells) for page in book.pages])
        parts["pages"] = f'"pages": [\n  {rows}\n ]'
    text = ",\n ".join([parts[key] for key in attrs.fields_dict(Book) if key in parts])
    return f"{{\n {text}\n}}\n"


def _text(data: Any) -> str:
    """Return plain data as JSON, every text as it may be printed."""
    text = _ENCODE(data)
    # What is printable as a whole and holds no escape has nothing in it to clean.
    return text if text.isprintable() and "\\" not in text else _ENCODE(_cleaned(data))


def _cleaned(item: Any) -> Any:
    """Return plain data with every text as it may be printed."""
    if isinstance(item, str):
        return clean(item)
    if isinstance(item, dict):
        return {key: _cleaned(value) for key, value in item.items()}
    return [_cleaned(value) for value in item] if isinstance(item, (list, tuple)) else item


def _object(order: tuple[str, ...], parts: Mapping[str, str]) -> str:
    """Return an object of parts that are JSON already, in the order of the fields."""
    return f"{{{', '.join([f'{json.dumps(key)}: {parts[key]}' for key in order if key in parts])}}}"


def _parts(data: Mapping[str, Any]) -> dict[str, str]:
    return {key: _text(value) for key, value in data.items()}


def _page(page: Page, cells: _Cells) -> str:
    """Return a page on one line."""
    if not page.tables:
        return _text(dump(page))
    parts = _parts(dump(page, without=("tables",)))
    parts["tables"] = f"[{', '.join([_table(table, cells) for table in page.tables])}]"
    return _object(_PAGE, parts)


def _table(table: Table, cells: _Cells) -> str:
    if not table.rows:
        return _text(dump(table))
    parts = _parts(dump(table, without=("rows",)))
    parts["rows"] = f"[{', '.join([_row(row, cells) for row in table.rows])}]"
    return _object(_TABLE, parts)


def _row(row: Row, cells: _Cells) -> str:
    if not row.cells:
        return _text(dump(row))
    inside = ", ".join([cells[cell.text] if not cell.marks else _marked(cell) for cell in row.cells])
    if row.kind == "row" and not row.keep and not row.marks:  # as most are
        return f'{{"cells": [{inside}], "block": {row.block}}}' if row.block is not None else f'{{"cells": [{inside}]}}'
    more = dump(row, without=("cells",))
    return f'{{"cells": [{inside}]{", " if more else ""}{_text(more)[1:]}'


@lru_cache(maxsize=4096)
def _marked(cell: Cell) -> str:
    return _text(dump(cell))


class _Cells(dict[str, str]):
    """Cells without marks as JSON, by their text, each written when it is first asked for."""

    def __missing__(self, text: str) -> str:
        made = self[text] = f'{{"text": {encode_basestring(clean(text))}}}' if text else "{}"
        return made
