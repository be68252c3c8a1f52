"""Papers as neutral content: what is on them, for whom, and what must be said with it.

Comes in: rig, show, patch, findings, the papers asked for, and the stamp's words.  Goes out: a `Book` of
`Page`s.  Next: `drawing/` for diagrams and plans, and the renderer plugins.

- `page`: the page types; frozen, `dump`-able to a `page/1` document; `paths`: where every leg goes, hop by hop;
- `view`: one period's answer, indexed for papers; `cells`: words several papers share;
- `lines`: the lines of a show and the orders people work in; `desk`: what is set on a desk;
- `forms`: papers that answer a change, as forms to be filled in;
- `caution`: the usual cautions by area;
- `binding`: pages of many papers, stamped, with the findings that touch each of them;
- `options`: what people may choose about papers; `words`: fixed words in a language;
- `files`: names of files, clean text; `extra`: libraries of an extra, options of a renderer.
"""

from __future__ import annotations

from patchloom.pages.binding import ORDER, STATUSES, book, merged, remarks
from patchloom.pages.caution import AREAS, CHECKED, cautions
from patchloom.pages.options import Options
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
    Path,
    PathEnd,
    PathGone,
    PathHop,
    PathPeriod,
    PathPosition,
    Paths,
    PathSignal,
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
from patchloom.pages.view import View, list_id, views
from patchloom.pages.words import LANGUAGES, say_in, translated

__all__ = [
    "AREAS",
    "CHECKED",
    "KINDS",
    "LANGUAGES",
    "ORDER",
    "STATUSES",
    "Artifact",
    "Book",
    "Caution",
    "Cell",
    "Column",
    "Diagram",
    "Edge",
    "Group",
    "LegendRow",
    "Node",
    "Options",
    "Page",
    "Path",
    "PathEnd",
    "PathGone",
    "PathHop",
    "PathPeriod",
    "PathPosition",
    "PathSignal",
    "Paths",
    "Plan",
    "PlanZone",
    "Remark",
    "Row",
    "Stamp",
    "Step",
    "StepGroup",
    "Table",
    "Thing",
    "Tie",
    "View",
    "book",
    "cautions",
    "list_id",
    "merged",
    "remarks",
    "say_in",
    "translated",
    "views",
]
