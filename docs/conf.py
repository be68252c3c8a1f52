"""Sphinx configuration: offline, warnings are errors where it counts (`sphinx-build -W`)."""

import sys
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

project = "patchloom"
author = "the patchloom authors"
copyright = "2026, the patchloom authors"

extensions = ["myst_parser"]
exclude_patterns = ["_build", "_gallery", "examples"]
html_theme = "furo"
html_title = "patchloom"
html_show_sphinx = False
myst_enable_extensions = ["deflist"]
myst_heading_anchors = 3
suppress_warnings = ["config.cache"]


def setup(app: Any) -> None:
    """Have the pictures of the gallery made before anything is read."""
    import gallery

    app.connect("builder-inited", lambda _: gallery.make())
