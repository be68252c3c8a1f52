"""A conference panel: an automatic mixer on sixteen channels, returns that leave somebody out."""

from __future__ import annotations

from .reading import solved


def test_fourteen_open_microphones_sit_in_the_first_sixteen_channels() -> None:
    """Eight lapels, two at the lectern, four hand-helds: 14 of 16."""
    _, show, patch = solved("panel")
    fixed = [want.signal for want in show.lists[0].wants if want and want.within]
    places = {route.leg: route.hops[-1].number for route in patch.setting().routes if route.to == "room"}
    assert len(fixed) == 14
    assert all(places[signal] <= 16 for signal in fixed)


def test_twenty_five_signals_and_twelve_radios() -> None:
    """25 legs at the desk, 12 of them by radio."""
    _, show, patch = solved("panel")
    assert sum(1 for route in patch.setting().routes if route.to == "room") == 25
    assert sum(1 for source in show.sources if source.kind == "radio") == 12


def test_lapels_run_by_seat_from_stage_right() -> None:
    """Channel order is seat order."""
    places = {route.leg: route.hops[-1].number for route in solved("panel")[2].setting().routes if route.to == "room"}
    seats = [places[f"lapel{number}"] for number in range(1, 9)]
    assert seats == sorted(seats)


def test_nobody_hears_himself_back() -> None:
    """The caller's return leaves out the caller; each booth's floor feed leaves out that booth and keeps the other."""
    contents = {feed.id: set(feed.of) for feed in solved("panel")[1].feeds}
    assert "caller" not in contents["to_caller"]
    assert "booth1" not in contents["floor1"]
    assert "booth2" in contents["floor1"]
    assert "booth2" not in contents["floor2"]
    assert "booth1" in contents["floor2"]


def test_languages_go_to_assistance_and_stream_and_not_to_the_room() -> None:
    """Booth outputs are in the hearing assistance and in the stream, never in the PA."""
    contents = {feed.id: set(feed.of) for feed in solved("panel")[1].feeds}
    booths = {"booth1", "booth2"}
    assert booths <= contents["assist"]
    assert booths <= contents["stream"]
    assert not booths & contents["pa"]


def test_press_is_fed_at_microphone_level_behind_transformers() -> None:
    """The press mix ends at the split's isolated outputs; no direct current comes back through them."""
    rig, _, patch = solved("panel")
    route = next(route for route in patch.setting().routes if route.leg == "press")
    assert str(route.hops[-1]) == "PRESS.iso_a[1]"
    assert rig.type_of("PRESS").banks["iso_a"].level == "mic"
    assert {row.dc for row in rig.type_of("PRESS").select} == {"no"}
    assert len(rig.type_of("PRESS").select) == 12


def test_phantom_is_off_at_every_laptop_and_receiver() -> None:
    """Laptops, playback, receivers, caller and booths never get phantom; the lectern does."""
    _, show, patch = solved("panel")
    setting = patch.setting()
    on = {str(slot) for row in setting.phantom if row.on for slot in row.at.slots()}
    for source in show.sources:
        for leg in source.leg_ids():
            assert (str(setting.plugs[leg]) in on) is (source.phantom == "need")


def test_three_sockets_are_kept_free() -> None:
    """Two for spare radios and one wired at the lectern."""
    assert len(solved("panel")[2].setting().spares) == 3
