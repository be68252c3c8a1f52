"""Files and their manifest: what this program wrote it may replace or take away, and nothing else."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from patchloom.cli.common import Refused
from patchloom.cli.files import MANIFEST, write_folder


def _write(folder: Path, files: dict[str, str], *, force: bool = False, whole: bool = True) -> list[str]:
    return write_folder(folder, {name: text.encode() for name, text in files.items()}, force=force, whole=whole)


def test_own_files_are_replaced(tmp_path: Path) -> None:
    """A file that is as it was written is replaced by its next version, in folders too."""
    _write(tmp_path, {"a.txt": "1", "foh/b.txt": "1"})
    assert _write(tmp_path, {"a.txt": "2", "foh/b.txt": "1"}) == []
    assert (tmp_path / "a.txt").read_text() == "2"
    assert set(json.loads((tmp_path / MANIFEST).read_text())["files"]) == {"a.txt", "foh/b.txt"}


def test_a_strange_or_changed_file_stops_everything(tmp_path: Path) -> None:
    """Where one file is not ours, or was changed since, nothing at all is written; --force replaces it."""
    _write(tmp_path, {"a.txt": "1", "b.txt": "1"})
    (tmp_path / "b.txt").write_text("mine now")
    (tmp_path / "c.txt").write_text("always mine")
    with pytest.raises(Refused, match=r"b\.txt, c\.txt"):
        _write(tmp_path, {"a.txt": "2", "b.txt": "2", "c.txt": "2"})
    assert (tmp_path / "a.txt").read_text() == "1"
    _write(tmp_path, {"a.txt": "2", "b.txt": "2", "c.txt": "2"}, force=True)
    assert (tmp_path / "c.txt").read_text() == "2"


def test_the_same_bytes_are_nobodys_loss(tmp_path: Path) -> None:
    """A file that already says what would be written is no hindrance, whoever wrote it."""
    (tmp_path / "a.txt").write_text("1")
    _write(tmp_path, {"a.txt": "1"})


def test_outdated_papers_of_ours_go(tmp_path: Path) -> None:
    """A whole run takes away own unchanged files that are no longer made; a part leaves the others alone."""
    _write(tmp_path, {"a.txt": "1", "b.txt": "1", "c.txt": "1"})
    (tmp_path / "c.txt").write_text("changed by hand")
    assert _write(tmp_path, {"a.txt": "2"}, whole=False) == []
    assert (tmp_path / "b.txt").exists()
    assert _write(tmp_path, {"a.txt": "2"}) == ["b.txt"]
    assert not (tmp_path / "b.txt").exists()
    assert (tmp_path / "c.txt").exists()


def test_a_folder_where_a_file_should_be_is_strange(tmp_path: Path) -> None:
    """A folder in the place of a file is not replaced."""
    (tmp_path / "a.txt").mkdir()
    with pytest.raises(Refused):
        _write(tmp_path, {"a.txt": "1"})


@pytest.mark.parametrize("name", ["../a.txt", "/a.txt", "x\\a.txt", MANIFEST])
def test_no_plugin_writes_outside_the_folder(tmp_path: Path, name: str) -> None:
    """A name that leaves the folder, or the manifest's own, is refused."""
    with pytest.raises(Refused):
        _write(tmp_path / "papers", {name: "1"})
    assert not (tmp_path / "papers").exists()


@pytest.mark.parametrize(
    "text", ["", "[]", '{"format": "else/1", "files": {"a.txt": "x"}}', '{"format": "patchloom-manifest/1", "files": []}']
)
def test_a_broken_manifest_knows_no_files(tmp_path: Path, text: str) -> None:
    """What is no manifest of ours makes no file ours."""
    (tmp_path / MANIFEST).write_text(text)
    (tmp_path / "a.txt").write_text("1")
    with pytest.raises(Refused):
        _write(tmp_path, {"a.txt": "2"})


def test_many_strange_files_are_counted(tmp_path: Path) -> None:
    """Five are named, the rest counted."""
    files = {f"{number}.txt": "new" for number in range(8)}
    for name in files:
        (tmp_path / name).write_text("old")
    with pytest.raises(Refused, match=r"8 files .* and 3 more"):
        _write(tmp_path, files)
