"""The guest map: a guest's channels and what they are in the house, and the same from the house's side.

Comes in: rig, show, patch, findings.  Goes out: one page per list that lands on a guest's desk, or that an act brings along,
and act; acts that look alike share one.  Next: any renderer.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from patchloom.pages import Page, list_id, merged, translated, views
from patchloom_guest_map.sheet import guest_page, is_guests

__all__ = ["pages"]


def pages(
    rig: Any, show: Any, patch: Any, findings: Iterable[Any], *, options: Mapping[str, Any] | None = None
) -> Iterator[Page]:
    """Yield the guest maps in the order of the lists; equal acts share a page."""
    seen = list(views(rig, show, patch, options))
    for key in dict.fromkeys(list_id(row) for view in seen for row in view.show.lists):
        rows = [(view, row) for view in seen for row in view.show.lists if list_id(row) == key and is_guests(show, view, row)]
        made = (page for view, row in rows if (page := guest_page(view, row)) is not None)
        yield from translated(merged(made), seen[0].say)
