"""Whatever goes wrong becomes a message and a status; a traceback never reaches anybody."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import click
import pytest

from patchloom import pipeline
from patchloom.cli import main
from patchloom.cli.common import as_data, outcome_of, plural
from patchloom.errors import PatchloomError, PluginError
from patchloom.finding import Finding, Remark


def _status(*words: object) -> int:
    with pytest.raises(SystemExit) as end:
        main([str(word) for word in words])
    return int(end.value.code or 0)


def test_a_fault_of_the_program_is_undecided_and_says_so(
    club: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """An error nobody foresaw is called a fault of the program, with where, and exits as undecided; JSON says the same."""
    monkeypatch.setattr(pipeline, "solve", lambda *_, **__: 1 // 0)
    assert _status("-C", club, "solve") == 3
    err = capsys.readouterr().err
    assert "a fault in patchloom itself" in err
    assert "ZeroDivisionError" in err
    assert "test_outcomes.py, line" in err
    assert "Traceback" not in err
    assert _status("-C", club, "solve", "--json") == 3
    assert '"outcome": "fault"' in capsys.readouterr().out


@pytest.mark.parametrize(
    ("problem", "status", "name"),
    [
        (KeyboardInterrupt(), 3, "interrupted"),
        (click.Abort(), 3, "interrupted"),
        (PluginError("no plugin"), 2, "bad-input"),
        (PatchloomError("no"), 2, "bad-input"),
        (OSError(28, "No space left on device", "patch.json"), 2, "bad-input"),
        (OSError("odd"), 2, "bad-input"),
        (click.UsageError("no"), 2, "bad-usage"),
        (SystemExit(1), 1, "exit"),
        (SystemExit(), 0, "exit"),
        (click.exceptions.Exit(2), 2, "exit"),
        (MemoryError(), 3, "fault"),
    ],
)
def test_every_problem_has_its_status(problem: BaseException, status: int, name: str) -> None:
    """Each kind of problem has one status and one name, and those that speak have words."""
    found, outcome, lines, _ = outcome_of(problem)
    assert (found, outcome) == (status, name)
    assert bool(lines) == (name != "exit")


def test_a_reader_that_went_away_ends_it_quietly(monkeypatch: pytest.MonkeyPatch) -> None:
    """A closed pipe is no fault and nothing more is said."""
    monkeypatch.setattr(sys, "stdout", sys.stdout)
    assert outcome_of(BrokenPipeError())[:3] == (0, "closed", [])
    sys.stdout.close()


def test_it_runs_as_a_module() -> None:
    """`python -m patchloom.cli` is the same program."""
    done = subprocess.run([sys.executable, "-m", "patchloom.cli", "-V"], check=False, capture_output=True, text=True)
    assert done.returncode == 0
    assert done.stdout.startswith("patchloom ")


def test_records_become_plain_data() -> None:
    """Empty values are left out, numbers become a table, what JSON does not know becomes text."""
    row = Finding("a", "warn", "Something.", ("BOX",), (("slots", 3),))
    assert as_data(row) == {
        "rule": "a",
        "severity": "warn",
        "message": "Something.",
        "where": ["BOX"],
        "numbers": {"slots": 3},
        "kind": "found",
    }
    assert as_data({"path": Path("x"), "rows": (Remark("C7", "what"),)}) == {
        "path": "x",
        "rows": [{"cell": "C7", "message": "what"}],
    }
    assert (plural(1, "leg"), plural(2, "switch", "switches")) == ("1 leg", "2 switches")
