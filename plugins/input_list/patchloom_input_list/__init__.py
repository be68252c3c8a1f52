"""The input list of each position, in that position's own order, and the outputs of the mixes it makes.

Comes in: rig, show, patch, findings.  Goes out: one page per list and act, one output list per position
that makes feeds.  Next: any renderer.

Columns differ by what a position is for (`foh`, `monitor`, `broadcast`, `record`, `stream`); a column that
nobody filled in is left out, and the page says so.  Blank means unknown, never "no".
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from patchloom.pages import Page, merged, views
from patchloom_input_list.inputs import input_page
from patchloom_input_list.outputs import output_page

__all__ = ["pages"]


def pages(rig: Any, show: Any, patch: Any, findings: Iterable[Any]) -> Iterator[Page]:
    """Yield the input lists by position, each position's output list after them; equal acts share a page."""
    seen = list(views(rig, show, patch))
    for position in dict.fromkeys(key for view in seen for key in view.positions()):
        yield from merged(input_page(view, row) for view in seen for row in view.show.lists if row.position == position)
        yield from merged(page for view in seen if (page := output_page(view, position)) is not None)
