"""A plan without coordinates: what stands in which zone, in words and symbols, marked NOT TO SCALE.

Comes in: a `Plan` and the room for it.  Goes out: shapes and texts on a canvas, or word that it does not fit.
Next: `plan.py`.

Nothing is placed inside a zone: a zone is a frame with a list in it.  Stage right is on the left of the page,
upstage at the top.  Zones off the stage, and zones whose side nobody stated, stand in a frame of their own.
"""

from __future__ import annotations

import itertools

import attrs

from patchloom.drawing.band import ROW
from patchloom.drawing.labels import set_rows
from patchloom.drawing.scene import Box, Canvas
from patchloom.drawing.symbols import SYMBOLS, draw, named
from patchloom.pages import Plan, PlanZone, Thing
from patchloom.pages.words import Say

__all__ = ["Listed", "edge_words", "lay_zones", "listed"]

SIDES = ("SR", "C", "SL")
DEPTHS = ("US", "MS", "", "DS")
_SIGN, _PAD, _LEAST = 8.5, 1.2, 40.0
_EDGE = 12.0
_WEIGHTS = (1.0, 1.6, 2.4)
_ASIDE, _COMPASS = 56.0, 44.0
"""Width of a list beside the stage, and of a stage with nothing in it, drawn to say which side is which."""


@attrs.frozen
class Listed:
    """A frame with a title and a list of things, set to a width."""

    title: str
    things: tuple[Thing, ...]
    wide: float
    columns: int
    head: tuple[str, ...]
    entries: tuple[tuple[Thing, tuple[tuple[str, bool], ...], float], ...]
    high: float

    def draw(self, canvas: Canvas, x0: float, y0: float, high: float, dash: tuple[float, ...] = ()) -> None:
        """Draw the frame with its list."""
        canvas.rect(Box(x0, y0, x0 + self.wide, y0 + high), weight=0.35, dash=dash, fill="#fff")
        top = canvas.lines(x0 + _PAD, y0 + 0.6, list(self.head), bold=True) + 0.6
        each = self.wide / self.columns
        for column, part in enumerate(_columns([entry[2] for entry in self.entries], self.columns)):
            y = top
            for index in part:
                thing, rows, tall = self.entries[index]
                with canvas.showing(thing.id):
                    _entry(canvas, thing, rows, x0 + column * each, y, tall)
                y += tall
        if not self.entries:
            canvas.lines(x0 + _PAD, top, ["–"])


def _columns(heights: list[float], count: int) -> list[list[int]]:
    """Return which entries stand in which column, filled in order to about equal height."""
    goal = sum(heights) / count
    parts: list[list[int]] = [[] for _ in range(count)]
    column, run = 0, 0.0
    for index, tall in enumerate(heights):
        if parts[column] and column < count - 1 and run + tall / 2 > goal:
            column, run = column + 1, 0.0
        parts[column].append(index)
        run += tall
    return parts


def listed(title: str, things: tuple[Thing, ...], wide: float) -> Listed:
    """Return the frame set to a width, in as many columns as make it lowest."""
    head = tuple(row for row, _ in set_rows(((title, True),), wide - 2 * _PAD)) if title else ()
    best: Listed | None = None
    for columns in range(1, max(1, int(wide / _LEAST)) + 1):
        entries = []
        for thing in things:
            words = ((thing.label, True), *((line, False) for line in thing.lines))
            rows = tuple(set_rows(words, wide / columns - _SIGN - _PAD))
            entries.append((thing, rows, max(len(rows) * ROW, _sign_size(thing)[1]) + 1.2))
        parts = _columns([entry[2] for entry in entries], columns)
        tall = max((sum(entries[index][2] for index in part) for part in parts), default=0.0)
        high = len(head) * ROW + 1.2 + max(tall, ROW) + _PAD
        if best is None or high < best.high - 0.01:
            best = Listed(title, things, wide, columns, head, tuple(entries), high)
    assert best is not None
    return best


