"""The patch sheet of a desk: blocks that come in first, then channels, then what leaves.

Comes in: rig, show, patch, findings.  Goes out: one page per desk and act; acts that look alike share one.
Next: any renderer.  Sockets are on the patch sheet of the device, settings in safe order on the checklist.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from patchloom.pages import Page, merged, translated, views
from patchloom_desk_patch.desk import desk_page

__all__ = ["pages"]


def pages(
    rig: Any, show: Any, patch: Any, findings: Iterable[Any], *, options: Mapping[str, Any] | None = None
) -> Iterator[Page]:
    """Yield the patch sheets of the desks in the order of their positions; equal acts share a page."""
    seen = list(views(rig, show, patch, options))
    desks = dict.fromkeys(desk for view in seen for key in view.positions() if (desk := view.show.desk_of(key)))
    for desk in desks:
        made = (page for view in seen if desk in view.rig.devices and (page := desk_page(view, desk)) is not None)
        yield from translated(merged(made), seen[0].say)
