"""The pocket book as a file: one, self-contained, inert, the same bytes for the same book."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import attrs
import patchloom_pocket
import pytest
from patchloom_pocket.data import own_words
from patchloom_pocket.document import SCRIPTS, STYLES

from patchloom.errors import PluginError
from patchloom.pages import Page, Row, Table
from patchloom.pages.words import LANGUAGES
from tests.pages.world import HOSTILE, hostile_show, small_book
from tests.plugins.pocket import made, older, pocket_book

FORBIDDEN = (
    *("innerHTML", "outerHTML", "insertAdjacent", "document.write", "DOMParser", "eval(", "new Function", "import("),
    *("fetch(", "XMLHttpRequest", "WebSocket", "EventSource", "sendBeacon", "http:"),
)


class Seen(HTMLParser):
    """Elements with their attributes, and the texts of style, script and data."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[tuple[str, str]] = []
        self._in = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        self._in = f"{tag} {dict(attrs).get('type', '')}".strip()

    def handle_data(self, data: str) -> None:
        if self._in.startswith(("script", "style")) and data.strip():
            self.texts.append((self._in, data))
            self._in = ""


def data_of(text: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(dict(Seen(text).texts)["script application/json"])
    return found


def digest(text: str) -> str:
    return base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()


def test_one_file_with_a_strict_policy() -> None:
    """The policy names the one script and the one style by digest and forbids the rest; nothing is loaded."""
    text = made(pocket_book(hostile_show()))
    seen = Seen(text)
    policy = next(given["content"] for tag, given in seen.elements if given.get("http-equiv") == "Content-Security-Policy") or ""
    rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
    texts = dict(seen.texts)
    assert rules["default-src"] == rules["connect-src"] == rules["base-uri"] == rules["form-action"] == "'none'"
    assert rules["script-src"] == f"'sha256-{digest(texts['script'])}'"
    assert rules["style-src"] == f"'sha256-{digest(texts['style'])}'"
    assert "unsafe" not in policy
    assert rules["require-trusted-types-for"] == "'script'"
    tags = [tag for tag, _ in seen.elements]
    assert not {"link", "iframe", "object", "embed", "img", "base", "form", "image", "use", "foreignobject"} & set(tags)
    assert tags.count("script") == 2
    names = {name for _, given in seen.elements for name in given}
    assert not {name for name in names if name.startswith("on")} | ({"src", "style", "action", "srcdoc"} & names)


def test_the_script_never_makes_markup_or_asks_the_network() -> None:
    """Texts come in as text only; no code is made of text, nothing is fetched."""
    script = dict(Seen(made(pocket_book())).texts)["script"]
    for word in FORBIDDEN:
        assert word not in script.replace('"http://www.w3.org/2000/svg"', ""), word


def test_hostile_names_are_data() -> None:
    """Each name stands whole in the data, control characters and direction overrides aside; none ends the data block."""
    table = Table("t", columns=(), rows=tuple(Row((name,)) for name in HOSTILE))
    book = attrs.evolve(pocket_book(hostile_show()), pages=(Page("table", "x", subject="s", tables=(table,)),))
    text = made(book)
    raw = dict(Seen(text).texts)["script application/json"]
    assert not set("<>&\u2028\u2029") & set(raw)
    cells = [row["cells"][0] for row in data_of(text)["papers"][0]["tables"][0]["rows"]]
    assert cells == ["".join(sign if sign.isprintable() else " " if sign == "\x1b" else "" for sign in name) for name in HOSTILE]
    assert {row["name"] for row in data_of(text)["signals"]} & set(cells) >= {cells[0], cells[3], cells[6], cells[9]}
    long = attrs.evolve(book, stamp=attrs.evolve(book.stamp, show="x" * 10_000))
    assert data_of(made(long))["stamp"]["show"] == "x" * 10_000


def test_everything_of_the_book_is_in_it() -> None:
    """Every row of every table, every step, every remark that must be said, every drawing."""
    book = pocket_book()
    data = data_of(made(book))
    for page, paper in zip(book.pages, data["papers"], strict=True):
        cells = [
            [cell if isinstance(cell, str) else cell[0] for cell in row["cells"]]
            for table in paper["tables"]
            for row in table["rows"]
        ]
        assert cells == [[cell.text for cell in row.cells] for table in page.tables for row in table.rows]
        assert [row["text"] for row in paper.get("remarks", [])] == [row.text for row in page.remarks]
        assert [row["area"] for row in paper.get("cautions", [])] == [row.area for row in page.cautions]
        assert bool(paper.get("drawings")) == (page.kind in ("diagram", "plan"))
    said = {row["kind"] for row in data["remarks"]}
    assert {"safety", "warn", "unmet", "unhonoured"} <= said
    assert [row["area"] for row in data["cautions"]][-1] == "law"


def test_same_bytes_twice_and_files_in_the_order_named() -> None:
    """The same book and options give the same bytes; the theme is an option, any other word is refused."""
    assert made(pocket_book()) == made(pocket_book())
    assert 'data-theme="dark"' in made(pocket_book(), theme="dark")
    with pytest.raises(PluginError, match="pocket: theme: 'pink' is none of"):
        made(pocket_book(), theme="pink")
    with pytest.raises(PluginError, match="no such option: tehme; did you mean 'theme'"):
        made(pocket_book(), tehme="dark")
    assert len(set(SCRIPTS)) == len(SCRIPTS)
    assert len(set(STYLES)) == len(STYLES)


def test_a_book_without_paths_is_still_a_book() -> None:
    """Papers made without paths, or a book of nothing, make a file all the same."""
    assert data_of(made(small_book()))["paths"]["rows"] == []
    assert data_of(made(attrs.evolve(small_book(), pages=())))["papers"] == []


def test_changes_are_told_against_the_patch_before() -> None:
    """Moved sockets, moved channels and lines that are no more are told in words, and counted on the stamp."""
    book = pocket_book(previous=older())
    assert book.paths is not None
    assert book.stamp is not None
    changes = {(path.to, path.leg): path.changes for path in book.paths.paths if path.changes}
    assert changes["foh", "kick"] == ("came in at BOX-2", "was at FOH ch-1")
    assert changes["mon", "kick"] == ("came in at BOX-2",)
    assert changes["foh", "pack"] == ("was at FOH ch-2",)
    assert [(row.leg, row.to) for row in book.paths.gone] == [("talk", "rec")]
    assert book.stamp.changes == len(changes) + 1
    assert pocket_book().paths.changed == 0  # type: ignore[union-attr]


def own_keys() -> set[str]:
    """Return every fixed text the script and the shell say."""
    home = Path(patchloom_pocket.__file__).parent
    script = "".join(path.read_text(encoding="utf-8") for path in sorted((home / "script").glob("*.js")))
    text = r'"((?:[^"\\]|\\.)*)"'
    keys = set(re.findall(rf"\b(?:say|phrase)\(\s*{text}", script))
    for pair in re.findall(rf"\bplural\([^,]+,\s*{text},\s*{text}", script):
        keys.update(pair)
    return keys | set(re.findall(r'data-say(?:-label)?="([^"]*)"', (home / "shell.html").read_text(encoding="utf-8")))


def test_every_word_of_its_own_is_in_every_language() -> None:
    """Each language of the papers has all fixed texts of the pocket book, the same things filled in, and none left over."""
    for language in LANGUAGES[1:]:
        words = own_words(language)
        assert set(words) == own_keys()
        for english, other in words.items():
            assert sorted(re.findall(r"\{\w+\}", english)) == sorted(re.findall(r"\{\w+\}", other)), english
    assert own_words("en") == {}


def test_style_words_cannot_leave_their_string() -> None:
    """A show's name in the foot of printed sheets is written so that no sign of it ends the string."""
    book = pocket_book()
    text = made(attrs.evolve(book, stamp=attrs.evolve(book.stamp, show='x"; } </style> \\ \n body{}')))
    style = dict(Seen(text).texts)["style"]
    foot = re.findall(r'@bottom-left \{ content: "([^"]*)"; \}', style)
    assert len(foot) == 1
    assert set("<>{}\n") & set(foot[0]) == set()
