"""A diagram of nodes and edges, placed in columns along the flow.

Comes in: a diagram `Page` and the room for it in millimetres.  Goes out: a canvas, or None where it does not fit.
Next: `sheet.py`.

Columns of nodes and columns of edge labels take turns, so that a line only ever runs between columns and no line
can cross a text: every edge goes node - label - node, through a lane wherever it passes a column by.  The order
inside columns comes from repeated means of neighbours (barycentre), ties by the order given; the heights from the
same means, pushed apart.  Lines turn in the gutters, each on a track of its own.
"""

from __future__ import annotations

from functools import lru_cache

import attrs

from patchloom.drawing.band import ROW, Band, Sign, said
from patchloom.drawing.layers import Hop, Item, Layout, arrange, too_wide
from patchloom.drawing.metrics import width, wrap
from patchloom.drawing.scene import SMALLEST, Box, Canvas, Point
from patchloom.drawing.tracks import route
from patchloom.pages import Diagram, Edge, Node, Page, say_in
from patchloom.pages.words import Say

__all__ = ["halves_of", "lay_diagram"]

_NODE_WIDE, _EDGE_WIDE = 36.0, 43.0
_DOUBLE = 0.9
"""From the outer to the inner line of a double frame."""

_NAME = 10.5


def lay_diagram(page: Page, room: Box) -> Canvas | None:
    """Return a canvas with the diagram in `room`, or None where it does not fit."""
    assert page.diagram is not None
    items, edges = _items(page.diagram), _edges(page.diagram)
    if too_wide(items, edges, room.wide):
        return None
    band = Band(room.wide, said(page), _signs(page.diagram, say_in(page.language)))
    area = Box(room.x0, room.y0, room.x1, room.y1 - band.high - 3.0)
    if area.high < 30.0:
        return None
    layout = arrange(items, edges, area)
    if layout is None:
        return None
    canvas = Canvas(room.x1, room.y1, say_in(page.language))
    _draw(canvas, page.diagram, layout)
    band.draw(canvas, room.x0, area.y1 + 3.0)
    return canvas


