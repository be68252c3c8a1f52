"""The book as plain data for the script: small, in order, every text clean.

Comes in: a `Book`, and which drawings belong to which page.  Goes out: JSON-able dicts and lists.  Next: `document`.

What there are thousands of (hops, paths) stands as rows under a list of field names, their texts as numbers into one list
of words; what there are few of stands as it is in a page document.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from importlib.resources import files
from typing import Any

import attrs

from patchloom.model.base import dump
from patchloom.pages import AREAS, CHECKED, STATUSES, Book, Page, Path, PathHop, Paths, Table, cautions, say_in
from patchloom.pages.files import clean
from patchloom.pages.words import Say
from patchloom_pocket.drawings import Drawn

__all__ = ["KINDS", "book_data", "language_of", "own_words", "script_text"]

KINDS = ("stop", "safety", "warn", "advice", "note", "waived", "unmet", "unhonoured")
"""Kinds of remarks, whose words the papers' catalogue has."""

_LOUD = ("stop", "safety", "warn", "unmet", "unhonoured")
_AREAS = ("hearing", "phantom", "mains", "earth", "law")
_UNSEEN = {"<": "\\u003c", ">": "\\u003e", "&": "\\u0026", "\u2028": "\\u2028", "\u2029": "\\u2029"}


def book_data(book: Book, drawn: Mapping[int, Drawn]) -> dict[str, Any]:
    """Return all that the script needs of a book; `drawn` names the drawings of each page, both by number."""
    paths, texts = book.paths or Paths(), _Words()
    stamp = dump(book.stamp) if book.stamp is not None else {}
    language = language_of(book)
    say = say_in(language)
    data: dict[str, Any] = {
        "version": 1,
        "language": language,
        "said": own_words(language) | ({word: say(word) for word in STATUSES} if language != "en" else {}),
        "kinds": {word: say(word) for word in (*KINDS, *AREAS)},
        "stamp": _cleaned(stamp),
        "show": paths.show or stamp.get("patch", ""),
        "compared": paths.compared,
        "checked": say(CHECKED),
        "periods": _cleaned([dump(row) for row in paths.periods]),
        "positions": _cleaned([dump(row) for row in paths.positions]),
        "ends": _cleaned([dump(row) for row in paths.ends]),
        "signals": _cleaned([dump(row) for row in paths.signals]),
        "hops": _rows(PathHop, paths.hops, texts),
        "paths": _rows(Path, paths.paths, texts),
        "gone": _cleaned([dump(row) for row in paths.gone]),
        "cautions": _cautions(book, say),
        "remarks": _remarks(book),
        "papers": [_paper(page, drawn.get(number)) for number, page in enumerate(book.pages)],
    }
    return {**data, "words": texts.texts}


def language_of(book: Book) -> str:
    """Return the language of a book's fixed words: that of its papers."""
    return next((page.language for page in book.pages), "en")


def own_words(language: str) -> dict[str, str]:
    """Return the script's own words in a language, by their English; none for English, or where there is no catalogue."""
    home = files("patchloom_pocket") / "languages" / f"{language}.json"
    if language == "en" or not home.is_file():
        return {}
    words: dict[str, str] = json.loads(home.read_text(encoding="utf-8"))["words"]
    return words


def script_text(data: Any) -> str:
    """Return data as JSON that may stand inside a script element: nothing in it ends one, or starts a comment."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    for sign, written in _UNSEEN.items():
        text = text.replace(sign, written)
    return text


class _Words:
    """Texts, each once, by number."""

    def __init__(self) -> None:
        self.texts: list[str] = []
        self._numbers: dict[str, int] = {}

    def number(self, text: str) -> int:
        """Return the number of a text, given on its first use."""
        if text not in self._numbers:
            self._numbers[text] = len(self.texts)
            self.texts.append(clean(text))
        return self._numbers[text]


def _rows(kind: type, rows: Iterable[Any], texts: _Words) -> dict[str, Any]:
    """Return things of one kind as rows under the names of their fields; which hold texts by number is said beside them."""
    fields = attrs.fields(kind)
    names = [field.name for field in fields]
    lists = [field.name for field in fields if field.metadata["kind"] == "words"]
    single = [field.name for field in fields if field.metadata["kind"] == "text"]

    def value(row: Any, name: str) -> Any:
        held = getattr(row, name)
        if name in lists:
            return [texts.number(text) for text in held]
        return texts.number(held) if name in single else int(held) if isinstance(held, bool) else held

    return {"fields": names, "lists": lists, "texts": single, "rows": [[value(row, name) for name in names] for row in rows]}


def _cautions(book: Book, say: Say) -> list[dict[str, str]]:
    """Return the cautions of every page, and those that following and checking lines always calls for."""
    areas = [row.area for page in book.pages for row in page.cautions]
    own = {row.area: row.text for page in book.pages for row in page.cautions}
    known = cautions(_AREAS)
    rest = [area for area in dict.fromkeys(areas) if area not in {row.area for row in known}]
    rows = [*known[:-1], *(row for row in cautions(_known(rest)) if row.area in rest), known[-1]]
    return [{"area": row.area, "text": clean(own.get(row.area, say(row.text)))} for row in rows]


def _known(areas: Iterable[str]) -> list[str]:
    return [area for area in areas if area in AREAS]


def _remarks(book: Book) -> list[dict[str, Any]]:
    """Return what the checks say, each once, gravest kinds as the pages have them."""
    rows = dict.fromkeys([*book.faults, *(row for page in book.pages for row in page.remarks)])
    order = {kind: place for place, kind in enumerate(_LOUD)}
    kept = [row for row in rows if row.kind in order]
    return [_cleaned(dump(row)) for row in sorted(kept, key=lambda row: order[row.kind])]


def _paper(page: Page, drawn: Drawn | None) -> dict[str, Any]:
    """Return a page as data; where it is drawn, the numbers of its drawings, and what their things stand for."""
    data = dump(page, without=("tables", "diagram", "plan", "touches"))
    data["tables"] = [_table(table) for table in page.tables]
    if drawn is not None:
        data["drawings"], data["whole"] = list(drawn.sheets), list(drawn.whole)
    elif page.diagram is not None or page.plan is not None:
        data["notes"] = [*page.notes, "This drawing could not be set."]
    if page.plan is not None:
        data["of"] = {thing.id: list(thing.of) for thing in page.plan.things if thing.of}
    made: dict[str, Any] = _cleaned(data)
    return made


def _table(table: Table) -> dict[str, Any]:
    """Return a table; a cell is its text, or its text and its marks."""
    rows = []
    for row in table.rows:
        made: dict[str, Any] = {"cells": [cell.text if not cell.marks else [cell.text, *cell.marks] for cell in row.cells]}
        for name, absent in (("kind", "row"), ("block", None), ("keep", ""), ("marks", ())):
            if getattr(row, name) != absent:
                made[name] = getattr(row, name)
        rows.append(made)
    return {**dump(table, without=("rows",)), "rows": rows}


def _cleaned(item: Any) -> Any:
    """Return plain data with every text as it may be shown."""
    if isinstance(item, str):
        return clean(item)
    if isinstance(item, dict):
        return {clean(key): _cleaned(value) for key, value in item.items()}
    return [_cleaned(value) for value in item] if isinstance(item, (list, tuple)) else item
