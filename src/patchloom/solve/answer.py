"""One rig and one show to one `Patch`, period by period, question by question.

Comes in: a rig, a show, perhaps the patch it replaces.  Goes out: a `Patch`, or `Impossible` with facts, or
`Undecided`.  Next: the pipeline hands the patch to the judge.

Order of questions: what must land where (`slot`), where things plug and how they get there (`place`, `route`),
then clock, owners, gain and phantom over what was chosen.  Acts are solved in order, each with the one before as
its previous answer; scenes keep the plugs of their act.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import attrs

from patchloom.address import Slot, parse
from patchloom.errors import Impossible, Undecided
from patchloom.finding import Fact
from patchloom.model.patch import Patch, Setting, WishValue
from patchloom.model.period import acts, in_period, in_use, scenes
from patchloom.model.rig import Bank, Rig
from patchloom.model.show import Show, Spare
from patchloom.solve.attempt import Placed, Plan
from patchloom.solve.bounds import bounds, too_long
from patchloom.solve.clock import clock_domains
from patchloom.solve.cutting import build_fabric
from patchloom.solve.emit import entries, routes, selections
from patchloom.solve.fabric import Fabric
from patchloom.solve.gain import gains, phantom_sets
from patchloom.solve.owner import ownerships
from patchloom.solve.path import BOUND, Goal
from patchloom.solve.place import place_all
from patchloom.solve.route import Net
from patchloom.solve.slot import Aim, aims, cut_at, root
from patchloom.solve.unhonoured import unhonoured
from patchloom.solve.unit import Unit, units

__all__ = ["solve"]

Progress = Callable[[str], None]


def solve(
    rig: Rig,
    show: Show,
    previous: Patch | None = None,
    limit_s: float | None = None,
    rules: Sequence[Any] = (),
    progress: Progress | None = None,
) -> Patch:
    """Return a patch that carries every must of a show over a rig.

    `previous` is a patch to stay close to.  Raises Impossible with facts that prove there is none, Undecided when
    neither a patch nor a proof was found.  `limit_s` and `rules` are accepted for the search to come; `rules` that
    are given are named in the patch's `unhonoured`.
    """
    settings: list[Setting] = []
    wishes: list[WishValue] = []
    old = previous
    for period, fixed in _periods(show):
        if progress and period:
            progress(f"period {period}")
        base = _find(settings, fixed) if fixed else None
        before = base or (settings[-1] if settings else None) or _old_setting(old, period)
        setting, met = _solve_period(rig, show, period, before, base is not None, progress)
        settings.append(setting)
        wishes.extend(met)
    return Patch(
        settings=tuple(settings),
        wishes=tuple(wishes),
        unhonoured=(*unhonoured(rig, show), *(f"rule {getattr(rule, 'name', rule)}" for rule in rules)),
    )


def _periods(show: Show) -> list[tuple[str, str]]:
    """Return (period, act whose plugs it keeps) in the order to solve them."""
    found = []
    for act in acts(show):
        found.append((act.id, ""))
        found.extend((scene.id, act.id) for scene in scenes(show, act.id))
    return found or [("", "")]


def _find(settings: list[Setting], period: str) -> Setting | None:
    return next((row for row in settings if row.period == period), None)


def _old_setting(old: Patch | None, period: str) -> Setting | None:
    if old is None:
        return None
    return next((row for row in old.settings if row.period == period), old.settings[0] if old.settings else None)


def _solve_period(
    rig: Rig, show: Show, period: str, before: Setting | None, keep: bool, progress: Progress | None
) -> tuple[Setting, list[WishValue]]:
    here, tonight = in_period(rig, show, period)
    if not keep and period:
        tonight = _with_scenes(show, period, tonight)
    fabric = build_fabric(here, cut_at(tonight))
    wanted = aims(fabric, tonight)
    hidden = {feed.id: tonight.desk_of(feed.mixed_at) for feed in tonight.feeds}
    found = units(fabric, tonight, wanted, hidden)
    _fix_slots(fabric, tonight, found)
    clock, facts = clock_domains(here)
    plan = Plan(fabric, tonight, wanted, found)
    _hint(fabric, plan, before, found, keep)
    _groups(tonight, found)
    spare_units = _spare_units(fabric, tonight, wanted)
    plan.unit_of.update({unit.name: unit for unit in spare_units})
    if facts:
        raise Impossible(tuple(facts))
    early = too_long(tonight, fabric, wanted)
    if early:
        raise Impossible(tuple(early))
    placed = place_all(
        fabric,
        plan,
        lambda net: _prepare(net, fabric, tonight, wanted, before),
        spare_units,
        progress,
        lambda: _disprove(fabric, tonight, wanted, found),
    )
    if placed.failed is not None:
        raise Undecided(
            ("No patch was found, and nothing rules one out.",),
            tuple(placed.missing),
            Patch(settings=(_setting(fabric, tonight, period, placed, wanted, found),)),
        )
    setting = _setting(fabric, tonight, period, placed, wanted, found)
    setting, proven, open_ = _rest(here, tonight, setting, clock, found, fabric)
    if proven:
        raise Impossible(tuple(proven))
    if open_:
        raise Undecided(
            ("A patch was found for the signals, but not with the plugs chosen:", *map(str, open_)),
            best=Patch(settings=(setting,)),
        )
    notes = _notes(fabric, tonight, placed, wanted)
    spares, met = _spares(fabric, tonight, placed, spare_units, period)
    return attrs.evolve(setting, notes=tuple(notes), spares=tuple(spares), unmet=tuple(placed.unmet)), met


def _disprove(fabric: Fabric, show: Show, wanted: list[Aim], found: list[Unit]) -> None:
    """Raise Impossible when counting proves that no patch exists."""
    facts = bounds(fabric, show, wanted, found)
    if facts:
        raise Impossible(tuple(facts))


def _with_scenes(show: Show, act: str, tonight: Show) -> Show:
    """Return an act's show with the sources its scenes will need plugged too."""
    used = in_use(show, act)
    extra = {key for scene in scenes(show, act) for key in in_use(show, scene.id)} - used
    if not extra:
        return tonight
    return attrs.evolve(
        tonight,
        sources=(*tonight.sources, *(source for source in show.sources if source.id in extra)),
        plug=(*tonight.plug, *(row for row in show.plug if row.source.partition(".")[0] in extra)),
    )


