"""Where every leg goes, hop by hop, as data: what a book knows beyond its papers.

Comes in: from `show_day.paths`, or from a page document.  Goes out: one frozen `Paths`, the part of a `Book` that says who
gets what, by which way, and who can change it.  Next: renderers that let a reader follow a line; all others leave it alone.

Things and relations only: a hop names its device and the link it came by, and a diagram or a plan that shows those can be
lit.  Hops are told once and numbered from 0; a path lists the numbers of its hops, from where the leg enters to where it
is wanted.  What is the same in several periods is told once and names them all.
"""

from __future__ import annotations

import attrs

from patchloom.model.base import flag, many, plain, text, words

__all__ = ["Path", "PathEnd", "PathGone", "PathHop", "PathPeriod", "PathPosition", "PathSignal", "Paths"]


@attrs.frozen
class PathPeriod:
    """An act or a scene."""

    id: str = text("Id of the act or scene. Absent: the whole show.")
    name: str = text("What people call it. Absent: its id.")
    act: str = text("Act it is a scene of; its plugs are the act's. Absent: it is an act itself.")


@attrs.frozen
class PathPosition:
    """A position, as a reader picks it."""

    id: str = text("Id. Required.")
    name: str = text("What people call it. Absent: its id.")
    kind: str = text("foh, monitor, broadcast, record, stream or other. Absent: other.", "other")
    desk: str = text("Device it works at. Absent: none known.")


@attrs.frozen
class PathEnd:
    """What paths lead to: a list of a position, or a feed with its destinations."""

    id: str = text("Id of the list or feed. Required.")
    kind: str = text("list or feed. Absent: list.", "list")
    name: str = text("What people call it. Absent: its id.")
    position: str = text("Position of the list, or the one that mixes the feed. Required.")
    places: str = text("Words for its places, such as `FOH ch`. Absent: none.")


@attrs.frozen
class PathSignal:
    """A source or a feed."""

    id: str = text("Id. Required.")
    name: str = text("What people call it. Absent: its id.")
    kind: str = text("mic, di, radio, playback ..., or feed. Absent: unknown.")
    legs: tuple[str, ...] = words("Leg ids in order. Required.")
    about: tuple[str, ...] = words("What else is known of it: mic, stand, person, colour, notes. Absent: nothing.")
    zone: str = text("Zone of the stage, in words. Absent: unknown.")
    phantom: str = text("need, no, never or unknown; nothing for a feed. Absent: nothing.")


@attrs.frozen
class PathHop:
    """One place a leg passes, and the step that brought it there."""

    at: str = text("Address of the slot. Required.")
    line: str = text("The slot as people say it, e.g. `BOX1-7`. Absent: its address.")
    device: str = text("Device it is on. Required.")
    step: str = text("How the leg got here: plug, mix, link, wired or select. Required.")
    over: str = text("Id of the link it came by. Absent: no link, or one the rig does not name.")
    how: str = text("The step in words, with link, format, block or tap. Required.")
    who: str = text("Who can change this step. Absent: unknown.")
    listen: str = text("Where to look or listen here. Absent: the device's type does not say.")
    place: str = text("Where the device stands. Absent: the rig does not say.")
    preamp: bool = flag("Whether a mic amplifier stands here. Absent: no.")
    notes: tuple[str, ...] = words("Gain, phantom and clock as the patch sets them here. Absent: none.")


@attrs.frozen
class Path:
    """The way of one leg to one place."""

    leg: str = text("Leg id. Required.")
    signal: str = text("Source or feed it belongs to. Required.")
    name: str = text("What its end calls it. Required.")
    to: str = text("Id of the end it leads to. Required.")
    number: int = plain("Its place there: the channel or track as the desk counts, the n-th place of a feed. Required.", 1)
    alternate: bool = flag("Whether it lands on the alternate input of its channel. Absent: no.")
    hops: tuple[int, ...] = plain("Numbers of its hops in order, from 0. Required.", ())
    periods: tuple[str, ...] = words("Acts and scenes it holds in. Absent: the whole show.")
    phantom: str = text("Phantom in the words of the lists, e.g. `ON`. Absent: unknown, which is not no.")
    preamp: str = text("Line of the mic amplifier it passes. Absent: it passes none.")
    owner: str = text("Position that moves that amplifier. Absent: nobody does from afar, or there is none.")
    gain: str = text("Its gain, with unit. Absent: unknown.")
    trim: str = text("The trim of this end's position, with unit. Absent: none set.")
    notes: tuple[str, ...] = words("What the list says beside it. Absent: nothing.")
    changes: tuple[str, ...] = words("What is different from the issue before, in words; `new` where it is new. Absent: nothing.")


@attrs.frozen
class PathGone:
    """A line of the issue before that is delivered no more."""

    leg: str = text("Leg id. Required.")
    to: str = text("Id of the end it led to. Required.")
    was: str = text("Where it came in and where it ended, in words. Required.")
    periods: tuple[str, ...] = words("Acts and scenes it is gone from. Absent: the whole show.")


@attrs.frozen
class Paths:
    """Every way of every leg, with the names needed to read them."""

    show: str = text("Digest of the show document the patch answers; what a reader notes down belongs to it. Absent: unknown.")
    compared: str = text("Digest of the patch the changes are told against. Absent: nothing was compared.")
    periods: tuple[PathPeriod, ...] = many(PathPeriod, "Acts and scenes in order. Absent: the whole show is one.")
    positions: tuple[PathPosition, ...] = many(PathPosition, "Positions in order. Absent: none.")
    ends: tuple[PathEnd, ...] = many(PathEnd, "Lists in order, then feeds. Absent: none.")
    signals: tuple[PathSignal, ...] = many(PathSignal, "Sources in order, then feeds. Absent: none.")
    hops: tuple[PathHop, ...] = many(PathHop, "Hops, each told once. Absent: none.")
    paths: tuple[Path, ...] = many(Path, "Paths, by end and place. Absent: none.")
    gone: tuple[PathGone, ...] = many(PathGone, "Lines of the issue before that are no more. Absent: none, or nothing compared.")

    @property
    def changed(self) -> int:
        """Return how many lines are different from the issue before, those that are no more included."""
        return sum(1 for path in self.paths if path.changes) + len(self.gone)
