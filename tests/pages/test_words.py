"""Fixed words come from a catalogue, every one of them, and none is left in English where another language is asked for."""

from __future__ import annotations

import ast
import html
import json
import re
from collections.abc import Iterator
from importlib.metadata import entry_points
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import attrs
import pytest

import patchloom
from patchloom.errors import PatchloomError
from patchloom.model.base import dump
from patchloom.pages import Book, Page, Stamp, words
from patchloom.pages.forms import FORMS, form_page
from patchloom.plugins import load, load_all
from patchloom.show_day.paths import paths
from tests.pages.world import FINDINGS, patch, rig, show
from tests.scenarios.reading import solved

PACKAGE = Path(patchloom.__file__).parent
FILES = sorted((PACKAGE / "pages" / "languages").glob("*.json"))


def shipped() -> Iterator[Path]:
    """Yield the folders of the shipped plugins, installed or beside the sources."""
    groups = ("patchloom.papers", "patchloom.renderers", "patchloom.importers")
    names = {row.value.partition(":")[0].partition(".")[0] for group in groups for row in entry_points(group=group)}
    for name in sorted(names):
        spec = find_spec(name) if name.startswith("patchloom_") else None
        if spec is not None and spec.origin is not None:
            yield Path(spec.origin).parent


FOLDERS = (PACKAGE / "pages", PACKAGE / "drawing", PACKAGE / "show_day", *shipped())
SOURCES = sorted(path for folder in FOLDERS for path in folder.glob("*.py"))
UNITS = {"m", "ft", "dB", "dBu", "Hz", "kHz", "mm", "s", "V", "DI", "XLR", "sha256", "SHA", "LEDs", "SR", "SL"}
"""What is no word: units and signs."""


def catalogue(path: Path) -> tuple[dict[str, str], list[str]]:
    data = json.loads(path.read_text(encoding="utf-8"))
    return data["words"], data["same"]