def _hint(fabric: Fabric, plan: Plan, before: Setting | None, found: list[Unit], keep: bool) -> None:
    if before is None:
        return
    for unit in found:
        for number, leg in enumerate(unit.legs):
            was = (before.mixes if unit.feed else before.plugs).get(leg)
            place = fabric.find(was) if was is not None else None
            if place is None or place not in unit.allowed[number]:
                continue
            plan.hints[leg] = place
            if keep and not unit.feed:
                unit.allowed[number] = {place}
        if keep and not unit.feed:
            unit.fixed = all(len(places) == 1 for places in unit.allowed)


def _fix_slots(fabric: Fabric, show: Show, found: list[Unit]) -> None:
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
                if place in unit.allowed[number] and any(aim.leg == leg and aim.place == wanted for aim in unit.aims):
                    unit.allowed[number] = {place}
                    unit.choices = sorted({segment for segment, _ in unit.allowed[0]})
                    unit.fixed = all(len(places) == 1 for places in unit.allowed)


def _groups(show: Show, found: list[Unit]) -> None:
    for number, group in enumerate(show.groups):
        if group.relation == "one-box":
            for unit in found:
                if unit.name in group.of and not unit.feed:
                    unit.group_key = group.id or str(number)


def _spare_units(fabric: Fabric, show: Show, wanted: list[Aim]) -> list[Unit]:
    made: list[Unit] = []
    for spare in show.wishes.spare if show.wishes else ():
        places = {place for text in spare.at for place in _sockets(fabric, text)}
        goals = _spare_goals(fabric, show, spare)
        for number in range(spare.count):
            unit = Unit(f"spare-{len(made) + 1}", (f"spare-{len(made) + 1}",), 10_000 + number, False)
            unit.spare = True
            unit.allowed = [places]
            unit.choices = sorted({segment for segment, _ in places})
            unit.aims = [Aim(unit.name, to, 0, to, None, (goal,), (), "", False, True, False, 0) for to, goal in goals]
            unit.signature = tuple(sorted({to for to, _ in goals}))
            unit.ends = tuple(goal.segments for _, goal in goals)
            made.append(unit)
    return made


