"""The matrix of acts: every line against every act, what each act puts there, and what changes from one to the next.

Comes in: rig, show, patch, findings.  Goes out: one page for the whole show, none where it has one act only.  Next: any
renderer.  Lines keep their numbers from act to act; scenes move no plugs and have no column.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from patchloom.pages import Page, translated, views
from patchloom_act_matrix.matrix import matrix_page

__all__ = ["pages"]


def pages(
    rig: Any, show: Any, patch: Any, findings: Iterable[Any], *, options: Mapping[str, Any] | None = None
) -> Iterator[Page]:
    """Yield the matrix of a show of several acts."""
    scenes = {period.id for period in show.periods if period.scene_of}
    seen = [view for view in views(rig, show, patch, options) if view.period not in scenes]
    page = matrix_page(seen) if len(seen) > 1 else None
    if page is not None:
        yield from translated([page], seen[0].say)
