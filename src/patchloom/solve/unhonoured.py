"""Which fields of a rig and a show were read and are not honoured by the search yet.

Comes in: rig and show.  Goes out: their names, for the patch and every paper.  A field is never silently ignored: what is
not here takes part in the search, is judged by a rule (`talk`: talk-reaches), or is there to be printed.
"""

from __future__ import annotations

from patchloom.model.rig import Rig
from patchloom.model.show import Show
from patchloom.solve.inserts import by_hand

__all__ = ["unhonoured"]

_UNTOLD = {"never-open-together": "a patch opens and closes no channel; whoever mixes keeps it"}
"""Relations of groups that have no part in the search, and why."""


def unhonoured(rig: Rig, show: Show) -> tuple[str, ...]:
    """Return one line per field that is given and has no part in the search, in the order of the documents."""
    found: list[str] = []
    folded = [f"{item.id} {want.signal}" for item in show.lists for want in item.wants if want is not None and want.fold == "sum"]
    if folded:
        found.append(f"fold: sum of {', '.join(folded)} (the first leg is carried; sum the legs where they are made)")
    relations = sorted({group.relation for group in show.groups if group.relation in _UNTOLD})
    found.extend(f"groups.relation {relation} ({_UNTOLD[relation]})" for relation in relations)
    sends = by_hand(rig, show)
    if sends:
        found.append(f"inserts: send of {', '.join(sends)} (no select row takes it; patch it by hand)")
    return tuple(found)
