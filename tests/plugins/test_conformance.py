"""Every shipped paper and renderer keeps the contract a stranger's must keep."""

from __future__ import annotations

import pytest

from patchloom.plugins import load
from patchloom.testing.conformance import check_paper, check_renderer


@pytest.mark.parametrize("name", ["input-list", "patch-sheet", "settings-checklist"])
def test_papers_keep_the_contract(name: str) -> None:
    """Papers raise nothing, speak of what exists, alter nothing, and say the same under any hash seed."""
    check_paper(load("papers", name))


@pytest.mark.parametrize("name", ["html", "csv", "text"])
def test_renderers_keep_the_contract(name: str) -> None:
    """Renderers write nothing, read no clock, and give the same bytes under any hash seed."""
    check_renderer(load("renderers", name))
