"""The input list of each position, in that position's own order.

Comes in: rig, show, patch, findings.  Goes out: one page per list and act; acts that look alike share one.
Next: any renderer.

Columns differ by what a position is for (`foh`, `monitor`, `broadcast`, `record`, `stream`); a column that
nobody filled in is left out, and the page says so.  Blank means unknown, never "no".
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from patchloom.pages import Page, merged, translated, views
from patchloom_input_list.inputs import input_page

__all__ = ["pages"]


def pages(
    rig: Any, show: Any, patch: Any, findings: Iterable[Any], *, options: Mapping[str, Any] | None = None
) -> Iterator[Page]:
    """Yield the input lists by position; equal acts share a page."""
    seen = list(views(rig, show, patch, options))
    for position in dict.fromkeys(key for view in seen for key in view.positions()):
        made = (input_page(view, row) for view in seen for row in view.show.lists if row.position == position)
        yield from translated(merged(made), seen[0].say)
