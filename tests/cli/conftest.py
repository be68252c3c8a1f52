"""What the tests of the command line share: a way to run it, and a small club to run it on."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from patchloom.cli import main

CLUB_RIG = {
    "format": "rig/1",
    "name": "A small club",
    "rate": 48000,
    "devices": {"BOX": {"type": "stage-box-16", "place": {"zone": "SR"}}, "FOH": "desk-per-slot", "REC": "recorder-64"},
    "links": [
        {"id": "K1", "join": ["BOX.main", "FOH.a"], "format": "category-32"},
        {"id": "K2", "join": ["FOH.b", "REC.a"], "format": "category-64"},
    ],
    "clock": {"leader": "FOH", "fallback": ["BOX"]},
}
CLUB_SHOW = {
    "format": "show/1",
    "name": "Thursday trio",
    "sources": [
        {"ids": ["kick", "snare", "bass"], "phantom": "no"},
        {"ids": ["oh"], "legs": ["L", "R"], "phantom": "need"},
        {"ids": ["vox{1-2}"], "phantom": "no"},
    ],
    "plug": [{"sources": "all", "into": "BOX.mic"}],
    "lists": [
        {"position": "foh", "at": "FOH.ch", "wants": ["kick", "snare", "oh", "bass", "vox{1-2}"]},
        {"position": "rec", "at": "REC.track", "wants": ["vox{1-2}", "kick", "snare", "oh", "bass"]},
    ],
    "feeds": [{"ids": ["pa"], "legs": ["L", "R"], "mixed_at": "foh", "to": "FOH.line[1-2]"}],
    "owners": [{"preamps": "BOX.mic", "owner": "foh"}],
}


class Answer(NamedTuple):
    """What a run of the command line gave back."""

    status: int
    out: str
    err: str

    @property
    def data(self) -> Any:
        """Return standard output as JSON."""
        return json.loads(self.out)


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Callable[..., Answer]:
    """Return a function that runs the command line and checks that no traceback comes out."""

    def go(*words: object) -> Answer:
        capsys.readouterr()
        with pytest.raises(SystemExit) as end:
            main([str(word) for word in words])
        out, err = capsys.readouterr()
        assert "Traceback" not in out + err
        assert "a fault in patchloom itself" not in out + err
        return Answer(int(end.value.code or 0), out, err)

    return go


def write_club(folder: Path, rig: dict[str, Any] | None = None, show: dict[str, Any] | None = None) -> Path:
    """Write the club's documents into a folder, with parts replaced, and return the folder."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "rig.json").write_text(json.dumps({**CLUB_RIG, **(rig or {})}), encoding="utf-8")
    (folder / "show.json").write_text(json.dumps({**CLUB_SHOW, **(show or {})}), encoding="utf-8")
    return folder


@pytest.fixture
def club(tmp_path: Path) -> Path:
    """Return a folder with the club's rig and show, not yet solved."""
    return write_club(tmp_path / "club")


@pytest.fixture
def solved(club: Path, run: Callable[..., Answer]) -> Path:
    """Return a folder with the club's rig, show and patch."""
    assert run("-C", club, "solve").status == 0
    return club
