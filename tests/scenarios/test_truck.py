"""A stage at double rate and a truck behind a rate converter: the stated numbers."""

from __future__ import annotations

from typing import Any

from .reading import links_of, solved


def carried(link: str) -> set[tuple[str, int]]:
    """Return the slots of the sending side of a link that routes use, by leg and number."""
    rig, _, patch = solved("truck")
    row: Any = next(row for row in rig.links if row.id == link)
    device, _, port = row.join[0].partition(".")
    return {
        (hop.device, hop.number)
        for route in patch.setting().routes
        for hop in route.hops
        if hop.device == device and hop.bank == f"{port}.out"
    }


def test_sixty_four_go_over_two_links_and_one() -> None:
    """Thirty-two on each link at 96 kHz, sixty-four on the one behind the converter: all full."""
    assert [len(carried(link)) for link in ("T1", "T2", "T3")] == [32, 32, 64]


def test_seven_returns_and_a_kept_spare() -> None:
    """Presenter 1, N-1 2, programme 2, truck talk 1, timecode 1; one socket is kept that would reach monitors."""
    assert len(carried("T4")) == 7
    assert len(solved("truck")[2].setting().spares) == 1


def test_house_depends_on_the_truck_for_the_presenter_only() -> None:
    """Of the 57 at the house, one passes the truck, by one path."""
    _rig, show, patch = solved("truck")
    routes = [route for route in patch.setting().routes if route.to == "foh"]
    behind = [route.leg for route in routes if any(hop.device == "TRUCK" for hop in route.hops)]
    assert (len(routes), behind) == (57, ["presenter"])
    assert show.lists[0].survives[0].except_ == ("presenter",)


def test_audience_microphones_reach_the_truck_and_no_loudspeaker() -> None:
    """Eight audience microphones at the truck, none in the house mix."""
    _, show, patch = solved("truck")
    at_truck = {route.leg for route in patch.setting().routes if route.to == "truck"}
    assert {f"aud{number}" for number in range(1, 9)} <= at_truck
    assert not {signal for signal in show.signals()["pa"].of if signal.startswith("aud")}


def test_talkback_is_recorded_on_a_track_of_its_own() -> None:
    """The truck talk has a track and is in no mix."""
    _, show, patch = solved("truck")
    assert [route.leg for route in patch.setting().routes if route.to == "tracks"].count("talk_truck") == 1
    assert not [feed.id for feed in show.feeds if feed.of and "talk_truck" in feed.of]


def test_two_leaders_with_the_converter_between() -> None:
    """The stage follows the house desk, the truck itself; the converter has a section in each."""
    clock = {row.id: row for row in solved("truck")[2].setting().clock}
    assert (clock["stage"].leader, clock["truck"].leader) == ("FOH", "TRUCK")
    sections = {(row.device, row.section) for domain in clock.values() for row in domain.followers if row.device == "SRC"}
    assert sections == {("SRC", "A"), ("SRC", "B")}
    assert "TRUCK" not in {row.device for row in clock["stage"].followers}


def test_monitors_own_the_stage_preamps() -> None:
    """No control passes the converter: monitors own the boxes, the truck its own sockets."""
    owners = {(row.preamps.device, row.owner) for row in solved("truck")[2].setting().owners}
    assert owners == {("BOX1", "mon"), ("BOX2", "mon"), ("TRUCK", "truck")}


def test_every_source_to_the_truck_passes_the_converter() -> None:
    """Fifty-six lines and eight audience microphones take the converter, in samples of the truck's own clock."""
    rig, _, patch = solved("truck")
    ways = [links_of(rig, route) for route in patch.setting().routes if route.to == "truck" and route.leg != "presenter"]
    assert len(ways) == 64
    assert all(way[-1] == "T3" and way[-2] in ("T1", "T2") for way in ways)