def _sockets(fabric: Fabric, text: str) -> list[tuple[int, int]]:
    span = parse(text)
    bank = fabric.bank_of.get((span.device, span.bank or ""))
    if bank is None:
        return []
    last = min(span.last or fabric.size[bank], fabric.size[bank])
    return [
        place for number in range(span.first or 1, last + 1) if (place := fabric.find(Slot(span.device, span.bank or "", number)))
    ]


def _spare_goals(fabric: Fabric, show: Show, spare: Spare) -> list[tuple[str, Goal]]:
    """Return where a spare line must come in for each position it must reach: what its channels can choose from."""
    goals = []
    for position in spare.reaching:
        for item in show.lists:
            if item.position != position:
                continue
            span = parse(item.at)
            bank = fabric.bank_of.get((span.device, span.bank or ""))
            if bank is None:
                continue
            base, _ = root(fabric, fabric.segment_of[bank][span.first or 1])
            rows = [row for row in fabric.singles_into[base] if not fabric.rows[row].alternate]
            segments = sorted({source for row in rows for source in fabric.rows[row].sources}) or list(
                dict.fromkeys(fabric.segment_of[bank][1:])
            )
            goals.append((item.id, Goal(tuple(segments), None, False, ())))
            break
    return goals


def _prepare(net: Net, fabric: Fabric, show: Show, wanted: list[Aim], before: Setting | None) -> None:
    """Reserve the slots that are asked for exactly, take fixed selections, remember the previous ones."""
    ordered: set[int] = set()
    highest: dict[str, Slot] = {}
    for aim in wanted:
        if len(aim.goals) == 1 and aim.goals[0].offset is not None and not aim.alternate and aim.free:
            net.reserve(aim.goals[0].segments[0], aim.goals[0].offset)
            if aim.place is not None:
                highest[aim.to] = max(highest.get(aim.to, aim.place), aim.place)
        if len(aim.goals) == 1 and aim.goals[0].tail == BOUND and aim.goals[0].offset is not None:
            # Somebody wants exactly this place, so nobody who has a choice lands there.
            net.reserve(aim.goals[0].segments[0], aim.goals[0].offset)
        if not aim.free and aim.place is not None:
            for goal in aim.goals:
                ordered.update(goal.segments)
    net.ordered = frozenset(ordered)
    for item in show.lists:
        # Slots a list leaves empty stay empty: nothing passes through the middle of somebody's channels.
        top = highest.get(item.id)
        for number in range(parse(item.at).first or 1, top.number if top is not None else 0):
            place = fabric.find(Slot(top.device, top.bank, number)) if top is not None else None
            if place is not None:
                net.reserve(*place)
    for row in show.fixed:
        into, from_ = parse(row.into), parse(row.from_)
        run = _run(fabric, into)
        source = _run(fabric, from_)
        if run is not None and source is not None:
            net.fixed_run[run] = source
    for selection in before.selections if before is not None else ():
        run, source = _run(fabric, selection.into), _run(fabric, selection.from_)
        if run is not None and source is not None:
            net.hint_run[run] = source


def _run(fabric: Fabric, span: Any) -> int | None:
    bank = fabric.bank_of.get((span.device, span.bank or ""))
    if bank is None or span.first is None:
        return None
    length = span.last - span.first + 1
    exact = fabric.run_of.get((bank, span.first, length))
    if exact is not None:
        return exact
    return next(
        (number for (b, first, size), number in fabric.run_of.items() if b == bank and first == span.first and size >= length),
        None,
    )


def _setting(fabric: Fabric, show: Show, period: str, placed: Placed, wanted: list[Aim], found: list[Unit]) -> Setting:
    return Setting(
        period=period,
        plugs=entries(fabric, placed, found, False),
        mixes=entries(fabric, placed, found, True),
        selections=tuple(selections(fabric, placed.net)),
        routes=tuple(routes(fabric, placed, wanted)),
    )


