"""A trace says of each hop what the rig says, and nothing it does not say."""

from __future__ import annotations

from typing import Any

import attrs
import pytest

import patchloom
from patchloom.errors import PatchloomError
from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show
from patchloom.show_day.trace import Trace, trace

RIG = {
    "domains": {"main": {"rate": 48000, "leader": "MON"}},
    "formats": {"link": {"channels": {"48000": 16}, "pass": ["audio", "clock", "control"]}},
    "types": {
        "box": {
            "role": "box",
            "banks": {
                "mic": {"slots": 16, "socket": "in", "preamp": "pre", "mark": ["A{1-8}", "B{1-8}"]},
                "line": {"slots": 4, "socket": "out"},
            },
            "ports": {"p": {"speaks": ["link"]}},
            "select": [{"into": "p.out", "wired": "mic"}, {"into": "line", "wired": "p.in[1-4]"}],
            "preamps": {"pre": {"gain_db": [0, 60]}},
            "look_at": {"mic": "lamp beside the socket", "p": "link lamp"},
        },
        "desk": {
            "role": "desk",
            "banks": {
                "aux": {"slots": 2, "socket": "in"},
                "ch": {"slots": 16, "does": "process", "trim_db": [-12, 12], "taps": {"in": []}},
                "mix": {"slots": 4, "does": "sum", "of": ["ch"]},
            },
            "ports": {"p": {"speaks": ["link"]}, "q": {"speaks": ["link"]}},
            "select": [
                {"into": "ch", "from": ["p.in", "q.in"], "by": 8},
                {"into": "ch", "from": ["aux"], "alternate": True},
                {"into": "p.out", "from": ["mix"]},
                {"into": "q.out", "from": ["p.in"], "by": 8, "converts": True},
            ],
        },
    },
    "devices": {
        "BOX": {"type": "box", "place": {"at": [-3, 2.5], "zone": "SR", "note": "behind the drums"}},
        "MON": {"type": "desk"},
        "FOH": {"type": "desk", "manned": "house engineer"},
    },
    "links": [
        {"id": "K1", "join": ["MON.p", "BOX.p"], "format": "link", "cables": [{"label": "blue 1"}, {}]},
        {"id": "K2", "join": ["MON.q", "FOH.p"], "format": "link"},
        {"id": "T1", "join": ["BOX.line[1-2]", "FOH.aux[1-2]"]},
    ],
}
SHOW = {
    "sources": [{"id": "kick", "name": "Kick drum"}, {"id": "vox"}],
    "plug": [{"source": "kick", "into": ["BOX.mic"]}, {"source": "vox", "into": ["BOX.mic"]}],
    "lists": [
        {
            "id": "mon",
            "position": "mon",
            "at": "MON.ch",
            "wants": [{"signal": "kick", "name": "KICK", "alternate": "wedge"}, None],
        },
        {"id": "foh", "position": "foh", "at": "FOH.ch[9-16]", "wants": [{"signal": "kick"}]},
        {"id": "foh2", "position": "foh", "at": "FOH.ch[1-8]", "wants": []},
    ],
    "feeds": [{"id": "wedge", "mixed_at": "mon", "to": [{"at": ["BOX.line[1]"]}]}, {"id": "loose", "mixed_at": "mon"}],
}
PATCH = {
    "settings": [
        {
            "plugs": {"kick": "BOX.mic[2]"},
            "mixes": {"wedge": "MON.mix[1]"},
            "selections": [
                {"into": "MON.ch[1-8]", "from": "MON.p.in[1-8]"},
                {"into": "MON.p.out[1]", "from": "MON.mix[1]", "tap": "post"},
            ],
            "routes": [
                {"leg": "kick", "to": "mon", "hops": ["BOX.mic[2]", "BOX.p.out[2]", "MON.p.in[2]", "MON.ch[2]"]},
                {
                    "leg": "kick",
                    "to": "foh",
                    "hops": ["BOX.mic[2]", "BOX.p.out[2]", "MON.p.in[2]", "MON.q.out[2]", "FOH.p.in[2]", "FOH.ch[10]"],
                },
                {"leg": "wedge", "to": "wedge", "hops": ["MON.mix[1]", "MON.p.out[1]", "BOX.p.in[1]", "BOX.line[1]"]},
                {
                    "leg": "wedge",
                    "to": "mon",
                    "alternate": True,
                    "hops": ["MON.mix[1]", "MON.p.out[1]", "BOX.p.in[1]", "BOX.line[1]", "FOH.aux[1]", "MON.ch[2]"],
                },
            ],
            "clock": [
                {"id": "main", "leader": "MON", "followers": [{"device": "FOH", "port": "p", "link": "K2", "from": "MON"}]}
            ],
            "owners": [{"preamps": "BOX.mic[1-16]", "owner": "mon", "door": "port"}],
            "gains": [{"leg": "kick", "at": "BOX.mic[2]", "gain_db": 30, "trims_db": {"foh": -4.5}}],
            "phantom": [{"at": "BOX.mic[1-4]", "on": False}],
        }
    ]
}


def _trace(to: str, channel: int, **changes: Any) -> Trace:
    patch = build(Patch, PATCH)
    if changes:
        patch = attrs.evolve(patch, settings=(attrs.evolve(patch.settings[0], **changes),))
    return trace(build(Rig, RIG), build(Show, SHOW), patch, to, channel)


