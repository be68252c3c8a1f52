"""What is installed is whole: schemas, library data, the demo, every plugin."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tomllib
import zipfile
from importlib.metadata import distribution, entry_points, version
from pathlib import Path

import pytest

import patchloom

TO_COPY = ("example_rule",)
"""Packages that are copied, not shipped."""
PLUGINS = (
    "act_matrix",
    "cable_list",
    "clock_sheet",
    "csv",
    "desk_patch",
    "gain_sheet",
    "guest_map",
    "html",
    "input_list",
    "json",
    "labels",
    "line_check",
    "list_csv",
    "markdown",
    "output_list",
    "pack_sheet",
    "patch_sheet",
    "pdf",
    "phantom_sheet",
    "png",
    "pocket",
    "proof_page",
    "settings_checklist",
    "signal_diagram",
    "stage_plot",
    "svg",
    "text",
    "xlsx",
)


@pytest.fixture(scope="module")
def names(root: Path, tmp_path_factory: pytest.TempPathFactory) -> set[str]:
    """Return the file names of a wheel built from the checkout, or of the installed one where there are no sources."""
    if not (root / "src").is_dir():
        return {str(path) for path in distribution("patchloom").files or ()}
    copy = tmp_path_factory.mktemp("wheel") / "copy"
    shutil.copytree(root, copy, ignore=shutil.ignore_patterns(".git", ".venv", "tests", "docs", "__pycache__", ".*_cache"))
    code = "import hatchling.build as b; print(b.build_wheel('dist'))"
    done = subprocess.run([sys.executable, "-c", code], cwd=copy, check=False, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return set(zipfile.ZipFile(copy / "dist" / done.stdout.split()[-1]).namelist())


def test_the_wheel_holds_schemas_library_and_demo(names: set[str]) -> None:
    """One wheel carries the data the program cannot do without, and none of the tests' cases."""
    for kind in ("rig", "show", "patch", "page", "type", "format"):
        assert f"patchloom/schemas/{kind}-1.json" in names
    assert "patchloom/library/types/stage-box-16.json" in names
    assert "patchloom/library/formats/aes50.json" in names
    assert {"patchloom/demo/rig.json", "patchloom/demo/show.json", "patchloom/py.typed"} <= names
    assert not [name for name in names if name.startswith("patchloom/schemas/suite")]


def test_the_wheel_holds_every_plugin(names: set[str]) -> None:
    """Each small plugin package travels in the same wheel."""
    for plugin in PLUGINS:
        assert f"patchloom_{plugin}/__init__.py" in names


def test_the_wheel_holds_what_the_pocket_book_is_made_of(names: set[str]) -> None:
    """Shell, styles, scripts and languages of the pocket book travel with it."""
    from patchloom_pocket.document import SCRIPTS, STYLES

    parts = [
        "shell.html",
        "languages/de.json",
        *(f"script/{name}.js" for name in SCRIPTS),
        *(f"style/{name}.css" for name in STYLES),
    ]
    assert not [part for part in parts if f"patchloom_pocket/{part}" not in names]


def test_the_wheel_holds_the_fonts_and_their_licences(names: set[str]) -> None:
    """The fonts papers are set in travel with the words that allow it."""
    for name in (
        "PatchloomSans-Regular.ttf",
        "PatchloomSans-Bold.ttf",
        "PatchloomSans-LICENSE.txt",
        "DejaVuSans.ttf",
        "DejaVuSans-Bold.ttf",
        "DejaVu-LICENSE.txt",
        "fonts.json",
    ):
        assert f"patchloom/drawing/fonts/{name}" in names


def test_every_plugin_folder_is_named_wherever_it_must_be(root: Path) -> None:
    """A folder under plugins/ is in the wheel, in the editable folders, the type checker's list and the import contracts."""
    project = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))
    wheel = project["tool"]["hatch"]["build"]["targets"]["wheel"]
    for plugin in PLUGINS:
        package = f"patchloom_{plugin}"
        assert f"plugins/{plugin}/{package}" in wheel["only-include"]
        assert f"plugins/{plugin}" in wheel["dev-mode-dirs"]
        assert wheel["sources"][f"plugins/{plugin}"] == ""
        assert package in project["tool"]["mypy"]["packages"]
        assert package in project["tool"]["importlinter"]["root_packages"]
    if (root / "plugins").is_dir():
        assert sorted(path.name for path in (root / "plugins").iterdir() if path.is_dir()) == sorted([*PLUGINS, *TO_COPY])


def test_every_entry_point_loads() -> None:
    """Each paper, renderer, rule, importer we ship is found by its entry point and can be called."""
    for group in ("papers", "renderers", "importers", "rules"):
        own = [point for point in entry_points(group=f"patchloom.{group}") if point.dist and point.dist.name == "patchloom"]
        assert own, group
        for point in own:
            assert callable(point.load()), point.name


def test_the_version_is_said_once() -> None:
    """The installed version is the package's own."""
    assert version("patchloom") == patchloom.__version__
