"""What each list loses when another position's desk goes down.

What it says: for every list, and every desk of another position its wants pass through, how many of them die with
it.  Where the list or feed declares that it must outlive that loss, `verify` holds it to that, and nothing is said here.
Why: everyone downstream of a desk that restarts goes silent and cannot see why (common practice, no source).
When it is no fault: the feed of a position dies with that position's own desk, which is not counted.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.check.catalogue import ENTRY
from patchloom.finding import Finding
from patchloom.model.patch import Patch, Route, Setting
from patchloom.model.period import in_period
from patchloom.model.rig import Rig
from patchloom.model.show import Show, Survives

__all__ = ["pass_through_dependence"]

_NAME = "pass-through-dependence"


def pass_through_dependence(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each list and desk it leans on."""
    for setting in patch.settings:
        here, tonight = in_period(rig, show, setting.period)
        desks = _desks(here, tonight)
        for key, whose, survives in _receivers(tonight):
            routes = [route for route in setting.routes if route.to == key and not route.alternate]
            declared = {row.loss_of for row in survives}
            for desk, positions in sorted(desks.items()):
                if whose not in positions and desk not in declared:
                    yield from _leans(setting, key, desk, positions, routes, tonight)


def _desks(rig: Rig, show: Show) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    positions = [*show.positions, *(item.position for item in show.lists), *(feed.mixed_at for feed in show.feeds)]
    for position in dict.fromkeys(positions):
        desk = show.desk_of(position)
        if desk in rig.devices:
            found.setdefault(desk, []).append(position)
    return found


def _receivers(show: Show) -> Iterator[tuple[str, str, tuple[Survives, ...]]]:
    for item in show.lists:
        yield item.id, item.position, item.survives
    for feed in show.feeds:
        if feed.to:
            yield feed.id, feed.mixed_at, feed.survives


def _passes(route: Route, device: str) -> bool:
    return any(hop.device == device for hop in route.hops)


def _leans(setting: Setting, key: str, desk: str, positions: list[str], routes: list[Route], show: Show) -> Iterator[Finding]:
    lost = [route for route in routes if _passes(route, desk)]
    own = {leg for feed in show.feeds if feed.mixed_at in positions for leg in feed.leg_ids()}
    if not any(route.leg not in own for route in lost):
        return
    entry = ENTRY[_NAME]
    names = list(dict.fromkeys(route.leg for route in lost))
    yield Finding(
        _NAME,
        entry.severity,
        f"{key} loses {len(lost)} of {len(routes)} when {desk} ({', '.join(positions)}) goes down: {_short(names)}.",
        (key, desk, *names),
        (("lost", len(lost)), ("of", len(routes))),
        entry.todo,
        setting.period,
    )


def _short(names: list[str]) -> str:
    return ", ".join(names[:8]) + (f" and {len(names) - 8} more" if len(names) > 8 else "")
