"""Drawings and papers in the boxes a browser really sets: no text over text, none too small, none off its sheet or cell."""

from __future__ import annotations

from pathlib import Path

import pytest

from patchloom.drawing import scene_svg, scenes
from patchloom.pages import Page
from patchloom.plugins import load
from tests.drawing.rendered import faults_of, measured, paper_faults, sheets_of
from tests.drawing.samples import HARD, named_diagram, named_plan, random_diagram, random_plan
from tests.pages.world import hostile_show, small_book

pytestmark = pytest.mark.browser

ROOM = (256.0, 168.0)


def drawings() -> list[Page]:
    """Return hard names as plot and diagram, and a handful of random shows."""
    named = [page for name in HARD.values() for page in (named_plan(name), named_plan(name, False), named_diagram(name))]
    return [*named, *(random_plan(seed) for seed in range(3)), *(random_diagram(seed) for seed in range(3))]


def test_drawings_as_a_browser_sets_them(tmp_path: Path) -> None:
    """Plots and diagrams with hard names and of random shows, measured in Chromium."""
    made = [scene_svg(scene, inline=True) for page in drawings() for scene in scenes(page, room=ROOM)]
    (sheets,) = measured([sheets_of(made)], ".one", tmp_path)
    assert len(sheets) == len(made)
    assert sum(len(sheet["lines"]) for sheet in sheets) > 1000
    assert [fault for sheet in sheets for fault in faults_of(sheet)] == []


def test_papers_as_a_browser_sets_them(tmp_path: Path) -> None:
    """Lists, sheets, panel views, labels and checklists: each line in its cell, each row high enough to write in."""
    made = [next(iter(load("renderers", "html")(book, {"files": "book"}))) for book in (small_book(), small_book(hostile_show()))]
    for sheets in measured([file.bytes.decode("utf-8") for file in made], ".sheet", tmp_path):
        assert len(sheets) > 10
        assert [fault for sheet in sheets for fault in paper_faults(sheet)] == []
