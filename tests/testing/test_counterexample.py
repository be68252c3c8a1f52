"""What fails is left as the smallest case: three documents, a drawn diagram, and the command that runs it again."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import find, given, settings
from hypothesis import strategies as st
from hypothesis.configuration import storage_directory

import patchloom
from patchloom.testing import find_counterexample, infeasible, pairs, pytest_plugin, rigs, shows, solved
from patchloom.testing.counterexample import Counterexample, leave, read_left
from patchloom.testing.last import LAST, Solved


@patchloom.rule(name="no-pairs", severity="warn", says="Nobody hears a pair.")
def no_pairs(rig: Any, show: Any, patch: Any) -> Iterator[Any]:
    """Say which list hears a source of two legs."""
    pairs_of = {row.id for row in show.sources if row.legs}
    for item in show.lists:
        for want in item.wants:
            if want.signal in pairs_of:
                yield f"{item.id} hears the pair {want.signal}", item.at, want.signal


def test_the_smallest_case_of_a_rule_is_left(tmp_path: Path) -> None:
    """One desk and one source; all files are there, and read back as what was found."""
    found = find_counterexample(no_pairs, folder=tmp_path / "case", max_examples=40, desks=2, boxes=1, sources=4, feeds=0, acts=1)
    assert isinstance(found, Counterexample)
    assert list(found.rig.devices) == ["DESK1"]
    assert [row.legs for row in found.show.sources] == [("L", "R")]
    assert found.said == ("warn no-pairs: foh hears the pair s1",)
    names = {path.name for path in (tmp_path / "case").iterdir()}
    assert {"rig.json", "show.json", "patch.json", "diagram.svg", "replay.txt"} <= names
    assert read_left(tmp_path / "case") == (found.rig, found.show, found.patch)
    assert b"<svg" in (tmp_path / "case" / "diagram.svg").read_bytes()
    first = (tmp_path / "case" / "replay.txt").read_text().splitlines()[0]
    assert first == f"$ patchloom -C {tmp_path / 'case'} check --rules {__file__}"
    assert "rig.json, show.json, patch.json" in str(found)
    assert repr(found) == "Counterexample('warn no-pairs: foh hears the pair s1')"


def test_a_property_that_fails_and_one_that_holds() -> None:
    """A property is False, or asserts; one that holds gives nothing."""

    def alone(rig: Any, show: Any, patch: Any) -> None:
        assert len(show.sources) < 2, "two sources"

    small = {"desks": 1, "boxes": 0, "sources": 3, "feeds": 0, "acts": 1, "max_examples": 25}
    found = find_counterexample(alone, **small)  # type: ignore[arg-type]
    assert found is not None
    assert found.said == ("two sources",)
    assert len(found.show.sources) == 2
    assert find_counterexample(lambda rig, show, patch: True, **small) is None  # type: ignore[arg-type]
    told = find_counterexample(lambda rig, show, patch: 1 / 0, **small)  # type: ignore[arg-type]
    assert told is not None
    assert told.said == ("it raised ZeroDivisionError: division by zero",)
    false = find_counterexample(lambda rig, show, patch: False, **small)  # type: ignore[arg-type]
    assert false is not None
    assert false.said == ("the property is False",)
    words = find_counterexample(lambda rig, show, patch: ["words"], **small)  # type: ignore[arg-type]
    assert words is not None
    assert words.said == ("it gave 'words', which is no finding",)


def test_a_routing_rule_that_keeps_what_it_says_has_none_and_one_that_does_not_has_one() -> None:
    """A rule asked twice the same that answers twice the same holds; one that changes its mind is met."""

    @patchloom.routing_rule(name="low-sockets", version="1", on="placement")
    def low(placement: Any) -> str | None:
        return "sockets above 12 are wet" if placement.at.number > 12 else None

    @patchloom.routing_rule(name="broken", version="1", on="placement")
    def broken(placement: Any) -> Any:
        return [] if placement.at.bank == "mic" else None

    small = {"desks": 1, "boxes": 1, "sources": 4, "feeds": 0, "acts": 1, "max_examples": 15}
    assert find_counterexample(low, **small) is None  # type: ignore[arg-type]
    found = find_counterexample(broken, **small)  # type: ignore[arg-type]
    assert found is not None
    assert "routing rule broken 1 answered []" in found.said[0]


def test_what_has_no_patch_is_left_without_one(tmp_path: Path) -> None:
    """Two documents and a line that says why there is no third."""
    row = next_of(tmp_path)
    assert not (tmp_path / "patch.json").exists()
    assert "There is no patch:" in (tmp_path / "replay.txt").read_text()
    assert read_left(tmp_path)[:2] == row


def next_of(folder: Path) -> tuple[Any, Any]:
    """Leave an impossible pair in a folder; return it."""
    from patchloom.testing.asking import AskedSource, ask
    from patchloom.testing.joining import joined
    from patchloom.testing.short import shorten

    rig = joined([("slots", 0, "category-32")], [], 8, 16, {}, 48000)
    row = shorten(rig, ask(rig, [AskedSource(0, 0, 1, False, 0)], [], 1), ("same-socket",), 0, 0)
    leave(folder, row.rig, row.show, None, "patchloom solve")
    return row.rig, row.show


def test_replayed_strategies_give_what_was_left() -> None:
    """While a case is replayed, nothing is drawn."""
    rig = shown = None

    @settings(max_examples=1, database=None, derandomize=True)
    @given(pairs(desks=1, sources=2))
    def draw(pair: Any) -> None:
        nonlocal rig, shown
        rig, shown = pair

    draw()
    assert rig is not None
    assert shown is not None
    patch = patchloom.solve(rig, shown)
    LAST.replay(rig, shown, patch)
    try:

        @settings(max_examples=3, database=None, derandomize=True)
        @given(rigs(), solved(), st.data())
        def again(one: Any, row: Solved, data: st.DataObject) -> None:
            assert one is rig
            assert row[:3] == (rig, shown, patch)
            assert data.draw(shows(one)) is shown

        again()
    finally:
        LAST.replaying = None
        LAST.clear()


FAILING = """
from hypothesis import Phase, given, settings
from patchloom.testing import pairs


