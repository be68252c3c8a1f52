"""A festival day: forty-eight fixed lines, five acts, one of them with two scenes."""

from __future__ import annotations

import patchloom
from patchloom.model.period import acts, in_use, period_ids, scenes

from .reading import solved


def test_five_acts_one_with_two_scenes() -> None:
    """Acts in order, each followed by its scenes, and a setting for each."""
    _, show, patch = solved("festival")
    assert (len(acts(show)), len(scenes(show, "act5"))) == (5, 2)
    assert tuple(row.period for row in patch.settings) == period_ids(show)


def test_no_fixed_line_ever_moves() -> None:
    """A line is plugged in the same socket whenever it is in use; there are 48 of them."""
    _, _, patch = solved("festival")
    seen: dict[str, set[str]] = {}
    for row in patch.settings:
        for leg, slot in row.plugs.items():
            seen.setdefault(leg, set()).add(str(slot))
    assert all(len(places) == 1 for places in seen.values())
    lines = {place for places in seen.values() for place in places if place.startswith("BOX")}
    assert len(lines) <= 48


def test_every_act_delivers_what_it_uses_and_nothing_else() -> None:
    """Each setting carries signals in use only, to every list present."""
    _, show, patch = solved("festival")
    for row in patch.settings:
        used = in_use(show, row.period)
        assert {route.leg.split(".")[0] for route in row.routes} <= used
        present = {"foh", "mon", "bcast", "rec"} - ({"rec"} if row.period == "act4" else set())
        assert present <= {route.to for route in row.routes}
        assert row.period != "act4" or "rec" not in {route.to for route in row.routes}


def test_own_desk_is_there_for_the_last_act_only() -> None:
    """The last act's desk is absent before it and fed through the house desk then; its mix comes back to the house."""
    _, _, patch = solved("festival")
    for row in patch.settings:
        present = any(hop.device == "OWN" for route in row.routes for hop in route.hops)
        assert present is row.period.startswith("act5")
    last = next(route for route in patch.setting("act5").routes if route.leg == "own_mix.L" and route.to == "own_mix")
    assert [last.hops[0].device, last.hops[-1].device] == ["OWN", "MATRIX"]


def test_an_act_may_have_a_list_of_its_own() -> None:
    """The second act's house list starts with its voices."""
    setting = solved("festival")[2].setting("act2")
    found = sorted((route.hops[-1].number, route.leg) for route in setting.routes if route.to == "foh")
    assert [leg for _, leg in found][:2] == ["vox1", "vox2"]


def test_scenes_keep_the_plugs_of_their_act() -> None:
    """Only acts move plugs."""
    patch = solved("festival")[2]
    act = dict(patch.setting("act5").plugs)
    for key in ("act5_main", "act5_last"):
        assert set(dict(patch.setting(key).plugs).items()) <= set(act.items())


def test_second_box_stands_behind_the_first() -> None:
    """Line 17 enters the second box at its first socket and the link of the chain at its seventeenth slot."""
    patch = solved("festival")[2]
    route = next(route for route in patch.setting("act5").routes if route.to == "mon" and route.hops[0].device == "BOX2")
    head = next(hop for hop in route.hops if (hop.device, hop.bank) == ("BOX1", "main.out"))
    assert head.number == route.hops[0].number + 16


def test_festival_is_verified() -> None:
    """The judge finds nothing grave in any act or scene."""
    rig, show, patch = solved("festival")
    assert not [row for row in patchloom.verify(rig, show, patch) if row.severity in ("stop", "safety")]
