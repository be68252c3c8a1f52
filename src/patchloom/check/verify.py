"""The judge: what in a patch contradicts the rig or the show.

Comes in: a rig, a show, a patch (from anywhere: a solver, a file, a hand).  Goes out: sorted findings; none when
the patch is right.  Next: `pipeline`, which returns no answer the judge objects to.

From plugs, mixes and selections alone, signals are pushed through the rig as documented, and the occupancy of
everything is computed anew; routes are only held against the outcome.  Shares no code with `solve`.  Linear in
the slots used, per period.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from patchloom.address import Slot
from patchloom.check.clock import check_clock
from patchloom.check.control import check_owners
from patchloom.check.destinations import check_destinations
from patchloom.check.gain import check_gain
from patchloom.check.inserts import check_inserts
from patchloom.check.musts import check_entries, check_fixed, check_limits, check_unmet
from patchloom.check.phantom import check_phantom
from patchloom.check.places import check_mixes, check_plugs
from patchloom.check.report import Report
from patchloom.check.routes import check_routes, follow_routes
from patchloom.check.routing import check_routing
from patchloom.check.scene import Scene
from patchloom.check.spares import check_spares
from patchloom.check.static import check_static
from patchloom.check.wants import check_lists
from patchloom.collector import at_rest
from patchloom.finding import Finding
from patchloom.model.base import dump
from patchloom.model.patch import Patch, Setting
from patchloom.model.period import in_period, in_use, period_ids, scenes
from patchloom.model.rig import Rig
from patchloom.model.routing import Rules, rules_of
from patchloom.model.show import Show

__all__ = ["verify"]


@at_rest()
def verify(
    rig: Rig, show: Show, patch: Patch, *, digests: tuple[str, str] | None = None, rules: Sequence[Any] = ()
) -> tuple[Finding, ...]:
    """Return what contradicts the rig or the show in a patch, gravest first; empty when nothing does.

    `digests` are those of rig and show where the caller has them already; otherwise they are computed when the
    patch names any.  `rules` are routing rules written in Python; those of the show take part anyway.  Linear in the
    slots the patch uses.
    """
    report = Report()
    _check_digests(report, rig, show, patch, digests)
    _check_rules(report, patch, rules_of(rig, show, rules))
    findings = []
    ids = period_ids(show)
    settings: dict[str, Setting] = {}
    for setting in patch.settings:
        if setting.period not in ids or setting.period in settings:
            why = "has a second setting" if setting.period in settings else "has a setting"
            more = "" if setting.period in settings else ", which the show does not have"
            report.add("period-unknown", f"The patch {why} for period {setting.period!r}{more}.", setting.period)
            continue
        settings[setting.period] = setting
    for period in ids:
        if period not in settings:
            report.add("period-missing", f"The patch has no setting for period {period!r}.", period)
            continue
        findings.extend(_check_period(rig, show, settings[period], settings, rules))
    return tuple(sorted((*report.findings(), *findings), key=Finding.sort_key))


def _check_digests(report: Report, rig: Rig, show: Show, patch: Patch, digests: tuple[str, str] | None) -> None:
    bare = [name for name, said in (("rig", patch.rig), ("show", patch.show)) if not said]
    if bare:
        report.add("digest-absent", f"The patch does not name the {' and the '.join(bare)} it was made for.", *bare)
    for number, (name, item, said) in enumerate((("rig", rig, patch.rig), ("show", show, patch.show))):
        if not said:
            continue
        if digests is None:
            from patchloom.document import digest

            real = digest(dump(item))
        else:
            real = digests[number]
        if real != said:
            report.add(
                "digest-mismatch",
                f"The patch was made for another {name}: it names {_short(said)}, and this one is {_short(real)}.",
                name,
                numbers=(("said", said), ("is", real)),
            )


def _short(digest: str) -> str:
    """Return as much of a digest as people compare; the whole is among the numbers."""
    return digest[:19]


def _check_rules(report: Report, patch: Patch, rules: Rules | None) -> None:
    here = rules.names() if rules is not None else ()
    for name in patch.rules:
        if name not in here:
            report.add("rule-not-given", f"The patch was made with routing rule {name}, which takes no part now.", name)


def _check_period(
    rig: Rig, show: Show, setting: Setting, settings: dict[str, Setting], rules: Sequence[Any] = ()
) -> list[Finding]:
    here, tonight = in_period(rig, show, setting.period)
    report = Report(setting.period)
    scene = Scene(here, tonight, setting, report)
    act, allowed = _act(show, setting.period)
    act_plugs: dict[str, Slot] | None = dict(settings[act].plugs) if act != setting.period and act in settings else None
    check_plugs(scene, allowed, act_plugs)
    check_mixes(scene)
    check_entries(scene)
    check_static(scene)
    check_fixed(scene)
    check_inserts(scene)
    follow_routes(scene)
    check_lists(scene)
    check_destinations(scene)
    check_unmet(scene)
    check_routes(scene)
    check_routing(scene, rules_of(here, tonight, rules))
    check_limits(scene)
    check_clock(scene)
    check_owners(scene)
    check_gain(scene)
    check_phantom(scene)
    check_spares(scene)
    scene.feeders.forget()
    return report.findings()


def _act(show: Show, period: str) -> tuple[str, frozenset[str]]:
    """Return the act a period belongs to and every signal that may stay plugged in it."""
    row = next((row for row in show.periods if row.id == period), None)
    if row is None:
        return period, frozenset(show.signals())
    act = row.scene_of or row.id
    used = set(in_use(show, act))
    for scene in scenes(show, act):
        used |= in_use(show, scene.id)
    return act, frozenset(used)
