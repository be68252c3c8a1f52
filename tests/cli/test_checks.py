"""Rules on the command line: listed, explained, drawn, and of the user's own."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from patchloom import pipeline
from patchloom.check.catalogue import ENTRIES
from patchloom.finding import Finding

OWN = '''
import patchloom


@patchloom.rule(name="kick-stays-low", severity="warn", says="The kick is on socket 1.", todo="Move it.")
def kick_stays_low(rig, show, patch):
    """The kick is on socket 1, because it always was.

    Why: habit.
    """
    for setting in patch.settings:
        if setting.plugs["kick"].number != 1:
            yield "kick is elsewhere", "kick", setting.plugs["kick"]


@patchloom.routing_rule(name="not-on-one", version="1", on="placement", signals=["kick"])
def not_on_one(placement):
    return "socket 1 is broken" if placement.at.number == 1 else None
'''


def test_rules_lists_every_check_with_its_line(run) -> None:
    """Name, severity, issuer and one line each, as text and as JSON."""
    lines = run("rules").out.splitlines()
    assert len(lines) >= len(ENTRIES)
    assert any(line.startswith("leader-stays ") and " warn " in line and " rule " in line for line in lines)
    rows = {row["name"]: row for row in run("rules", "--json").data["rules"]}
    assert {entry.name for entry in ENTRIES} <= set(rows)
    assert rows["one-feeder"]["issuer"] == "verify"
    assert rows["leader-stays"]["parts"]["When it is no fault"]
    assert rows["leader-stays"]["cases"]


def test_a_rule_is_explained(run) -> None:
    """What it says, why, when it is no fault, what data it needs, what to do, source; its cases; and the nearest name."""
    out = run("rules", "leader-stays").out
    for part in ("What it says:", "Why:", "When it is no fault:", "What data it needs:", "What to do:", "Source:", "It speaks:"):
        assert part in out
    answer = run("rules", "leader-stay")
    assert answer.status == 2
    assert "leader-stays" in answer.err


def test_whatever_issues_an_entry_is_explained_by_its_page(run) -> None:
    """A key of the list, a check of verify, a complaint with or without `reading:`, `solve`: each has the six paragraphs."""
    for name in ("trim-within-range", "gain-trim", "reading:dangling", "dangling", "solve"):
        out = run("rules", name).out
        for part in ("What it says:", "Why:", "When it is no fault:", "What data it needs:", "What to do:", "Source:"):
            assert part in out, name
    entry = run("rules", "trim-within-range", "--json").data["rules"][0]
    assert entry["issuer"] == "entry"
    assert {"name": "trim-margin", "severity": "warn", "issuer": "rule"}.items() <= entry["issuers"][-1].items()
    assert run("rules", "gain-trim", "--json").data["rules"][0]["page"] == "trim-within-range"


@pytest.mark.parametrize(("name", "begins"), [("p.svg", b"<?xml"), ("p.png", b"\x89PNG")])
def test_a_rule_is_drawn(run, tmp_path: Path, name: str, begins: bytes) -> None:
    """A rig it speaks of above one it is silent about, in one file; what the finding names is written on the drawing."""
    path = tmp_path / name
    assert run("rules", "leader-stays", "--picture", path).status == 0
    assert path.read_bytes().startswith(begins)
    if name.endswith("svg"):
        words = path.read_text(encoding="utf-8")
        assert words.count("<svg ") == 3
        assert "it speaks" in words
        assert "it is silent" in words
        assert ">here<" in words


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("one-owner-per-preamp", "mic[1-9]: owner mon"),
        ("phantom-isolated", "stops direct current: iso_a"),
        ("block-collision", "intake[1-8] takes b.in[1-8]"),
        ("joined-twice", "joined by the link"),
        ("solve", "No way leads from BOX.mic to foh"),
    ],
)
def test_entries_checks_and_complaints_are_drawn(run, tmp_path: Path, name: str, words: str) -> None:
    """What is drawn says what the check is about: owners, direct current, gains, choices; of a complaint the sentence."""
    path = tmp_path / "p.svg"
    assert run("rules", name, "--picture", path).status == 0
    assert words in re.sub(r"</?tspan[^>]*>|</text>\s*<text[^>]*>", " ", path.read_text(encoding="utf-8")).replace("  ", " ")


def test_what_cannot_be_drawn_is_said(run, tmp_path: Path) -> None:
    """A check without cases, another kind of file, no rule at all: bad usage, and no file."""
    own = tmp_path / "own.py"
    own.write_text(OWN, encoding="utf-8")
    assert run("rules", "kick-stays-low", "--rules", own, "--picture", tmp_path / "p.svg").status == 2
    own.unlink()
    assert run("rules", "leader-stays", "--picture", tmp_path / "p.gif").status == 2
    assert run("rules", "--picture", tmp_path / "p.svg").status == 2
    assert list(tmp_path.iterdir()) == []


def test_rules_of_ones_own_come_from_a_file(run, solved: Path, tmp_path: Path) -> None:
    """They speak beside the installed ones, alone when named, are explained, and routing rules steer and judge."""
    own = tmp_path / "own.py"
    own.write_text(OWN, encoding="utf-8")
    patch = json.loads((solved / "patch.json").read_text(encoding="utf-8"))
    assert patch["settings"][0]["plugs"]["kick"] == "BOX.mic[1]"
    found = run("-C", solved, "check", "--rules", own)
    assert "not-on-one" in found.out
    assert "rule-vetoes" in run("-C", solved, "verify", "--rules", own).out
    assert run("-C", solved, "check", "--rules", own, "--rule", "kick-stays-low", "--json").data["findings"] == []
    assert "Why: Habit." in run("rules", "kick-stays-low", "--rules", own).out
    assert run("-C", solved, "solve", "--rules", own).status == 0
    moved = run("-C", solved, "check", "--rules", own, "--rule", "kick-stays-low")
    assert "warn kick-stays-low: kick is elsewhere. Move it." in moved.out.replace("elsewhere Move", "elsewhere. Move")
    own.write_text("x = 1\n", encoding="utf-8")
    assert run("-C", solved, "check", "--rules", own).status == 2


def test_what_could_not_be_checked_is_a_line_and_all_of_it_on_demand(run, solved: Path) -> None:
    """Rules without data, and those with nothing to look at, are counted; --all and --json print each with its field."""
    short = run("-C", solved, "check").out
    assert "Not checked, because" not in short
    assert "for want of data" in short
    whole = run("-C", solved, "check", "--all").out
    assert "Not checked, because" in whole
    assert "Not applicable:" in whole
    rows = run("-C", solved, "check", "--json").data["findings"]
    lacking = [row for row in rows if row["kind"] == "unchecked"]
    assert all("missing" in row["numbers"] for row in lacking)
    assert lacking


def test_papers_are_not_issued_over_a_stop(run, solved: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A stop nobody has signed leaves DRAFT as the only status; signed off, or a mere warning, papers may be issued."""

    def judged(severity: str, waived: str = "") -> None:
        found = (Finding("a-rule", severity, "Something is so.", ("BOX",), (), "Look.", "", waived),)
        monkeypatch.setattr(pipeline, "judge", lambda *_, **__: found)

    words = ("-C", solved, "papers", "-o", "-", "--paper", "input-list", "--status")
    judged("stop")
    answer = run(*words, "ISSUED")
    assert answer.status == 2
    assert "papers cannot be ISSUED" in answer.err
    assert run(*words, "DRAFT").status == 1
    judged("stop", "A. Person: known")
    assert run(*words, "ISSUED").status == 0
    judged("warn")
    assert run(*words, "AS-BUILT").status == 0