def _sign_size(thing: Thing) -> tuple[float, float]:
    """Return width and height of the symbol as it stands in a list."""
    _, wide, deep, _ = SYMBOLS[named(thing.kind)]
    shrink = min(1.0, 6.4 / wide, 5.4 / deep)
    return wide * shrink, deep * shrink


def _entry(canvas: Canvas, thing: Thing, rows: tuple[tuple[str, bool], ...], x: float, y: float, tall: float) -> None:
    wide, deep = _sign_size(thing)
    own = "act" if "act" in thing.marks else "house"
    draw(canvas, thing.kind, (x + _SIGN / 2, y + max(ROW / 2, deep / 2)), wide, deep, own=own)
    for words, bold in rows:
        y = canvas.lines(x + _SIGN, y, [words], bold=bold)


def edge_words(canvas: Canvas, stage: Box, area: Box, x: float) -> list[Box]:
    """Write US, CL, SR, SL, DS and AUDIENCE around the stage, its centre line at x, and return their boxes."""
    my = stage.centre[1]
    lines = (
        canvas.text(x - 2.0, stage.y0 - 2.2, canvas.say("US (upstage)"), 11, True, "end"),
        canvas.text(x + 2.0, stage.y0 - 2.2, canvas.say("CL (centre)"), 11, True, "start"),
        canvas.text(x, stage.y1 + 6.0, canvas.say("DS · AUDIENCE"), 11, True, "middle"),
        canvas.text(area.x0, my + 2.0, "SR", 16, True, "start"),
        canvas.text(area.x1, my + 2.0, "SL", 16, True, "end"),
    )
    canvas.line((x, stage.y0 - 5.0), (x, stage.y0 + 1.5), weight=0.6)
    canvas.line((x, stage.y1 - 1.5), (x, stage.y1 + 1.5), weight=0.6)
    return [line.box() for line in lines]


def lay_zones(canvas: Canvas, plan: Plan, area: Box) -> bool:
    """Draw the plan by zone and return whether it fits; nothing is drawn where it does not."""
    cells, aside = _sorted(plan, canvas.say)
    inner = Box(area.x0 + _EDGE, area.y0 + 7.0, area.x1 - _EDGE, area.y1 - 14.0)
    columns = _stacked(aside, Box(area.x0, inner.y0, area.x1, inner.y1))
    side = (_ASIDE + 2.0) * len(columns) + (2.0 if columns else 0.0)
    sides = [key for key in SIDES if any(place[0] == key for place in cells)]
    room = inner.wide - side if cells else min(_COMPASS, inner.wide - side)
    best = _widths(cells, sides, room - 2.0)
    if best is None or room < _COMPASS or best[0] > inner.high:
        return False
    stage = Box(inner.x0, inner.y0, inner.x0 + room, inner.y1 if cells else min(inner.y1, inner.y0 + _COMPASS * 0.6))
    x = _centre(stage, sides, best[1])
    edge_words(canvas, stage, Box(area.x0, area.y0, stage.x1 + _EDGE, area.y1), x)
    canvas.rect(stage, weight=0.7)
    _draw_cells(canvas, best, stage)
    x = stage.x1 + _EDGE + 2.0
    for column in columns:
        y = inner.y0
        for frame in column:
            frame.draw(canvas, x, y, frame.high, (2.0, 1.0))
            y += frame.high + 1.5
        x += _ASIDE + 2.0
    listed_so = "NOT TO SCALE: things are listed in their zone, their place in it is not stated"
    words = canvas.say(listed_so if cells else "NOT TO SCALE: no sides are stated, this is a list")
    canvas.text(area.x0, area.y1 - 1.2, words, 9, True)
    return True


def _stacked(groups: list[tuple[str, tuple[Thing, ...]]], area: Box) -> list[list[Listed]]:
    """Return frames in columns no higher than the area; a list too long for one is continued in the next."""
    columns: list[list[Listed]] = []
    left = 0.0
    waiting = list(groups)
    while waiting:
        title, things = waiting.pop(0)
        frame = listed(title, things, _ASIDE)
        if frame.high > area.high and len(things) > 1:
            half = len(things) // 2
            more = title if title.endswith("(continued)") else f"{title} (continued)"
            waiting[:0] = [(title, things[:half]), (more, things[half:])]
            continue
        if not columns or frame.high > left:
            columns.append([])
            left = area.high
        columns[-1].append(frame)
        left -= frame.high + 1.5
    return columns


