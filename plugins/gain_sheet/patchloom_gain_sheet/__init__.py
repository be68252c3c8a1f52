"""The owner and gain sheet of each act: who moves which preamps and how, every gain known, and everybody's trim.

Comes in: rig, show, patch, findings.  Goes out: one page per act; acts that look alike share one.  Next: any renderer.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from patchloom.pages import Page, merged, translated, views
from patchloom_gain_sheet.sheet import gain_page

__all__ = ["pages"]


def pages(
    rig: Any, show: Any, patch: Any, findings: Iterable[Any], *, options: Mapping[str, Any] | None = None
) -> Iterator[Page]:
    """Yield the owner and gain sheets in the order of the acts; equal acts share a page."""
    seen = list(views(rig, show, patch, options))
    made = (page for view in seen if (page := gain_page(view)) is not None)
    if seen:
        yield from translated(merged(made), seen[0].say)
