"""Files that appear whole or not at all.

Comes in: a path and bytes.  Goes out: the file.  Next: the pipeline, papers, the command line.
"""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

__all__ = ["write_file"]


def write_file(path: str | os.PathLike[str], data: bytes, *, overwrite: bool = True) -> None:
    """Write a file atomically: a temporary file in the same folder takes its place in one step.

    With `overwrite=False` an existing file is left alone and FileExistsError is raised, even when it appears
    in the meantime.  Nothing is half-written; on any error the temporary file is gone again.
    """
    target = Path(path)
    if not overwrite and target.exists():
        raise FileExistsError(f"{target} is there already; say so to overwrite it")
    handle, temporary = tempfile.mkstemp(prefix=f".{target.name}.", suffix=".part", dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        os.chmod(temporary, _mode(target))
        if overwrite:
            os.replace(temporary, target)
        else:
            _place(temporary, target)
    except BaseException:
        if os.path.exists(temporary):
            os.unlink(temporary)
        raise


def _place(temporary: str, target: Path) -> None:
    """Give the file its name only if that name is still free."""
    try:
        os.link(temporary, target)
    except FileExistsError:
        raise FileExistsError(f"{target} is there already; say so to overwrite it") from None
    except OSError:
        os.rename(temporary, target)
        return
    os.unlink(temporary)


def _mode(target: Path) -> int:
    """Return the permissions of the file that is replaced, else those a new file would have."""
    try:
        return target.stat().st_mode & 0o777
    except OSError:
        mask = os.umask(0)
        os.umask(mask)
        return 0o666 & ~mask