def _rest(
    rig: Rig, show: Show, setting: Setting, clock: list[Any], found: list[Unit], fabric: Fabric
) -> tuple[Setting, list[Fact], list[Fact]]:
    """Add clock, owners, gains and phantom to a setting; return it, what rules every patch out, what rules this one out."""
    lists = {item.id: item for item in show.lists}
    heard: dict[tuple[str, Slot], list[tuple[str, Bank]]] = {}
    legs: dict[Slot, str] = {}
    for leg, place in setting.plugs.items():
        if fabric.copper.amplified(place):
            heard[leg, place] = []
            legs[place] = leg
    sources = set(setting.plugs)
    for route in setting.routes:
        if route.leg not in sources:
            continue
        socket = next((place for place in route.hops if fabric.copper.amplified(place)), None)
        item = lists.get(route.to)
        if socket is None or item is None:
            continue
        bank = rig.type_of(route.hops[-1].device).banks[route.hops[-1].bank]
        heard.setdefault((route.leg, socket), []).append((item.position, bank))
        legs.setdefault(socket, route.leg)
    owners, facts = ownerships(rig, show, sorted(legs), legs)
    levels, more = gains(rig, show, heard)
    on_from = {place: fabric.copper.ahead(place) for place in setting.plugs.values() if not fabric.copper.amplified(place)}
    phantom, last = phantom_sets(rig, show, setting.plugs, on_from)
    setting = attrs.evolve(setting, clock=tuple(clock), owners=tuple(owners), gains=tuple(levels), phantom=tuple(phantom))
    unit_of = {leg: unit for unit in found for leg in unit.legs}
    proven: list[Fact] = []
    open_: list[Fact] = []
    partial = any("[" in text for row in show.owners for text in row.preamps)
    bad = {fact.limit.partition(" of ")[2] for fact in facts}
    for fact in [*facts, *more, *last]:
        (proven if _holds_everywhere(rig, fabric, fact, unit_of, legs, set() if partial else bad) else open_).append(fact)
    return setting, proven, open_


def _holds_everywhere(
    rig: Rig, fabric: Fabric, fact: Fact, unit_of: dict[str, Unit], legs: dict[Slot, str], bad: set[str]
) -> bool:
    """Return whether a fact about the plugs chosen would hold for any other choice of them.

    `bad` are the devices whose owner is in question as a whole: a source that can only go to them runs into one of them.
    """
    what, _, where = fact.limit.partition(" of ")
    if what == "gain":
        unit = unit_of[fact.members[0]]
        kinds = set()
        for places in unit.allowed:
            for place in places:
                slot = fabric.place(*place)
                kind = rig.type_of(slot.device)
                name = kind.banks[slot.bank].preamp
                kinds.add(kind.preamps[name] if name else None)
        return unit.fixed or (len(kinds) == 1 and None not in kinds)
    if what == "phantom":
        return all(unit_of[leg].fixed for leg in fact.members if leg in unit_of)
    for slot, leg in legs.items():
        unit = unit_of[leg]
        devices = {fabric.place(*place).device for places in unit.allowed for place in places}
        if slot.device == where and (unit.fixed or devices == {where} or devices <= bad):
            return True
    return False


def _notes(fabric: Fabric, show: Show, placed: Placed, wanted: list[Aim]) -> list[str]:
    """Return what a reader should know: orders that could not be kept."""
    moved: dict[str, list[str]] = {}
    for number, (segment, offset, which) in sorted(placed.arrived.items()):
        aim = wanted[number]
        if aim.free or aim.place is None or aim.alternate:
            continue
        goal = aim.goals[which]
        place = fabric.place(goal.tail[-1] if goal.tail and goal.tail[0] >= 0 else segment, offset)
        if place != aim.place:
            moved.setdefault(aim.to, []).append(f"{aim.leg} on {place.number} instead of {aim.place.number}")
    return [
        f"The order of {key} could not be kept as written: {'; '.join(rows[:6])}"
        + (f"; and {len(rows) - 6} more." if len(rows) > 6 else ".")
        for key, rows in sorted(moved.items())
    ]


def _spares(
    fabric: Fabric, show: Show, placed: Placed, spare_units: list[Unit], period: str
) -> tuple[list[str], list[WishValue]]:
    kept = []
    for unit in spare_units:
        leg = placed.net.legs.get(unit.name)
        if leg is not None and leg.origin is not None:
            kept.append(str(fabric.place(*leg.origin)))
    if not spare_units:
        return [], []
    name = "spares kept" + (f" ({period})" if period else "")
    return kept, [
        WishValue(wish=name, value=len(kept), bound=len(spare_units), unit="lines", proven=len(kept) == len(spare_units))
    ]
