"""solve, verify, check, trace and rules, as a person or a script meets them."""

from __future__ import annotations

import importlib
import json
from pathlib import Path

import attrs
import pytest

import patchloom
from patchloom import pipeline
from patchloom.cli.common import working
from patchloom.errors import Impossible, Undecided
from patchloom.finding import Fact, Finding


def test_solve_writes_a_verified_patch_and_says_so(club: Path, run) -> None:
    """solve writes patch.json, which verify then finds nothing against; both exit 0."""
    answer = run("-C", club, "solve")
    assert answer.status == 0
    assert "solved and verified" in answer.out
    judged = run("-C", club, "verify", "--json")
    assert judged.status == 0
    assert judged.data["outcome"] == "fine"


def test_solve_names_the_patch_it_replaces_and_leaves_an_equal_one_alone(solved: Path, run) -> None:
    """A second run takes patch.json as previous, says so, and writes nothing when nothing changes."""
    before = (solved / "patch.json").read_bytes()
    answer = run("-C", solved, "solve", "--json")
    assert answer.status == 0
    assert answer.data["previous"].startswith("sha256:")
    assert answer.data["moved"] == []
    assert not answer.data["written"]
    assert (solved / "patch.json").read_bytes() == before
    assert "no line moves; it says the same" in run("-C", solved, "solve").out


def test_fresh_ignores_the_patch_that_is_there(solved: Path, run) -> None:
    """--fresh solves as if there were no patch, and says so."""
    answer = run("-C", solved, "solve", "--fresh")
    assert answer.status == 0
    assert "solved afresh" in answer.out


def test_moved_lines_are_named(solved: Path, run, monkeypatch: pytest.MonkeyPatch) -> None:
    """Lines that move against the previous patch are printed one by one."""
    old = pipeline.read_patch(solved / "patch.json")
    plugs = dict(old.settings[0].plugs)
    plugs["kick"], plugs["snare"] = plugs["snare"], plugs["kick"]
    other = attrs.evolve(old, settings=(attrs.evolve(old.settings[0], plugs=plugs),))
    pipeline.write(other, solved / "patch.json")
    monkeypatch.setattr(pipeline, "solve", lambda *_, **__: old)
    answer = run("-C", solved, "solve")
    assert "2 lines move" in answer.out
    assert f"kick: {plugs['kick']} -> {plugs['snare']}" in answer.out


def test_a_file_it_did_not_make_is_left_alone(club: Path, run) -> None:
    """solve refuses to replace a patch.json it did not write, or that was changed since, unless told to."""
    (club / "patch.json").write_text("{}", encoding="utf-8")
    answer = run("-C", club, "solve")
    assert answer.status == 2
    assert "not a patch this program wrote" in answer.err
    assert (club / "patch.json").read_text(encoding="utf-8") == "{}"
    assert run("-C", club, "solve", "--force").status == 0
    changed = json.loads((club / "patch.json").read_text(encoding="utf-8"))
    (club / "patch.json").write_text(json.dumps(changed, indent=7), encoding="utf-8")
    answer = run("-C", club, "solve")
    assert answer.status == 2
    assert "changed since" in answer.err


def test_impossible_is_status_1_and_undecided_3(club: Path, run, monkeypatch: pytest.MonkeyPatch) -> None:
    """The outcomes have their own status and their own words, in text and in JSON; nothing is written."""

    def no(*_: object, **__: object) -> None:
        raise Impossible((Fact("BOX.mic", "13 sources want BOX.mic, 8 there: 5 short.", 13, 8, 5),))

    def perhaps(*_: object, **__: object) -> None:
        raise Undecided(("nothing rules it out",), ("foh: kick",))

    monkeypatch.setattr(pipeline, "solve", no)
    answer = run("-C", club, "solve")
    assert (answer.status, "5 short" in answer.err) == (1, True)
    assert run("-C", club, "solve", "--json").data["facts"][0]["short"] == 5
    monkeypatch.setattr(pipeline, "solve", perhaps)
    answer = run("-C", club, "solve")
    assert answer.status == 3
    assert "not carried: foh: kick" in answer.err
    assert run("-C", club, "solve", "--json").data["missing"] == ["foh: kick"]
    assert not (club / "patch.json").exists()


