"""The show's own few answers, the patch's, and both in a period."""

from __future__ import annotations

from typing import Any

import pytest

from patchloom.address import Slot, Span
from patchloom.model.base import build, dump
from patchloom.model.patch import Patch, Route, Selection, Setting
from patchloom.model.period import acts, in_period, in_use, period_ids, scenes
from patchloom.model.rig import Rig
from patchloom.model.show import Feed, Gain, Position, Show, Source


def a_rig() -> Rig:
    """Return a rig of three devices and two links."""
    built: Rig = build(
        Rig,
        {
            "types": {"t": {}},
            "devices": {key: {"type": "t"} for key in ("BOX", "FOH", "MON")},
            "links": [{"id": "K1", "join": ["BOX.a", "FOH.a"]}, {"id": "K2", "join": ["BOX.b", "MON.a"]}],
        },
    )
    return built


def a_show(**more: Any) -> Show:
    """Return a show of two acts, one with a scene."""
    data: dict[str, Any] = {
        "positions": {"mon": {"desk": "MON", "name": "Monitors"}},
        "sources": [{"id": "kick"}, {"id": "keys", "legs": ["L", "R"]}, {"id": "vox", "person": "Ada"}],
        "plug": [{"source": "kick", "into": "BOX.mic"}, {"source": "keys.L", "into": "BOX.mic[3]"}],
        "feeds": [{"id": "pa", "legs": ["L", "R"], "mixed_at": "foh"}, {"id": "click", "mixed_at": "foh"}],
        "lists": [
            {"id": "foh", "position": "foh", "at": "FOH.ch", "wants": [{"signal": "kick"}, None, {"signal": "keys"}]},
            {"id": "mon", "position": "mon", "at": "MON.ch", "wants": [{"signal": "vox"}, {"signal": "pa"}]},
        ],
        "owners": [{"preamps": "BOX.mic", "owner": "foh"}],
        "periods": [
            {"id": "one", "uses": ["kick", "keys", "pa"]},
            {"id": "solo", "scene_of": "one", "uses": ["keys"], "names": {"keys": "Piano"}, "people": {"keys": "Bo"}},
            {"id": "talk", "scene_of": "one", "names": {"kick": "Drum"}},
            {"id": "two", "without_devices": ["MON"], "without_links": ["K1"], "without_lists": ["foh"]},
            {"id": "three", "lists": {"foh": [{"signal": "vox"}, None]}, "owners": [{"preamps": "BOX.mic", "owner": "mon"}]},
        ],
    }
    built: Show = build(Show, {**data, **more})
    return built


def test_legs_of_signals() -> None:
    """A signal without legs is one leg of its own name."""
    assert Source(id="kick").leg_ids() == ("kick",)
    assert Source(id="keys", legs=("L", "R")).leg_ids() == ("keys.L", "keys.R")
    assert Feed(id="pa").leg_ids() == ("pa",)
    assert Feed(id="pa", legs=("L", "R")).leg_ids() == ("pa.L", "pa.R")


def test_signals_and_positions() -> None:
    """Signals are sources, then feeds; a position nobody described is there, empty; its desk is its first list's."""
    show = a_show()
    assert list(show.signals()) == ["kick", "keys", "vox", "pa", "click"]
    assert show.position("mon").name == "Monitors"
    assert show.position("foh") == Position(id="foh")
    assert show.desk_of("mon") == "MON"
    assert show.desk_of("foh") == "FOH"
    assert show.desk_of("nobody") == ""


def test_gain_has_defaults() -> None:
    """Gain may be absent, null, data or an object."""
    assert Show().gain == Gain(reserve_db=6, margin_db=3)
    assert Show(gain=None).gain == Gain()  # type: ignore[arg-type]
    assert Show(gain={"reserve_db": 9}).gain == Show(gain=Gain(reserve_db=9)).gain  # type: ignore[arg-type]


def test_order_of_periods() -> None:
    """Acts come in order, each followed by its scenes; a show without periods has one of no name."""
    show = a_show()
    assert period_ids(show) == ("one", "solo", "talk", "two", "three")
    assert [row.id for row in acts(show)] == ["one", "two", "three"]
    assert [row.id for row in scenes(show, "one")] == ["solo", "talk"]
    assert period_ids(Show()) == ("",)


def test_what_is_in_use() -> None:
    """A period uses what it says, a scene what its act does unless it says so, an act everything."""
    show = a_show()
    assert in_use(show, "solo") == {"keys"}
    assert in_use(show, "talk") == {"kick", "keys", "pa"}
    assert in_use(show, "two") == set(show.signals())
    assert in_use(show, "") == set(show.signals())
    assert in_use(show, "unknown") == set(show.signals())


