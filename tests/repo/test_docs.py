"""The documentation is run: its documents are read, its commands given, its programs executed, its reference compared."""

from __future__ import annotations

import fnmatch
import importlib.util
import re
import shlex
from pathlib import Path

import pytest

from patchloom.cli import main

ROOT = Path(__file__).parents[2]
BLOCK = re.compile(r"^```\{code-block\} (\w+)\n((?::\w+: [^\n]*\n)*)\n?(.*?)^```$", re.DOTALL | re.MULTILINE)
PAGES = sorted(path for path in (ROOT / "docs").glob("*.md") if BLOCK.search(path.read_text(encoding="utf-8")))


@pytest.mark.parametrize("page", PAGES, ids=lambda path: path.stem)
def test_the_examples_of_a_page_do_what_it_says(
    page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """In page order, in one folder: captioned blocks are files, console blocks are run and compared, programs are executed.

    In a console block `...` stands for any text within a line, and a line of it for any lines.
    """
    monkeypatch.chdir(tmp_path)
    for language, options, body in BLOCK.findall(page.read_text(encoding="utf-8")):
        caption = re.search(r":caption: (\S+)", options)
        if caption:
            Path(caption[1]).write_text(body, encoding="utf-8")
        elif language == "console":
            _console(body, capsys)
        elif language == "python":
            exec(compile(body, page.name, "exec"), {"__name__": "page"})


def _console(body: str, capsys: pytest.CaptureFixture[str]) -> None:
    for part in re.split(r"^\$ ", body, flags=re.MULTILINE)[1:]:
        command, _, expected = part.partition("\n")
        words = shlex.split(command, comments=True)
        assert words[0] == "patchloom"
        capsys.readouterr()
        with pytest.raises(SystemExit):
            main(words[1:])
        out, err = capsys.readouterr()
        said = (err + out).rstrip("\n")
        wanted = expected.rstrip("\n")
        pattern = re.sub(r"(?:^|\n)\.\.\.(?:\n|$)", "*", wanted).replace("...", "*").replace("[", "[[]")
        assert not wanted or fnmatch.fnmatchcase(said, pattern), f"{command}\n--- said\n{said}\n--- page\n{wanted}"


def test_the_reference_pages_are_fresh() -> None:
    """Each reference page is what docs/reference.py makes of the facts now."""
    spec = importlib.util.spec_from_file_location("reference", ROOT / "docs" / "reference.py")
    assert spec is not None
    assert spec.loader is not None
    made = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(made)
    for name, make in made.PAGES.items():
        there = (ROOT / "docs" / "reference" / name).read_text(encoding="utf-8")
        assert there == make(), f"docs/reference/{name} is stale: run python docs/reference.py"


def test_the_page_of_checking_names_the_sixty() -> None:
    """Every entry of the list stands there and leads to a page of the reference that is there."""
    from patchloom.check.trade import TRADE

    links = dict(
        re.findall(r"\[([^]]+)\]\((reference/rules/[^)]+)\)", (ROOT / "docs" / "checking.md").read_text(encoding="utf-8"))
    )
    assert [row.name for row in TRADE if row.name not in links] == []
    assert [page for page in links.values() if not (ROOT / "docs" / page).is_file()] == []
