"""One rig and one show to one `Patch`, period by period, question by question.

Comes in: a rig, a show, perhaps the patch it replaces.  Goes out: a `Patch`, or `Impossible` with facts, or
`Undecided`.  Next: the pipeline hands the patch to the judge.

Acts are solved in order, each with the one before as its previous answer; scenes keep the plugs of their act (`acting`).
Order of questions: what must land where (`slot`), where things plug and how they get there (`place`, `route`, after
a patch before it `change`), then the wishes (`wishes`), then clock, owners, gain and phantom over what was chosen
(`controls`).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from time import monotonic
from typing import Any, NamedTuple

import attrs

from patchloom.collector import at_rest
from patchloom.errors import Impossible, Undecided
from patchloom.model.patch import Patch, Setting, WishValue
from patchloom.model.period import acts, in_period, in_use, scenes
from patchloom.model.rig import Rig
from patchloom.model.routing import rules_of
from patchloom.model.show import Show
from patchloom.solve.acting import Solved, act_and_scenes
from patchloom.solve.bundles.bundle import bundle
from patchloom.solve.bundles.follow import follow
from patchloom.solve.case import Case, Wish
from patchloom.solve.changes.change import MoveRow, change, move_rows
from patchloom.solve.clock import clock_domains
from patchloom.solve.controls import controls
from patchloom.solve.counting.bounds import too_long
from patchloom.solve.fabric import Fabric
from patchloom.solve.unhonoured import unhonoured
from patchloom.solve.unit import Unit
from patchloom.solve.wishes.better import closer, dearest
from patchloom.solve.wishes.blocks import blocks_held
from patchloom.solve.wishes.measure import measure

__all__ = ["solve"]

Progress = Callable[[str], None]


@at_rest()
def solve(
    rig: Rig,
    show: Show,
    previous: Patch | None = None,
    limit_s: float | None = None,
    rules: Sequence[Any] = (),
    progress: Progress | None = None,
    *,
    musts_only: bool = False,
) -> Patch:
    """Return a patch that carries every must of a show over a rig; with `musts_only`, whatever becomes of its wishes.

    `previous` is a patch to stay close to.  Raises Impossible with facts that prove there is none, Undecided when
    neither a patch nor a proof was found.  `rules` are routing rules written in Python; those of the show take part
    anyway.  `limit_s` is how many seconds the musts may take, over all periods.
    """
    named = rules_of(rig, show, rules)
    settings: list[Setting] = []
    wishes: list[WishValue] = []
    end = monotonic() + limit_s if limit_s is not None else None

    def one(period: str, before: Setting | None, keep: bool) -> Solved:
        if progress and period:
            progress(f"period {period}")
        try:
            return _solve_period(rig, show, period, before, keep, progress, musts_only, rules, end)
        except (Impossible, Undecided) as outcome:
            outcome.period = period
            raise

    for act, *inside in [[row.id, *(scene.id for scene in scenes(show, row.id))] for row in acts(show)] or [[""]]:
        last = settings[-1] if settings else None
        olds = {period: last or _old_setting(previous, period) for period in (act, *inside)}
        for setting, met in act_and_scenes(act, inside, olds, one):
            settings.append(setting)
            wishes.extend(met)
    return Patch(
        settings=tuple(settings),
        wishes=tuple(wishes),
        rules=named.names() if named is not None else (),
        unhonoured=unhonoured(rig, show),
    )


def _old_setting(old: Patch | None, period: str) -> Setting | None:
    if old is None:
        return None
    return next((row for row in old.settings if row.period == period), old.settings[0] if old.settings else None)


def _solve_period(
    rig: Rig,
    show: Show,
    period: str,
    before: Setting | None,
    keep: bool,
    progress: Progress | None,
    musts_only: bool = False,
    rules: Sequence[Any] = (),
    end: float | None = None,
) -> tuple[Setting, list[WishValue]]:
    here, tonight = in_period(rig, show, period)
    used = {leg for source in tonight.sources for leg in source.leg_ids()}
    if not keep and period:
        tonight = _with_scenes(show, period, tonight)
    case = Case(here, tonight, before, keep, rules=rules_of(here, tonight, rules))
    case.end = end
    clock, facts = clock_domains(here)
    facts = facts or too_long(tonight, case.fabric, case.aims) or (case.overruled() if before is not None else [])
    if facts:
        raise Impossible(tuple(facts))
    found = _found(case, period, progress, musts_only)
    setting = _controlled(here, tonight, found.setting, clock, case.units, case.fabric)
    # What only a scene uses is plugged in its act already; its gain is set when it is in use.
    setting = attrs.evolve(setting, gains=tuple(row for row in setting.gains if row.leg in used))
    if musts_only:
        return setting, []
    return setting, measure(case.fabric, tonight, case.plan, setting, found.lost, found.moved, found.blocks, found.held)


class _Found(NamedTuple):
    """A period's plugs and routes, and what is known of its wishes."""

    setting: Setting
    moved: Sequence[MoveRow] = ()
    """The rows of least change."""
    lost: frozenset[Wish] = frozenset()
    """Wishes proven impossible."""
    blocks: int | None = None
    """How few blocks there must be; None where nobody asked yet."""
    held: Mapping[int, int] | None = None
    """How many blocks of each bank must stay, so that nothing moves."""


def _found(case: Case, period: str, progress: Progress | None, musts_only: bool = False) -> _Found:
    """Return what the search finds in a period; raise Impossible or Undecided."""
    if not case.spares and case.plan.rules is None:
        carried = _bundled(case, period)
        if carried is not None:
            return carried
    changed = change(case.fabric, case.plan, case.ground.make_ready, case.spares, case.before, case.hold) if case.before else None
    if changed is not None and case.breaks(changed.placed):
        changed = None
    placed = changed.placed if changed is not None else case.place(progress)
    breaks = case.breaks(placed)
    if placed.failed is not None or breaks:
        raise Undecided(
            ("No patch was found, and nothing rules one out.",),
            tuple(placed.missing or (f"{leg} as its routing rules want it" for leg in breaks)),
            Patch(settings=(case.setting(period, placed),)),
        )
    if case.before is not None:
        setting = case.setting(period, placed)
        moved = move_rows(case.before, setting, changed.floor if changed is not None else None)
        still = all(value == 0 for name, value, _, _ in moved if name == "link slots moved")
        return _Found(setting, moved, held=blocks_held(case.fabric, case.before, setting) if still else None)
    if musts_only:
        return _Found(case.setting(period, placed))
    better, lost = dearest(case, placed)
    better, blocks = closer(case, better)
    if case.breaks(better):
        return _Found(case.setting(period, placed))
    return _Found(case.setting(period, better), (), lost, blocks)


def _bundled(case: Case, period: str) -> _Found | None:
    """Return what whole bundles give, beside the lines of a setting before; None where the search has to go leg by leg."""
    forced = None
    if case.before is None:
        whole = bundle(case.fabric, case.show, case.aims, case.units)
    else:
        followed = follow(case.fabric, case.show, case.aims, case.units, case.before)
        whole, forced = followed or (None, None)
    if whole is None:
        return None
    setting = Setting(
        period=period,
        plugs=whole.plugs,
        mixes=whole.mixes,
        selections=tuple(whole.selections),
        routes=tuple(whole.routes),
    )
    return _Found(setting, move_rows(case.before, setting, forced) if case.before is not None else ())


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
