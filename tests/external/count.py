"""How many published values are checked, and how sure we are of each: `python tests/external/count.py`.

Comes in: the test files beside this one, as text.  Goes out: a table.  Next: whoever doubts a figure.

An assertion counts once for each row of values it is made for; rows that are made by a program count once.  What a check
says of its source decides where it stands: *from memory* and *common practice* are marked so in its own words, or in the
heading of its file.
"""

from __future__ import annotations

import ast
from pathlib import Path
from typing import NamedTuple

HERE = Path(__file__).parent
STANDINGS = ("from memory", "common practice", "our own rule", "by arithmetic", "published")


class Check(NamedTuple):
    """One check: where it stands, what it says, how many assertions it makes."""

    file: str
    name: str
    words: str
    assertions: int

    @property
    def sourced(self) -> bool:
        """Return whether a source is named."""
        return "Source" in self.words

    @property
    def standing(self) -> str:
        """Return the first of `STANDINGS` its words name; published where they name none."""
        words = " ".join(self.words.lower().split())
        return next((standing for standing in STANDINGS if standing in words), STANDINGS[-1])


def checks() -> list[Check]:
    """Return every check, in order of files and lines."""
    found = []
    for path in sorted(HERE.glob("test_*.py")):
        if path.name == "test_sources_named.py":
            continue
        module = ast.parse(path.read_text(encoding="utf-8"))
        heading = ast.get_docstring(module) or ""
        for item in module.body:
            if isinstance(item, ast.FunctionDef) and item.name.startswith("test_"):
                words = ast.get_docstring(item) or ""
                if "Source" not in words and "Source of every check here" in heading:
                    words = f"{words} {heading}"
                found.append(Check(path.name, item.name, words, _made(item) * _rows(item)))
    return found


def _made(item: ast.FunctionDef) -> int:
    """Return the assertions written in a check; an expected error is one."""
    raises = [
        node
        for node in ast.walk(item)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "raises"
    ]
    return len(raises) + sum(isinstance(node, ast.Assert) for node in ast.walk(item))


def _rows(item: ast.FunctionDef) -> int:
    """Return how many rows of values a check is made for."""
    rows = 1
    for mark in item.decorator_list:
        if isinstance(mark, ast.Call) and isinstance(mark.args[-1], ast.List):
            rows *= len(mark.args[-1].elts)
    return rows


def table(rows: list[Check]) -> str:
    """Return the count by file and by standing, as text."""
    lines = [f"{'file':<28} checks assertions"]
    for file in sorted({row.file for row in rows}):
        own = [row for row in rows if row.file == file]
        lines.append(f"{file:<28} {len(own):>6} {sum(row.assertions for row in own):>10}")
    lines.append(f"{'all':<28} {len(rows):>6} {sum(row.assertions for row in rows):>10}")
    lines.append("")
    for standing in STANDINGS:
        own = [row for row in rows if row.standing == standing]
        lines.append(f"{standing:<28} {len(own):>6} {sum(row.assertions for row in own):>10}")
    return "\n".join(lines)


if __name__ == "__main__":
    print(table(checks()))
