"""Long work: a line on a terminal, an interrupt that leaves nothing behind, a partial patch only when asked for."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from patchloom import pipeline
from patchloom.errors import Undecided
from patchloom.model.patch import Patch, Setting

from .conftest import write_club

SLOW = """
import time
from patchloom import pipeline
from patchloom.cli import main

def slow(*_, progress=None, **__):
    print("started", flush=True)
    for _ in range(600):
        time.sleep(0.1)

pipeline.solve = slow
main({words!r})
"""

SLOW_WRITE = """
import os, time
from patchloom.cli import main

real = os.fsync

def slow(handle):
    real(handle)
    print("started", flush=True)
    time.sleep(60)

os.fsync = slow
main({words!r})
"""


@pytest.mark.parametrize("program", [SLOW, SLOW_WRITE], ids=["solving", "writing"])
def test_an_interrupt_leaves_no_half_written_file(club: Path, program: str) -> None:
    """Ctrl-C while solving, or in the very act of writing, ends with one clear line, status 3, and the files as they were."""
    before = sorted(os.listdir(club))
    words = ["-C", str(club), "solve"]
    with subprocess.Popen(
        [sys.executable, "-c", program.format(words=words)], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as run:
        assert run.stdout is not None
        assert run.stdout.readline() == "started\n"
        run.send_signal(signal.SIGINT)
        began = time.monotonic()
        _, err = run.communicate(timeout=20)
    assert time.monotonic() - began < 10
    assert run.returncode == 3
    assert err.strip() == "interrupted; nothing was written."
    assert sorted(os.listdir(club)) == before


def test_an_interrupt_keeps_the_patch_that_was_there(solved: Path) -> None:
    """Ctrl-C while a new patch is written leaves the old one, byte for byte."""
    before = (solved / "patch.json").read_bytes()
    show = json.loads((solved / "show.json").read_text(encoding="utf-8"))
    show["lists"] = show["lists"][:1]
    (solved / "show.json").write_text(json.dumps(show), encoding="utf-8")
    words = ["-C", str(solved), "solve"]
    with subprocess.Popen(
        [sys.executable, "-c", SLOW_WRITE.format(words=words)], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as run:
        assert run.stdout is not None
        assert run.stdout.readline() == "started\n"
        run.send_signal(signal.SIGINT)
        run.communicate(timeout=20)
    assert run.returncode == 3
    assert (solved / "patch.json").read_bytes() == before
    assert not list(solved.glob(".*.part"))


def test_a_partial_patch_is_kept_when_asked_for(club: Path, run, monkeypatch: pytest.MonkeyPatch) -> None:
    """--keep-partial writes the best partial patch of an undecided show where it is told to, and nowhere else."""
    partial = Patch(settings=(Setting(),), made_by="patchloom")

    def perhaps(*_: object, **__: object) -> None:
        raise Undecided(("nothing rules it out",), tuple(f"foh: s{n}" for n in range(20)), partial)

    monkeypatch.setattr(pipeline, "solve", perhaps)
    answer = run("-C", club, "solve")
    assert answer.status == 3
    assert "--keep-partial FILE" in answer.err
    assert "and 8 more not carried" in answer.err
    kept = club / "partial.json"
    answer = run("-C", club, "solve", "--keep-partial", kept)
    assert answer.status == 3
    assert f"the best partial patch is in {kept}" in answer.err
    assert pipeline.read_patch(kept) == partial
    assert not (club / "patch.json").exists()
    answer = run("-C", club, "solve", "--keep-partial", kept, "--json")
    assert answer.data["partial"] == str(kept)
    assert len(answer.data["missing"]) == 20


def test_a_partial_patch_never_replaces_a_strangers_file(club: Path, run) -> None:
    """--keep-partial refuses a file this program did not write, before it starts."""
    kept = club / "notes.json"
    kept.write_text("{}", encoding="utf-8")
    answer = run("-C", club, "solve", "--keep-partial", kept)
    assert answer.status == 2
    assert "not a patch this program wrote" in answer.err
    assert kept.read_text(encoding="utf-8") == "{}"
    assert not (club / "patch.json").exists()


def test_impossible_says_which_facts_and_what_would_help(tmp_path: Path, run) -> None:
    """The facts with their numbers, the ways out in order, and the same as data; --no-explain gives the first proof alone."""
    club = write_club(
        tmp_path / "club",
        show={
            "sources": [{"ids": ["s{1-18}"], "phantom": "no"}],
            "plug": [{"sources": "all", "into": "BOX.mic"}],
            "lists": [{"position": "foh", "at": "FOH.ch", "wants": ["all"]}],
            "feeds": [],
        },
    )
    answer = run("-C", club, "solve")
    assert answer.status == 1
    assert "BOX.mic has 16 sockets: 18 asked, 16 there, 2 short." in answer.err
    assert "what would help, each solved again and verified, the cheapest first:" in answer.err
    assert "1. Let" in answer.err
    data = run("-C", club, "solve", "--json").data
    assert data["outcome"] == "impossible"
    assert data["smallest"] is True
    assert data["facts"][0]["short"] == 2
    assert data["ways"][0]["changes"][0]["do"] == "plug"
    quick = run("-C", club, "solve", "--no-explain")
    assert quick.status == 1
    assert "would help" not in quick.err
    assert "ways" not in run("-C", club, "solve", "--no-explain", "--json").data
