"""Papers as neutral content: what is on them, for whom, and what must be said with it.

Comes in: rig, show, patch, findings, the papers asked for, and the stamp's words.  Goes out: a `Book` of
`Page`s.  Next: `drawing/` for diagrams and plans, and the renderer plugins.

- `page`: the page types; frozen, `dump`-able to a `page/1` document.
"""

from __future__ import annotations

from patchloom.pages.page import (
    KINDS,
    Artifact,
    Book,
    Caution,
    Cell,
    Column,
    Diagram,
    Edge,
    Group,
    LegendRow,
    Node,
    Page,
    Plan,
    PlanZone,
    Remark,
    Row,
    Stamp,
    Step,
    StepGroup,
    Table,
    Thing,
    Tie,
)

__all__ = ["KINDS", "Artifact", "Book", "Caution", "Cell", "Column", "Diagram", "Edge", "Group", "LegendRow", "Node", "Page",
           "Plan", "PlanZone", "Remark", "Row", "Stamp", "Step", "StepGroup", "Table", "Thing", "Tie"]
