"""The public functions in a row: what goes in is not altered, what comes out is whole, what breaks is named."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import attrs
import pytest

import patchloom
from patchloom import pages, pipeline, plugins
from patchloom.errors import DocumentError, PluginError
from patchloom.model.base import build, dump

RIG = {
    "format": "rig/1",
    "name": "A small club",
    "rate": 48000,
    "devices": {"BOX": "stage-box-16", "FOH": "desk-per-slot"},
    "links": [{"id": "K1", "join": ["BOX.main", "FOH.a"], "format": "category-32"}],
    "clock": {"leader": "FOH"},
}
SHOW = {
    "format": "show/1",
    "name": "Duo",
    "sources": [{"ids": ["gtr", "vox"], "phantom": "no"}, {"ids": ["keys"], "legs": ["L", "R"]}],
    "plug": [{"sources": "all", "into": "BOX.mic"}],
    "lists": [{"position": "foh", "at": "FOH.ch", "wants": ["vox", "gtr", "keys"]}],
    "feeds": [{"ids": ["pa"], "mixed_at": "foh", "to": "FOH.line[1]"}],
}


@pytest.fixture(scope="module")
def night() -> tuple[Any, Any, Any]:
    """Return a solved rig, show and patch."""
    rig = patchloom.read_rig(RIG)
    show = patchloom.read_show(SHOW, rig)
    return rig, show, patchloom.solve(rig, show)


def test_read_takes_paths_bytes_and_dicts_and_alters_none(tmp_path: Path) -> None:
    """A document is the same whichever way it comes; a dict that is read stays as it was."""
    before = copy.deepcopy(RIG)
    path = tmp_path / "rig.json"
    path.write_text(json.dumps(RIG), encoding="utf-8")
    forms = [patchloom.read_rig(form) for form in (RIG, path, str(path), path.read_bytes())]
    assert all(form == forms[0] for form in forms)
    assert before == RIG


def test_what_is_written_reads_as_the_same(night: tuple[Any, Any, Any], tmp_path: Path) -> None:
    """read(write(x)) == x for rig, show and patch, and the digest is the same; the file holds what is returned."""
    readers = (patchloom.read_rig, patchloom.read_show, patchloom.read_patch)
    for item, read in zip(night, readers, strict=True):
        path = tmp_path / "document.json"
        text = patchloom.write(item, path)
        assert path.read_text(encoding="utf-8") == text
        again = read(path)
        assert again == item
        assert patchloom.digest(again) == patchloom.digest(item)


def test_two_spellings_and_a_rig_built_in_python_agree() -> None:
    """The expanded form, read or built, has the digest of the short one."""
    rig = patchloom.read_rig(RIG)
    built = build(patchloom.Rig, json.loads(json.dumps(dump(rig))))
    assert built == rig
    assert patchloom.digest(built) == patchloom.digest(rig)


def test_a_show_is_checked_against_a_rig_that_is_given() -> None:
    """Addresses are checked only where there is a rig to check them against."""
    show = {**SHOW, "lists": [{"position": "foh", "at": "FOX.ch", "wants": ["vox"]}]}
    patchloom.read_show(show)
    with pytest.raises(DocumentError, match="FOX"):
        patchloom.read_show(show, patchloom.read_rig(RIG))


def test_a_patch_says_what_it_answers_and_who_made_it(night: tuple[Any, Any, Any]) -> None:
    """Digests of rig, show and previous patch, and the program with its version, stand in the patch."""
    rig, show, patch = night
    assert patch.rig == patchloom.digest(rig)
    assert patch.show == patchloom.digest(show)
    assert patch.made_by == f"patchloom {patchloom.__version__}"
    assert patch.previous == ""
    assert patchloom.solve(rig, show, previous=patch).previous == patchloom.digest(patch)


def test_solve_says_how_far_it_is(night: tuple[Any, Any, Any]) -> None:
    """progress is called with lines of text, and makes no difference to the answer."""
    rig, show, patch = night
    lines: list[object] = []
    assert patchloom.solve(rig, show, progress=lines.append) == patch


def test_verify_and_check_find_nothing_grave(night: tuple[Any, Any, Any]) -> None:
    """A patch that solve returns has no unwaived stop or safety; judge is both in one."""
    found = (*patchloom.verify(*night), *patchloom.check(*night))
    assert not [row for row in found if row.severity in ("stop", "safety")]
    assert set(found) <= set(pipeline.judge(*night))


def test_rules_given_are_the_only_ones_asked(night: tuple[Any, Any, Any]) -> None:
    """check with rules asks those alone; one that breaks is a finding of its own and the others still speak."""

    def loud(rig: object, show: object, patch: object) -> list[patchloom.Finding]:
        return [patchloom.Finding("loud", "advice", "Turn it down.")]

    def torn(rig: object, show: object, patch: object) -> list[patchloom.Finding]:
        raise RuntimeError("torn")

    assert [row.rule for row in patchloom.check(*night, [loud])] == ["loud"]
    assert [row.rule for row in patchloom.check(*night, [("torn", torn), loud])] == ["rule-broken", "loud"]


def test_an_installed_rule_that_cannot_be_loaded_is_a_finding(
    night: tuple[Any, Any, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A broken entry point is named with its package and reason, and the rest goes on."""
    broken = plugins.Broken(plugins.Plugin("rules", "torn", "nowhere:rule", "strange", "3.1"), "ModuleNotFoundError: nowhere")
    monkeypatch.setattr(plugins, "load_all", lambda _: plugins.Loaded({}, (broken,)))
    [row] = patchloom.check(*night)
    assert row.rule == "rule-broken"
    assert "strange 3.1" in row.message


