"""What people of the trade take for granted, each fact apart and on a type of its own, small and invented.

Source of every check here: common practice, no source.
"""

from __future__ import annotations

from typing import Any

import pytest

import patchloom
from patchloom.library.physics import T568B
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

LINE = {"channels": {"48000": 16, "96000": 8}, "pass": ["audio", "clock", "control"]}
PREAMP = {"gain_db": [-6, 60], "step_db": 1, "full_scale_dbu": 22, "owner_by": "port"}


def made(types: dict[str, Any], devices: dict[str, Any], joins: list[list[str]], **more: Any) -> Rig:
    """Return a rig of own types; links are joined in order, each by the same line."""
    links = [{"id": f"K{number}", "join": join, "format": "line"} for number, join in enumerate(joins, 1)]
    document = {"format": "rig/1", "rate": 48000, "formats": {"line": LINE}, "types": types, "devices": devices, "links": links}
    return patchloom.read_rig({**document, **more})


def asked(rig: Rig, sources: list[str], into: str, lists: dict[str, list[str]], **more: Any) -> Show:
    """Return a show: sources into one bank, lists by the bank they land in."""
    rows = [{"position": at.split(".")[0].lower(), "at": at, "wants": wants} for at, wants in lists.items()]
    source = {"ids": sources, **more.pop("source", {})}
    document = {"format": "show/1", "sources": [source], "plug": [{"sources": "all", "into": into}], "lists": rows}
    return patchloom.read_show({**document, **more}, rig)


def solved(rig: Rig, show: Show) -> Patch:
    """Return a patch the judge has nothing against."""
    patch = patchloom.solve(rig, show)
    assert patchloom.verify(rig, show, patch) == ()
    return patch


def desk(**more: Any) -> dict[str, Any]:
    """Return a desk of sixteen channels that takes any slot of port a."""
    kind = {
        "role": "desk",
        "banks": {"ch": {"slots": 16, "does": "process", "trim_db": [-18, 18], "taps": {"in": []}}},
        "ports": {"a": {"speaks": ["line"]}},
        "select": [{"into": "ch", "from": ["a.in"]}],
    }
    return {**kind, **more}


def box(preamp: dict[str, Any] | None = None) -> dict[str, Any]:
    """Return a box of eight sockets wired to two ports."""
    return {
        "role": "box",
        "banks": {"mic": {"slots": 8, "socket": "in", "level": "mic", **({"preamp": "pre"} if preamp else {})}},
        "ports": {"one": {"speaks": ["line"]}, "two": {"speaks": ["line"]}},
        "select": [{"into": "one.out", "wired": "mic"}, {"into": "two.out", "wired": "mic"}],
        **({"preamps": {"pre": preamp}} if preamp else {}),
    }


def test_local_inputs_are_blocks_and_leave_by_two_ports_while_the_desk_uses_them() -> None:
    """32 local inputs are four blocks of eight; both ports send all of them, untouched, and the desk's channels take them."""
    owner = {
        "role": "desk",
        "banks": {"local": {"slots": 32, "socket": "in"}, "ch": {"slots": 32, "does": "process", "taps": {"in": []}}},
        "ports": {"a": {"speaks": ["wide"]}, "b": {"speaks": ["wide"]}},
        "select": [{"into": bank, "from": ["local"], "by": 8} for bank in ("ch", "a.out", "b.out")],
    }
    other = {
        "role": "desk",
        "banks": {"ch": {"slots": 32, "does": "process", "taps": {"in": []}}},
        "ports": {"a": {"speaks": ["wide"]}},
        "select": [{"into": "ch", "from": ["a.in"]}],
    }
    rig = made(
        {"owner": owner, "other": other},
        {"MON": "owner", "FOH": "other", "REC": "other"},
        [],
        formats={"wide": {"channels": {"48000": 32}, "pass": ["audio", "clock"]}},
        links=[
            {"id": "K1", "join": ["MON.a", "FOH.a"], "format": "wide"},
            {"id": "K2", "join": ["MON.b", "REC.a"], "format": "wide"},
        ],
    )
    names = [f"in{number}" for number in range(1, 33)]
    patch = solved(rig, asked(rig, names, "MON.local", {"MON.ch": names, "FOH.ch": names, "REC.ch": names}))
    sent = [row for row in patch.setting().selections if row.into.device == "MON"]
    assert {row.into.bank for row in sent} == {"ch", "a.out", "b.out"}
    assert all((row.from_.bank, (row.from_.last or 0) - (row.from_.first or 0) + 1) == ("local", 8) for row in sent)
    assert len(sent) == 3 * 4


