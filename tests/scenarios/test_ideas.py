"""The table of ideas names places that exist."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from .reading import PACKAGE, ROOT, folder

PAGE = (ROOT / "docs" / "ideas.md").read_text(encoding="utf-8")
ROWS = re.findall(r"^\| (.+?) \| ([a-z0-9-]+)/([a-z0-9-]+) \| `\$(.+?)` \|$", PAGE, re.M)
_STEP = re.compile(r"\.([A-Za-z0-9_-]+)|\[([^\]]+)\]")


def _file(where: str, name: str) -> Path:
    if where != "library":
        return folder(where) / f"{name}.json"
    shelf = PACKAGE / "library"
    return next(path for path in (shelf / "types" / f"{name}.json", shelf / "formats" / f"{name}.json") if path.is_file())


def _row(rows: list[Any], key: str) -> Any:
    """Return the row of a list by number, or by the id it has or speaks for."""
    if key.isdigit():
        return rows[int(key)]
    for row in rows:
        names = [row.get(field) for field in ("id", "position", "signal", "sources")] if isinstance(row, dict) else [row]
        if key in names or (isinstance(row, dict) and key in row.get("ids", ())):
            return row
    raise KeyError(key)


@pytest.mark.parametrize(("idea", "where", "name", "path"), ROWS, ids=lambda text: text[:40])
def test_every_idea_is_used_where_the_table_says(idea: str, where: str, name: str, path: str) -> None:
    """Each path leads to something in the document named."""
    value = json.loads(_file(where, name).read_text(encoding="utf-8"))
    for field, key in _STEP.findall(path):
        value = value[field] if field else _row(value, key)
    assert value is not None


def test_the_table_covers_every_group_of_ideas() -> None:
    """Every table row is followed, and there are no fewer than eighty."""
    assert len(ROWS) == sum(1 for line in PAGE.splitlines() if line.startswith("| ") and not line.startswith(("| idea", "|---")))
    assert len(ROWS) >= 80
