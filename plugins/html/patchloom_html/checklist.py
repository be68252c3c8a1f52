"""Groups of steps, measured, in pieces that stay whole.

Comes in: the steps of a page and the width there is.  Goes out: `Piece`s.  Next: `sheets.py` deals them.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.pages import Step, StepGroup
from patchloom.pages.words import Say
from patchloom_html.deal import Piece
from patchloom_html.measure import width, wrap
from patchloom_html.style import BODY, PAD_Y, SMALL, STRONG
from patchloom_html.words import inert, plain

__all__ = ["pieces"]

_BOX = 4.2 + 0.4  # the box to tick, with the room above it
_LEFT = 4.2 + 2.5 + 8.0 + 2.5  # box, gap, number, gap
_GAP, _MOST_COLUMNS, _MOST_LINES, _NARROWEST = 4.0, 4, 24, 36.0
_TALLEST, _MOST_ROWS = 130.0, 30  # mm of lines in one part of a step, and rows that one line may take


def pieces(groups: tuple[StepGroup, ...], wide: float, say: Say) -> Iterator[tuple[Piece, float]]:
    """Yield the pieces of a checklist, each with the height of what must follow it on the same sheet."""
    number = 0
    for group in groups:
        first = True
        for step in group.steps:
            number += 1
            made = list(_step(step, number, wide, say))
            if first:
                yield _title(group, wide), made[0].high
                first = False
            yield from ((piece, 0.0) for piece in made)


def _title(group: StepGroup, wide: float) -> Piece:
    high = STRONG.line + 2.5
    why = ""
    if group.why:
        high += len(wrap(group.why, wide, SMALL.points)) * SMALL.line
        why = f'<p class="about">{plain(group.why)}</p>'
    return Piece(high, f"<h2>{plain(group.title)}</h2>{why}")


def _step(step: Step, number: int, wide: float, say: Say) -> Iterator[Piece]:
    """Yield one step: its words with the first lines, further lines as pieces of their own where there are many."""
    room = wide - _LEFT
    count = _columns(step.lines, room)
    each = (room - (count - 1) * _GAP) / count
    parts = list(_parts(step.lines, count, each)) or [()]
    for place, lines in enumerate(parts):
        html, high = _lines(lines, count, each)
        if place == 0:
            words, more = _words(step, room, say)
            yield Piece(max(high + more, _BOX) + 2.0 + 0.3, _row('<span class="box"></span>', str(number), words + html))
        else:
            yield Piece(max(high, _BOX) + 2.0 + 0.3, _row('<span class="box"></span>', f"({number})", html))


def _parts(lines: tuple[str, ...], count: int, each: float) -> Iterator[tuple[str, ...]]:
    """Yield the lines of a step in parts that a sheet can hold: not too many, not too high; a line too long for it in pieces."""
    part: list[str] = []
    high = 0.0
    for line in lines:
        rows = wrap(line, each, BODY.points)
        begun = 0
        for start in range(0, len(rows), _MOST_ROWS):
            some = rows[start : start + _MOST_ROWS]
            end = begun
            for row in some:
                end = line.index(row, end) + len(row)
            words, begun = line[begun:end], end
            more = len(some) * BODY.line + 0.6
            if part and (len(part) >= _MOST_LINES * count or high + more > _TALLEST * count):
                yield tuple(part)
                part, high = [], 0.0
            part.append(words)
            high += more
    if part:
        yield tuple(part)


def _row(box: str, number: str, inside: str) -> str:
    return f'<div class="step">{box}<span class="n">{number}</span><div class="do">{inside}</div></div>'


def _words(step: Step, room: float, say: Say) -> tuple[str, float]:
    high = len(wrap(step.text, room, BODY.points, True)) * BODY.line
    html = f"<p><b>{inert(step.text)}</b></p>"
    if step.hears:
        high += SMALL.line
        before, after = say("heard by {positions}", positions="\0").split("\0")
        html += f'<p class="about">{before}{inert(", ".join(step.hears))}{after}</p>'
    if step.caution:
        high += len(wrap(f"! {step.caution}", (room - 3.0), SMALL.points, True)) * SMALL.line + 1.0
        html = f'<p class="warn">! {inert(step.caution)}</p>{html}'
    return html, high


def _columns(lines: tuple[str, ...], room: float) -> int:
    """Return how many columns of lines make the lowest step, at least one; fewer where it makes no difference."""
    most = min(_MOST_COLUMNS, -(-len(lines) // 3), int((room + _GAP) // (_NARROWEST + _GAP)))
    return min(range(1, max(1, most) + 1), key=lambda count: (_tall(lines, count, (room - (count - 1) * _GAP) / count), count))


def _parted(lines: tuple[str, ...], count: int) -> list[tuple[str, ...]]:
    """Return lines in columns, read downward."""
    tall = max(1, -(-len(lines) // count))
    columns = [lines[start : start + tall] for start in range(0, len(lines), tall)]
    return columns + [()] * (count - len(columns))


def _tall(lines: tuple[str, ...], count: int, each: float) -> float:
    """Return the height of the highest column."""
    columns, one = _parted(lines, count), BODY.line + 0.6
    if max((width(line, BODY.points) for line in lines), default=0.0) <= each:  # none breaks
        return max(sum([one] * len(column)) for column in columns)
    return max(sum(len(wrap(line, each, BODY.points)) * BODY.line + 0.6 for line in column) for column in columns)


def _lines(lines: tuple[str, ...], count: int, each: float) -> tuple[str, float]:
    """Return lines in columns, read downward, and the height of the highest column."""
    if not lines:
        return "", 0.0
    columns, high = _parted(lines, count), _tall(lines, count, each)
    inside = "".join(f"<div>{''.join(f'<p>{inert(line)}</p>' for line in column)}</div>" for column in columns)
    return f'<div class="cols">{inside}</div>', high + PAD_Y
