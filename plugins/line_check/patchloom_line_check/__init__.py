"""The line check sheet of each act, in channel order and in walking order.

Comes in: rig, show, patch, findings.  Goes out: one page per order and act; acts that look alike share one.  Next: any
renderer.  One line of each block comes first: it finds swapped blocks before anybody walks.  Scenes move no plugs and get
no sheet of their own.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from patchloom.pages import Page, merged, translated, views
from patchloom_line_check.sheet import ORDERS, check_page

__all__ = ["pages"]

_OTHERS = ("", "name")
"""What people may ask for that is no order of this sheet: it comes in both of its own then."""


def pages(
    rig: Any, show: Any, patch: Any, findings: Iterable[Any], *, options: Mapping[str, Any] | None = None
) -> Iterator[Page]:
    """Yield the sheets in channel order, then in walking order, or in the one order asked for; equal acts share a page."""
    scenes = {period.id for period in show.periods if period.scene_of}
    seen = [view for view in views(rig, show, patch, options) if view.period not in scenes]
    for order in ORDERS:
        made = (page for view in seen if view.options.sort in (order, *_OTHERS) and (page := check_page(view, order)) is not None)
        if seen:
            yield from translated(merged(made), seen[0].say)
