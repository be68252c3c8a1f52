"""The cable pull list: what to take off the shelf, spares and shortfall, and every run with its pieces, joints and labels.

Comes in: rig, show, patch, findings.  Goes out: one page for the whole show.  Next: any renderer.

- `runs`: what has to be run, from rig and show; `stock`: pieces for each run, joints, what is short; `sheet`: the page.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from patchloom.pages import Options, Page, translated, views
from patchloom_cable_list.sheet import cable_page

__all__ = ["pages"]


def pages(
    rig: Any, show: Any, patch: Any, findings: Iterable[Any], *, options: Mapping[str, Any] | None = None
) -> Iterator[Page]:
    """Yield the pull list of the show, nothing where there is no run to pull."""
    page = cable_page(rig, show, list(views(rig, show, patch, options)), Options.of(options))
    if page is not None:
        yield from translated([page], Options.of(options).say)
