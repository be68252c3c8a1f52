"""Rules of a house, as a package: one that judges, and the routing rule that keeps the search from what it judges.

Comes in: a rig, a show, a patch.  Goes out: findings.  Copy it, change it, give it your own name.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import patchloom

__all__ = ["KEPT", "keep_off", "no_thirteen"]

KEPT = 13
"""The socket the crew keeps for the line tester."""


@patchloom.routing_rule(name="keep-off", version="1", on="placement")
def keep_off(placement: Any) -> str | None:
    """Return why a placement is forbidden; None where it is not."""
    if placement.at.number == KEPT:
        return f"number {KEPT} of everything is kept for the line tester"
    return None


@patchloom.rule(
    name="no-thirteen",
    severity="warn",
    says=f"Number {KEPT} of everything is kept for the line tester.",
    todo="Move the plug or the mix to another number.",
    steers=keep_off,
)
def no_thirteen(rig: Any, show: Any, patch: Any) -> Iterator[Any]:
    """Number 13 of everything is kept for the line tester.

    What it says: a source is plugged into a socket 13, or a feed is made on a mix 13.
    Why: a habit of this house.
    When it is no fault: where there is no other number left.
    What data it needs: none beyond the patch.
    What to do: move it.
    Source: the crew.
    """
    for setting in patch.settings:
        for leg, place in sorted((*setting.plugs.items(), *setting.mixes.items())):
            if place.number == KEPT:
                yield no_thirteen.found(f"{leg} is on {place}", place, leg, period=setting.period)
