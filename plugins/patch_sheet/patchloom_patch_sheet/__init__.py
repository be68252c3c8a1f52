"""The patch sheet of each device with connectors: every socket, empty ones too, in the order of the panel.

Comes in: rig, show, patch, findings.  Goes out: one page per device and act.  Next: any renderer.

The left column is what is printed on the panel; a heavy rule parts the rows of the panel; each list that
hears a socket has a column with its channel there.  A desk's sheet shows its blocks and channels as well.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from patchloom.pages import Page, merged, translated, views
from patchloom_patch_sheet.device import device_page

__all__ = ["pages"]


def pages(
    rig: Any, show: Any, patch: Any, findings: Iterable[Any], *, options: Mapping[str, Any] | None = None
) -> Iterator[Page]:
    """Yield the patch sheets in the rig's order of devices; equal acts share a page."""
    seen = list(views(rig, show, patch, options))
    for device in rig.devices:
        made = (page for view in seen if device in view.rig.devices and (page := device_page(view, device)) is not None)
        if seen:
            yield from translated(merged(made), seen[0].say)
