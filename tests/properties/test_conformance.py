"""The conformance checks pass what keeps its contract, and name what does not."""

from __future__ import annotations

import datetime
import os
import random
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import attrs
import pytest

from patchloom import plugins, testing
from patchloom.finding import Finding, Imported, Remark
from patchloom.model.base import Table
from patchloom.pages import Artifact, Book, Column, Page
from patchloom.pages import Table as Rows
from patchloom.testing.conformance import Breach, check_importer, check_paper, check_renderer, check_rule
from patchloom.testing.watch import watched

CHECKS: dict[str, Callable[[Any], None]] = {
    "importers": check_importer,
    "papers": check_paper,
    "renderers": check_renderer,
    "rules": check_rule,
}


@pytest.mark.parametrize("kind", CHECKS)
def test_every_shipped_plugin_keeps_its_contract(kind: str) -> None:
    """All plugins that are installed here pass the check an author would run."""
    loaded = plugins.load_all(kind)
    assert loaded.broken == ()
    CHECKS[kind](*loaded.objects.values())


def quiet_rule(rig: Any, show: Any, patch: Any) -> Iterator[Finding]:
    """Yield one finding about the rig, if it has any device."""
    for device in list(rig.devices)[:1]:
        yield Finding("trial", "advice", "Something.", (device,))


def hash_rule(rig: Any, show: Any, patch: Any) -> Iterator[Finding]:
    """Yield findings in the order of a set: what one must not do."""
    for device in {*rig.devices, *show.signals()}:
        yield Finding("trial", "advice", f"Something about {device}.", (device,))


def quiet_paper(rig: Any, show: Any, patch: Any, findings: Any) -> list[Page]:
    """Return one page."""
    return [Page(kind="table", title="Trial", tables=(Rows("trial", columns=(Column("n", "No."),)),))]


def quiet_renderer(book: Book, options: Any) -> Iterator[Artifact]:
    """Yield one file a page."""
    for number, page in enumerate(book.pages, 1):
        yield Artifact(f"page-{number}.txt", "text/plain; charset=utf-8", page.title.encode())


def quiet_importer(data: bytes) -> Imported:
    """Return an empty show, whatever the bytes."""
    return Imported({"format": "show/1", "name": f"{len(data)} bytes"})


@pytest.mark.parametrize(
    ("check", "function"),
    [(check_rule, quiet_rule), (check_paper, quiet_paper), (check_renderer, quiet_renderer), (check_importer, quiet_importer)],
)
def test_what_keeps_its_contract_passes(check: Callable[[Any], None], function: Any) -> None:
    """A small plugin of each kind passes, and so does one that no name leads to."""
    check(function)
    check(lambda *given: function(*given))


def test_a_function_under_a_name_that_is_another_s() -> None:
    """Where the name leads to another function, only this process is asked."""

    def rule(rig: Any, show: Any, patch: Any) -> list[Finding]:
        return []

    rule.__qualname__ = "hash_rule"
    check_rule(rule)


def breach(check: Callable[[Any], None], function: Any) -> str:
    """Return what a check says against a function."""
    with pytest.raises(Breach) as raised:
        check(function)
    assert raised.value.reasons
    return str(raised.value)


def finding(**more: Any) -> Callable[..., list[Any]]:
    """Return a rule that gives one finding with something changed."""
    row = attrs.evolve(Finding("trial", "warn", "Something."), **more)
    return lambda *_: [row]


COUNT = iter(range(10**6))


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        (lambda rig, show, patch: 1 / 0, "ZeroDivisionError"),
        (lambda rig, show, patch: ["words"], "it gave a str where a Finding is due"),
        (finding(severity="bad"), "severity 'bad' is none of"),
        (finding(message=" "), "has no rule or no message"),
        (finding(period="never"), "there is no period 'never'"),
        (finding(where=("NOWHERE",)), "names NOWHERE, which is not there"),
        (finding(where=("BOX1.mic[999]",)), r"names BOX1.mic[999], which is not there"),
        (finding(where=("BOX1.nothing[1]",)), "names BOX1.nothing[1], which is not there"),
        (finding(where=("[",)), "names [, which is not there"),
        (lambda rig, show, patch: [Finding("trial", "warn", str(next(COUNT)))], "answered differently the second time"),
        (lambda rig, show, patch: time.time() and [], "reads the clock (time.time)"),
        (lambda rig, show, patch: datetime.datetime.now() and [], "reads the clock (datetime.now)"),
        (lambda rig, show, patch: datetime.date.today() and [], "reads the clock (date.today)"),
        (lambda rig, show, patch: os.urandom(1) and [], "throws dice (os.urandom)"),
        (lambda rig, show, patch: random.random() and [], "throws dice (random.random)"),
        (hash_rule, "depends on the hash seed"),
    ],
)
def test_rules_that_break_their_contract(rule: Any, words: str) -> None:
    """Each way to be wrong is named."""
    assert words in breach(check_rule, rule)


def test_a_rule_that_alters_what_it_is_given() -> None:
    """Frozen objects can be forced; it is found."""

    def rule(rig: Any, show: Any, patch: Any) -> list[Finding]:
        object.__setattr__(show, "about", f"{show.about}x")
        return []

    assert "altered what it was given" in breach(check_rule, rule)


