"""Plugins are listed without loading, loaded on use, and kept apart when they break."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from patchloom import plugins
from patchloom.errors import PluginError

BROKEN = {
    "boom": "raise RuntimeError('bang')",
    "gone": "import a_module_nobody_has",
    "quits": "import sys; sys.exit(3)",
    "text": "pages = 'no function'",
}


@pytest.fixture
def strangers(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Install a package of four broken papers and a good one, found as any installed package is."""
    info = tmp_path / "strange_papers-0.7.dist-info"
    info.mkdir()
    (info / "METADATA").write_text("Metadata-Version: 2.1\nName: strange-papers\nVersion: 0.7\n", encoding="utf-8")
    lines = [
        "[patchloom.papers]",
        *(f"strange-{name} = strange_{name}:pages" for name in BROKEN),
        "strange-good = strange_good:pages",
        "input-list = strange_good:pages",
    ]
    (info / "entry_points.txt").write_text("\n".join(lines), encoding="utf-8")
    for name, text in BROKEN.items():
        (tmp_path / f"strange_{name}.py").write_text(text, encoding="utf-8")
    (tmp_path / "strange_good.py").write_text("def pages(rig, show, patch, findings):\n    return []\n", encoding="utf-8")
    monkeypatch.syspath_prepend(str(tmp_path))
    return tmp_path


def test_ours_are_found_by_kind() -> None:
    """The shipped papers and renderers are there, sorted, with package and version."""
    papers = [row for row in plugins.found("papers") if row.package == "patchloom"]
    assert [row.name for row in papers] == sorted(row.name for row in papers)
    assert {"input-list", "patch-sheet", "settings-checklist"} <= {row.name for row in papers}
    assert {"html", "csv", "text"} <= {row.name for row in plugins.found("renderers")}
    assert all(row.version for row in papers)


def test_listing_loads_nothing() -> None:
    """Finding every plugin imports none of them."""
    code = (
        "import sys\nfrom patchloom.plugins import found\nassert found()\n"
        "print([name for name in sys.modules if name.startswith('patchloom_')])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_importing_the_finder_is_quick() -> None:
    """The module itself does not import importlib.metadata."""
    code = "import sys\nimport patchloom.plugins\nprint('importlib.metadata' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"


def test_broken_ones_are_named_and_the_rest_is_loaded(strangers: Path) -> None:
    """Each broken plugin is named with package, version and reason; the good one and ours are there."""
    loaded = plugins.load_all("papers")
    reasons = {row.plugin.name: str(row) for row in loaded.broken}
    assert "strange-good" in loaded.objects
    assert "patch-sheet" in loaded.objects
    assert "RuntimeError: bang" in reasons["strange-boom"]
    assert "ModuleNotFoundError" in reasons["strange-gone"]
    assert "SystemExit: 3" in reasons["strange-quits"]
    assert "where a function is due" in reasons["strange-text"]
    assert all("strange-papers 0.7" in reason for name, reason in reasons.items() if name.startswith("strange"))


def test_a_name_given_twice_keeps_ours(strangers: Path) -> None:
    """A stranger cannot take the name of a shipped paper; the clash is told."""
    loaded = plugins.load_all("papers")
    assert loaded.objects["input-list"].__module__ == "patchloom_input_list"
    assert any(row.plugin.name == "input-list" and "already" in row.reason for row in loaded.broken)


def test_a_broken_one_asked_for_is_an_error(strangers: Path) -> None:
    """Asked for by name, a broken plugin raises, naming itself and why."""
    with pytest.raises(
        PluginError, match=r"strange-boom \(strange-papers 0.7, strange_boom:pages\) cannot be loaded: RuntimeError: bang"
    ):
        plugins.load("papers", "strange-boom")


def test_a_missing_one_names_the_nearest() -> None:
    """A name that is not there says which one may be meant; an unknown kind lists the kinds."""
    with pytest.raises(PluginError, match="did you mean 'input-list'"):
        plugins.load("papers", "inputlist")
    with pytest.raises(PluginError, match="there are csv"):
        plugins.load("renderers", "zzzzzz")
    with pytest.raises(PluginError, match="there are papers, renderers"):
        plugins.found("printers")


@pytest.mark.parametrize(("value", "off"), [("1", True), ("yes", True), ("0", False), ("", False)])
def test_the_environment_switches_them_off(monkeypatch: pytest.MonkeyPatch, value: str, off: bool) -> None:
    """PATCHLOOM_NO_PLUGINS hides every plugin, and a name asked for says so."""
    monkeypatch.setenv("PATCHLOOM_NO_PLUGINS", value)
    assert (plugins.found() == ()) is off
    if off:
        with pytest.raises(PluginError, match="switched off by PATCHLOOM_NO_PLUGINS"):
            plugins.load("papers", "input-list")


def test_what_is_installed_is_read_once_until_it_changes(strangers: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A second look reads nothing; a package that changes what it gives, in place, is seen at once."""
    import importlib.metadata

    assert "strange-good" in {row.name for row in plugins.found("papers")}
    with monkeypatch.context() as patched:
        patched.setattr(importlib.metadata, "entry_points", lambda **_: pytest.fail("read again"))
        assert "strange-good" in {row.name for row in plugins.found("papers")}
    points = strangers / "strange_papers-0.7.dist-info" / "entry_points.txt"
    points.write_text("[patchloom.papers]\nstrange-other = strange_good:pages\n", encoding="utf-8")
    os.utime(points, ns=(1, 1))
    names = {row.name for row in plugins.found("papers")}
    assert "strange-other" in names
    assert "strange-good" not in names