Spread = tuple[float, list[float], dict[str, list[list[Listed]]]]
Cells = dict[tuple[str, str], list[tuple[str, tuple[Thing, ...]]]]


def _sorted(plan: Plan, say: Say) -> tuple[Cells, list[tuple[str, tuple[Thing, ...]]]]:
    """Return the zones by side and depth with what stands in them, and those off the stage or without a side."""
    cells: Cells = {}
    aside: list[tuple[str, tuple[Thing, ...]]] = []
    known = {zone.id for zone in plan.zones}
    for zone in plan.zones:
        things = tuple(thing for thing in plan.things if thing.zone == zone.id)
        title = zone.label or zone.id
        if zone.side in SIDES and zone.depth != "OFF":
            where = _where(zone)
            words = title if title.upper() in (where, where.replace(" ", "")) else f"{title} ({where})"
            cells.setdefault((zone.side, zone.depth), []).append((words, things))
        elif zone.depth == "OFF":
            aside.append((f"{say('OFF STAGE')}{' ' + zone.side if zone.side else ''}: {title}", things))
        elif things:
            aside.append((say("{zone} (side not stated)", zone=title), things))
    for key in dict.fromkeys(thing.zone for thing in plan.things if thing.zone not in known):
        things = tuple(thing for thing in plan.things if thing.zone == key)
        aside.append((say("{zone} (side not stated)", zone=key) if key else say("PLACE NOT STATED"), things))
    return cells, aside


def _where(zone: PlanZone) -> str:
    return " ".join(part for part in (zone.depth, zone.side) if part)


def _widths(cells: Cells, sides: list[str], room: float) -> Spread | None:
    """Return (height, widths of the sides, frames by depth) of the lowest way to share the width among the sides."""
    best = None
    for weights in itertools.product(_WEIGHTS, repeat=len(sides)):
        widths = [room * weight / sum(weights) for weight in weights]
        if min(widths, default=_LEAST) < _LEAST:
            continue
        rows = {
            depth: [
                [listed(title, things, wide - 2.0) for title, things in cells.get((side, depth), [])]
                for side, wide in zip(sides, widths, strict=True)
            ]
            for depth in DEPTHS
            if any(place[1] == depth for place in cells)
        }
        high = sum(max(sum(frame.high + 1.5 for frame in column) for column in row) + 1.5 for row in rows.values()) + 6.0
        if best is None or high < best[0] - 0.01:
            best = (high, widths, rows)
    return best


def _draw_cells(canvas: Canvas, best: Spread, stage: Box) -> None:
    """Draw the frames row by row, the room left over shared between the rows."""
    high, widths, rows = best
    spare = (stage.high - high) / max(1, len(rows))
    y = stage.y0 + 5.0
    for row in rows.values():
        tall = max(sum(frame.high + 1.5 for frame in column) for column in row) + spare
        x = stage.x0 + 1.0
        for column, wide in zip(row, widths, strict=True):
            top = y
            more = (tall - sum(frame.high + 1.5 for frame in column)) / max(1, len(column))
            for frame in column:
                frame.draw(canvas, x + 1.0, top, frame.high + more)
                top += frame.high + more + 1.5
            x += wide
        y += tall + 1.5


def _centre(stage: Box, sides: list[str], widths: list[float]) -> float:
    """Return where the centre line is: the middle of the centre zones, or the seam between the sides, else the stage's middle."""
    if "C" in sides:
        index = sides.index("C")
        return stage.x0 + 1.0 + sum(widths[:index]) + widths[index] / 2
    if sides == ["SR", "SL"]:
        return stage.x0 + 1.0 + widths[0]
    return stage.centre[0]
