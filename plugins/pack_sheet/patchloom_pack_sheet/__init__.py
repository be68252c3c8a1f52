"""The radio and pack sheet: who wears which pack from which scene to which, where it is heard, and what stands in for it.

Comes in: rig, show, patch, findings.  Goes out: one page for the whole show, none where there is no radio and no ear pack.
Next: any renderer.  It lists; it coordinates no frequency.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from patchloom.pages import Page, translated, views
from patchloom_pack_sheet.sheet import pack_page

__all__ = ["pages"]


def pages(
    rig: Any, show: Any, patch: Any, findings: Iterable[Any], *, options: Mapping[str, Any] | None = None
) -> Iterator[Page]:
    """Yield the pack sheet of the show."""
    seen = list(views(rig, show, patch, options))
    page = pack_page(seen) if seen else None
    if page is not None:
        yield from translated([page], seen[0].say)
