"""Neutral content of papers: things and relations, no pixels and no files.

Comes in: what a paper plugin knows about rig, show and patch.  Goes out: frozen `Page` objects, gathered
in one `Book`, and `Artifact`, what a renderer makes of a book.  Next: `drawing/` places diagrams and
plans in millimetres, renderer plugins turn pages into bytes.

A page MUST be complete in words: a renderer that knows nothing of marks still prints everything needed.
A *mark* is a short word on a cell, thing or line that a renderer may show in its own way (bold, a tint,
a hollow circle); the texts never rely on it.  Kinds and marks a renderer does not know are ignored.
"""

from __future__ import annotations

import builtins
from collections.abc import Iterable
from typing import Any

import attrs

from patchloom.model.base import flag, many, numbers, one, plain, text, words
from patchloom.pages.paths import Path, PathEnd, PathGone, PathHop, PathPeriod, PathPosition, Paths, PathSignal

__all__ = [
    "KINDS",
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
]

_text = text  # for a class with a field of that name

KINDS = ("table", "diagram", "plan", "steps")
"""What a page can be made of; the page's field of that name (`tables` for `table`) holds it."""


@attrs.frozen
class Cell:
    """One cell of a table."""

    text: str = text("What is printed. Absent: the cell is blank, and blank means unknown or nothing there.")
    marks: tuple[str, ...] = words("strong, big, tick (an empty box to tick), never, need, on, empty, changed ... Absent: none.")


def _cell(value: Any) -> Cell:
    if isinstance(value, Cell):
        return value
    return Cell(value) if isinstance(value, str) else Cell(**value)


def _cells(values: Iterable[Any]) -> tuple[Cell, ...]:
    return tuple(_cell(value) for value in values)


@attrs.frozen
class Column:
    """One column of a table."""

    id: str = text("Stable short name, e.g. `ch`. Required.")
    title: str = text("Words at the head. Absent: blank.")
    width: float = plain("Share of the width, compared with the other columns. Absent: 1.", 1)
    kind: str = text(
        "`number` (tabular figures, set right), `address` (figures that line up), `tick` or `text`. Absent: text.", "text"
    )
    size: str = text(
        "`body`, `bold` (the same, bold), `strong` (12 pt or more, bold) or `big` (14 pt or more, bold). Absent: body.", "body"
    )


@attrs.frozen
class Row:
    """One row of a table."""

    cells: tuple[Cell, ...] = attrs.field(
        default=(), converter=_cells, metadata={"doc": "One cell a column, in order. Absent: none.", "kind": "many", "cls": Cell}
    )
    kind: str = text(
        "`row`, `empty` (a place with nothing in it) or `section` (one cell over the whole width). Absent: row.", "row"
    )
    block: int | None = plain(
        "Number of the block it belongs to; a heavy rule parts blocks, and a block stays on one sheet where it "
        "fits. Absent: no block."
    )
    keep: str = text("Rows that follow each other with the same word here stay together (the legs of a pair). Absent: free.")
    marks: tuple[str, ...] = words("Marks of the whole row, e.g. spare. Absent: none.")


@attrs.frozen
class Table:
    """Rows under columns."""

    id: str = text("Stable short name, one of its kind on the page, e.g. `inputs`. Required.")
    title: str = text("Words above it. Absent: none.")
    columns: tuple[Column, ...] = many(Column, "Columns in order. Required.")
    rows: tuple[Row, ...] = many(Row, "Rows in order. Absent: none.")
    notes: tuple[str, ...] = words("Words below it, e.g. what blank means. Absent: none.")
    repeat_first: bool = flag("Whether the first column is printed again at the right (wide rows, fold-safe). Absent: no.")
    pitch_mm: float | None = plain("Width of each column in mm, exactly: a strip to be cut out. Absent: columns share the width.")


@attrs.frozen
class Node:
    """One thing of a diagram."""

    id: str = text("Id, unique on the diagram. Required.")
    label: str = text("Words on it. Absent: its id.")
    lines: tuple[str, ...] = words("More words on it, one line each. Absent: none.")
    kind: str = text("desk, box, split, multicore, converter, recorder, amplifier ..., how it may be drawn. Absent: plain.")
    group: str = text("Group it belongs to. Absent: none.")
    layer: int | None = plain("Column along the flow, 0 where signal starts. Absent: worked out from the edges.")
    marks: tuple[str, ...] = words("leader, guest, lost ... Absent: none.")


@attrs.frozen
class Edge:
    """One line of a diagram, from a node to a node."""

    id: str = text("Id, unique on the diagram. Required.")
    from_: str = text("Node it starts at. Required.")
    to: str = text("Node it ends at. Required.")
    from_port: str = text("Port at the start, printed there. Absent: none.")
    to_port: str = text("Port at the end, printed there. Absent: none.")
    label: str = text("Words along it. Absent: none.")
    lines: tuple[str, ...] = words("More words along it, one line each, e.g. channels used of those there. Absent: none.")
    carries: tuple[str, ...] = words("What else arrives: control-to, control-from, clock-to, clock-from. Absent: nothing known.")
    kind: str = text("audio, analogue, clock or control, how it may be drawn. Absent: audio.", "audio")
    arrows: str = text("`to`, `from`, `both` or `none`. Absent: to.", "to")
    marks: tuple[str, ...] = words("backup, unused ... Absent: none.")