def literals(path: Path) -> Iterator[str]:
    """Yield the texts that are said as they stand in a source."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and node.args:
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            first = node.args[0]
            parts = [first.body, first.orelse] if isinstance(first, ast.IfExp) else [first]
            if name == "say":
                yield from (part.value for part in parts if isinstance(part, ast.Constant) and part.value)


def test_there_is_a_file_for_every_language() -> None:
    """Each language but the papers' own has a catalogue, and each catalogue is of a language that can be asked for."""
    assert [path.stem for path in FILES] == sorted(set(words.LANGUAGES) - {"en"})


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_no_word_is_left_untranslated(path: Path) -> None:
    """Every entry says something else than the English, with the same things to fill in; what is alike is declared so."""
    said, same = catalogue(path)
    assert [key for key, text in said.items() if not text.strip() or text == key] == []
    assert sorted(set(same) & set(said)) == []
    for key, text in said.items():
        assert sorted(re.findall(r"{(\w+)}", key)) == sorted(re.findall(r"{(\w+)}", text)), key


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_no_word_that_is_said_is_missing(path: Path) -> None:
    """Every text said in a source of the papers is in the catalogue, or declared to be the same."""
    said, same = catalogue(path)
    missing = [(source.name, text) for source in SOURCES for text in literals(source) if text not in said and text not in same]
    assert missing == []


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_no_entry_is_dead(path: Path) -> None:
    """Every entry stands somewhere in a source: what nobody says any more is taken out."""
    said, same = catalogue(path)
    there: set[str] = set()
    for source in (*SOURCES, PACKAGE / "finding.py", PACKAGE / "check" / "proof.py"):
        for node in ast.walk(ast.parse(source.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                there.add(node.value)
    known = set(ROLES) | {"stop", "safety", "warn", "advice", "note"} | set(lamps())
    assert [key for key in (*said, *same) if key not in there and key not in known] == []


NO_WORDS = {
    *("id", "kind", "paper", "subject", "touches", "digest", "language", "area", "position", "sign", "carries"),
    *("size", "marks", "arrows", "flow", "side", "depth", "keep", "of"),
}
"""Fields of a page that are never printed as they stand."""

ROLES = (
    *("desk", "box", "split", "multicore", "converter", "rate-converter", "recorder", "personal-mixer", "network", "amplifier"),
    *("transmitter", "loudspeaker-line", "comms", "other", "mic", "di", "radio", "line", "playback", "talkback", "digital"),
    *("performer", "instrument", "drums", "keys", "amp", "riser", "wedge", "ear", "power", "obstacle", "stairs", "walkway"),
    *("table", "trim", "polarity", "filter", "delay", "insert", "processing", "mute", "fader", "patch", "preamps", "outputs"),
    *("intake", "link", "pool", "sockets", "channels", "mixes", "blocks", "slots", "local", "port", "network"),
    *("found", "not checked", "in part", "checked", "not asked", "not applicable"),
)
"""Words of the documents that papers print: kinds, roles, taps, doors, states."""


def lamps() -> Iterator[str]:
    """Yield what the shipped types say is to be looked at."""
    for path in sorted((PACKAGE / "library" / "types").glob("*.json")):
        for told in re.findall(r'"look_at": ({[^}]*})', path.read_text(encoding="utf-8")):
            yield from json.loads(told).values()


def texts(item: Any) -> Iterator[str]:
    if isinstance(item, str):
        yield item
    elif isinstance(item, dict):
        for key, value in item.items():
            if key not in NO_WORDS:
                yield from texts(value)
    elif isinstance(item, (list, tuple)):
        for value in item:
            yield from texts(value)


def tokens(text: str) -> list[str]:
    return re.findall(r"[^\W\d_]+", text)


def worlds() -> Iterator[tuple[Any, Any, Any]]:
    yield rig(), show(), patch()
    yield solved("demo")


@pytest.mark.parametrize("number", [0, 1], ids=["hand-made", "demo"])
def test_nothing_but_names_is_left_when_every_word_is_struck_out(number: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """With a language in which every fixed word is a dot, what a paper still prints are names, ids and units.

    What checks and solver say, findings and notes, are their own words and not asked about.
    """
    monkeypatch.setattr(words, "catalogue", lambda language: STRUCK)
    given = tuple(worlds())[number]
    known = names_of(given)
    found = []
    for name, paper in load_all("papers").objects.items():
        for page in paper(*given, (), options={"language": "de", "short": 40}):
            left = {word for text in texts(dump(page)) for word in tokens(text)} - known - _own_words(name, page)
            found += [(name, page.subject, sorted(left))] if left else []
    assert found == []


def struck() -> dict[str, str]:
    """Return a language in which every letter of a fixed word is a dot."""
    said, same = catalogue(FILES[0])
    return {
        key: "".join(part if part.startswith("{") else re.sub(r"[^\W\d_]", "\u00b7", part) for part in re.split(r"({\w+})", key))
        for key in (*said, *same)
    }


STRUCK = struck()


def names_of(given: tuple[Any, Any, Any]) -> set[str]:
    """Return the words that documents hold, and units."""
    known = {word for row in given for text in texts_of_documents(dump(row)) for word in tokens(text)} | UNITS
    return known | {word.upper() for word in known}


@pytest.mark.parametrize("number", [0, 1], ids=["hand-made", "demo"])
def test_ways_say_no_fixed_word_but_from_the_catalogue(number: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """How a leg comes to a place, who can change that and what to look at: with every fixed word struck out, names are left."""
    monkeypatch.setattr(words, "catalogue", lambda language: STRUCK)
    given = tuple(worlds())[number]
    told = paths(*given, previous=attrs.evolve(given[2], settings=_other(given[2].settings)), language="de")
    known = names_of(given) | {"new"}
    rows = (*told.hops, *told.paths, *told.gone, *(row.about for row in told.signals))
    read = [text for row in rows for text in texts(row if isinstance(row, tuple) else _said(row))]
    assert sorted({word for text in read for word in tokens(text)} - known) == []
    assert {row.listen for row in told.hops} & set(lamps()) == set()


def _said(row: Any) -> list[Any]:
    """Return the words of a hop, a path or a line that is no more."""
    names = ("line", "how", "who", "listen", "place", "notes", "phantom", "gain", "trim", "changes", "was")
    return [getattr(row, name) for name in names if hasattr(row, name)]


def _other(settings: Any) -> Any:
    """Return settings of an issue before: the last line was not there, all others came in elsewhere, and 48 V was otherwise."""
    first = settings[0]
    routes = tuple(attrs.evolve(row, hops=(first.routes[0].hops[0], *row.hops[1:])) for row in first.routes[:-1])
    power = tuple(attrs.evolve(row, on=not row.on) for row in first.phantom)
    owners = tuple(attrs.evolve(row, owner="") for row in first.owners)
    return (attrs.evolve(first, routes=routes, phantom=power, owners=owners), *settings[1:])


@pytest.mark.parametrize("format", ["text", "markdown", "csv", "svg"])
def test_formats_say_no_fixed_word_but_from_the_catalogue(format: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Stamps, heads of tables and kinds of things, which a format says itself, come from the catalogue too."""
    monkeypatch.setattr(words, "catalogue", lambda language: STRUCK)
    given = next(worlds())
    pages = tuple(
        attrs.evolve(page, paper=name)
        for name, paper in load_all("papers").objects.items()
        if name != "proof-page"
        for page in paper(*given, (), options={"language": "de", "short": 40})
    )
    stamp = Stamp(show="B", revision="B", replaces="A", generated="2030", approver="A", patch="sha256:0", changes=3)
    made = Book(stamp=stamp, pages=pages)
    known = names_of(given) | {word for page in pages for text in texts(dump(page)) for word in tokens(text)} | {"B", "A"}
    found = []
    for artifact in load("renderers", format)(made, None):
        text = artifact.bytes.decode("utf-8")
        if format == "svg":
            text = " ".join(re.findall(r"<text[^>]*>([^<]*)<", text))
        left = set(tokens(html.unescape(text))) - known
        found += [(artifact.name, sorted(left))] if left else []
    assert found == []


def test_a_paper_in_another_language_says_that_the_checks_speak_english() -> None:
    """One fixed line on each paper that quotes the checks; none on a paper in the checks' own language."""
    line = words.say_in("de")("What the checks have to say, rules and assumptions included, is in their own words, in English.")
    for language in ("en", "de"):
        book = patchloom.book(rig(), show(), patch(), findings=FINDINGS, options={"language": language})
        for page in book.pages:
            quotes = page.paper == "proof-page" or any(row.kind != "note" for row in page.remarks)
            told = [row.text for row in page.remarks].count(line)
            assert told == (page.language == "de") * quotes, page.title


def texts_of_documents(item: Any) -> Iterator[str]:
    if isinstance(item, str):
        yield item
    elif isinstance(item, dict):
        for key, value in item.items():
            yield str(key)
            yield from texts_of_documents(value)
    elif isinstance(item, (list, tuple)):
        for value in item:
            yield from texts_of_documents(value)


def _own_words(name: str, page: Page) -> set[str]:
    """Return the words of the checks on a page: names of rules and what is assumed."""
    if name != "proof-page":
        return set()
    rows = [cell.text for table in page.tables if table.id in ("rules", "quiet") for row in table.rows for cell in row.cells]
    return {word for text in (*rows, *page.notes) for word in tokens(text)}


def test_forms_are_said_in_every_language() -> None:
    """The heads of the papers that answer a change are in the catalogue too, and so is what stands in an empty one."""
    said, same = catalogue(FILES[0])
    for form in FORMS.values():
        page = next(iter(words.translated([form_page(form, {}, subject="x")], words.say_in("de"))))
        assert page.title != form.title
        for table in form.tables:
            for text in (table.title, table.empty, *(column.title for column in table.columns)):
                assert not text or text in said or text in same, text


def test_a_language_nobody_has_is_refused() -> None:
    """The languages there are, are named."""
    with pytest.raises(PatchloomError, match="'fr' is none of en, de"):
        words.catalogue("fr")
    with pytest.raises(PatchloomError, match="is none of en, de"):
        patchloom.book(rig(), show(), patch(), findings=FINDINGS, options={"language": "fr"})


def test_names_are_never_translated() -> None:
    """A list called like a fixed word keeps its name at the head of a column."""
    from patchloom.pages import Column, Table

    page = Page("table", "Line check", tables=(Table("t", columns=(Column("list-rate", "Line"), Column("line", "Line"))),))
    made = next(iter(words.translated([page], words.say_in("de"))))
    assert [column.title for column in made.tables[0].columns] == ["Line", "Leitung"]
    assert (made.title, made.language) == ("Line-Check", "de")
