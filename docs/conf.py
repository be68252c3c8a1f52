"""Sphinx configuration: offline, warnings are errors where it counts (`sphinx-build -W`)."""

project = "patchloom"
author = "the patchloom authors"
copyright = "2026, the patchloom authors"

extensions = ["myst_parser"]
exclude_patterns = ["_build", "examples"]
html_theme = "furo"
html_title = "patchloom"
html_show_sphinx = False
myst_enable_extensions = ["deflist"]
myst_heading_anchors = 3
suppress_warnings = ["config.cache"]
