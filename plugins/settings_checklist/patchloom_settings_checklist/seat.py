"""One desk as the people at it see it.

Comes in: a `View`, a device, the positions that work at it.  Goes out: a `Seat`, to be asked.  Next: the
modules that make groups of steps.
"""

from __future__ import annotations

import attrs

from patchloom.model.patch import Ownership, PhantomSet, Selection
from patchloom.model.show import Feed, List
from patchloom.pages import View

__all__ = ["Seat"]


@attrs.frozen(eq=False)
class Seat:
    """A desk, who works at it, and the period's answer."""

    view: View
    desk: str
    positions: tuple[str, ...]

    def lists(self) -> tuple[List, ...]:
        """Return the lists of its positions."""
        return tuple(row for row in self.view.show.lists if row.position in self.positions)

    def feeds(self) -> tuple[Feed, ...]:
        """Return the feeds its positions make."""
        return tuple(row for row in self.view.show.feeds if row.mixed_at in self.positions)

    def selections(self) -> tuple[Selection, ...]:
        """Return the selections set on it."""
        return tuple(row for row in self.view.setting.selections if row.into.device == self.desk)

    def owned(self) -> tuple[Ownership, ...]:
        """Return the preamps its positions own."""
        return tuple(row for row in self.view.setting.owners if row.owner in self.positions)

    def claimed(self) -> tuple[str, ...]:
        """Return the devices whose preamps its positions own."""
        return tuple(dict.fromkeys(row.preamps.device for row in self.owned()))

    def phantom(self) -> tuple[PhantomSet, ...]:
        """Return the phantom switches its positions move: of preamps they own, and of the desk's own sockets nobody else owns."""
        return tuple(row for row in self.view.setting.phantom if self._moves(row))

    def _moves(self, row: PhantomSet) -> bool:
        first = next(iter(row.at.slots()), None) if row.at.first is not None else None
        owner = self.view.owner(first) if first is not None else None
        if owner is not None and owner.owner:
            return owner.owner in self.positions
        return row.at.device == self.desk

    def legs(self) -> tuple[str, ...]:
        """Return every leg that passes the desk or lands in a list of its positions."""
        own = {row.id or row.position for row in self.lists()}
        return tuple(
            dict.fromkeys(
                route.leg
                for route in self.view.setting.routes
                if route.to in own or any(place.device == self.desk for place in route.hops)
            )
        )
