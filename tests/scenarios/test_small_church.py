"""A small church: twenty-four inputs, sixteen sockets on stage, personal mixers, a stream."""

from __future__ import annotations

from .reading import folder, solved, used


def test_sockets_and_inputs_are_used_as_stated() -> None:
    """Stage box 15 of 16, local sockets 9 of 16, personal mixers 16 of 16, 24 sources on the desk."""
    setting = solved("small-church")[2].setting()
    stage = sum(1 for slot in setting.plugs.values() if slot.device == "BOX")
    local = sum(1 for slot in setting.plugs.values() if slot.device == "DESK")
    assert (stage, local, used(setting, "PM.input")) == (15, 9, 16)
    assert sum(1 for route in setting.routes if route.to == "house") == 24


def test_phantom_is_on_where_five_lines_need_it_and_off_at_the_receivers() -> None:
    """Overhead, acoustic DI, choir and lectern have it; receivers and the computer never."""
    _, show, patch = solved("small-church")
    setting = patch.setting()
    legs = {
        need: [leg for source in show.sources if source.phantom == need for leg in source.leg_ids()] for need in ("need", "never")
    }
    on = {str(slot) for row in setting.phantom if row.on for slot in row.at.slots()}
    assert len(legs["need"]) == 5
    assert len(legs["never"]) == 5
    assert {str(setting.plugs[leg]) for leg in legs["need"]} <= on
    assert not {str(setting.plugs[leg]) for leg in legs["never"]} & on


def test_the_five_that_need_phantom_share_one_switch() -> None:
    """Sockets are switched in two banks of eight; the five sit in one of them."""
    setting = solved("small-church")[2].setting()
    banks = {(setting.plugs[leg].number - 1) // 8 for leg in ("overhead", "acoustic", "choir.L", "choir.R", "lectern")}
    assert len(banks) == 1


def test_click_and_room_microphone_stay_where_they_belong() -> None:
    """Click in no mix at all, the room microphone only in the stream; the call returns everything but itself."""
    _, show, _ = solved("small-church")
    contents = {feed.id: set(feed.of or ()) for feed in show.feeds}
    assert not [key for key, of in contents.items() if "click" in of]
    assert [key for key, of in contents.items() if "room" in of] == ["web"]
    assert "computer" not in contents["call"]


def test_stream_is_no_copy_of_the_hall() -> None:
    """The stream has a pair of mixes of its own."""
    setting = solved("small-church")[2].setting()
    assert {setting.mixes["web.L"], setting.mixes["web.R"]}.isdisjoint({setting.mixes["pa.L"], setting.mixes["pa.R"]})


def test_documents_fit_on_a_page() -> None:
    """Rig and show of a small church fit on one printed page of 75 lines."""
    lines = [(folder("small-church") / f"{kind}.json").read_text(encoding="utf-8").count("\n") for kind in ("rig", "show")]
    assert sum(lines) <= 75