@attrs.frozen
class Group:
    """A frame around nodes of a diagram."""

    id: str = text("Id. Required.")
    label: str = text("Words on it. Absent: its id.")
    kind: str = text("zone, position, domain or other. Absent: other.", "other")


@attrs.frozen
class LegendRow:
    """One line of a legend."""

    sign: str = text("Kind or mark it explains, as used on the page. Required.")
    words: str = text("What it means. Required.")


@attrs.frozen
class Diagram:
    """Nodes, edges and groups; where they lie is the drawing's business."""

    nodes: tuple[Node, ...] = many(Node, "Nodes, in reading order. Absent: none.")
    edges: tuple[Edge, ...] = many(Edge, "Edges. Absent: none.")
    groups: tuple[Group, ...] = many(Group, "Groups, in reading order. Absent: none.")
    legend: tuple[LegendRow, ...] = many(LegendRow, "What kinds and marks mean. Absent: none.")
    flow: str = text("`right` or `down`: the way signal mostly runs. Absent: right.", "right")


@attrs.frozen
class PlanZone:
    """A named part of the stage."""

    id: str = text("Id. Required.")
    label: str = text("Words on it. Absent: its id.")
    at: tuple[float, ...] | None = numbers("[x, y] of its centre in metres. Absent: unknown, laid out by side and depth.")
    side: str = text("SR, C or SL. Absent: unknown.")
    depth: str = text("US, MS, DS or OFF. Absent: unknown.")


@attrs.frozen
class Thing:
    """Something on the plan."""

    id: str = text("Id, unique on the plan. Required.")
    kind: str = text(
        "performer, drums, keys, amp, riser, wedge, ear, power, mic, radio, di, playback, sub-box, box, desk, obstacle, "
        "stairs, walkway, table or other. Required."
    )
    label: str = text("Words beside it. Required.")
    lines: tuple[str, ...] = words("More words beside it, one line each, e.g. its line `BOX1-7`. Absent: none.")
    at: tuple[float, ...] | None = numbers(
        "[x, y] of its centre in metres; x positive to stage left, y positive upstage. Absent: unknown, drawn in its zone."
    )
    size: tuple[float, ...] | None = numbers("[width, depth] or [width, depth, height] in metres. Absent: unknown.")
    turn_deg: float = plain("Degrees clockwise seen from above, 0 facing the audience. Absent: 0.", 0)
    zone: str = text("Zone it stands in. Absent: unknown.")
    marks: tuple[str, ...] = words("act (the act's own gear), wired, radio, supplied-by-others ... Absent: none.")
    of: tuple[str, ...] = words("What it stands for: `source ID`, `feed ID` or `device ID`. Absent: nothing of those.")


@attrs.frozen
class Tie:
    """A line on the plan between two things: a cable run, a wedge and its player."""

    from_: str = text("Thing it starts at. Required.")
    to: str = text("Thing it ends at. Required.")
    label: str = text("Words along it. Absent: none.")
    kind: str = text("run or belongs. Absent: run.", "run")


@attrs.frozen
class Plan:
    """The stage from above, audience at the bottom; stage right is on the left of the page."""

    width_m: float | None = plain("Width in metres. Absent: unknown.")
    depth_m: float | None = plain("Depth in metres. Absent: unknown.")
    to_scale: bool = flag("Whether it may be drawn to scale; when it is not, NOT TO SCALE is printed. Absent: no.")
    units: str = text("metres or feet: units of grid, scale bar and sizes in words. Absent: metres.", "metres")
    zones: tuple[PlanZone, ...] = many(PlanZone, "Zones, in walking order. Absent: none.")
    things: tuple[Thing, ...] = many(Thing, "Things, in reading order. Absent: none.")
    ties: tuple[Tie, ...] = many(Tie, "Lines between things. Absent: none.")
    legend: tuple[LegendRow, ...] = many(LegendRow, "What kinds and marks mean. Absent: none.")


@attrs.frozen
class Step:
    """One thing to do, with a box to tick."""

    text: str = text("What to do, numbers included. Required.")
    lines: tuple[str, ...] = words("The settings one by one, where the step has many. Absent: none.")
    at: str = _text("Device or socket it is done at. Absent: the desk the page is for.")
    caution: str = _text("What to take care of before doing it. Absent: nothing.")
    hears: tuple[str, ...] = words("Positions that hear it happen. Absent: none.")


