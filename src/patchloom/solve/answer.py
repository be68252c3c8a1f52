"""One rig and one show to one `Patch`, period by period, question by question.

Comes in: a rig, a show, perhaps the patch it replaces.  Goes out: a `Patch`, or `Impossible` with facts, or
`Undecided`.  Next: the pipeline hands the patch to the judge.

Order of questions: what must land where (`slot`), where things plug and how they get there (`place`, `route`, after
a patch before it `change`), then the wishes (`wishes`), then clock, owners, gain and phantom over what was chosen
(`controls`).  Acts are solved in order, each with the one before as its previous answer; scenes keep the plugs of
their act.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import attrs

from patchloom.errors import Impossible, Undecided
from patchloom.model.patch import Patch, Setting, WishValue
from patchloom.model.period import acts, in_period, in_use, scenes
from patchloom.model.rig import Rig
from patchloom.model.show import Show
from patchloom.solve.attempt import Placed, Plan
from patchloom.solve.bounds import bounds, too_long
from patchloom.solve.bundle import bundle
from patchloom.solve.change import change
from patchloom.solve.clock import clock_domains
from patchloom.solve.controls import controls
from patchloom.solve.cutting import build_fabric
from patchloom.solve.emit import entries, routes, selections
from patchloom.solve.fabric import Fabric
from patchloom.solve.notes import notes
from patchloom.solve.place import place_all
from patchloom.solve.ready import Ground, fix_slots, group, hint
from patchloom.solve.replay import Before
from patchloom.solve.route import Net
from patchloom.solve.slot import Aim, aims, cut_at
from patchloom.solve.spare import spare_units, spares_kept
from patchloom.solve.unhonoured import unhonoured
from patchloom.solve.unit import Unit, units

__all__ = ["solve"]

HOLD_TRIES = 4
"""Tries at most to solve with plugs held."""

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
    fix_slots(fabric, tonight, found)
    clock, facts = clock_domains(here)
    plan = Plan(fabric, tonight, wanted, found)
    hint(fabric, plan, before, found, keep)
    group(tonight, found)
    spares = spare_units(fabric, tonight, wanted)
    plan.unit_of.update({unit.name: unit for unit in spares})
    if facts:
        raise Impossible(tuple(facts))
    early = too_long(tonight, fabric, wanted)
    if early:
        raise Impossible(tuple(early))
    whole = bundle(fabric, tonight, wanted, found) if before is None and not spares else None
    if whole is not None:
        setting = Setting(
            period=period, plugs=whole.plugs, mixes=whole.mixes, selections=tuple(whole.selections), routes=tuple(whole.routes)
        )
        return _controlled(here, tonight, setting, clock, found, fabric), []
    prepare = Ground(fabric, tonight, wanted, before).make_ready

    def hold(was: Before, loose: frozenset[str]) -> Placed | bool:
        return _can_hold(fabric, tonight, plan, prepare, was, loose)

    changed = change(fabric, plan, prepare, spares, before, hold) if before is not None else None
    placed = (
        changed.placed
        if changed is not None
        else place_all(fabric, plan, prepare, spares, progress, lambda: _disprove(fabric, tonight, wanted, found))
    )
    if placed.failed is not None:
        raise Undecided(
            ("No patch was found, and nothing rules one out.",),
            tuple(placed.missing),
            Patch(settings=(_setting(fabric, tonight, period, placed, wanted, found),)),
        )
    setting = _setting(fabric, tonight, period, placed, wanted, found)
    setting = _controlled(here, tonight, setting, clock, found, fabric)
    met = _spares_met(placed, spares, period)
    return (
        attrs.evolve(
            setting,
            notes=tuple(notes(fabric, placed, wanted)),
            spares=tuple(spares_kept(fabric, placed, spares)),
            unmet=tuple(placed.unmet),
        ),
        met,
    )


def _controlled(rig: Rig, show: Show, setting: Setting, clock: list[Any], found: list[Unit], fabric: Fabric) -> Setting:
    """Return a setting with clock, owners, gains and phantom; raise where they cannot be set over its plugs."""
    setting, proven, open_ = controls(rig, show, setting, clock, found, fabric)
    if proven:
        raise Impossible(tuple(proven))
    if open_:
        raise Undecided(
            ("A patch was found for the signals, but not with the plugs chosen:", *map(str, open_)),
            best=Patch(settings=(setting,)),
        )
    return setting


def _can_hold(
    fabric: Fabric, show: Show, plan: Plan, prepare: Callable[[Net], None], was: Before, loose: frozenset[str]
) -> Placed | bool:
    """Return a try that holds the plugs of all sources but some; False when there is proof against one, True when it is open."""
    held = was.hold(plan, loose)
    try:
        placed = place_all(
            fabric, held, prepare, [], None, lambda: _disprove(fabric, show, held.aims, held.units), tries=HOLD_TRIES
        )
    except Impossible:
        return False
    return placed if placed.failed is None else True


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


def _setting(fabric: Fabric, show: Show, period: str, placed: Placed, wanted: list[Aim], found: list[Unit]) -> Setting:
    return Setting(
        period=period,
        plugs=entries(fabric, placed, found, False),
        mixes=entries(fabric, placed, found, True),
        selections=tuple(selections(fabric, placed.net)),
        routes=tuple(routes(fabric, placed, wanted)),
    )


def _spares_met(placed: Placed, spares: list[Unit], period: str) -> list[WishValue]:
    if not spares:
        return []
    kept = sum(1 for unit in spares if unit.name in placed.net.legs)
    name = "spares kept" + (f" ({period})" if period else "")
    return [WishValue(wish=name, value=kept, bound=len(spares), unit="lines", proven=kept == len(spares))]
