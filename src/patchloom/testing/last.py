"""What strategies give, and what they gave last.

Comes in: what is drawn.  Goes out: `Solved`, `Infeasible`, `Broken`; `LAST`, from which a failing test is written down, and
into which one is put to be run again.  Next: `strategies`, `counterexample`, `pytest_plugin`.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["LAST", "Broken", "Infeasible", "Pair", "Quiet", "Solved"]


def _words(rig: Rig, show: Show) -> str:
    """Return a rig and a show in a line: what failed is written down as documents, not as a page of brackets."""
    parts = [f"{key} {device.type}" for key, device in rig.devices.items()]
    parts += [f"{row.id} hears {' '.join('-' if want is None else want.signal for want in row.wants)}" for row in show.lists]
    parts += [f"{row.id} of {row.mixed_at} goes to {', '.join(at for to in row.to for at in to.at)}" for row in show.feeds]
    acts = f", {len(show.periods)} acts" if show.periods else ""
    return "; ".join(parts) + acts


class Pair(NamedTuple):
    """A rig and a show it can carry."""

    rig: Rig
    show: Show

    def __repr__(self) -> str:
        return f"Pair({_words(self.rig, self.show)})"

    def _repr_pretty_(self, printer: Any, cycle: bool) -> None:
        printer.text(repr(self))


class Solved(NamedTuple):
    """A rig, a show and the patch that answers it."""

    rig: Rig
    show: Show
    patch: Patch
    kept: bool = True
    """Whether it was solved under the rules given; no where they rule every patch out."""

    def __repr__(self) -> str:
        return f"Solved({_words(self.rig, self.show)})"

    def _repr_pretty_(self, printer: Any, cycle: bool) -> None:
        printer.text(repr(self))


class Infeasible(NamedTuple):
    """A rig and a show no patch can carry."""

    rig: Rig
    show: Show
    kind: str
    """What is short, one of `patchloom.testing.short.SHORT`."""
    because: str
    """The same in a sentence."""

    def __repr__(self) -> str:
        return f"Infeasible({self.kind}: {self.because}; {_words(self.rig, self.show)})"

    def _repr_pretty_(self, printer: Any, cycle: bool) -> None:
        printer.text(repr(self))


class Broken(NamedTuple):
    """A patch with one fault in it."""

    patch: Patch
    kind: str
    """The check that must speak."""

    def __repr__(self) -> str:
        return f"Broken({self.kind})"

    def _repr_pretty_(self, printer: Any, cycle: bool) -> None:
        printer.text(repr(self))


class _Held(NamedTuple):
    rig: Rig
    show: Show
    patch: Patch | None


class _Last:
    """What was drawn last, in this process."""

    def __init__(self) -> None:
        self.rig: Rig | None = None
        self.show: Show | None = None
        self.patch: Patch | None = None
        self.replaying: _Held | None = None
        """Given back instead of anything drawn."""

    def note(self, *, rig: Rig | None = None, show: Show | None = None, patch: Patch | None = None) -> None:
        """Keep what was drawn; a new rig puts an end to the show before it, a new show to the patch."""
        if rig is not None:
            self.rig = rig
            self.show = self.patch = None
        if show is not None:
            self.show, self.patch = show, None
        if patch is not None:
            self.patch = patch

    def clear(self) -> None:
        """Forget it."""
        self.rig = self.show = self.patch = None

    def replay(self, rig: Rig, show: Show, patch: Patch | None = None) -> None:
        """Have every strategy give these."""
        self.replaying = _Held(rig, show, patch)
        self.rig, self.show, self.patch = rig, show, patch


LAST = _Last()
"""The one of this process."""


class Quiet:
    """Something large given to a strategy, which prints what it was given."""

    def __init__(self, held: Any, words: str) -> None:
        self.held = held
        self.words = words

    def __repr__(self) -> str:
        return self.words
