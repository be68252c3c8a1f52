"""What stands before anything is placed: fixed choices, reserved slots, groups, hints of a previous answer.

Comes in: fabric, show, aims, units, perhaps the setting before.  Goes out: units bound to places, a `Net` made ready.
Next: `place.py` places and routes the rest.
"""

from __future__ import annotations

from patchloom.address import Slot, Span, parse
from patchloom.model.patch import Setting
from patchloom.model.show import Show
from patchloom.solve.attempt import Plan
from patchloom.solve.fabric import Fabric
from patchloom.solve.route import Net
from patchloom.solve.ruled.rules import Ruled
from patchloom.solve.slot import Aim, root
from patchloom.solve.unit import Unit

__all__ = ["Ground", "fix_slots", "group", "hint"]


def hint(fabric: Fabric, plan: Plan, before: Setting | None, found: list[Unit], keep: bool) -> None:
    """Remember where each leg was before; with `keep`, bind every source to its plug."""
    if before is None:
        return
    for unit in found:
        for number, leg in enumerate(unit.legs):
            was = (before.mixes if unit.feed else before.plugs).get(leg)
            place = fabric.find(was) if was is not None else None
            if place is None or place not in unit.allowed[number]:
                continue
            plan.hints[leg] = place
            unit.kept = True
            if keep and not unit.feed:
                unit.allowed[number] = {place}
        if keep and not unit.feed:
            unit.fixed = all(len(places) == 1 for places in unit.allowed)


def fix_slots(fabric: Fabric, show: Show, found: list[Unit]) -> None:
    """Bind a source's plug where the user has fixed which slot its channel takes, and only one socket leads there."""
    for row in show.fixed:
        into, from_ = parse(row.into), parse(row.from_)
        if into.first is None or into.first != into.last or from_.first is None or into.bank is None or from_.bank is None:
            continue
        source = fabric.find(Slot(from_.device, from_.bank, from_.first))
        if source is None:
            continue
        place = (root(fabric, source[0])[0], source[1])
        wanted = Slot(into.device, into.bank, into.first)
        for unit in found:
            for number, leg in enumerate(unit.legs):
                if place in unit.allowed[number] and any(
                    aim.must and not aim.alternate and aim.leg == leg and aim.place == wanted for aim in unit.aims
                ):
                    unit.allowed[number] = {place}
                    unit.choices = sorted({segment for segment, _ in unit.allowed[0]})
                    unit.fixed = all(len(places) == 1 for places in unit.allowed)


def group(show: Show, found: list[Unit]) -> None:
    """Mark the units that have to stand on one box."""
    for number, row in enumerate(show.groups):
        if row.relation == "one-box":
            for unit in found:
                if unit.name.partition(".")[0] in row.of and not unit.feed:
                    unit.group_key = row.id or str(number)


class Ground:
    """What every try begins with, found once: slots kept, runs fixed, runs as they were."""

    def __init__(self, fabric: Fabric, show: Show, wanted: list[Aim], before: Setting | None, rules: Ruled | None = None) -> None:
        self.rules = rules
        self.reserved: list[tuple[int, int]] = []
        """Slots that are asked for exactly, or that a list leaves empty."""
        self.ordered = frozenset(
            segment for aim in wanted if not aim.free and aim.place is not None for goal in aim.goals for segment in goal.segments
        )
        self.fixed_run: dict[int, int] = {}
        self.hint_run: dict[int, int] = {}
        self.taken: list[tuple[int, int, int, str]] = []
        """Runs that are set because the show fixes them, whether anybody needs them or not: run, source, row, tap."""
        self._reserve(fabric, show, wanted)
        runs = _Runs(fabric)
        for row in show.fixed:
            run, source = runs.find(parse(row.into)), runs.find(parse(row.from_))
            if run is not None and source is not None:
                self.fixed_run[run] = source
                self.taken.extend(_taken(fabric, run, source, row.tap)[:1])
        for selection in before.selections if before is not None and fabric.runs else ():
            run, source = runs.find(selection.into), runs.find(selection.from_)
            if run is not None and source is not None:
                self.hint_run[run] = source

    def _reserve(self, fabric: Fabric, show: Show, wanted: list[Aim]) -> None:
        kept: dict[tuple[int, int], None] = {}
        highest: dict[str, Slot] = {}
        for aim in wanted:
            goal = aim.goals[0] if len(aim.goals) == 1 else None
            if goal is None or goal.offset is None:
                continue
            if not aim.alternate:
                # Somebody wants exactly this place, so nobody who has a choice lands there.
                kept[goal.segments[0], goal.offset] = None
                if aim.free and aim.place is not None:
                    highest[aim.to] = max(highest.get(aim.to, aim.place), aim.place)
        for item in show.lists:
            # Slots a list leaves empty stay empty: nothing passes through the middle of somebody's channels.
            top = highest.get(item.id)
            for number in range(parse(item.at).first or 1, top.number if top is not None else 0):
                place = fabric.find(Slot(top.device, top.bank, number)) if top is not None else None
                if place is not None:
                    kept[place] = None
        self.reserved = list(kept)

    def make_ready(self, net: Net) -> None:
        """Reserve what is kept, take what is fixed, remember what was."""
        for place in self.reserved:
            net.reserve(*place)
        net.ordered = self.ordered
        net.fixed_run.update(self.fixed_run)
        net.fixed_sources = frozenset(self.fixed_run.values())
        for run, source, number, tap in self.taken:
            if net.run_free(run, source):
                net.set_run(run, source, number, tap)
                net.run_users[run] = 1  # the show's own use: it is never given back
                net.pools.fix(run, source)
        net.hint_run.update(self.hint_run)
        if self.rules is not None:
            self.rules.attach(net)


def _taken(fabric: Fabric, run: int, source: int, tap: str) -> list[tuple[int, int, int, str]]:
    """Return how a run can take a source run: run, source, row, tap; one for each row that offers it."""
    found = []
    bank = fabric.runs[source].bank
    kind = fabric.kind[bank]
    for row in fabric.rows:
        if row.by > 1 and not row.alternate and run in row.into_runs and source in row.sources:
            free = fabric.raw_tap(bank, row, "", kind is not None and kind.does == "sum")
            if tap or free is not None:
                found.append((run, source, row.number, tap or free or ""))
    return found


class _Runs:
    """The runs of a fabric by where they begin."""

    def __init__(self, fabric: Fabric) -> None:
        self.fabric = fabric
        self.at: dict[tuple[int, int], list[tuple[int, int]]] = {}
        for (bank, first, size), number in fabric.run_of.items():
            self.at.setdefault((bank, first), []).append((size, number))

    def find(self, span: Span) -> int | None:
        """Return the run a span names, or the first at least as long that begins there; None where there is none."""
        bank = self.fabric.bank_of.get((span.device, span.bank or ""))
        if bank is None or span.first is None or span.last is None:
            return None
        length = span.last - span.first + 1
        exact = self.fabric.run_of.get((bank, span.first, length))
        if exact is not None:
            return exact
        return next((number for size, number in self.at.get((bank, span.first), ()) if size >= length), None)