@settings(max_examples=20, deadline=None, database=None, derandomize=True, phases=[Phase.generate, Phase.shrink])
@given(pairs(desks=1, boxes=0, sources=2, feeds=0, acts=1))
def test_no_pairs(row):
    assert not any(source.legs for source in row.show.sources)


def test_something_else():
    assert 1 == 2
"""


def test_a_failing_test_leaves_its_case_and_is_run_again_on_it(tmp_path: Path) -> None:
    """The plugin writes the case of the test that drew, and of no other; replayed, the test fails on just that."""
    (tmp_path / "test_mine.py").write_text(FAILING)
    first = run(tmp_path, "-q", "test_mine.py")
    assert "2 failed" in first
    assert "patchloom: the smallest case" in first
    assert [path.name for path in (tmp_path / ".patchloom").iterdir()] == ["test_mine.py-test_no_pairs"]
    command = next(line for line in first.splitlines() if line.startswith("run it again: pytest "))
    again = run(tmp_path, "-q", *command.removeprefix("run it again: pytest ").split())
    assert "1 failed" in again
    assert "still fails" in again


def test_a_folder_that_is_not_there_cannot_be_replayed(pytestconfig: pytest.Config, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is said at once, with the folder."""
    monkeypatch.setattr(pytestconfig.option, "patchloom_replay", "nowhere")
    with pytest.raises(pytest.UsageError, match="--patchloom-replay nowhere"):
        pytest_plugin.pytest_configure(pytestconfig)


def run(folder: Path, *words: str) -> str:
    """Return what pytest prints in a folder; tables Hypothesis keeps between runs are shared with this one."""
    kept = {**os.environ, "HYPOTHESIS_STORAGE_DIRECTORY": str(storage_directory())}
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", *words],
        cwd=folder,
        env=kept,
        capture_output=True,
        text=True,
        check=False,
    )
    return done.stdout + done.stderr