def test_no_period_changes_nothing() -> None:
    """Without a period, rig and show are the same objects."""
    rig, show = a_rig(), a_show()
    assert in_period(rig, show, "") == (rig, show)
    assert in_period(rig, show, "unknown")[1] is show


def test_an_act_leaves_out_what_it_does_not_use() -> None:
    """Signals not in use go, with their plugs and feeds; their entries become empty slots."""
    rig, show = in_period(a_rig(), a_show(), "one")
    assert [row.id for row in show.sources] == ["kick", "keys"]
    assert [row.id for row in show.feeds] == ["pa"]
    assert [row.source for row in show.plug] == ["kick", "keys.L"]
    assert [None if want is None else want.signal for want in show.lists[1].wants] == [None, "pa"]
    assert rig == a_rig()


def test_what_is_not_in_use_leaves_its_slots_empty() -> None:
    """A pair leaves two slots, one leg or a fold of it one; an entry with a channel of its own leaves none in the row."""
    wants = [
        {"signal": "keys"},
        {"signal": "keys", "leg": "L"},
        {"signal": "keys", "fold": "sum"},
        {"signal": "keys", "channel": 20},
        {"signal": "vox"},
        {"signal": "gone"},
    ]
    lists = [{"id": "foh", "position": "foh", "at": "FOH.ch", "wants": wants}]
    show = a_show(lists=lists, periods=[{"id": "one", "uses": ["vox"]}])
    _, now = in_period(a_rig(), show, "one")
    assert [want and want.signal for want in now.lists[0].wants] == [None, None, None, None, "vox", None]


def test_a_scene_renames() -> None:
    """Names and people of a scene stand where the source's were; others keep theirs."""
    _, show = in_period(a_rig(), a_show(), "solo")
    assert [(row.name, row.person) for row in show.sources] == [("Piano", "Bo")]
    _, show = in_period(a_rig(), a_show(), "talk")
    assert [(row.id, row.name) for row in show.sources] == [("kick", "Drum"), ("keys", "")]
    assert [want and want.signal for want in show.lists[0].wants] == ["kick", None, "keys"]


def test_devices_links_and_lists_may_be_absent() -> None:
    """An absent device takes its links and lists with it; an absent link or list goes alone."""
    rig, show = in_period(a_rig(), a_show(), "two")
    assert list(rig.devices) == ["BOX", "FOH"]
    assert rig.links == ()
    assert show.lists == ()
    assert show.owners[0].owner == "foh"


def test_an_act_may_have_its_own_list_and_owners() -> None:
    """Wants and owners given for an act stand instead of the show's."""
    _, show = in_period(a_rig(), a_show(), "three")
    assert [want and want.signal for want in show.lists[0].wants] == ["vox", None]
    assert [want and want.signal for want in show.lists[1].wants] == ["vox", "pa"]
    assert show.owners[0].owner == "mon"


def test_a_scene_of_no_act_stands_alone() -> None:
    """A scene whose act is not there is read as if it were one."""
    show = a_show(periods=[{"id": "lost", "scene_of": "nowhere", "uses": ["kick"]}])
    _, now = in_period(a_rig(), show, "lost")
    assert [row.id for row in now.sources] == ["kick"]


def test_a_patch_reads_addresses_from_text_or_tuples() -> None:
    """Texts and tuples build equal patches, and dumping gives text again."""
    texts = Setting(
        plugs={"kick": "BOX.mic[1]"},
        selections=({"into": "FOH.ch[1-8]", "from": "FOH.a.in[1-8]"},),  # type: ignore[arg-type]
        routes=({"leg": "kick", "hops": ["BOX.mic[1]"]},),
    )  # type: ignore[arg-type]
    tuples = Setting(
        plugs={"kick": Slot("BOX", "mic", 1)},  # type: ignore[arg-type]
        selections=(Selection(Span("FOH", "ch", 1, 8), Span("FOH", "a.in", 1, 8)),),
        routes=(Route("kick", hops=(Slot("BOX", "mic", 1),)),),
    )
    assert texts == tuples
    assert dump(texts) == {
        "plugs": {"kick": "BOX.mic[1]"},
        "selections": [{"into": "FOH.ch[1-8]", "from": "FOH.a.in[1-8]"}],
        "routes": [{"leg": "kick", "hops": ["BOX.mic[1]"]}],
    }


def test_settings_by_period() -> None:
    """A patch gives the setting of a period, the first one when none is named, KeyError when there is none."""
    patch = Patch(settings=(Setting("one"), Setting("two")))
    assert patch.setting("two").period == "two"
    assert patch.setting().period == "one"
    for row, key in ((patch, "three"), (Patch(), "")):
        with pytest.raises(KeyError):
            row.setting(key)