def test_writing_files_is_heard(tmp_path: Path) -> None:
    """A file opened for writing is named, whichever way; reading one is not."""
    target = tmp_path / "out.txt"

    def write(rig: Any, show: Any, patch: Any) -> list[Finding]:
        target.write_text("x")
        os.close(os.open(target, os.O_WRONLY))
        target.read_text()
        (tmp_path / "dir").mkdir(exist_ok=True)
        return []

    said = breach(check_rule, write)
    assert said.count(f"writes the file {target}") >= 1
    assert "does os.mkdir" in said


def test_dice_of_ones_own_are_no_dice() -> None:
    """A seeded generator of the plugin's own is steady; so is reading a file."""
    answer, did = watched(lambda: random.Random(5).random())
    assert did == []
    assert answer == random.Random(5).random()
    _, did = watched(lambda: Path(__file__).read_bytes())
    assert did == []


@pytest.mark.parametrize(
    ("pages", "words"),
    [
        (["words"], "something that is no Page"),
        ([Page(kind="poem", title="x")], "a page of kind 'poem'"),
        ([Page(kind="table", title="x", position="nobody")], "there is no position 'nobody'"),
        ([Page(kind="table", title="x", period="never")], "there is no period 'never'"),
        ([Page(kind="table", title="x", touches=("NOWHERE",))], "`touches` names NOWHERE"),
        ([Page(kind="table", title="x", notes=("see BOX1.mic[999]",))], "prints BOX1.mic[999], which is not there"),
        ([Page(kind="table", title="x"), Page(kind="table", title="x")], "two pages have the same title"),
        ([Page(kind="table", title="a\x07b")], "no page document"),
    ],
)
def test_papers_that_break_their_contract(pages: list[Any], words: str) -> None:
    """Each way to be wrong is named."""
    assert words in breach(check_paper, lambda *_: pages)


@pytest.mark.parametrize(
    ("made", "words"),
    [
        (["words"], "it gave a str where an Artifact is due"),
        ([Artifact("../up.txt", "text/plain", b"")], "letters, digits"),
        ([Artifact("a b.txt", "text/plain", b"")], "letters, digits"),
        ([Artifact("a.txt", "plain", b"")], "it needs bytes and a media type"),
        ([Artifact("a.txt", "text/plain", "text")], "it needs bytes and a media type"),  # type: ignore[arg-type]
        ([Artifact("a.txt", "text/plain", b""), Artifact("A.txt", "text/plain", b"")], "two files have the same name"),
        ([Artifact("a.txt", "text/plain", b"\xff")], "text that is not UTF-8"),
        ([Artifact("a.html", "text/html; charset=utf-8", b"<script>alert(1)</script>")], "a name is taken for markup"),
        ([Artifact("a.svg", "image/svg+xml", b"<svg>")], "it is not well formed"),
        ([Artifact("a.csv", "text/csv", b"1,=1+1\n")], "a spreadsheet would run the cell '=1+1'"),
        ([], "it gave nothing for a book with pages of every kind"),
    ],
)
def test_renderers_that_break_their_contract(made: list[Any], words: str) -> None:
    """Each way to be wrong is named."""
    assert words in breach(check_renderer, lambda *_: made)


def test_bytes_that_are_no_text_are_let_be() -> None:
    """What is no text is not read as text; a negative number is no formula."""
    check_renderer(
        lambda *_: [
            Artifact("a.bin", "application/octet-stream", b"\xff"),
            Artifact("a.csv", "text/csv", b"-2,x\n"),
            Artifact("a.xml", "application/xml", b"<a/>"),
        ]
    )


@pytest.mark.parametrize(
    ("made", "words"),
    [
        ({"format": "show/1"}, "it gave a dict where an Imported is due"),
        ([], "it gave a list where an Imported is due"),
        (Imported({"format": "show/1", "nonsense": 1}), "no show document"),
        (Imported({"format": "show/1"}, guesses=(Remark("A1", ""),)), "`guesses` holds something"),
        (Imported({"format": "show/1"}, skipped=("words",)), "`skipped` holds something"),  # type: ignore[arg-type]
        (Imported({"format": "show/1"}, rows_read=-1), "it says it read -1 rows"),
    ],
)
def test_importers_that_break_their_contract(made: Any, words: str) -> None:
    """Each way to be wrong is named."""
    assert words in breach(check_importer, lambda _: made)


def fragile_rule(rig: Any, show: Any, patch: Any) -> list[Finding]:
    """Raise under hash seeds other than this process's own."""
    if os.environ.get("PYTHONHASHSEED") in ("1", "2"):
        raise RuntimeError("not under this seed")
    return []


def test_a_rule_that_fails_in_another_process(monkeypatch: pytest.MonkeyPatch) -> None:
    """What goes wrong only elsewhere is named with its hash seed."""
    monkeypatch.delenv("PYTHONHASHSEED", raising=False)
    assert "under hash seed 1 it raised" in breach(check_rule, fragile_rule)


def test_frozen_tables_stay() -> None:
    """What a plugin is given cannot be changed by the ordinary means."""
    with pytest.raises(TypeError):
        Table(a=1)["a"] = 2


def test_public_names_are_loaded_when_asked_for() -> None:
    """Every public name of the package is there, and no other."""
    assert all(getattr(testing, name) is not None for name in testing.__all__)
    with pytest.raises(AttributeError, match="has no attribute 'nothing'"):
        _ = testing.nothing
