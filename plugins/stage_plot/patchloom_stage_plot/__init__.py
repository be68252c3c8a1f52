"""The stage plot of each act: plan view, audience at the bottom, stage right on the left of the page.

Comes in: rig, show, patch, findings.  Goes out: one plan page per act (acts that look alike share one).
Next: `patchloom.drawing` places it, any renderer prints it.

Scenes move no plugs and no things, so they get no plot of their own.  Nothing is given a place the show does not
state: where coordinates are missing the plan says the zone, and NOT TO SCALE.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from patchloom.pages import Page, merged, translated, views
from patchloom_stage_plot.plot import plot_page

__all__ = ["pages"]


def pages(
    rig: Any, show: Any, patch: Any, findings: Iterable[Any], *, options: Mapping[str, Any] | None = None
) -> Iterator[Page]:
    """Yield the stage plots in the order of the acts; equal acts share a page."""
    scenes = {period.id for period in show.periods if period.scene_of}
    seen = [view for view in views(rig, show, patch, options) if view.period not in scenes]
    if seen:
        yield from translated(merged(plot_page(view) for view in seen), seen[0].say)
