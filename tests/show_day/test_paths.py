"""Paths say what the patch says: every route, in every period, and what is different from the patch before."""

from __future__ import annotations

from typing import Any

import attrs
import pytest

from patchloom.model.diff import lines
from patchloom.pages import PathPeriod, Paths
from patchloom.show_day.paths import paths
from tests.pages import world
from tests.plugins.pocket import older
from tests.scenarios.reading import solved


def told(rig: Any, show: Any, patch: Any) -> dict[str, list[tuple[Any, ...]]]:
    """Return leg, end, alternate and addresses of every path, by period."""
    found = paths(rig, show, patch)
    rows: dict[str, list[tuple[Any, ...]]] = {setting.period: [] for setting in patch.settings}
    for path in found.paths:
        places = tuple(found.hops[number].at for number in path.hops)
        for period in path.periods or rows:
            rows[period].append((path.leg, path.to, path.alternate, places))
    return rows


@pytest.mark.parametrize("name", ["festival", "small-church"])
def test_every_route_of_every_period_is_told(name: str) -> None:
    """The paths of a period are its routes, slot by slot, no more and no less."""
    rig, show, patch = solved(name)
    rows = told(rig, show, patch)
    for setting in patch.settings:
        expected = [(row.leg, row.to, row.alternate, tuple(map(str, row.hops))) for row in setting.routes if row.hops]
        assert sorted(rows[setting.period]) == sorted(expected)


def test_periods_are_named_in_order_and_scenes_say_their_act() -> None:
    """What holds in all periods names none; a scene names its act."""
    rig, show, patch = solved("festival")
    found = paths(rig, show, patch)
    assert [row.id for row in found.periods] == [setting.period for setting in patch.settings]
    acts = {row.id for row in found.periods if not row.act}
    assert all(row.act in acts for row in found.periods if row.act)
    assert paths(world.rig(), world.show(), world.patch()).periods == ()
    assert all(not path.periods for path in paths(world.rig(), world.show(), world.patch()).paths)
    assert PathPeriod("x").name == ""


def test_a_path_says_preamp_owner_gain_trim_and_phantom() -> None:
    """What the patch sets for a line stands on its path, the trim as its own position has it."""
    found = paths(world.rig(), world.show(), world.patch())
    foh = next(path for path in found.paths if path.to == "foh" and path.leg == "kick")
    assert (foh.preamp, foh.owner, foh.gain, foh.trim, foh.phantom) == ("BOX-1", "mon", "20 dB", "+6 dB", "–")
    oh = next(path for path in found.paths if path.to == "mon" and path.leg == "oh.L")
    assert (oh.phantom, oh.name, oh.number, oh.gain) == ("ON", "Overheads L", 3, "")
    link = next(found.hops[number] for number in foh.hops if found.hops[number].step == "link")
    assert (link.over, link.device, link.line) == ("K2", "FOH", "FOH a.in-1")
    wedge = next(path for path in found.paths if path.to == "w1")
    assert [found.hops[number].step for number in wedge.hops] == ["mix", "select", "link", "wired", "link"]
    assert found.hops[wedge.hops[-1]].over == "W"


def test_nothing_is_different_from_itself_and_everything_from_nothing() -> None:
    """Against itself no line has changed; against a patch of no routes every line is new."""
    rig, show, patch = world.rig(), world.show(), world.patch()
    assert paths(rig, show, patch, previous=patch, digest="sha256:" + "4" * 64).changed == 0
    bare = attrs.evolve(patch, settings=(attrs.evolve(patch.settings[0], routes=()),))
    assert {path.changes for path in paths(rig, show, patch, previous=bare).paths} == {("new",)}
    gone: Paths = paths(rig, show, bare, previous=patch)
    assert len(gone.gone) == len(patch.settings[0].routes)


def test_every_line_before_and_after_is_paired_once() -> None:
    """Lines before and after come in pairs; what has no partner stands alone."""
    before, after = older().settings[0], world.patch().settings[0]
    pairs = list(lines(before, after))
    assert sorted(id(was) for was, _ in pairs if was) == sorted(id(row) for row in before.routes)
    assert sorted(id(now) for _, now in pairs if now) == sorted(id(row) for row in after.routes)


def test_set_otherwise_is_told_too() -> None:
    """Phantom switched and a preamp in other hands are changes of the lines they concern."""
    patch = world.patch()
    setting = patch.settings[0]
    before = attrs.evolve(
        setting,
        phantom=tuple(attrs.evolve(row, on=False) for row in setting.phantom),
        owners=tuple(attrs.evolve(row, owner="foh") for row in setting.owners),
    )
    found = paths(world.rig(), world.show(), patch, previous=attrs.evolve(patch, settings=(before,)))
    changes = {path.leg: path.changes for path in found.paths if path.to == "mon"}
    assert changes["oh.L"] == ("48V was off", "preamp was moved by foh")
    assert changes["kick"] == ("preamp was moved by foh",)
    assert changes["talk"] == ()