def test_the_plugin_loads_nothing_before_it_is_used() -> None:
    """Beside pytest itself, loading it costs the package's own few names."""
    code = (
        "import sys, pytest; before = set(sys.modules); import patchloom.testing.pytest_plugin; "
        "print(sorted(set(sys.modules) - before))"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    loaded = done.stdout
    assert "hypothesis" not in loaded
    assert "attrs" not in loaded
    assert "patchloom.model" not in loaded


@pytest.mark.parametrize("name", ["case with spaces", "a-b"])
def test_commands_are_quoted(name: str, tmp_path: Path) -> None:
    """A folder whose name has spaces is named so that a shell takes it for one."""
    found = find_counterexample(
        lambda rig, show, patch: False, folder=tmp_path / name, max_examples=2, desks=1, boxes=0, sources=1
    )
    assert found is not None
    text = (tmp_path / name / "replay.txt").read_text()
    assert ("'" in text.splitlines()[0]) == (" " in name)


def hooked(monkeypatch: pytest.MonkeyPatch, item: Any, *, failed: bool = True) -> list[tuple[str, str]]:
    """Return the sections a report gets."""
    report = SimpleNamespace(when="call", failed=failed, sections=[])
    steps = pytest_plugin.pytest_runtest_makereport(item, None)  # type: ignore[arg-type]
    next(steps)
    with pytest.raises(StopIteration):
        steps.send(report)
    return report.sections


def test_the_hooks_leave_what_was_drawn_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, pytestconfig: pytest.Config
) -> None:
    """Nothing drawn, nothing left; drawn, a folder named for the test; a fault in leaving is said and hides nothing."""
    monkeypatch.setattr(pytestconfig.option, "patchloom_folder", str(tmp_path))
    item: Any = SimpleNamespace(config=pytestconfig, nodeid="test_mine.py::test_it[a b]")
    LAST.clear()
    assert hooked(monkeypatch, item) == []
    rig, show = find(pairs(desks=1, boxes=0, sources=1), lambda pair: True)
    LAST.note(rig=rig, show=show)
    assert hooked(monkeypatch, item, failed=False) == []
    ((title, words),) = hooked(monkeypatch, item)
    assert title == "patchloom: the smallest case"
    assert "run it again: pytest 'test_mine.py::test_it[a b]' --patchloom-replay" in words
    assert (tmp_path / "test_mine.py-test_it-a-b" / "patch.json").exists()
    steps = pytest_plugin.pytest_runtest_call(item)
    next(steps)
    assert LAST.rig is None
    LAST.note(rig=rig, show=show)
    monkeypatch.setattr(pytestconfig.option, "patchloom_folder", str(tmp_path / "test_mine.py-test_it-a-b" / "rig.json"))
    assert "it could not be left in" in hooked(monkeypatch, item)[0][1]
    monkeypatch.setattr(pytestconfig.option, "patchloom_replay", str(tmp_path / "test_mine.py-test_it-a-b"))
    try:
        pytest_plugin.pytest_configure(pytestconfig)
        assert LAST.replaying is not None
        assert find(pairs(), lambda pair: True) == (rig, show)
        assert find(infeasible(), lambda row: True)[:2] == (rig, show)
        assert "still fails" in hooked(monkeypatch, item)[0][1]
    finally:
        pytest_plugin.pytest_unconfigure(pytestconfig)
        LAST.clear()
    assert LAST.replaying is None


def test_a_counterexample_over_a_rig_of_ones_own() -> None:
    """With a rig given, only the show is drawn."""
    rig = patchloom.read_rig(Path(__file__).parents[2] / "docs" / "examples" / "small-church" / "rig.json")
    found = find_counterexample(lambda rig, show, patch: False, rig=rig, max_examples=3, sources=3)
    assert found is not None
    assert found.rig is rig
