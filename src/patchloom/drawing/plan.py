"""A stage plan, placed: plan view, audience at the bottom, stage right on the left of the page.

Comes in: a plan `Page` and the room for it in millimetres.  Goes out: a canvas, or None where its labels do not
fit, and the parts to draw on sheets of their own then.  Next: `sheet.py`.

With coordinates it is drawn to a round scale with a 1 m grid, a scale bar and the centre line; without them by
zone (`zones.py`).  A thing without a place is never given one: it stands in a list beside the plan.
"""

from __future__ import annotations

import math
from functools import partial

import attrs

from patchloom.drawing.band import ROW, Band, Sign, said
from patchloom.drawing.floor import View, bar_high, draw_bar, draw_floor
from patchloom.drawing.labels import Label, Placed, Segment, place, set_rows
from patchloom.drawing.metrics import LEAD, MM
from patchloom.drawing.scene import SMALLEST, Box, Canvas, Point, Shape
from patchloom.drawing.symbols import AREAS, SYMBOLS, draw, named
from patchloom.drawing.zones import Listed, lay_zones, listed
from patchloom.pages import Page, Plan, Thing, say_in
from patchloom.pages.words import Say

__all__ = ["MOST", "drawn_to_scale", "lay_plan", "objects", "part_words", "parts_of"]

MOST = 40
"""Objects on one sheet; more are split by zone."""

_SCALES = (10, 20, 25, 50, 75, 100, 125, 150, 200, 250, 300, 400, 500, 750, 1000, 1500, 2000)
"""Scales that rulers have, as far as there are rulers."""

_EDGE, _SIDE, _BESIDE = 12.0, 58.0, 84.0
_MOST_KEYED, _NUMBER = 8, 10.0
"""Labels in a key at most, and the room beside its words, in millimetres."""
_LOOSE, _TIGHT, _TRIES = 0.8, 1.0, 2
_FEW = 14
"""So many things without a place stand in a list beside the plan; more get a sheet of their own."""


def drawn_to_scale(plan: Plan) -> bool:
    """Return whether there is enough to draw to scale: the stage's size, and a place for at least one thing."""
    return bool(plan.to_scale and plan.width_m and plan.depth_m and any(thing.at for thing in plan.things))


def objects(plan: Plan) -> int:
    """Return how many objects a plan has; floor (risers, walkways) aside."""
    return sum(thing.kind not in AREAS for thing in plan.things)


def parts_of(plan: Plan, most: int = MOST) -> list[Plan]:
    """Return the plan cut by zone into parts of at most `most` objects; floor (risers, walkways) is on every part.

    Where a plan is drawn to scale, things without a place of their own get parts of their own when they are many.
    """
    floor = [thing for thing in plan.things if thing.kind in AREAS]
    rest = [thing for thing in plan.things if thing.kind not in AREAS]
    apart = [thing for thing in rest if thing.at is None] if drawn_to_scale(plan) else []
    if len(rest) <= most and len(apart) <= _FEW:
        return [plan]
    if not apart:
        return [_part(plan, floor, part) for part in _chunks(plan, rest, most)]
    parts = _chunks(plan, [thing for thing in rest if thing.at is not None], most)
    least = min(parts, key=len, default=[])
    if parts and len(apart) <= _FEW and len(least) + len(apart) <= most:
        parts = [[*part, *apart] if part is least else part for part in parts]
        return [_part(plan, floor, part) for part in parts]
    return [*(_part(plan, floor, part) for part in parts), *(_part(plan, [], part) for part in _chunks(plan, apart, most))]


