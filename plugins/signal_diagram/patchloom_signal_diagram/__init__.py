"""The signal diagram of a rig: devices and links, what each link carries of what it could; whole, and for each position.

Comes in: rig, show, patch, findings.  Goes out: for each act a diagram of everything, then one for each position with what
it hears and makes; acts that look alike share one.  Next: `patchloom.drawing` places it, any renderer prints it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from patchloom.pages import Page, merged, translated, views
from patchloom_signal_diagram.links import links_page, position_page

__all__ = ["pages"]


def pages(
    rig: Any, show: Any, patch: Any, findings: Iterable[Any], *, options: Mapping[str, Any] | None = None
) -> Iterator[Page]:
    """Yield the diagram of everything, then those of the positions; equal periods share a page."""
    seen = list(views(rig, show, patch, options))
    if not seen:
        return
    yield from translated(merged(links_page(view) for view in seen), seen[0].say)
    for position in dict.fromkeys(key for view in seen for key in view.positions()):
        made = (page for view in seen if (page := position_page(view, position)) is not None)
        yield from translated(merged(made), seen[0].say)
