"""Which fields of a rig and a show were read and are not honoured by the search yet.

Comes in: rig and show.  Goes out: their names, for the patch and every paper.  A field is never silently ignored.
"""

from __future__ import annotations

from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["unhonoured"]


def unhonoured(rig: Rig, show: Show) -> tuple[str, ...]:
    """Return one line per field that is given and has no part in the search, in the order of the documents."""
    found: list[str] = []
    folded = [f"{item.id} {want.signal}" for item in show.lists for want in item.wants if want is not None and want.fold == "sum"]
    if folded:
        found.append(f"fold: sum of {', '.join(folded)} (the first leg is carried; sum the legs where they are made)")
    if any(item.survives for item in show.lists):
        found.append("lists.survives (read, not steered by)")
    if any(feed.survives for feed in show.feeds):
        found.append("feeds.survives (read, not steered by)")
    relations = sorted({group.relation for group in show.groups if group.relation != "one-box"})
    if relations:
        found.append(f"groups.relation {', '.join(relations)} (read, not steered by)")
    if show.talk:
        found.append("talk (read, not steered by)")
    if show.inserts:
        found.append("inserts (read, not routed)")
    if show.wishes and show.wishes.prefer:
        found.append("wishes.prefer (read, not steered by)")
    if show.routing:
        found.append("routing (read, not steered by)")
    return tuple(found)