def test_a_book_asks_for_findings_itself(night: tuple[Any, Any, Any]) -> None:
    """Without findings, the book's are those of verify and every installed rule."""
    given = patchloom.book(*night, findings=pipeline.judge(*night), date="today")
    assert patchloom.book(*night, date="today") == given
    assert given.stamp is not None
    assert given.stamp.patch == patchloom.digest(night[2])


def test_a_paper_that_cannot_be_loaded_is_named_in_the_book(night: tuple[Any, Any, Any], monkeypatch: pytest.MonkeyPatch) -> None:
    """One broken paper leaves the others; asked for by name, it is an error."""
    broken = plugins.Broken(plugins.Plugin("papers", "torn", "nowhere:pages", "strange", "3.1"), "ModuleNotFoundError: nowhere")
    monkeypatch.setattr(plugins, "load_all", lambda kind: plugins.Loaded({}, (broken,) if kind == "papers" else ()))
    [fault] = patchloom.book(*night).faults
    assert "strange 3.1" in fault.text
    with pytest.raises(PluginError, match="did you mean 'input-list'"):
        patchloom.book(*night, papers=["input-lists"])


def test_a_renderer_must_give_artifacts(night: tuple[Any, Any, Any], monkeypatch: pytest.MonkeyPatch) -> None:
    """A renderer that answers out of contract is an error that names it and what it gave."""
    monkeypatch.setattr(plugins, "load", lambda kind, name: lambda book, options: ["a file"])
    with pytest.raises(PluginError, match="renderer odd gave a str"):
        patchloom.render(pages.Book(), "odd")


def test_the_same_book_gives_the_same_bytes(night: tuple[Any, Any, Any]) -> None:
    """Every format renders a book to the same bytes each time."""
    book = patchloom.book(*night, date="2026-06-01 10:00 +0000")
    for name in ("csv", "html", "svg", "text"):
        assert patchloom.render(book, name) == patchloom.render(book, name)


def test_inputs_are_not_altered(night: tuple[Any, Any, Any]) -> None:
    """Nothing that is handed in changes on the way: model objects are frozen, and compare equal afterwards."""
    rig, show, patch = night
    before = copy.deepcopy((rig, show, patch))
    patchloom.render(patchloom.book(rig, show, patch), "csv")
    patchloom.trace(rig, show, patch, "foh", 1)
    assert (rig, show, patch) == before
    with pytest.raises(attrs.exceptions.FrozenInstanceError):
        rig.name = "another"
