"""Words several papers share: phantom, gain, runs of slots, short labels.

Comes in: a `View` and a slot, a leg or a route.  Goes out: short texts for cells.  Next: paper plugins.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from patchloom.address import Slot, Span
from patchloom.model.patch import Route
from patchloom.pages.page import Cell
from patchloom.pages.view import View

__all__ = ["PHANTOM_NOTE", "decibels", "labels", "metres", "owner", "phantom", "run", "runs"]

PHANTOM_NOTE = (
    "48V: ON = needs it, is set; need = needs it, is not set; \u2013 = does not mind, off; NEVER = must not get it, off; "
    "blank or ? = unknown, which is not \u201cno\u201d."
)
"""What the words of `phantom` mean; a paper that uses them prints it."""

_ROOMY = 5
_OFF = {"need": "need", "no": "\u2013", "never": "NEVER", "unknown": ""}
_ON = {"need": "ON", "no": "\u2013 (ON)", "never": "NEVER (ON!)", "unknown": "? ON"}


def phantom(view: View, leg: str, at: Slot | None = None) -> Cell:
    """Return what a leg needs of phantom and how it is set; `at` is the socket asked about, where there is one."""
    source = view.source(leg)
    if source is None:
        return Cell("\u2013")
    switch = view.phantom(at) if at is not None else None
    supplies = view.supplies(leg)
    if switch is not None and switch.on:
        words = view.say(_ON[source.phantom])
    elif supplies:
        words = view.say("{state} at {device}", state=view.say(_ON[source.phantom]), device=supplies[0].at.device)
    elif switch is not None and source.phantom == "unknown":
        words = view.say("? off")
    else:
        words = view.say(_OFF[source.phantom])
    marks = {"need": ("strong",), "never": ("strong",), "unknown": ("unknown",)}.get(source.phantom, ())
    return Cell(words, marks)


def owner(view: View, route: Route, position: str) -> str:
    """Return who moves the preamp of a route, seen from a position: `own`, a position, or `at DEVICE`."""
    at = view.preamp_of(route)
    if at is None:
        return "\u2013"
    row = view.owner(at)
    if row is None:
        return ""
    if row.owner == position:
        return view.say("own")
    return row.owner or view.say("at {place}", place=at.device)


def decibels(value: float | None, signed: bool = False) -> str:
    """Return a level in dB as it is printed, empty when it is unknown; a minus is a minus sign."""
    if value is None:
        return ""
    words = f"{value:+g}" if signed and value else f"{value:g}"
    return words.replace("-", "\u2212")


def metres(value: float | None) -> str:
    """Return a length in metres as it is printed, empty when it is unknown; a paper asks `options.length` instead."""
    return "" if value is None else f"{value:g} m"


def run(span: Span) -> str:
    """Return a run of slots of a bank as people say it: `intake 1-8`."""
    if span.first is None:
        return span.bank or span.device
    last = f"-{span.last}" if span.last != span.first else ""
    return f"{span.bank} {span.first}{last}"


def runs(numbers: Iterable[int]) -> str:
    """Return numbers as runs: `1-4, 7, 9-10`; empty for none."""
    parts: list[list[int]] = []
    for number in sorted(set(numbers)):
        if parts and parts[-1][1] == number - 1:
            parts[-1][1] = number
        else:
            parts.append([number, number])
    return ", ".join(f"{low}" if low == high else f"{low}-{high}" for low, high in parts)


def labels(names: Sequence[tuple[str, str]], length: int) -> dict[str, str]:
    """Return a label of at most `length` characters for each (key, name), no two alike.

    A name that is too long keeps its last word where that is short (legs and numbers stand last) and loses the
    end of the words before it.  A label that is taken gets the smallest free number at its end.
    """
    found: dict[str, str] = {}
    taken: set[str] = set()
    for key, name in names:
        label = _fit(" ".join(name.split()), length)
        count = 2
        while label.casefold() in taken:
            tail = str(count)
            label = _fit(" ".join(name.split()), length - len(tail)) + tail
            count += 1
        taken.add(label.casefold())
        found[key] = label
    return found


def _fit(name: str, length: int) -> str:
    """Return a name cut to a length, its last word kept where that is short."""
    if len(name) <= length:
        return name
    head, _, tail = name.rpartition(" ")
    if not head or len(tail) > max(2, length // 3):
        head, tail = name, ""
    room = length - len(tail)
    if tail and room > _ROOMY:
        return f"{head[: room - 1].rstrip()} {tail}"
    return f"{head.replace(' ', '')[: max(0, room)] if tail else head[:length].rstrip()}{tail[:length]}"
