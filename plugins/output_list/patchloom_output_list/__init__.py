"""The output list of each position: every mix it makes, and the way of each to whoever hears it.

Comes in: rig, show, patch, findings.  Goes out: one page per position that makes a feed, and act; acts that look alike share
one.  Next: any renderer.  A column that nobody filled in is left out.  Blank means unknown, never "no".
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from patchloom.pages import Page, merged, translated, views
from patchloom_output_list.outputs import output_page

__all__ = ["pages"]


def pages(
    rig: Any, show: Any, patch: Any, findings: Iterable[Any], *, options: Mapping[str, Any] | None = None
) -> Iterator[Page]:
    """Yield the output lists by position; equal acts share a page."""
    seen = list(views(rig, show, patch, options))
    for position in dict.fromkeys(key for view in seen for key in view.positions()):
        made = (page for view in seen if (page := output_page(view, position)) is not None)
        yield from translated(merged(made), seen[0].say)
