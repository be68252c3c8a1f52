"""Every published value names where it is from."""

from __future__ import annotations

import ast
from pathlib import Path


def test_every_check_names_its_source() -> None:
    """Each check says its source in its own words or by its file's heading; at least 30 checks stand here."""
    count = 0
    for path in sorted(Path(__file__).parent.glob("test_*.py")):
        if path.name == Path(__file__).name:
            continue
        module = ast.parse(path.read_text(encoding="utf-8"))
        heading = ast.get_docstring(module) or ""
        for item in module.body:
            if isinstance(item, ast.FunctionDef) and item.name.startswith("test_"):
                count += 1
                words = ast.get_docstring(item) or ""
                assert "Source" in words or "Source of every check here" in heading, f"{path.name}: {item.name}"
    assert count >= 30