def test_one_desk_at_another_rate_is_a_fault_of_the_whole() -> None:
    """A desk at 96 kHz among desks at 48 kHz makes the whole impossible; all at 48 or all at 96 do."""
    types = {"desk": desk(), "box": box()}
    joins = [["BOX.one", "FOH.a"], ["BOX.two", "MON.a"]]
    lists = {"FOH.ch": ["vox"], "MON.ch": ["vox"]}
    for rate in (48000, 96000):
        rig = made(types, {"BOX": "box", "FOH": "desk", "MON": "desk"}, joins, rate=rate)
        solved(rig, asked(rig, ["vox"], "BOX.mic", lists))
    mixed = {"BOX": "box", "FOH": "desk", "MON": {"type": "desk", "domain": "fast"}}
    document = {
        "format": "rig/1",
        "domains": {"main": {"rate": 48000}, "fast": {"rate": 96000}},
        "formats": {"line": LINE},
        "types": types,
        "devices": mixed,
        "links": [{"id": f"K{number}", "join": join, "format": "line"} for number, join in enumerate(joins, 1)],
    }
    rig = patchloom.read_rig(document)
    with pytest.raises(patchloom.Impossible, match="to mon for vox"):
        patchloom.solve(rig, asked(rig, ["vox"], "BOX.mic", lists), explain=False)


def test_one_desk_leads_and_each_other_takes_clock_from_the_port_that_leads_to_it() -> None:
    """One internal clock; every other device is locked by the port whose link comes from the leader's side."""
    middle = desk(ports={"a": {"speaks": ["line"]}, "b": {"speaks": ["line"]}})
    rig = made(
        {"desk": desk(), "middle": middle, "box": box()},
        {"BOX": "box", "MON": "middle", "FOH": "desk"},
        [["BOX.one", "MON.a"], ["MON.b", "FOH.a"]],
        clock={"leader": "BOX"},
    )
    (domain,) = solved(rig, asked(rig, ["vox"], "BOX.mic", {"MON.ch": ["vox"]})).setting().clock
    assert domain.leader == "BOX"
    assert {(row.device, row.port, row.from_) for row in domain.followers} == {("MON", "a", "BOX"), ("FOH", "a", "MON")}


def test_a_cable_without_the_clock_setting_does_not_lock() -> None:
    """A link set to carry audio only leaves the desk at its end unlocked: refused, with the desk by name."""
    rig = made(
        {"desk": desk(), "box": box()},
        {"BOX": "box", "FOH": "desk"},
        [],
        links=[{"id": "K1", "join": ["BOX.one", "FOH.a"], "format": "line", "pass": ["audio", "control"]}],
        clock={"leader": "BOX"},
    )
    with pytest.raises(patchloom.Impossible, match="FOH"):
        patchloom.solve(rig, asked(rig, ["vox"], "BOX.mic", {"FOH.ch": ["vox"]}), explain=False)


def shared(want: dict[str, float], **more: Any) -> tuple[Rig, Show]:
    """Return one box two desks hear, and what each wants of one voice in dB."""
    rig = made(
        {"desk": desk(), "box": box(PREAMP)},
        {"BOX": "box", "FOH": "desk", "MON": "desk"},
        [["BOX.one", "FOH.a"], ["BOX.two", "MON.a"]],
    )
    source = {"want_db": want, **more}
    return rig, asked(rig, ["vox"], "BOX.mic", {"FOH.ch": ["vox"], "MON.ch": ["vox"]}, source=source)


