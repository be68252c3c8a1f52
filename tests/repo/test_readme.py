"""The README says what is true: its commands can be taken out, its example runs, its links lead somewhere."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

COMMANDS = [
    "python3 -m venv .venv && .venv/bin/pip install '.[papers]' && .venv/bin/patchloom demo show-pack",
    "python3 -m venv .venv && .venv/bin/pip install -e '.[test]' && .venv/bin/pytest",
]


def test_the_two_commands_stand_alone_in_the_readme(root: Path) -> None:
    """Exactly two lines of the README set up and run; they are the ones `.ci/run` takes out of it."""
    found = re.findall(r"^python3 -m venv \.venv && .*$", (root / "README.md").read_text(encoding="utf-8"), re.MULTILINE)
    assert found == COMMANDS
    assert r"^python3 -m venv \.venv && " in (root / ".ci" / "run").read_text(encoding="utf-8")


def test_the_example_program_runs(root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The README's program, run as it stands beside the demo's documents, writes papers."""
    from patchloom.cli.demo import shipped

    (tmp_path / "show-pack").mkdir()
    for name, data in shipped().items():
        (tmp_path / "show-pack" / name).write_bytes(data)
    [code] = re.findall(r"```python\n(.*?)```", (root / "README.md").read_text(encoding="utf-8"), re.DOTALL)
    monkeypatch.chdir(tmp_path)
    exec(compile(code, "README.md", "exec"), {"__name__": "readme"})
    assert [path for path in (tmp_path / "papers").rglob("*") if path.is_file()]


@pytest.mark.parametrize(
    "page",
    [
        "README.md",
        "DEVELOPERS.md",
        "CHANGELOG.md",
        *(
            str(path.relative_to(Path(__file__).parents[2]))
            for path in sorted((Path(__file__).parents[2] / "docs").rglob("*.md"))
            if not any(part.startswith("_") for part in path.parts)  # what a build leaves is no page of ours
        ),
    ],
)
def test_links_and_pictures_lead_to_files(root: Path, page: str) -> None:
    """Every relative link or picture of a page is a file of the repository."""
    text = (root / page).read_text(encoding="utf-8")
    for target in re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", text):
        if "://" not in target:
            assert ((root / page).parent / target).exists(), f"{page} points to {target}"
