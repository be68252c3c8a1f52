"""Labels and strips: for every desk, for every box, and for both ends of every cable.

Comes in: rig, show, patch, findings.  Goes out: one page per list, per box and one for cables, per act; acts that look alike
share one.  Next: any renderer; one that knows a table's pitch prints its columns exactly so wide, to be cut out.

Short names differ from each other after they are cut to the desk's length.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from patchloom.pages import Page, list_id, merged, translated, views
from patchloom_labels.ends import ends_page
from patchloom_labels.strips import box_page, desk_page

__all__ = ["pages"]


def pages(
    rig: Any, show: Any, patch: Any, findings: Iterable[Any], *, options: Mapping[str, Any] | None = None
) -> Iterator[Page]:
    """Yield the strips of lists, those of boxes, then the ends of cables; equal acts share a page."""
    seen = list(views(rig, show, patch, options))
    if not seen:
        return
    for key in dict.fromkeys(list_id(row) for view in seen for row in view.show.lists):
        rows = [(view, row) for view in seen for row in view.show.lists if list_id(row) == key]
        made = (page for view, row in rows if (page := desk_page(view, row)) is not None)
        yield from translated(merged(made), seen[0].say)
    for device in rig.devices:
        made = (page for view in seen if device in view.rig.devices and (page := box_page(view, device)) is not None)
        yield from translated(merged(made), seen[0].say)
    yield from translated(merged(page for view in seen if (page := ends_page(view)) is not None), seen[0].say)