def test_a_shared_preamp_has_one_owner_and_the_others_trim() -> None:
    """One position owns it; wishes 36 dB apart are met with -18 and +18 dB of trim, 37 dB are 1 dB too far."""
    rig, show = shared({"foh": 48, "mon": 12})
    setting = solved(rig, show).setting()
    assert len({row.owner for row in setting.owners}) == 1
    (gain,) = setting.gains
    assert (gain.gain_db, dict(gain.trims_db)) == (30, {"foh": 18, "mon": -18})
    with pytest.raises(patchloom.Impossible, match="1 dB short"):
        patchloom.solve(*shared({"foh": 49, "mon": 12}), explain=False)


def test_ownership_is_set_per_port_at_the_device() -> None:
    """Two banks of one box, set per port, may have two owners; set for the whole device they may not."""
    for fine, fits in (("port", True), ("device", False)):
        kind = box({**PREAMP, "owner_by": fine})
        kind["banks"] = {"mic": kind["banks"]["mic"], "more": {**kind["banks"]["mic"]}}
        kind["select"] = [{"into": "one.out", "wired": "mic"}, {"into": "two.out", "wired": "more"}]
        rig = made(
            {"desk": desk(), "box": kind},
            {"BOX": "box", "FOH": "desk", "MON": "desk"},
            [["BOX.one", "FOH.a"], ["BOX.two", "MON.a"]],
        )
        rows = [{"sources": "vox", "into": "BOX.mic[1]"}, {"sources": "gtr", "into": "BOX.more[1]"}]
        owners = [{"preamps": "BOX.mic", "owner": "foh"}, {"preamps": "BOX.more", "owner": "mon"}]
        show = asked(rig, ["vox", "gtr"], "", {"FOH.ch": ["vox"], "MON.ch": ["gtr"]}, plug=rows, owners=owners)
        if fits:
            assert {row.owner for row in solved(rig, show).setting().owners} == {"foh", "mon"}
        else:
            with pytest.raises(patchloom.Impossible, match="one owner"):
                patchloom.solve(rig, show, explain=False)


def test_a_clip_at_the_shared_preamp_is_everybodys() -> None:
    """Headroom bounds the one gain there is: with a peak of 0 dBu it stays at 22 dB less the reserve, whoever wants more."""
    rig, show = shared({"foh": 30, "mon": 30}, peak_dbu=0)
    (gain,) = solved(rig, show).setting().gains
    assert gain.gain_db is not None
    assert gain.gain_db <= 22 - show.gain.reserve_db
    assert set(gain.trims_db.values()) == {30 - gain.gain_db}


def test_category_cable_has_four_pairs() -> None:
    """Four pairs of two contacts each."""
    pairs = [contact.pair for contact in T568B]
    assert {pair: pairs.count(pair) for pair in sorted(pairs)} == {1: 2, 2: 2, 3: 2, 4: 2}


@pytest.mark.parametrize(("shield", "said"), [("both", set()), ("none", {"warn"}), ("lifted-a", {"warn"})])
def test_an_unshielded_category_cable_is_a_warning(shield: str, said: set[str]) -> None:
    """A shield joined at both ends is fine; one that is missing or lifted may work and is advised against: never a stop."""
    cables = [{"medium": "cat5e", "length_m": 40, "shield": shield}]
    rig = made(
        {"desk": desk(), "box": box()},
        {"BOX": "box", "FOH": "desk"},
        [],
        formats={"line": {**LINE, "medium": ["cat5e"]}},
        links=[{"id": "K1", "join": ["BOX.one", "FOH.a"], "format": "line", "cables": cables}],
    )
    show = asked(rig, ["vox"], "BOX.mic", {"FOH.ch": ["vox"]})
    found = patchloom.check(rig, show, solved(rig, show))
    assert {row.severity for row in found if row.rule == "shield-story" and row.kind == "found"} == said


