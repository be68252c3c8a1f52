"""One period made ready: fabric, what must land where, what has to be placed, what is fixed.

Comes in: rig and show as they stand in a period, the setting before.  Goes out: a `Case`.
Next: `answer.py` has it bundled, changed or placed, `better.py` asks for more wishes in it.
"""

from __future__ import annotations

from collections.abc import Callable
from copy import copy
from typing import Any

from patchloom.errors import Impossible
from patchloom.finding import Fact
from patchloom.model.patch import Setting
from patchloom.model.rig import Rig
from patchloom.model.routing import Rules
from patchloom.model.show import Show
from patchloom.solve.attempt import Placed, Plan
from patchloom.solve.changes.exhaust import exhaust
from patchloom.solve.changes.replay import Before
from patchloom.solve.counting.bounds import bounds
from patchloom.solve.cutting import build_fabric
from patchloom.solve.emit import entries, routes, selections
from patchloom.solve.fabric import Fabric
from patchloom.solve.inserts import with_sends
from patchloom.solve.notes import notes
from patchloom.solve.place import place_all
from patchloom.solve.ready import Ground, fix_slots, group, hint
from patchloom.solve.route import Net
from patchloom.solve.ruled.abide import broken
from patchloom.solve.ruled.overruled import overruled
from patchloom.solve.ruled.rules import Ruled, cuts_of
from patchloom.solve.slot import aims, cut_at
from patchloom.solve.spare import spare_units, spares_kept
from patchloom.solve.straight import straighten
from patchloom.solve.unit import units

__all__ = ["Case", "Wish"]

Wish = tuple[str, int]
"""A want that is a wish: its list or feed, and which entry of it."""


class Case:
    """A period ready to be solved; see the module's docstring."""

    def __init__(
        self,
        rig: Rig,
        show: Show,
        before: Setting | None,
        keep: bool,
        musts: frozenset[Wish] = frozenset(),
        fabric: Fabric | None = None,
        rules: Rules | None = None,
    ) -> None:
        show = with_sends(rig, show)
        self.rig, self.show, self.before, self.keep, self.rules = rig, show, before, keep, rules
        self.fabric = build_fabric(rig, [*cut_at(show), *cuts_of(rules)], show.fixed) if fabric is None else fabric
        wanted = aims(self.fabric, show)
        self.aims = [aim._replace(must=True) if (aim.to, aim.entry) in musts else aim for aim in wanted] if musts else wanted
        hidden = {feed.id: show.desk_of(feed.mixed_at) for feed in show.feeds}
        self.units = units(self.fabric, show, self.aims, hidden)
        fix_slots(self.fabric, show, self.units)
        ruled = Ruled(self.fabric, show, rules, self.units) if rules is not None else None
        self.plan = Plan(self.fabric, show, self.aims, self.units)
        self.plan.rules = ruled
        hint(self.fabric, self.plan, before, self.units, keep)
        group(show, self.units)
        self.spares = spare_units(self.fabric, show, self.aims)
        self.plan.unit_of.update({unit.name: unit for unit in self.spares})
        self.end: float | None = None
        """When the time the user gave is over (of `time.monotonic`); None for no limit."""
        self._ground: Ground | None = None

    @property
    def ground(self) -> Ground:
        """What every try begins with, found when it is first asked for."""
        if self._ground is None:
            self._ground = Ground(self.fabric, self.show, self.aims, self.before, self.plan.rules)
        return self._ground

    def asking(self, musts: frozenset[Wish]) -> Case:
        """Return the same case with some wishes made musts."""
        return Case(self.rig, self.show, self.before, self.keep, musts, self.fabric, self.rules)

    def place(
        self,
        progress: Callable[[str], None] | None = None,
        tries: int | None = None,
        hints: dict[str, tuple[int, int]] | None = None,
    ) -> Placed:
        """Return the first try that carries every must, or the one that came furthest; raise Impossible with a proof."""
        more: dict[str, Any] = {} if tries is None else {"tries": tries}
        plan = copy(self.plan)
        plan.hints = self.plan.hints if hints is None else hints
        return place_all(
            self.fabric,
            plan,
            self.ground.make_ready,
            self.spares,
            progress,
            lambda: self._disprove(self.plan),
            end=self.end,
            **more,
        )

    def hold(self, was: Before, loose: frozenset[str], tries: int = 4) -> Placed | bool:
        """Return a try that holds the plugs of all sources but some; False when there is proof against one, True when open."""
        held = was.hold(self.plan, loose)
        net = Net(self.fabric, {})
        self.ground.make_ready(net)
        if exhaust(self.fabric, held, net) is False:
            return False
        try:
            placed = place_all(
                self.fabric, held, self.ground.make_ready, [], None, lambda: self._disprove(held), tries=tries, lenient=False
            )
        except Impossible:
            return False
        return placed if placed.failed is None else True

    def _disprove(self, plan: Plan) -> None:
        """Raise Impossible when routing rules or counting prove that no patch exists."""
        ruled_out = overruled(plan.rules, plan) if plan.rules is not None else []
        if ruled_out:
            raise Impossible(tuple(ruled_out))
        facts = bounds(self.fabric, self.show, plan.aims, plan.units)
        if facts:
            raise Impossible(tuple(facts))

    def overruled(self) -> list[Fact]:
        """Return facts by which routing rules leave no patch; none where they cannot tell."""
        return overruled(self.plan.rules, self.plan) if self.plan.rules is not None else []

    def breaks(self, placed: Placed) -> list[str]:
        """Return the legs by which a finished try breaks a routing rule."""
        return broken(self.plan.rules, self.plan, placed) if self.plan.rules is not None and placed.failed is None else []

    def setting(self, period: str, placed: Placed) -> Setting:
        """Return a finished try as a setting, clock, owners, gains and phantom still to come."""
        straighten(self.fabric, placed, self.aims, self.before)
        return Setting(
            period=period,
            plugs=entries(self.fabric, placed, self.units, False),
            mixes=entries(self.fabric, placed, self.units, True),
            selections=tuple(selections(self.fabric, placed.net)),
            routes=tuple(routes(self.fabric, placed, self.aims)),
            unmet=tuple(placed.unmet),
            spares=tuple(spares_kept(self.fabric, placed, self.spares)),
            notes=tuple(notes(self.fabric, placed, self.aims)),
        )