@pytest.mark.parametrize(
    ("severity", "waived", "status"),
    [("stop", "", 1), ("safety", "", 1), ("stop", "A. Engineer: known", 0), ("warn", "", 0), ("note", "", 0)],
)
def test_only_an_unwaived_stop_or_safety_is_status_1(
    solved: Path, run, monkeypatch: pytest.MonkeyPatch, severity: str, waived: str, status: int
) -> None:
    """verify and check exit 1 for an unwaived finding of severity stop or safety, and for no other."""
    found = (Finding("a-rule", severity, "Something is so.", ("BOX",), (("slots", 3),), "Look.", "", waived),)
    monkeypatch.setattr(pipeline, "verify", lambda *_, **__: found)
    monkeypatch.setattr(pipeline, "check", lambda *_, **__: found)
    for command in ("verify", "check"):
        answer = run("-C", solved, command)
        assert answer.status == status
        assert "a-rule" in answer.out
        assert "with the data given" in answer.out
        assert run("-C", solved, command, "--json").data["findings"][0]["numbers"] == {"slots": 3}


def test_check_asks_only_the_rules_named(solved: Path, run) -> None:
    """check --rule runs that rule alone; an unknown name is bad usage with the nearest one."""
    assert run("-C", solved, "check").status == 0
    assert run("-C", solved, "check", "--rule", "labels-collide").status == 0
    answer = run("-C", solved, "check", "--rule", "labels-colide")
    assert answer.status == 2
    assert "labels-collide" in answer.err


def test_trace_prints_every_hop_and_what_to_look_at(solved: Path, run) -> None:
    """trace goes from the plug to the channel, with what to look at and who can change each step."""
    answer = run("-C", solved, "trace", "rec", 1)
    assert answer.status == 0
    assert answer.out.startswith("rec 1: vox1")
    places = [line.split()[1] for line in answer.out.splitlines() if line[:3].strip().isdigit()]
    assert places[0].startswith("BOX.mic[")
    assert places[-1] == "REC.track[1]"
    assert answer.out.count("look at:") == len(places)
    assert "can change it: foh" in answer.out
    data = run("-C", solved, "trace", "rec", 1, "--json").data
    assert [hop["at"] for hop in data["hops"]] == places


def test_trace_of_an_empty_channel_and_of_a_feed(solved: Path, run) -> None:
    """An empty channel is no fault; a feed is traced from its mix to its destination."""
    assert "nothing lands on FOH.ch[40]" in run("-C", solved, "trace", "foh", 40).out
    assert "FOH.line[2]" in run("-C", solved, "trace", "pa", 2).out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("fho", 1), "did you mean 'foh'"),
        (("foh", 9000), "no channel 9000"),
        (("foh", 0), "no channel 0"),
        (("pa", 3), "it has 2"),
        (("foh", 1, "--period", "act2"), "no period 'act2'"),
    ],
)
def test_trace_of_a_place_that_is_not_there(solved: Path, run, words: tuple[object, ...], said: str) -> None:
    """A place that is not there is bad usage, and the message names what is."""
    answer = run("-C", solved, "trace", *words)
    assert answer.status == 2
    assert said in answer.err


def test_a_patch_of_other_documents_is_named(solved: Path, run) -> None:
    """trace says when the show has changed since the patch was solved; verify calls it a stop."""
    show = json.loads((solved / "show.json").read_text(encoding="utf-8"))
    (solved / "show.json").write_text(json.dumps({**show, "name": "Friday"}), encoding="utf-8")
    answer = run("-C", solved, "trace", "foh", 1)
    assert answer.status == 0
    assert "solved for another show" in answer.err
    assert run("-C", solved, "verify").status == 1


def test_rules_lists_every_check_and_explains_one(run) -> None:
    """rules lists what is checked; rules NAME says all about one; an unknown name gets the nearest."""
    listed = run("rules")
    assert listed.status == 0
    assert "one-feeder" in listed.out
    assert "labels-collide" in listed.out
    one = run("rules", "one-feeder")
    assert "more than one feeder" in one.out
    assert run("rules", "--json").data["rules"]
    answer = run("rules", "one-feder")
    assert answer.status == 2
    assert "one-feeder" in answer.err


def test_an_answer_the_judge_objects_to_is_never_returned(club: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """solve raises Undecided with the objections when verify finds a stop in the solver's answer."""
    rig = patchloom.read_rig(club / "rig.json")
    show = patchloom.read_show(club / "show.json", rig)
    objection = (Finding("one-feeder", "stop", "Two feed one."),)
    monkeypatch.setattr(importlib.import_module("patchloom.check.verify"), "verify", lambda *_, **__: objection)
    with pytest.raises(Undecided) as refused:
        patchloom.solve(rig, show)
    assert "Two feed one." in str(refused.value)
    assert refused.value.best is not None


def test_progress_is_for_terminals_only(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """Off a terminal there is nothing to tell; on one, a line comes and is wiped."""
    with working() as tell:
        assert tell is None
    monkeypatch.setattr("sys.stderr.isatty", lambda: True, raising=False)
    with working() as tell:
        assert tell is not None
        tell("placing")
    err = capsys.readouterr().err
    assert "placing" in err
    assert err.endswith("\x1b[2K\r")