def carried_home(legs: int) -> tuple[Rig, Show]:
    """Return a desk far off that mixes, and a desk near the stage whose six auxiliary outputs carry the mix on."""
    near = {
        "role": "desk",
        "banks": {
            "local": {"slots": 8, "socket": "in"},
            "ch": {"slots": 16, "does": "process", "taps": {"in": [], "post": ["trim", "processing", "mute", "fader"]}},
            "aux": {"slots": 6, "socket": "out"},
        },
        "ports": {"a": {"speaks": ["line"]}},
        "select": [
            {"into": "ch", "from": ["local", "a.in"]},
            {"into": "a.out", "from": ["local"]},
            {"into": "aux", "from": ["ch"]},
        ],
    }
    far = desk(
        banks={
            "ch": {"slots": 16, "does": "process", "taps": {"in": []}},
            "mix": {"slots": 8, "does": "sum", "of": ["ch"], "taps": {"pre": ["processing"], "post": ["mute", "fader"]}},
        },
        select=[{"into": "ch", "from": ["a.in"]}, {"into": "a.out", "from": ["mix"], "taps": ["post"]}],
    )
    rig = made({"near": near, "far": far}, {"MON": "near", "FOH": "far"}, [["MON.a", "FOH.a"]])
    pa = {
        "ids": ["pa"],
        "legs": [f"l{number}" for number in range(1, legs + 1)],
        "mixed_at": "foh",
        "to": "MON.aux",
        "tap": "fader",
    }
    return rig, asked(rig, ["vox"], "MON.local", {"FOH.ch": ["vox"]}, feeds=[pa])


def test_a_mix_goes_home_over_the_cable_the_inputs_came_by() -> None:
    """Left, right and sub come back by the same link, pass a channel tapped at its input, and leave by auxiliary outputs."""
    rig, show = carried_home(3)
    setting = solved(rig, show).setting()
    ways = {route.leg: [(hop.device, hop.bank) for hop in route.hops] for route in setting.routes if route.to == "pa"}
    assert all(way == [("FOH", "mix"), ("FOH", "a.out"), ("MON", "a.in"), ("MON", "ch"), ("MON", "aux")] for way in ways.values())
    assert {row.tap for row in setting.selections if row.into.bank == "aux"} == {"in"}
    assert {row.tap for row in setting.selections if row.from_.bank == "mix"} == {"post"}


def test_six_auxiliary_outputs_hold_three_with_room_to_spare() -> None:
    """Six legs go home as well; a seventh finds no output."""
    solved(*carried_home(6))
    with pytest.raises(patchloom.Impossible):
        patchloom.solve(*carried_home(7), explain=False)


def test_recorders_take_the_stage_inputs_one_to_one() -> None:
    """A recorder at each desk records every input on the track of its own number, whatever the desks choose."""
    kind = desk(
        ports={"a": {"speaks": ["line"]}, "rec": {"speaks": ["line"]}},
        select=[{"into": "ch", "from": ["a.in"]}, {"into": "rec.out", "wired": "a.in"}],
    )
    recorder = {
        "role": "recorder",
        "banks": {"track": {"slots": 16, "ends": "record"}},
        "ports": {"a": {"speaks": ["line"]}},
        "select": [{"into": "track", "wired": "a.in"}],
    }
    rig = made(
        {"desk": kind, "box": box(), "recorder": recorder},
        {"BOX": "box", "FOH": "desk", "MON": "desk", "RECF": "recorder", "RECM": "recorder"},
        [["BOX.one", "FOH.a"], ["BOX.two", "MON.a"], ["FOH.rec", "RECF.a"], ["MON.rec", "RECM.a"]],
    )
    names = [f"in{number}" for number in range(1, 9)]
    lists = {"FOH.ch": names[::-1], "MON.ch": names, "RECF.track": names, "RECM.track": names}
    setting = solved(rig, asked(rig, names, "BOX.mic", lists)).setting()
    for route in setting.routes:
        if route.to.startswith("rec"):
            assert route.hops[0].number == route.hops[-1].number
