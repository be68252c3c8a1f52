"""What a change costs, and a change on offer.

Comes in: nothing.  Goes out: the table of costs, and `Offer`.  Next: `explain_offers.py` and `explain_cables.py` make
offers, `explain_ways.py` tries them, the cheapest first.

Costs say in which order people would rather hear them; they are common practice and no more.  A fixed choice let go or
a source plugged elsewhere costs least, then a must turned into a wish; then what needs another cable or setting; what
needs other hardware costs most.
"""

from __future__ import annotations

from typing import NamedTuple

from patchloom.model.change import Change

__all__ = ["COST", "Offer"]

COST = {
    "own place": 4, "release": 5, "gain": 5, "setting": 6, "order": 6, "tap": 7, "pad": 8, "plug": 9, "far plug": 11,
    "rule": 12, "isolate": 15, "format": 20, "link": 25, "wish": 30, "rate": 40, "leave out": 60, "hardware": 80,
}  # fmt: skip
"""What each kind of change costs, once; more of it costs a little more."""


class Offer(NamedTuple):
    """Changes that might help."""

    text: str
    cost: int
    changes: tuple[Change, ...]
    family: str
    """Offers of one family are alternatives to each other."""
    most: int = 1
    """How many of its family are worth hearing."""
    deepens: bool = True
    """Whether it is worth following where it uncovers another conflict."""

    def plus(self, other: Offer) -> Offer:
        """Return both at once."""
        text = f"{self.text.rstrip('.')}, and {other.text[0].lower()}{other.text[1:]}"
        family = f"{self.family} + {other.family}"
        return Offer(text, self.cost + other.cost, (*self.changes, *other.changes), family, 1)