def _chunks(plan: Plan, things: list[Thing], most: int) -> list[list[Thing]]:
    """Return things in walking order of their zones, at most so many together, a zone whole where it can be."""
    order = [zone.id for zone in plan.zones]
    keys = sorted({thing.zone for thing in things}, key=lambda key: (order.index(key) if key in order else len(order), key))
    zones = [[thing for thing in things if thing.zone == key] for key in keys]
    fewest = len(_filled(zones, most))
    goal = max(1, -(-len(things) // max(1, fewest)))
    return next((parts for size in range(goal, most) if len(parts := _filled(zones, size)) == fewest), _filled(zones, most))


def _filled(zones: list[list[Thing]], most: int) -> list[list[Thing]]:
    """Return zones in order, filled into parts of at most so many things."""
    parts: list[list[Thing]] = [[]]
    for inside in zones:
        if parts[-1] and len(parts[-1]) + len(inside) > most:
            parts.append([])
        for thing in inside:
            if len(parts[-1]) >= most:
                parts.append([])
            parts[-1].append(thing)
    return [part for part in parts if part]


def part_words(plan: Plan) -> str:
    """Return which zones a part of a plan shows, in words."""
    names = {zone.id: zone.label or zone.id for zone in plan.zones}
    zones = dict.fromkeys(names.get(thing.zone, thing.zone) for thing in plan.things if thing.kind not in AREAS and thing.zone)
    return ", ".join(sorted(zones, key=lambda name: list(names.values()).index(name) if name in names.values() else len(names)))


def _part(plan: Plan, floor: list[Thing], part: list[Thing]) -> Plan:
    """Return the plan with only these things, and only the zones they stand in."""
    kept = {thing.id for thing in (*floor, *part)}
    zones = {thing.zone for thing in (*floor, *part)}
    return attrs.evolve(
        plan,
        things=tuple(thing for thing in plan.things if thing.id in kept),
        ties=tuple(tie for tie in plan.ties if tie.from_ in kept and tie.to in kept),
        zones=tuple(zone for zone in plan.zones if zone.id in zones),
    )


def lay_plan(page: Page, plan: Plan, room: Box, keyed: bool = False) -> Canvas | None:
    """Return a canvas with the plan in `room`, or None where it does not fit.

    Where `keyed`, labels that find no place are numbered, and read in a key beside the plan.
    """
    if drawn_to_scale(plan):
        for frame in _frames(page, plan, room, keyed):
            canvas = Canvas(room.x1, room.y1, say_in(page.language))
            if _lay_scaled(canvas, plan, frame, keyed):
                frame.band.draw(canvas, *frame.band_at)
                return canvas
        return None
    canvas = Canvas(room.x1, room.y1, say_in(page.language))
    band = Band(room.wide, said(page), _signs(plan, say_in(page.language)))
    area = Box(room.x0, room.y0, room.x1, room.y1 - band.high - 2.0)
    if area.high < 60.0 or not lay_zones(canvas, plan, area):
        return None
    band.draw(canvas, room.x0, area.y1 + 2.0)
    return canvas


def _signs(plan: Plan, say: Say) -> list[Sign]:
    """Return the legend: each symbol in use, then the two outlines where both mean something."""
    there = {named(kind) for kind in {thing.kind for thing in plan.things}}
    kinds = [kind for kind in SYMBOLS if kind in there]
    words = {row.sign: row.words for row in plan.legend}
    signs = [Sign(_sign(kind), words.get(kind, say(SYMBOLS[kind][0]))) for kind in kinds]
    if any("act" in thing.marks for thing in plan.things):
        signs.append(Sign(_outline("act"), words.get("act", say("dashed: the act's own; full: house"))))
    if any(tie.kind == "run" for tie in plan.ties):
        signs.append(Sign(_run, words.get("run", say("cable run"))))
    return signs


def _sign(kind: str):  # type: ignore[no-untyped-def]
    def draw_sign(canvas: Canvas, at: Point) -> None:
        _, wide, deep, _ = SYMBOLS[kind]
        shrink = min(1.0, 6.4 / wide, (3.0 if kind == "amp" else 4.4) / deep)
        draw(canvas, kind, at, wide * shrink, deep * shrink)

    return draw_sign


def _outline(own: str):  # type: ignore[no-untyped-def]
    def draw_sign(canvas: Canvas, at: Point) -> None:
        draw(canvas, "table", at, 6.4, 3.4, own=own)

    return draw_sign


def _run(canvas: Canvas, at: Point) -> None:
    canvas.line((at[0] - 3.2, at[1]), (at[0] + 3.2, at[1]), weight=0.5, dash=(3.0, 0.8, 0.8, 0.8))


@attrs.frozen
class _Frame:
    """How a sheet is shared: the field of the plan, a column for lists and key, the band of words and legend."""

    field: Box
    column: Box
    band: Band
    band_at: Point
    view: View
    stage: Box
    lists: list[Listed]
    bar: Box


def _frames(page: Page, plan: Plan, room: Box, keyed: bool) -> list[_Frame]:
    """Return the ways to share a sheet, the largest scale first; each scale once, with the most room beside the stage."""
    say, signs = say_in(page.language), _signs(plan, say_in(page.language))
    under = Band(room.wide, said(page), signs), _unplaced(plan, _SIDE, say), bar_high(plan, room.wide, say)
    left = room.x1 - _BESIDE
    right = (
        Band(_BESIDE, said(page), signs, stacked=True),
        _unplaced(plan, _BESIDE, say),
        bar_high(plan, left - 3.0 - room.x0, say),
    )
    every = [
        make
        for share in (_LOOSE, _TIGHT)
        for make in (_below(plan, room, keyed, share, *under), _beside(plan, room, share, *right))
    ]
    found = [frame for frame in every if frame is not None]
    scales = sorted({frame.view.scale for frame in found})
    return [next(frame for frame in found if frame.view.scale == scale) for scale in scales[:_TRIES]]


def _below(plan: Plan, room: Box, keyed: bool, share: float, band: Band, lists: list[Listed], foot: float) -> _Frame | None:
    """Return the frame with the words below the plan, lists and key in a column at its right; None where there is no room."""
    low = room.y1 - band.high - 2.0 - foot
    side = _SIDE + 3.0 if lists or keyed else 0.0
    field = Box(room.x0, room.y0, room.x1 - side, low)
    column, bar = Box(room.x1 - _SIDE, room.y0, room.x1, low), Box(room.x0, low, room.x1, low + foot)
    return _frame(plan, field, column, bar, band, (room.x0, bar.y1 + 2.0), lists, share)


def _beside(plan: Plan, room: Box, share: float, band: Band, lists: list[Listed], foot: float) -> _Frame | None:
    """Return the frame with all words in a column at the right of the plan; None where there is no room."""
    left = room.x1 - _BESIDE
    field = Box(room.x0, room.y0, left - 3.0, room.y1 - foot)
    low = room.y1 - band.high
    bar = Box(field.x0, field.y1, field.x1, room.y1)
    return _frame(plan, field, Box(left, room.y0, room.x1, low - 2.0), bar, band, (left, low), lists, share)


def _frame(
    plan: Plan, field: Box, column: Box, bar: Box, band: Band, band_at: Point, lists: list[Listed], share: float
) -> _Frame | None:
    if field.high < 50.0 or field.wide < 60.0 or sum(frame.high + 1.5 for frame in lists) > column.high:
        return None
    view, stage = _view(plan, field, share)
    return _Frame(field, column, band, band_at, view, stage, lists, bar)


def _lay_scaled(canvas: Canvas, plan: Plan, frame: _Frame, keyed: bool) -> bool:
    """Draw the plan to scale and return whether every label found a place."""
    view, stage, field = frame.view, frame.stage, frame.field
    blocked = draw_floor(canvas, plan, view, stage, field)
    y = frame.column.y0
    for row in frame.lists:
        row.draw(canvas, frame.column.x0, y, row.high, (2.0, 1.0))
        y += row.high + 1.5
    draw_bar(canvas, plan, view, frame.bar)
    middle = ((view.origin[0], stage.y0 - 2.0), (view.origin[0], stage.y1 + 2.0))
    keep_off = [middle, *_sides(stage.grown(0.6)), *_sides(stage.grown(-0.6))]
    key = Box(frame.column.x0, y, frame.column.x1, frame.column.y1) if keyed else None
    return _lay_things(canvas, plan, view, field, blocked, keep_off, key)


def _sides(box: Box) -> list[Segment]:
    """Return the four sides of a box."""
    corners = [(box.x0, box.y0), (box.x1, box.y0), (box.x1, box.y1), (box.x0, box.y1)]
    return list(zip(corners, [*corners[1:], corners[0]], strict=True))


def _unplaced(plan: Plan, wide: float, say: Say) -> list[Listed]:
    """Return a frame for the things of each zone that have no place of their own."""
    rest = [thing for thing in plan.things if thing.at is None]
    names = {zone.id: zone.label or zone.id for zone in plan.zones}
    frames = []
    for key in dict.fromkeys(thing.zone for thing in rest):
        where = say("{zone}: place in it not stated", zone=names.get(key, key)) if key else say("PLACE NOT STATED")
        frames.append(listed(where, tuple(thing for thing in rest if thing.zone == key), wide))
    return frames


def _view(plan: Plan, field: Box, share: float) -> tuple[View, Box]:
    """Return the largest round scale at which the stage takes that share of the width between its words, and the stage."""
    half, deep = (plan.width_m or 0) / 2, plan.depth_m or 0
    spots = [(thing.at, _half_sizes(thing)) for thing in plan.things if thing.at]
    left = min([-half, *(at[0] - more for at, (more, _) in spots)])
    right = max([half, *(at[0] + more for at, (more, _) in spots)])
    low = min([0.0, *(at[1] - more for at, (_, more) in spots)])
    top = max([deep, *(at[1] + more for at, (_, more) in spots)])
    scale = _SCALES[-1]
    for scale in _SCALES:
        if (right - left) * 1000 / scale <= (field.wide - 2 * _EDGE) * share and (top - low) * 1000 / scale <= field.high - 21.0:
            break
    mid = (left + right) / 2
    spare = field.high - 21.0 - (top - low) * 1000 / scale
    origin = (field.centre[0] - mid * 1000 / scale, field.y1 - 12.0 - spare / 2 + low * 1000 / scale)
    view = View(scale, origin)
    (x0, y1), (x1, y0) = view.at((-half, 0)), view.at((half, deep))
    return view, Box(x0, y0, x1, y1)


def _half_sizes(thing: Thing) -> tuple[float, float]:
    """Return half of a thing's extent across and along the stage in metres, as it is turned; 0 where unknown."""
    if not thing.size:
        return (0.0, 0.0)
    cos, sin = abs(math.cos(math.radians(thing.turn_deg))), abs(math.sin(math.radians(thing.turn_deg)))
    wide, deep = thing.size[0] / 2, thing.size[1] / 2
    return (wide * cos + deep * sin, wide * sin + deep * cos)


def _lay_things(
    canvas: Canvas, plan: Plan, view: View, field: Box, blocked: list[Box], keep_off: list[Segment], key: Box | None
) -> bool:
    """Draw symbols, ties and labels; return whether every label found a place."""
    spots = _spots(plan)
    boxes: dict[str, Box] = {}
    labels = []
    paper = len(canvas.shapes)
    for things in sorted(spots, key=lambda row: row[0].kind not in AREAS):
        first = things[0]
        with canvas.showing(*(thing.id for thing in things)):
            box = _symbol(canvas, first, view)
        boxes.update({thing.id: box for thing in things})
    for things in spots:
        rows = tuple(row for thing in things for row in ((thing.label, True), *((line, False) for line in thing.lines)))
        labels.append(Label(things[0].id, rows, boxes[things[0].id], things[0].kind in AREAS))
    ties = [*keep_off, *_ties(canvas, plan, boxes)]
    for things in spots:
        if things[0].kind in AREAS:
            ties += _sides(boxes[things[0].id])
    most_left = _MOST_KEYED if key is not None else 0
    placed, left = place(labels, field, blocked, ties, most_left, partial(_overfull, key) if key is not None else None)
    if key is not None and 0 < len(left) <= most_left:
        numbers = {label.key: str(number + 1) for number, label in enumerate(left)}
        marks = [attrs.evolve(label, rows=((numbers[label.key], True),)) for label in left]
        clear = [*blocked, *(put.box for put in placed), *(label.symbol for label in labels if not label.inside)]
        lines = [*ties, *(put.leader for put in placed if put.leader)]
        numbered, lost = place(marks, field, clear, lines)
        if lost or not _key(canvas, key, [(numbers[label.key], label) for label in left]):
            return False
        placed, left = [*placed, *numbered], []
    floors = [boxes[things[0].id] for things in spots if things[0].kind in AREAS]
    together = {things[0].id: tuple(thing.id for thing in things) for things in spots}
    canvas.shapes[paper:paper] = [_patch(put) for put in placed if not any(put.box.meets(floor) for floor in floors)]
    for put in placed:
        with canvas.showing(*together[put.label.key]):
            _write(canvas, put)
    return not left


def _overfull(box: Box, left: list[Label]) -> bool:
    """Return whether labels surely ask for more than the room of the key."""
    lines = sum(len(set_rows(label.rows, box.wide - _NUMBER)) for label in left)
    return ROW * 1.5 + lines * ROW + len(left) > box.high + 0.01


def _key(canvas: Canvas, box: Box, rows: list[tuple[str, Label]]) -> bool:
    """Write the numbered key in a frame and return whether it fits."""
    entries = [(number, set_rows(label.rows, box.wide - _NUMBER)) for number, label in rows]
    high = ROW * 1.5 + sum(len(lines) * ROW + 1.0 for _, lines in entries)
    if high > box.high:
        return False
    canvas.rect(Box(box.x0, box.y0, box.x1, box.y0 + high), weight=0.35)
    y = canvas.lines(box.x0 + 1.2, box.y0 + 0.6, [canvas.say("KEY to the numbers")], bold=True) + 0.6
    for (number, lines), (_, label) in zip(entries, rows, strict=True):
        with canvas.showing(label.key):
            canvas.lines(box.x0 + 1.2, y, [number], bold=True)
            for words, bold in lines:
                y = canvas.lines(box.x0 + 8.5, y, [words], bold=bold)
        y += 1.0
    return True


def _spots(plan: Plan) -> list[list[Thing]]:
    """Return the placed things, those of one kind at one place together (they share a symbol)."""
    spots: dict[tuple[object, ...], list[Thing]] = {}
    for thing in plan.things:
        if thing.at:
            spots.setdefault((named(thing.kind), round(thing.at[0], 2), round(thing.at[1], 2)), []).append(thing)
    return list(spots.values())


def _symbol(canvas: Canvas, thing: Thing, view: View) -> Box:
    assert thing.at is not None
    _, wide, deep, _ = SYMBOLS[named(thing.kind)]
    if thing.size:
        least = 3.0
        wide, deep = max(least, view.mm(thing.size[0])), max(least, view.mm(thing.size[1]))
    return draw(canvas, thing.kind, view.at(thing.at), wide, deep, thing.turn_deg, "act" if "act" in thing.marks else "house")


def _ties(canvas: Canvas, plan: Plan, boxes: dict[str, Box]) -> list[Segment]:
    """Draw the lines between things, from edge to edge, and return them."""
    drawn = []
    for tie in plan.ties:
        if tie.from_ not in boxes or tie.to not in boxes:
            continue
        start, end = boxes[tie.from_].centre, boxes[tie.to].centre
        dash = (3.0, 0.8, 0.8, 0.8) if tie.kind == "run" else (0.8, 0.8)
        with canvas.showing(tie.from_, tie.to):
            canvas.line(start, end, weight=0.5 if tie.kind == "run" else 0.25, dash=dash)
        drawn.append((start, end))
    return drawn


def _patch(put: Placed) -> Shape:
    """Return white paper under a label, so that no grid runs through its words."""
    return Shape("rect", ((put.box.x0, put.box.y0), (put.box.x1, put.box.y1)), stroke="none", fill="#fff", weight=0.0)


def _write(canvas: Canvas, put: Placed) -> None:
    """Write a placed label, with its leader."""
    if put.leader:
        canvas.line(*put.leader, weight=0.25)
    x = {"start": put.box.x0, "middle": put.box.centre[0], "end": put.box.x1}[put.anchor]
    top = put.box.y0
    for words, bold in put.lines:
        canvas.text(x, top + 0.95 * SMALLEST * MM, words, SMALLEST, bold, put.anchor)
        top += LEAD * SMALLEST * MM
