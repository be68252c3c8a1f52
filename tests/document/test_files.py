"""Files appear whole or not at all."""

from __future__ import annotations

import os
import pathlib

import pytest

from patchloom import document
from patchloom.document import files


def test_a_file_appears_whole(tmp_path):
    """The bytes are there, nothing else is, and an older file gives way keeping its permissions."""
    target = tmp_path / "rig.json"
    document.write_file(target, b"one")
    target.chmod(0o600)
    document.write_file(str(target), b"two")
    assert target.read_bytes() == b"two"
    assert target.stat().st_mode & 0o777 == 0o600
    assert [path.name for path in tmp_path.iterdir()] == ["rig.json"]


def test_an_existing_file_is_left_alone(tmp_path):
    """Told not to overwrite, it does not, and says so."""
    target = tmp_path / "rig.json"
    document.write_file(target, b"one", overwrite=False)
    with pytest.raises(FileExistsError, match="there already"):
        document.write_file(target, b"two", overwrite=False)
    assert target.read_bytes() == b"one"
    assert [path.name for path in tmp_path.iterdir()] == ["rig.json"]


def test_a_file_that_appears_in_the_meantime_is_left_alone(tmp_path, monkeypatch):
    """A file made by another between the look and the write is not overwritten either."""
    target = tmp_path / "rig.json"
    monkeypatch.setattr(pathlib.Path, "exists", lambda self: False)
    target.write_bytes(b"theirs")
    with pytest.raises(FileExistsError):
        document.write_file(target, b"mine", overwrite=False)
    assert target.read_bytes() == b"theirs"
    assert [path.name for path in tmp_path.iterdir()] == ["rig.json"]


def test_where_hard_links_are_unknown(tmp_path, monkeypatch):
    """On a disk without hard links the file is still written."""

    def no_link(*_):
        raise OSError("no hard links here")

    monkeypatch.setattr(os, "link", no_link)
    document.write_file(tmp_path / "a", b"x", overwrite=False)
    assert (tmp_path / "a").read_bytes() == b"x"


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_nothing_is_half_written(tmp_path, monkeypatch, step):
    """When the disk fails, the old file stands as it was and no scrap is left."""
    target = tmp_path / "rig.json"
    target.write_bytes(b"old")

    def full(*_):
        raise OSError("disk full")

    monkeypatch.setattr(files.os, step, full)
    with pytest.raises(OSError, match="disk full"):
        document.write_file(target, b"new")
    assert target.read_bytes() == b"old"
    assert [path.name for path in tmp_path.iterdir()] == ["rig.json"]
