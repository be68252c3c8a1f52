"""Corners of the commands: things that are rare and must still come out right."""

from __future__ import annotations

import json
from pathlib import Path

import attrs
import pytest

from patchloom import pages, pipeline, plugins
from patchloom.cli.demo import _command
from patchloom.finding import Finding
from patchloom.model.patch import Setting
from patchloom.model.show import Show

from .conftest import CLUB_SHOW, write_club


def test_a_waived_stop_lets_verify_pass(club: Path, run, monkeypatch: pytest.MonkeyPatch) -> None:
    """verify applies the show's waivers for its own checks, and says when one matches nothing."""
    waiver = {"rule": "one-feeder", "where": ["BOX"], "who": "A. Engineer", "why": "known"}
    write_club(club, show={"waivers": [waiver]})
    assert run("-C", club, "solve").status == 0
    assert "waiver-unused" in run("-C", club, "verify").out
    monkeypatch.setattr(pipeline, "verify", lambda *_, **__: (Finding("one-feeder", "stop", "Two feed one.", ("BOX.mic[1]",)),))
    answer = run("-C", club, "verify")
    assert answer.status == 0
    assert "waived: A. Engineer: known" in answer.out
    assert run("-C", club, "solve", "--fresh").status == 0


def test_outdated_papers_are_taken_away_and_named(solved: Path, run) -> None:
    """A paper of an earlier run that is no longer made goes, and the command says so."""
    run("-C", solved, "papers", "--format", "csv", "--format", "text")
    answer = run("-C", solved, "papers", "--format", "csv")
    assert "no longer made; removed" in answer.out
    assert not (solved / "papers" / "text").exists()
    assert list((solved / "papers" / "csv").glob("*.csv"))


def test_a_grave_finding_is_said_when_papers_are_made(solved: Path, run, monkeypatch: pytest.MonkeyPatch) -> None:
    """papers are still made, the finding is on them and on standard error, and the status is 1."""
    found = (Finding("a-rule", "stop", "This will not work."),)
    monkeypatch.setattr(pipeline, "judge", lambda *_, **__: found)
    answer = run("-C", solved, "papers", "--format", "text")
    assert answer.status == 1
    assert "This will not work." in answer.err
    assert any("This will not work." in path.read_text(encoding="utf-8") for path in (solved / "papers" / "text").glob("*.txt"))


def test_two_files_of_one_name_are_refused(solved: Path, run, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where two renderers give one name different content, nothing is written."""
    monkeypatch.setattr(pipeline, "render", lambda _, name: (pages.Artifact("same.txt", "text/plain", name.encode()),))
    answer = run("-C", solved, "papers", "--format", "html", "--format", "xlsx")
    assert answer.status == 2
    assert "second, different same.txt" in answer.err
    assert not (solved / "papers").exists()


def test_a_broken_plugin_is_named_with_its_reason(run, monkeypatch: pytest.MonkeyPatch) -> None:
    """plugins goes on past one that cannot be loaded, and says why it cannot."""
    row = plugins.Plugin("papers", "torn", "nowhere:pages", "strange", "3.1")
    monkeypatch.setattr(plugins, "found", lambda kind="": (row,) if kind in ("", "papers") else ())
    answer = run("plugins")
    assert answer.status == 0
    assert "torn" in answer.out
    assert "strange 3.1" in answer.out
    assert "broken: ModuleNotFoundError" in answer.out


def test_a_strangers_rule_is_listed_with_its_own_words(run, monkeypatch: pytest.MonkeyPatch) -> None:
    """rules lists installed rules that are not ours by their docstrings."""

    def no_green_cables(rig: object, show: object, patch: object) -> tuple[()]:
        """Green cables are for the lighting crew."""
        return ()

    monkeypatch.setattr(plugins, "load_all", lambda _: plugins.Loaded({"no-green-cables": no_green_cables}))
    assert "Green cables are for the lighting crew." in run("rules").out
    assert "its own" in run("rules", "no-green-cables").out


def test_notes_of_reading_are_printed(club: Path, run) -> None:
    """A byte order mark is tolerated and reported."""
    (club / "rig.json").write_bytes(b"\xef\xbb\xbf" + (club / "rig.json").read_bytes())
    answer = run("validate", club / "rig.json")
    assert answer.status == 0
    assert "note:" in answer.out


def test_periods_unmet_wishes_and_notes_are_said(club: Path, run, monkeypatch: pytest.MonkeyPatch) -> None:
    """solve counts the periods and prints wishes not carried, notes, and fields not honoured."""
    answer = pipeline.solve(*_read(club))
    first = attrs.evolve(answer.settings[0], period="act1", unmet=("rec: kick",), notes=("Order kept.",))
    made = attrs.evolve(answer, settings=(first, Setting(period="act2")), unhonoured=("talk",))
    monkeypatch.setattr(pipeline, "solve", lambda *_, **__: made)
    out = run("-C", club, "solve").out
    for words in ("over 2 periods", "wish not carried: act1: rec: kick", "note: Order kept.", "not honoured yet: talk"):
        assert words in out


def _read(club: Path) -> tuple[object, Show]:
    rig = pipeline.read_rig(club / "rig.json")
    return rig, pipeline.read_show(club / "show.json", rig)


def test_the_alternate_input_is_traced_too(club: Path, run) -> None:
    """A channel with two inputs shows both ways."""
    rig = json.loads((club / "rig.json").read_text(encoding="utf-8"))
    rig["devices"]["FOH"] = "desk-two-step"
    show = {"lists": [{"position": "foh", "at": "FOH.ch", "wants": [{"signal": "vox1", "alternate": "vox2"}]}], "feeds": []}
    write_club(club, rig={"devices": rig["devices"]}, show={**show, "sources": CLUB_SHOW["sources"]})
    assert run("-C", club, "solve").status == 0
    assert "alternate input:" in run("-C", club, "trace", "foh", 1).out


def test_the_next_command_is_how_it_was_called(monkeypatch: pytest.MonkeyPatch) -> None:
    """A program called by a relative path is named by it; else by its name alone."""
    monkeypatch.setattr("sys.argv", [".venv/bin/patchloom", "demo"])
    assert _command() == ".venv/bin/patchloom"
    monkeypatch.setattr("sys.argv", ["/usr/bin/patchloom"])
    assert _command() == "patchloom"
    monkeypatch.setattr("sys.argv", [])
    assert _command() == "patchloom"
