"""One stage box for three desks, preamps owned by monitors: the stated numbers."""

from __future__ import annotations

from .reading import blocks, links_of, solved, through, used


def delivered(name: str, list_id: str) -> int:
    """Return how many legs of a list arrive."""
    return sum(1 for route in solved(name)[2].setting().routes if route.to == list_id)


def test_every_list_gets_what_it_wants() -> None:
    """37 at the house, 46 at monitors, 42 at broadcast."""
    assert [delivered("shared-stage", key) for key in ("foh", "mon", "bcast")] == [37, 46, 42]


def test_outputs_use_19_of_24() -> None:
    """Eight stereo ears, one sub, two side fills come home to the box."""
    rig, _, patch = solved("shared-stage")
    assert (used(patch.setting(), "BOX.line"), rig.type_of("BOX").banks["line"].slots) == (19, 24)


def test_house_intake_is_full_with_six_blocks() -> None:
    """Five blocks over the mirror link and one from monitors for the talkback: 6 of 6."""
    setting = solved("shared-stage")[2].setting()
    assert [blocks(setting, "FOH.intake", taken) for taken in ("", "FOH.a.in", "FOH.b.in")] == [6, 5, 1]


def test_better_plan_keeps_four_spares_that_reach_the_house() -> None:
    """What the house does not take moves to the sixth block of the box; its five hold 36 sources and 4 spare lines."""
    _, _show, patch = solved("shared-stage")
    setting = patch.setting()
    taken = [row.from_ for row in setting.selections if row.into.bank == "intake" and str(row.from_).startswith("FOH.a.in")]
    inside = {slot.number for run in taken for slot in run.slots()}
    plugged = {slot.number: leg for leg, slot in setting.plugs.items() if slot.device == "BOX"}
    house = {route.leg for route in setting.routes if route.to == "foh"}
    assert len(setting.spares) == 4
    assert sorted(int(text.partition("[")[2].rstrip("]")) for text in setting.spares) == sorted(inside - set(plugged))
    assert len([leg for number, leg in plugged.items() if number in inside and leg in house]) == 36
    assert {leg for number, leg in plugged.items() if number not in inside} == {"click", "timecode", "aud.L", "aud.R"}


def test_cost_of_the_better_plan() -> None:
    """Monitors take in 8 of 8 blocks, and the link to broadcast carries 7 of 8."""
    setting = solved("shared-stage")[2].setting()
    assert (blocks(setting, "MON.intake"), blocks(setting, "MON.b.out")) == (8, 7)


def test_monitors_own_forty_preamps_over_the_first_link() -> None:
    """Every preamp in use is owned by monitors, by the one link that carries control."""
    setting = solved("shared-stage")[2].setting()
    assert {(row.owner, row.path) for row in setting.owners} == {("mon", ("MON", "K1", "BOX"))}
    assert sum(len(list(row.preamps.slots())) for row in setting.owners) == 40


def test_shared_gain_is_21_with_its_trims() -> None:
    """Hard interval 16 to 24, with the margin 19 to 21, the highest is 21: trims +9, +13, -9."""
    for leg in ("playback.L", "playback.R"):
        gain = next(row for row in solved("shared-stage")[2].setting().gains if row.leg == leg)
        assert (gain.gain_db, gain.interval_db, gain.margin) == (21, (16, 24), True)
        assert dict(gain.trims_db) == {"mon": 9, "foh": 13, "bcast": -9}


def test_broadcast_hangs_on_the_monitor_desk() -> None:
    """All 42 of broadcast and 1 of 37 at the house pass the monitor desk."""
    setting = solved("shared-stage")[2].setting()
    assert (through(setting, "bcast", "MON"), through(setting, "foh", "MON")) == (42, 1)


def test_copies_for_other_desks_are_raw() -> None:
    """Whatever monitors pass on from a channel is taken at the tap that comes after nothing."""
    rig, _, patch = solved("shared-stage")
    taps = rig.type_of("MON").banks["ch"].taps
    passed = [
        row for row in patch.setting().selections if (row.into.device, row.into.bank, row.from_.bank) == ("MON", "out", "ch")
    ]
    assert passed
    assert all(taps[row.tap] == () for row in passed)


def test_broadcast_does_not_hear_itself() -> None:
    """Nothing that broadcast sends is in a block that monitors send to broadcast."""
    setting = solved("shared-stage")[2].setting()
    assert not [row for row in setting.selections if (row.into.device, row.into.bank, row.from_.bank) == ("MON", "b.out", "b.in")]
    assert not [
        route
        for route in setting.routes
        if route.leg in ("programme.L", "programme.R", "talk_bc")
        and any((hop.device, hop.bank) in (("MON", "b.out"), ("MON", "out")) for hop in route.hops)
    ]


def test_talkback_takes_the_link_between_the_desks() -> None:
    """The monitor talkback reaches the house over the link between the two desks, the stage lines over the mirror."""
    rig, _, patch = solved("shared-stage")
    ways = {route.leg: links_of(rig, route) for route in patch.setting().routes if route.to == "foh"}
    assert ways.pop("talk_mon") == ["K4"]
    assert {tuple(way) for way in ways.values()} == {("K2",)}


def test_each_desk_keeps_its_own_order() -> None:
    """Channels run in the order of each list; the plugs are the same for all."""
    _, show, patch = solved("shared-stage")
    for item in show.lists:
        wanted = [leg for want in item.wants for leg in show.signals()[want.signal].leg_ids()]
        found = sorted((route.hops[-1].number, route.leg) for route in patch.setting().routes if route.to == item.id)
        assert [leg for _, leg in found] == wanted


def test_clock_has_a_named_backup() -> None:
    """Monitors lead, the box is named to lead next, and every other device follows."""
    domain = solved("shared-stage")[2].setting().clock[0]
    assert (domain.leader, domain.fallback) == ("MON", ("BOX",))
    assert {row.device for row in domain.followers} == {"BOX", "FOH", "BCAST"}
