"""The demo event: it has what a demo must show, and every number is there to be seen."""

from __future__ import annotations

import patchloom

from .reading import blocks, solved


def test_demo_is_large_enough() -> None:
    """Five positions, more than 40 sources with stereo pairs and radio, two boxes, a split, a two-step and a block desk."""
    rig, show, _ = solved("demo")
    kinds = [rig.type_of(device) for device in rig.devices]
    names = {rig.devices[device].type.split("--")[0] for device in rig.devices}
    assert len(show.positions) >= 4
    assert len(show.sources) >= 40
    assert sum(1 for source in show.sources if len(source.legs) == 2) >= 5
    assert sum(1 for source in show.sources if source.kind == "radio") >= 4
    assert sum(1 for kind in kinds if kind.role == "box") == 2
    assert sum(1 for kind in kinds if kind.role == "split") == 1
    assert {"desk-two-step", "desk-block"} <= names
    assert len({link.format for link in rig.links if link.format}) >= 3


def test_a_mix_goes_home_through_other_desks() -> None:
    """The house mix comes to the amplifier through the monitor desk, the host's cue through two desks."""
    routes = {(route.leg, route.to): [hop.device for hop in route.hops] for route in solved("demo")[2].setting().routes}
    assert "MON" in routes["pa.L", "pa"]
    assert routes["pa.L", "pa"][-1] == "AMP"
    assert {"FOH", "MON"} <= set(routes["guide", "guide"])
    assert routes["guide", "guide"][0] == "TRUCK"


def test_preamps_are_shared_with_trims() -> None:
    """Each shared gain plus each trim is what the position asked for."""
    _, show, patch = solved("demo")
    shared = [gain for gain in patch.setting().gains if len(gain.trims_db) > 1]
    assert shared
    for gain in shared:
        wanted = show.signals()[gain.leg.split(".")[0]].want_db
        for position, trim in gain.trims_db.items():
            assert gain.gain_db + trim == wanted[position]


def test_split_places_have_a_preamp_of_their_own_in_the_truck() -> None:
    """The lead voice is plugged into the split: a gain on the stage box, another in the truck, phantom from the direct side."""
    setting = solved("demo")[2].setting()
    assert {str(gain.at).split(".")[0] for gain in setting.gains if gain.leg == "lead"} == {"STAGE", "TRUCK"}
    on = {slot.device for row in setting.phantom if row.on for slot in row.at.slots()}
    assert "TRUCK" not in on


def test_phantom_groups_part_the_choir_from_the_receivers() -> None:
    """The deck box switches eight sockets together: microphones that need it and receivers that must not have it are apart."""
    _, show, patch = solved("demo")
    plugs = patch.setting().plugs
    groups: dict[str, set[int]] = {"need": set(), "never": set()}
    for source in show.sources:
        for leg in source.leg_ids():
            if leg in plugs and plugs[leg].device == "DECK" and source.phantom in groups:
                groups[source.phantom].add((plugs[leg].number - 1) // 8)
    assert groups["need"]
    assert groups["never"]
    assert not groups["need"] & groups["never"]


def test_one_leader_and_a_guest_behind_a_converter() -> None:
    """The hall follows the monitor desk; the truck keeps its own clock behind the rate converter."""
    clock = {row.id: row for row in solved("demo")[2].setting().clock}
    assert (clock["main"].leader, clock["guest"].leader) == ("MON", "TRUCK")
    assert "TRUCK" not in {row.device for row in clock["main"].followers}


def test_truck_link_is_not_overfull() -> None:
    """Eight blocks of eight fit on the link to the truck."""
    assert blocks(solved("demo")[2].setting(), "FOH.d.out") <= 8


def test_click_reaches_ears_and_recorder_only() -> None:
    """No list or mix of the house, the stream or the truck holds the click."""
    _, show, patch = solved("demo")
    assert {route.to for route in patch.setting().routes if route.leg == "click"} == {"mon", "rec"}
    assert {feed.mixed_at for feed in show.feeds if feed.of and "click" in feed.of} == {"mon"}


def test_stage_has_coordinates_for_the_plot() -> None:
    """Performers, risers, wedges, power and zones have places in metres inside the stage or its wings."""
    stage = solved("demo")[1].stage
    kinds = {thing.kind for thing in stage.things}
    assert {"performer", "instrument", "riser", "wedge", "power", "stairs"} <= kinds
    assert all(thing.at and abs(thing.at[0]) <= stage.width_m / 2 and 0 <= thing.at[1] <= stage.depth_m for thing in stage.things)


def test_no_grave_finding_and_nothing_grave_waived() -> None:
    """The demo verifies and checks without a stop or safety finding; it waives one warning, by name and reason."""
    rig, show, patch = solved("demo")
    findings = (*patchloom.verify(rig, show, patch), *patchloom.check(rig, show, patch))
    assert [row for row in findings if row.severity in ("stop", "safety")] == []
    assert {row.severity for row in findings if row.waived} == {"warn"}
    assert len(show.waivers) == 1