def halves_of(diagram: Diagram) -> list[Diagram]:
    """Return the diagram in two: the edges that start early in the flow, and the rest; each with the nodes it joins.

    Where all start in one layer, half of the edges each; a diagram of one edge stays whole, one without edges halves its nodes.
    """
    if len(diagram.edges) < 2:
        if diagram.edges:
            return [diagram]
        half = (len(diagram.nodes) + 1) // 2
        return [_with(diagram, (), part) for part in (diagram.nodes[:half], diagram.nodes[half:]) if part]
    layer = {node.id: node.layer or 0 for node in diagram.nodes}
    start = {edge.id: min(layer.get(edge.from_, 0), layer.get(edge.to, 0)) for edge in diagram.edges}
    edges = sorted(diagram.edges, key=lambda edge: start[edge.id])
    cuts = [index for index in range(1, len(edges)) if start[edges[index].id] != start[edges[index - 1].id]] or [len(edges) // 2]
    cut = min(cuts, key=lambda index: abs(2 * index - len(edges)))
    joined = {end for edge in diagram.edges for end in (edge.from_, edge.to)}
    alone = tuple(node for node in diagram.nodes if node.id not in joined)
    return [_with(diagram, tuple(edges[:cut]), alone), _with(diagram, tuple(edges[cut:]), ())]


def _with(diagram: Diagram, edges: tuple[Edge, ...], more: tuple[Node, ...]) -> Diagram:
    """Return the diagram with only these edges, the nodes they join and some more."""
    kept = {end for edge in edges for end in (edge.from_, edge.to)} | {node.id for node in more}
    chosen = {edge.id for edge in edges}
    return attrs.evolve(
        diagram,
        nodes=tuple(node for node in diagram.nodes if node.id in kept),
        edges=tuple(edge for edge in diagram.edges if edge.id in chosen),
    )


@attrs.frozen
class Words:
    """The lines set inside a frame, with their type."""

    rows: tuple[tuple[str, float, bool], ...]
    high: float
    """Height of the lines in millimetres."""
    wide: float
    """Width of the longest line in millimetres."""


@lru_cache(maxsize=1024)
def _words(head: str, size: float, lines: tuple[str, ...], most: float) -> Words:
    first = [(line, size, True) for line in wrap(head, most, size, True)]
    rows = (*first, *((line, SMALLEST, False) for words in lines for line in wrap(words, most, SMALLEST)))
    high = sum(size / SMALLEST * ROW for _, size, _ in rows)
    return Words(rows, high, max(width(line, size, bold) for line, size, bold in rows))


def _node_words(node: Node) -> Words:
    return _words(node.label or node.id, _NAME, node.lines, _NODE_WIDE - 3.0)


def _edge_words(edge: Edge) -> Words:
    return _words(edge.label or edge.id, SMALLEST, edge.lines, _EDGE_WIDE - 2.0)


def _items(diagram: Diagram) -> list[Item]:
    words = [_node_words(node) for node in diagram.nodes]
    wide = max((row.wide for row in words), default=0.0) + 3.2
    return [
        Item(node.id, wide, row.high + 2.6 + (2 * _DOUBLE if "leader" in node.marks else 0.0), node.layer, node.group)
        for node, row in zip(diagram.nodes, words, strict=True)
    ]


def _edges(diagram: Diagram) -> list[tuple[str, str, Item]]:
    known = {node.id for node in diagram.nodes}
    rows = [(edge, _edge_words(edge)) for edge in diagram.edges if edge.from_ in known and edge.to in known]
    wide = max((words.wide for _, words in rows), default=0.0) + 2.2
    return [(edge.from_, edge.to, Item(f"edge {edge.id}", wide, words.high + 1.2)) for edge, words in rows]


def _draw(canvas: Canvas, diagram: Diagram, layout: Layout) -> None:
    """Draw lines first, then frames over their ends, then signs and words."""
    known = {node.id for node in diagram.nodes}
    edges = [edge for edge in diagram.edges if edge.from_ in known and edge.to in known]
    hops: dict[str, list[Hop]] = {f"edge {edge.id}": [] for edge in edges}
    for hop in layout.hops:
        hops[hop.edge].append(hop)
    by_item = {f"edge {edge.id}": edge for edge in reversed(edges)}
    lines = route(layout)
    for edge in edges:
        with canvas.showing(f"edge {edge.id}"):
            for hop in hops[f"edge {edge.id}"]:
                canvas.line(*lines[hop], weight=0.3 if edge.kind == "control" else 0.45, dash=_dash(edge))
    for item, box in layout.lanes:
        y = (box.y0 + box.y1) / 2
        edge = by_item[item]
        with canvas.showing(f"edge {edge.id}"):
            canvas.line((box.x0, y), (box.x1, y), weight=0.3 if edge.kind == "control" else 0.45, dash=_dash(edge))
    for edge in edges:
        with canvas.showing(f"edge {edge.id}"):
            _label(canvas, edge, layout.boxes[f"edge {edge.id}"])
            _ends(canvas, edge, hops[f"edge {edge.id}"], lines)
    for node in diagram.nodes:
        with canvas.showing(f"node {node.id}"):
            _frame(canvas, node, layout.boxes[node.id])


def _dash(edge: Edge) -> tuple[float, ...]:
    if "backup" in edge.marks:
        return (2.4, 1.2)
    return {"control": (1.0, 0.8), "clock": (3.0, 0.8, 0.6, 0.8)}.get(edge.kind, ())


def _label(canvas: Canvas, edge: Edge, box: Box) -> None:
    canvas.rect(box, radius=1.0, fill="#fff", weight=0.2)
    _write(canvas, _edge_words(edge), box.x0 + 1.0, box.y0 + 0.6)


def _frame(canvas: Canvas, node: Node, box: Box) -> None:
    leads = "leader" in node.marks
    dash = (2.0, 1.0) if "guest" in node.marks else ()
    canvas.rect(box, fill="#fff" if node.kind != "desk" else "#eee", weight=0.9 if leads else 0.5, dash=dash)
    if leads:
        canvas.rect(box.grown(-_DOUBLE), weight=0.25)
    words = _node_words(node)
    _write(canvas, words, box.x0 + 1.5, box.y0 + (box.high - words.high) / 2)


def _write(canvas: Canvas, words: Words, x: float, top: float) -> None:
    for line, size, bold in words.rows:
        top = canvas.lines(x, top, [line], size, bold)


def _ends(canvas: Canvas, edge: Edge, hops: list[Hop], lines: dict[Hop, tuple[Point, ...]]) -> None:
    """Draw what arrives at either end: audio, control, clock, one sign after the other along the line's stub."""
    for end, way in ((edge.from_, "from"), (edge.to, "to")):
        hop = next((hop for hop in hops if end in (hop.left, hop.right)), None)
        if hop is None:
            continue
        points = lines[hop]
        at, towards = (points[0], 1.0) if hop.left == end else (points[-1], -1.0)
        x, y = at
        signs = [
            draw
            for draw, there in (
                (_audio, edge.arrows in (way, "both") and edge.kind in ("audio", "analogue")),
                (_control, f"control-{way}" in edge.carries or (edge.kind == "control" and edge.arrows in (way, "both"))),
                (_clock, f"clock-{way}" in edge.carries or (edge.kind == "clock" and edge.arrows in (way, "both"))),
            )
            if there
        ]
        for draw in signs:
            draw(canvas, (x, y), towards)
            x += towards * 2.6


def _audio(canvas: Canvas, at: Point, towards: float) -> None:
    x, y = at
    canvas.polygon((x, y), (x + towards * 2.4, y - 1.0), (x + towards * 2.4, y + 1.0), fill="#000", weight=0.1)


def _control(canvas: Canvas, at: Point, towards: float) -> None:
    x, y = at
    canvas.polygon((x + towards * 0.2, y), (x + towards * 2.4, y - 1.0), (x + towards * 2.4, y + 1.0), fill="#fff", weight=0.3)


def _clock(canvas: Canvas, at: Point, towards: float) -> None:
    x, y = at
    canvas.circle((x + towards * 1.3, y), 1.05, fill="#fff", weight=0.3)
    canvas.line((x + towards * 1.3, y - 0.7), (x + towards * 1.3, y), (x + towards * 1.3 + 0.5, y), weight=0.25)


def _signs(diagram: Diagram, say: Say) -> list[Sign]:
    """Return the legend: the signs at line ends and the frames in use."""
    words = {row.sign: row.words for row in diagram.legend}
    edges, marks = diagram.edges, {mark for node in diagram.nodes for mark in node.marks}
    rows = (
        (
            "audio",
            any(edge.kind in ("audio", "analogue") and edge.arrows != "none" for edge in edges),
            _stub(_audio),
            "audio arrives here",
        ),
        (
            "control",
            any(edge.kind == "control" or any(word.startswith("control") for word in edge.carries) for edge in edges),
            _stub(_control),
            "preamp control arrives here",
        ),
        (
            "clock",
            any(edge.kind == "clock" or any(word.startswith("clock") for word in edge.carries) for edge in edges),
            _stub(_clock),
            "this end follows the clock of the other",
        ),
        ("leader", "leader" in marks, _plate(0.9, True), "double frame: clock leader"),
        ("guest", "guest" in marks, _plate(0.5, False), "dashed frame: not the house's"),
        ("backup", any("backup" in edge.marks for edge in edges), _dashed, "backup"),
    )
    return [Sign(draw, words.get(key, say(usual))) for key, used, draw, usual in rows if used]


def _stub(draw):  # type: ignore[no-untyped-def]
    def sign(canvas: Canvas, at: Point) -> None:
        canvas.line((at[0] - 1.0, at[1]), (at[0] + 3.0, at[1]), weight=0.45)
        canvas.line((at[0] - 3.0, at[1] - 1.8), (at[0] - 3.0, at[1] + 1.8), weight=0.5)
        draw(canvas, (at[0] - 3.0, at[1]), 1.0)

    return sign


def _plate(weight: float, double: bool):  # type: ignore[no-untyped-def]
    def sign(canvas: Canvas, at: Point) -> None:
        box = Box(at[0] - 3.2, at[1] - 1.8, at[0] + 3.2, at[1] + 1.8)
        canvas.rect(box, weight=weight, dash=() if double else (2.0, 1.0))
        if double:
            canvas.rect(box.grown(-0.9), weight=0.25)

    return sign


def _dashed(canvas: Canvas, at: Point) -> None:
    canvas.line((at[0] - 3.2, at[1]), (at[0] + 3.2, at[1]), weight=0.45, dash=(2.4, 1.2))
