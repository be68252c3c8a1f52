"""Where the repository is, for tests about the repository itself."""

from __future__ import annotations

from pathlib import Path

import pytest

import patchloom

ROOT = Path(__file__).parents[2]
PACKAGE = Path(patchloom.__file__).parent


@pytest.fixture(scope="session")
def root() -> Path:
    """Return the top folder of the checkout."""
    return ROOT


def sources() -> list[Path]:
    """Return every Python file of the core and of the plugin packages, wherever they are installed."""
    plugins = sorted((ROOT / "plugins").glob("*/patchloom_*")) or sorted(PACKAGE.parent.glob("patchloom_*"))
    folders = [PACKAGE, *(path for path in plugins if path.is_dir() and not path.name.endswith(".dist-info"))]
    return sorted(path for folder in folders for path in folder.rglob("*.py"))