def test_the_first_hop_is_the_plug_with_mark_place_gain_and_phantom() -> None:
    """Where it plugs in: printed mark, place, what to look at, owner, gain, the asking position's trim, phantom."""
    found = _trace("foh", 10)
    first = found.hops[0]
    assert (found.leg, found.name, first.step, first.mark) == ("kick", "Kick drum", "plug", "A2")
    assert first.place == "SR, at (-3, 2.5) m, behind the drums"
    assert first.look_at == "lamp beside the socket"
    assert first.notes == ("preamp moved by mon (port)", "gain 30 dB", "trim at foh -4.5 dB", "phantom off")


def test_each_step_says_how_and_who() -> None:
    """Wired steps are nobody's, links name their cables, blocks their runs, converters themselves, and clock its way."""
    rows = _trace("foh", 10).hops
    assert [row.step for row in rows] == ["plug", "wired", "link", "select", "link", "select"]
    assert rows[1].who == "nobody: it is wired"
    assert rows[1].look_at == "link lamp"
    assert rows[2].how == "link K1 (blue 1), link"
    assert rows[3].how == "q.out from 1 takes p.in from 1 as a block of 8, through the rate converter"
    assert rows[3].who == "mon"
    assert rows[4].notes == ("its clock comes by this link, from MON",)
    assert rows[5].how == "ch from 9 takes p.in from 1 as a block of 8"
    assert rows[5].notes == ("trim range -12 to +12 dB",)
    assert rows[5].who == "foh"


def test_the_wants_own_name_and_the_alternate_input() -> None:
    """A list's own name for a signal is used; the alternate input has hops of its own, over analogue lines too."""
    found = _trace("mon", 2)
    assert found.name == "KICK"
    assert found.alternate[0].how == "wedge is mixed here"
    assert found.alternate[1].how == "p.out takes mix[1], tap post"
    assert found.alternate[4].how == "link T1, analogue"
    assert found.alternate[5].how == "from FOH.aux[1], by no link of this rig"


def test_a_feed_is_traced_to_its_destination() -> None:
    """The n-th place of a feed goes from its mix to its socket."""
    found = _trace("wedge", 1)
    assert [str(hop.at) for hop in found.hops] == ["MON.mix[1]", "MON.p.out[1]", "BOX.p.in[1]", "BOX.line[1]"]
    assert found.at == ("BOX", "line", 1)


def test_what_the_patch_does_not_say_is_left_out() -> None:
    """No owner, gain or phantom in the patch: no words about them; local-only preamps are called that."""
    assert _trace("foh", 10, owners=(), gains=(), phantom=()).hops[0].notes == ()
    local = _trace("foh", 10, owners=({"preamps": "BOX.mic[1-16]", "owner": ""},), gains=(), phantom=())
    assert local.hops[0].notes == ("preamp moved at the device only",)


def test_nothing_there_is_an_answer() -> None:
    """A channel on which nothing lands gives a trace without hops."""
    found = _trace("mon", 3)
    assert (found.leg, found.hops) == ("", ())


@pytest.mark.parametrize(
    ("to", "channel", "said"),
    [
        ("foh", 8, "has 9 to 16"),
        ("mon", 17, "has 1 to 16"),
        ("wedge", 2, "it has 1"),
        ("loose", 1, "delivered nowhere"),
        ("wegde", 1, "did you mean 'wedge'"),
        ("q", 1, "there are mon, foh, foh2, wedge, loose"),
    ],
)
def test_a_place_that_is_not_there(to: str, channel: int, said: str) -> None:
    """What does not exist is named, with the nearest thing that does."""
    with pytest.raises(PatchloomError, match=said):
        _trace(to, channel)


def test_a_position_with_several_lists_must_say_which() -> None:
    """A position's id serves only where it has one list."""
    show = build(Show, {"lists": [{"id": f"foh-{n}", "position": "foh", "at": "FOH.ch", "wants": []} for n in "ab"]})
    with pytest.raises(PatchloomError, match="name one: foh-a, foh-b"):
        trace(build(Rig, RIG), show, build(Patch, PATCH), "foh", 1)
    one = build(Show, {"lists": [{"id": "desk", "position": "foh", "at": "FOH.ch", "wants": []}]})
    assert trace(build(Rig, RIG), one, build(Patch, PATCH), "foh", 1).to == "desk"


def test_an_unknown_period() -> None:
    """A period the patch does not have is named; with no periods at all, nothing can be meant."""
    with pytest.raises(PatchloomError, match="no period 'act9'"):
        patchloom.trace(build(Rig, RIG), build(Show, SHOW), build(Patch, PATCH), "foh", 10, period="act9")


def test_who_works_at_a_desk_without_a_position() -> None:
    """A device no position controls from is changed by whoever is said to be at it, else by whoever works there."""
    show = build(Show, {**SHOW, "lists": SHOW["lists"][:1]})
    feed = trace(build(Rig, RIG), show, build(Patch, PATCH), "mon", 2)
    assert feed.alternate[4].at.device == "FOH"
    hop = trace(
        build(Rig, RIG),
        build(
            Show,
            {**SHOW, "lists": [{"id": "x", "position": "x", "at": "FOH.ch", "wants": []}], "positions": {"x": {"desk": "MON"}}},
        ),
        _as_list("x"),
        "x",
        10,
    ).hops[-1]
    assert hop.who == "house engineer"


def _as_list(key: str) -> Patch:
    patch = build(Patch, PATCH)
    route = attrs.evolve(patch.settings[0].routes[1], to=key)
    return attrs.evolve(patch, settings=(attrs.evolve(patch.settings[0], routes=(route,)),))
