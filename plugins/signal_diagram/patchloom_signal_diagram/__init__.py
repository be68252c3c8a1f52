"""The signal diagram of a rig: devices and links, what each link carries of what it could, and the clock tree.

Comes in: rig, show, patch, findings.  Goes out: for each act a diagram of devices and links and one of the clock
(acts that look alike share one).  Next: `patchloom.drawing` places it, any renderer prints it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from patchloom.pages import Page, merged, views
from patchloom_signal_diagram.clock import clock_page
from patchloom_signal_diagram.links import links_page

__all__ = ["pages"]


def pages(rig: Any, show: Any, patch: Any, findings: Iterable[Any]) -> Iterator[Page]:
    """Yield the diagrams of links, then those of the clock, in the order of the periods; equal periods share a page."""
    seen = list(views(rig, show, patch))
    yield from merged(links_page(view) for view in seen)
    yield from merged(page for view in seen if (page := clock_page(view)) is not None)
