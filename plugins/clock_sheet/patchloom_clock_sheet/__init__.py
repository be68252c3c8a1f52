"""The clock sheet of each act: who leads, what each device follows, where rates are crossed, and the tree as a drawing.

Comes in: rig, show, patch, findings.  Goes out: a page of tables and one with the tree, per act; acts that look alike share
one.  Next: `patchloom.drawing` for the tree, any renderer.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from patchloom.pages import Page, merged, translated, views
from patchloom_clock_sheet.sheet import sheet_page
from patchloom_clock_sheet.tree import tree_page

__all__ = ["pages"]


def pages(
    rig: Any, show: Any, patch: Any, findings: Iterable[Any], *, options: Mapping[str, Any] | None = None
) -> Iterator[Page]:
    """Yield the clock sheets, then the trees; equal acts share a page."""
    seen = list(views(rig, show, patch, options))
    if seen:
        yield from translated(merged(page for view in seen if (page := sheet_page(view)) is not None), seen[0].say)
        yield from translated(merged(page for view in seen if (page := tree_page(view)) is not None), seen[0].say)