@attrs.frozen
class StepGroup:
    """Steps done in one go, before the next group."""

    id: str = text("Stable short name, e.g. `clock`. Required.")
    title: str = text("Words above it. Required.")
    why: str = text("Why it comes here. Absent: obvious.")
    steps: tuple[Step, ...] = many(Step, "Steps in order. Absent: none.")


@attrs.frozen
class Caution:
    """One usual caution, printed where it matters."""

    area: str = text("hearing, phantom, mains, earth, radio, rigging, trip, privacy, emergency or law. Required.")
    text: str = text("The words. Required.")


@attrs.frozen
class Remark:
    """One thing the checks, the waivers or the solver have to say about what is on this page."""

    kind: str = text("stop, safety, warn, advice, note, waived, unhonoured or unmet. Required.")
    text: str = text("The words. Required.")
    where: tuple[str, ...] = words("Addresses, signals or positions concerned. Absent: everything.")


@attrs.frozen
class Stamp:
    """What every sheet of a book says about itself; all of it is given, nothing is read from a clock."""

    show: str = text("Name of the show. Absent: none given.")
    rig: str = text("Name of the rig. Absent: none given.")
    date: str = text("Date of the show, as the show says it. Absent: unknown.")
    revision: str = text("Letter or number of the revision. Absent: none given.")
    replaces: str = text("Revision it replaces. Absent: none.")
    generated: str = text("When it was made, date and time with time zone, as given. Absent: not given.")
    status: str = text("DRAFT, ISSUED or AS-BUILT. Absent: DRAFT.", "DRAFT")
    approver: str = text("Who approved it, exceptions included. Absent: nobody yet.")
    patch: str = text(
        "Digest of the patch it was made from. Two sheets belong together when revision and digest agree. Absent: unknown."
    )
    changes: int | None = plain("Changes since the revision it replaces. Absent: not counted.")


@attrs.frozen
class Page:
    """One paper: a list for one position, a sheet for one device, a checklist for one desk, a drawing."""

    kind: str = text("table, diagram, plan or steps. Required.")
    title: str = text("What paper it is, e.g. `Input list`. Required.")
    paper: str = text("Name of the paper plugin; filled in by the book. Absent: not yet.")
    subject: str = text("Id of what it is about: a list, a device, a desk. Absent: the whole show.")
    subject_name: str = text("What people call that. Absent: its id.")
    position: str = text("Position whose set it belongs to. Absent: everybody's.")
    period: str = text("Act or scene. Absent: the whole show.")
    period_name: str = text("What people call that. Absent: its id.")
    also: tuple[str, ...] = words("Further acts or scenes it holds for in the same words. Absent: none.")
    about: str = text("One line under the title. Absent: none.")
    tables: tuple[Table, ...] = many(Table, "Of a table page. Absent: none.")
    diagram: Diagram | None = one(Diagram, "Of a diagram page. Absent: none.")
    plan: Plan | None = one(Plan, "Of a plan page. Absent: none.")
    steps: tuple[StepGroup, ...] = many(StepGroup, "Of a steps page, in the order they are to be done. Absent: none.")
    notes: tuple[str, ...] = words("What a reader should know. Absent: nothing.")
    cautions: tuple[Caution, ...] = many(Caution, "Cautions; a renderer MUST print them. Absent: none.")
    remarks: tuple[Remark, ...] = many(
        Remark, "Findings, waivers and fields not honoured; a renderer MUST print them. Absent: none."
    )
    touches: tuple[str, ...] = words(
        "Devices, links, signals, lists and positions it speaks of; decides which remarks it gets. Absent: everything."
    )
    language: str = text("Language of its fixed words, its two letters; a renderer's own words follow it. Absent: en.", "en")
    digest: str = text("Digest of its content, stamp and remarks aside; filled in by the book. Absent: not yet.")


@attrs.frozen
class Book:
    """All pages in order, with the stamp of every one of them."""

    format: str = text("Name and version of the format: page/1.", "page/1")
    stamp: Stamp | None = one(Stamp, "The stamp. Required.")
    pages: tuple[Page, ...] = many(Page, "Pages in order. Absent: none.")
    faults: tuple[Remark, ...] = many(
        Remark, "Papers that could not be made, with the reason; a renderer MUST print them. Absent: none."
    )
    paths: Paths | None = one(Paths, "Where every leg goes, hop by hop, for renderers that follow lines. Absent: not told.")

    def of(self, *, position: str = "", paper: str = "", period: str = "") -> Book:
        """Return the book of one position (everybody's pages aside), one paper or one period only."""
        kept = tuple(
            page
            for page in self.pages
            if (not position or page.position == position)
            and (not paper or page.paper == paper)
            and (not period or page.period == period)
        )
        return attrs.evolve(self, pages=kept)


@attrs.frozen
class Artifact:
    """What a renderer gives back: a file's content, not a file."""

    name: str
    """File name, relative, with `/` between folders; letters, digits, `-`, `_` and `.` only."""
    media_type: str
    """Media type, e.g. `text/html; charset=utf-8`."""
    bytes: builtins.bytes
    """The content."""
