"""The manners of the code: docstrings, sorted public names, modules of a readable size, words that do not belong."""

from __future__ import annotations

import ast
import importlib
import re
import subprocess
import sys
from pathlib import Path

import pytest

import patchloom

from .conftest import PACKAGE, ROOT, sources

MOST_LINES = 450
GENERATED = ("document/fields.py",)
FORBIDDEN = re.compile(r"(?<![\w.])/(?:root|home|work|tmp|opt|Users)/[\w.-]+|localhost|127\.0\.0\.1|\bTODO\b|\bFIXME\b|\bXXX\b")
CERTIFIED = re.compile(r"\b(?:is|are) (?:safe|certified)\b|\bcertified\b(?! people)", re.IGNORECASE)
TEXTS = sorted(
    path
    for pattern in ("*.md", "docs/**/*.md", "docs/**/*.json", "schemas/**/*", "tests/**/*.py", ".ci/run", "pyproject.toml")
    for path in ROOT.glob(pattern)
    if path.is_file() and "_build" not in path.parts
)


def test_public_names_are_there_sorted_and_documented() -> None:
    """Every public name of the package resolves, has a docstring, and `__all__` is sorted."""
    assert list(patchloom.__all__) == sorted(patchloom.__all__)
    for name in patchloom.__all__:
        value = getattr(patchloom, name)
        assert callable(value)
        assert (value.__doc__ or "").strip(), name
        assert name in dir(patchloom)
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        _ = patchloom.nothing


def test_the_functions_win_over_the_packages_of_their_name() -> None:
    """`patchloom.solve` and `patchloom.check` stay functions once the packages of that name are loaded."""
    code = (
        "import patchloom.solve, patchloom.check, patchloom; from patchloom.solve import solve; "
        "assert callable(patchloom.solve) and callable(patchloom.check); from patchloom import check; assert callable(check)"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


@pytest.mark.parametrize("path", sources(), ids=lambda path: "/".join(path.parts[-3:]))
def test_a_module_is_small_and_says_what_it_is(path: Path) -> None:
    """A module has a docstring and at most a few hundred lines (the linter sorts its `__all__`)."""
    text = path.read_text(encoding="utf-8")
    tree = ast.parse(text)
    assert ast.get_docstring(tree), "no docstring"
    if not str(path).replace("\\", "/").endswith(GENERATED):
        assert len(text.splitlines()) <= MOST_LINES


@pytest.mark.parametrize("path", sources(), ids=lambda path: "/".join(path.parts[-3:]))
def test_public_functions_and_classes_say_what_comes_back(path: Path) -> None:
    """Every function and class without a leading underscore, at the top of a module, has a docstring."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    bare = [
        node.name
        for node in tree.body
        if isinstance(node, (ast.FunctionDef, ast.ClassDef)) and not node.name.startswith("_") and not ast.get_docstring(node)
    ]
    assert not bare


@pytest.mark.parametrize("path", [*sources(), *TEXTS], ids=lambda path: "/".join(path.parts[-3:]))
def test_no_words_that_do_not_belong(path: Path) -> None:
    """No paths of anybody's machine, no notes to self, and nothing is called certified or safe."""
    if path == Path(__file__):
        return
    text = path.read_text(encoding="utf-8")
    assert not FORBIDDEN.findall(text)
    assert not CERTIFIED.findall(text) or (path.suffix == ".py" and "tests" in path.parts)


def test_importing_the_package_loads_nothing_heavy() -> None:
    """`import patchloom` alone loads none of the libraries it may need later (times are for tests/bench)."""
    heavy = ("attrs", "click", "jsonschema", "networkx", "importlib.metadata", "hypothesis", "numpy")
    code = f"import sys, patchloom; print([name for name in {heavy!r} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert done.stdout.strip() == "[]"


def test_only_the_command_line_reads_a_clock_or_exits() -> None:
    """No module of the core but the command line imports a clock, or ends the program.

    The workbook's library asks for a date of its own, or reads one: that plugin names a fixed one.
    """
    pattern = re.compile(
        r"^\s*(?:import (?:datetime|locale)\b|from datetime import)|sys\.exit\(|datetime\.now\(|time\.time\(", re.MULTILINE
    )
    found = [
        str(path)
        for path in sources()
        if not {"cli", "testing", "tree.py", "patchloom_xlsx"} & set(path.parts)
        and pattern.search(path.read_text(encoding="utf-8"))
    ]
    assert not found


def test_every_module_imports() -> None:
    """Each module of the package can be imported on its own."""
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
        if parts[-1] != "__main__":
            importlib.import_module(".".join(parts[:-1] if parts[-1] == "__init__" else parts))
