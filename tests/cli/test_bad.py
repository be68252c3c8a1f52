"""Bad documents never get further than their complaints: status 2, every complaint, no traceback, whatever the command."""

from __future__ import annotations

from pathlib import Path

import pytest

from .conftest import CLUB_SHOW, write_club

BAD = sorted(
    path for path in (Path(__file__).parents[1] / "document" / "bad").glob("*.json") if path.name.startswith(("rig-", "show-"))
)


def test_there_are_thirty_bad_documents() -> None:
    """Thirty or more bad documents are kept."""
    assert len(BAD) >= 30


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_a_bad_document_is_status_2_with_all_complaints(path: Path, run) -> None:
    """validate exits 2, counts its complaints, and JSON lists as many as the text."""
    rig = [path.parent / "good-rig.json"] if path.name.startswith("show-") else []
    answer = run("validate", *rig, path)
    assert answer.status == 2
    last = next(line for line in answer.err.splitlines() if line.endswith(("complaint.", "complaints.")))
    count = int(last.split()[-2])
    assert count >= 1
    data = run("validate", *rig, path, "--json").data
    assert data["outcome"] == "bad-input"
    assert len(data["files"][-1]["complaints"]) == count


@pytest.mark.parametrize("path", [path for path in BAD if path.name.startswith("rig-")], ids=lambda path: path.stem)
def test_solve_stops_at_a_bad_rig_and_writes_nothing(path: Path, tmp_path: Path, run) -> None:
    """solve prints the complaints of a bad rig, exits 2, and leaves no file behind."""
    club = write_club(tmp_path)
    before = sorted(club.iterdir())
    answer = run("-C", club, "solve", "--rig", path)
    assert answer.status == 2
    assert "complaint" in answer.err
    assert sorted(club.iterdir()) == before


@pytest.mark.parametrize("path", [path for path in BAD if path.name.startswith("show-")], ids=lambda path: path.stem)
def test_a_bad_show_stops_every_command_that_reads_it(path: Path, tmp_path: Path, run) -> None:
    """verify, check, trace and papers exit 2 at a bad show, before they look at anything else."""
    for words in (("verify",), ("check",), ("trace", "foh", 1), ("papers",)):
        answer = run(*words, "--rig", path.parent / "good-rig.json", "--show", path, "--patch", tmp_path / "none.json")
        assert answer.status == 2, words
        assert answer.err.strip()


@pytest.mark.parametrize("text", [b"", b"[]", b"\xff\xfe\x00", b'{"format": "patch/2"}', b'{"format": "patch/1", "settings": 3}'])
def test_a_bad_patch_is_status_2(text: bytes, tmp_path: Path, run) -> None:
    """verify, check, trace and papers exit 2 at a bad patch."""
    club = write_club(tmp_path)
    (club / "patch.json").write_bytes(text)
    for words in (("verify",), ("check",), ("trace", "foh", 1), ("papers",), ("solve",)):
        assert run("-C", club, *words).status == 2, words
    assert (club / "patch.json").read_bytes() == text


def test_a_show_that_asks_too_much_is_refused_and_not_called_bad_input(tmp_path: Path, run) -> None:
    """More sources than sockets: impossible, status 1, in the show's own words, and nothing is written."""
    club = write_club(
        tmp_path,
        show={
            "sources": [*CLUB_SHOW["sources"], {"ids": ["more{1-12}"]}],
            "lists": [{"position": "foh", "at": "FOH.ch", "wants": ["kick", "snare", "oh", "bass", "vox{1-2}", "more{1-12}"]}],
        },
    )
    answer = run("-C", club, "solve")
    assert answer.status == 1
    assert "16" in answer.err
    assert not (club / "patch.json").exists()
