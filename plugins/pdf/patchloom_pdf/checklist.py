"""Steps to tick as typst source.

Comes in: groups of steps, the width there is.  Goes out: source.  Next: `sheets.py`.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from patchloom.drawing.fonts import width
from patchloom.pages import Step, StepGroup
from patchloom.pages.words import Say
from patchloom_pdf.words import Words, mm

__all__ = ["PREAMBLE", "checklist"]

PREAMBLE = """
#let st(n, body) = block(breakable: false, width: 100%, above: 0pt, below: 0pt, stroke: (bottom: 0.2mm), inset: (y: 1.4mm),
  grid(columns: (4.6mm, 9mm, 1fr), column-gutter: 2mm, q, align(right, n), body))
#let warn(t) = block(above: 0.6mm, below: 1mm, stroke: (left: 1.2mm), inset: (left: 1.5mm, y: 0.3mm),
  text(size: 9pt, weight: "bold", t))
#let ls(c, ..rows) = block(above: 1mm, below: 0pt, grid(columns: c, column-gutter: 4mm, row-gutter: 1.1mm, ..rows))
"""
"""What the source of a checklist calls."""

_LEFT, _GAP, _MOST_COLUMNS, _MOST_LINES = 4.6 + 9.0 + 4.0, 4.0, 4, 24


def checklist(groups: tuple[StepGroup, ...], wide: float, words: Words, say: Say) -> Iterator[str]:
    """Yield the source of groups of steps, numbered through."""
    number = 0
    for group in groups:
        why = f"\n#note({words.fitted(group.why, wide, 9, False)})" if group.why else ""
        title = f"#block(sticky: true, below: 1mm, above: 3mm)[#s({words.fitted(group.title, wide, 12, True)}){why}]\n"
        yield title
        for step in group.steps:
            number += 1
            yield from _step(step, number, wide - _LEFT, words, say)


def _step(step: Step, number: int, room: float, words: Words, say: Say) -> Iterator[str]:
    """Yield one step: its words with the first lines, further lines with a box of their own where there are many."""
    count = _columns(step.lines, room)
    most = _MOST_LINES * count
    parts = [step.lines[start : start + most] for start in range(0, len(step.lines), most)] or [()]
    each = (room - (count - 1) * _GAP) / count
    for place, lines in enumerate(parts):
        body = ""
        if place == 0:
            body += f"#warn({words.fitted(f'! {step.caution}', room - 3, 9, True)})" if step.caution else ""
            body += f"#b({words.fitted(step.text, room, 10, True)})"
            heard = say("heard by {positions}", positions=", ".join(step.hears))
            body += f"\\ #text(size: 9pt, {words.fitted(heard, room, 9, False)})" if step.hears else ""
        if lines:
            tall = ceil(len(lines) / count)
            order = [lines[at] if at < len(lines) else "" for row in range(tall) for at in range(row, row + count * tall, tall)]
            cells = ", ".join(words.fitted(line, each, 10, False) for line in order)
            body += f"#ls(({', '.join(mm(each) for _ in range(count))},), {cells})"
        label = f"{number}" if place == 0 else f"({number})"
        yield f'#st("{label}")[{body}]\n'


def _columns(lines: tuple[str, ...], room: float) -> int:
    """Return in how many columns lines stand without breaking, at least one."""
    widest = max((width(line, 10) for line in lines), default=room) * 1.01
    return max(1, min(_MOST_COLUMNS, -(-len(lines) // 3), int((room + _GAP) // (widest + _GAP))))
