"""Files written into a folder, and a manifest by which the program knows its own.

Comes in: names and bytes.  Goes out: files written whole, and `manifest.json` with the digest of each.
Next: `papers` and `demo` write through this.

A file that is there and is not, byte for byte, what the manifest says was written is somebody else's: nothing
at all is written then, unless told to.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from pathlib import Path, PurePosixPath

from patchloom.cli.common import Refused, plural

__all__ = ["MANIFEST", "guard", "write_folder"]

MANIFEST = "manifest.json"


def guard(folder: Path, files: Mapping[str, bytes], *, force: bool) -> None:
    """Raise Refused, naming every file that would be lost, where writing these files would lose somebody's work."""
    known = _manifest(folder)
    for name in files:
        _inside(name)
    strange = [name for name, data in sorted(files.items()) if _strange(folder / name, known.get(name), data)]
    if strange and not force:
        names = ", ".join(strange[:5]) + (f" and {len(strange) - 5} more" if len(strange) > 5 else "")
        raise Refused(
            f"{folder}: {plural(len(strange), 'file')} not made by this program, or changed since: {names}; "
            "nothing was written; --force replaces, or write to another folder"
        )


def write_folder(folder: Path, files: Mapping[str, bytes], *, force: bool, whole: bool) -> list[str]:
    """Write files into a folder and return the names of own old files that were taken away.

    `whole` says that these are all the files there are to be: own files of an earlier run that are
    unchanged and no longer made are removed, so that no outdated paper is left lying about.
    Raises Refused as `guard` does, before anything is written.
    """
    guard(folder, files, force=force)
    known = _manifest(folder)
    gone = [name for name in sorted(known) if whole and name not in files and not _strange(folder / name, known[name], b"")]
    from patchloom.document import write_file

    for name, data in files.items():
        target = folder / name
        target.parent.mkdir(parents=True, exist_ok=True)
        if not (target.is_file() and target.read_bytes() == data):
            write_file(target, data)
    for name in gone:
        (folder / name).unlink(missing_ok=True)
        _clear(folder, (folder / name).parent)
    kept = {} if whole else {name: value for name, value in known.items() if (folder / name).exists()}
    kept.update({name: _digest(data) for name, data in files.items()})
    text = json.dumps({"format": "patchloom-manifest/1", "files": dict(sorted(kept.items()))}, indent=1, ensure_ascii=False)
    write_file(folder / MANIFEST, text.encode("utf-8") + b"\n")
    return [name for name in gone if name in known]


def _clear(folder: Path, below: Path) -> None:
    """Take away folders that are empty now, up to the folder itself."""
    while below != folder and below.is_dir() and not any(below.iterdir()):
        below.rmdir()
        below = below.parent


def _digest(data: bytes) -> str:
    return "sha256:" + hashlib.sha256(data).hexdigest()


def _strange(path: Path, written: str | None, data: bytes) -> bool:
    if not path.exists():
        return False
    if not path.is_file():
        return True
    there = path.read_bytes()
    return there != data and _digest(there) != written


def _inside(name: str) -> None:
    parts = PurePosixPath(name)
    if parts.is_absolute() or ".." in parts.parts or "\\" in name or name == MANIFEST:
        raise Refused(f"a plugin asked to write {name!r}: only names inside the folder are written")


def _manifest(folder: Path) -> dict[str, str]:
    try:
        data = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
        files = data["files"] if data["format"] == "patchloom-manifest/1" else {}
        return {str(name): str(value) for name, value in files.items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return {}
