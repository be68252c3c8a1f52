"""What verify lets pass and what it says, case by case, where planted faults do not reach."""

from __future__ import annotations

import copy
import random
import sys
from pathlib import Path
from typing import Any

import attrs
import pytest

import patchloom
from patchloom.check.scene import may_come_after
from patchloom.check.verify import verify
from patchloom.check.wants import _Entry, lay_out
from patchloom.document import digest
from patchloom.finding import Finding
from patchloom.model.base import build, dump
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show, Want
from patchloom.testing.generate import generate

from .bases import BASES, route, select
from .planting import drop, of, take

EXAMPLES = Path(__file__).parents[2] / "docs" / "examples"


def told(rig: dict[str, Any], show: dict[str, Any], patch: dict[str, Any]) -> list[Finding]:
    """Return what is said of plain data, notes aside."""
    found = verify(build(Rig, rig), build(Show, show), build(Patch, patch))
    return [row for row in found if row.severity != "note"]


def names(rows: list[Finding]) -> list[str]:
    return [row.rule for row in rows]


# where entries of a list belong


def entry(width: int = 1, **want: Any) -> _Entry:
    return _Entry(1, build(Want, {"signal": "x", **want}), ("x",) * width, width)


@pytest.mark.parametrize(
    ("rows", "last", "odd", "hard", "starts"),
    [
        ([entry(), entry(2), entry()], 8, False, False, [1, 2, 4]),
        ([entry(), entry(2), entry()], 8, True, False, [1, 3, 5]),
        ([entry(), entry(2), entry()], 4, True, False, [1, 2, 4]),
        ([entry(), entry(2), entry()], 4, True, True, [1, 3, 5]),
        ([entry(), None, entry()], 8, True, False, [1, 2, 3]),
        ([entry(), entry(channel=6), entry()], 8, True, False, [1, 6, 7]),
        ([entry(), entry(channel=2), None, entry()], 8, True, False, [1, 2, 3, 4]),
        ([entry(), entry(), entry(channel=2)], 8, True, False, [1, 3, 2]),
        ([entry(), None, entry(), entry(channel=2)], 8, True, False, [1, 3, 4, 2]),
        ([entry(), entry(within="D.ch[5-6]"), entry()], 8, True, False, [1, 5, 6]),
        ([entry(channel=7), entry(within="D.ch[5-6]"), entry()], 8, True, False, [7, 5, 8]),
    ],
)
def test_entries_take_slots_in_order(rows: list[_Entry | None], last: int, odd: bool, hard: bool, starts: list[int]) -> None:
    """Each entry starts where the one before ended; odd for stereo while all fits; fixed channels and runs are kept."""
    assert lay_out(rows, 1, last, odd, hard) == starts


@pytest.mark.parametrize(
    ("after", "allow", "absent", "may"),
    [
        ((), "", False, True),
        (("trim",), "", False, False),
        (("trim",), "", True, True),
        (("trim",), "trim", False, True),
        (("trim", "filter"), "trim", False, False),
        (("trim", "filter"), "filter", False, True),
        (("fader",), "mute", False, False),
        (("secret",), "fader", False, False),
        (("secret",), "secret", False, True),
    ],
)
def test_a_copy_may_come_after_what_is_allowed_and_all_before_it(
    after: tuple[str, ...], allow: str, absent: bool, may: bool
) -> None:
    """What is allowed is the last thing in the channel; earlier things go with it, later ones do not."""
    assert may_come_after(after, allow, absent) is may


# banks that inherit an order


def taped(wants: list[Any], notes: tuple[str, ...] = ()) -> list[Finding]:
    """Return what is said when a tape list lands in MON's intake, which only blocks feed."""
    rig, show, patch = BASES["house"]()
    show["lists"].append({"id": "tape", "position": "tape", "at": "MON.intake", "wants": wants})
    patch["settings"][0]["notes"] = list(notes)
    return [row for row in told(rig, show, patch) if row.rule != "route-missing"]


def test_an_inherited_order_is_kept_as_far_as_it_can() -> None:
    """A list in a bank of blocks is delivered wherever its signals come in; a note that names it speaks for the rest."""
    assert taped([{"signal": "kick"}, {"signal": "vox1"}, {"signal": "vox2"}]) == []
    assert names(taped([{"signal": "vox1"}, {"signal": "kick"}])) == ["order-unsaid"]
    assert taped([{"signal": "vox1"}, {"signal": "kick"}], ("The order of tape could not be kept.",)) == []


@pytest.mark.parametrize(
    ("want", "rule"),
    [
        ({"signal": "kick", "channel": 3}, "wrong-channel"),
        ({"signal": "kick", "within": "MON.intake[9-16]"}, "outside-within"),
        ({"signal": "lap"}, "not-delivered"),
        ({"signal": "lap", "priority": 1}, "wish-unsaid"),
        ({"signal": "kick", "alternate": "vox2"}, "alternate-wrong"),
    ],
)
def test_an_inherited_order_still_owes_what_is_fixed(want: dict[str, Any], rule: str) -> None:
    """Fixed channels and runs stay hard, and nothing is delivered by being somewhere else."""
    assert names(taped([want])) == [rule]


def test_a_fixed_channel_of_an_inherited_order_may_be_met() -> None:
    """A fixed channel or run that the blocks give is right."""
    assert (
        taped(
            [{"signal": "vox1", "channel": 2}, {"signal": "oh", "channel": 5}, {"signal": "vox2", "within": "MON.intake[1-8]"}],
            ("tape",),
        )
        == []
    )


def test_a_wired_bank_is_chosen_where_it_is_wired_from() -> None:
    """Tracks wired one to one to a link are held to the slot, for the sending side chooses each."""
    rig, show, patch = BASES["house"]()
    rig["types"]["tape"] = {
        "role": "recorder",
        "banks": {"track": {"slots": 8, "ends": "record"}},
        "can_lead": False,
        "ports": {"a": {"speaks": ["cat"]}},
        "select": [{"into": "track", "wired": "a.in"}],
    }
    rig["types"]["foh"]["ports"]["d"] = {"speaks": ["cat"]}
    rig["types"]["foh"]["select"].append({"into": "d.out", "from": ["a.in"]})
    rig["devices"]["TAPE"] = {"type": "tape"}
    rig["links"].append({"id": "K9", "join": ["FOH.d", "TAPE.a"], "format": "cat"})
    show["lists"].append(
        {"id": "tape", "position": "tape", "at": "TAPE.track", "wants": [{"signal": "vox1"}, {"signal": "kick"}]}
    )
    setting = patch["settings"][0]
    setting["clock"][0]["followers"].append({"device": "TAPE", "port": "a", "link": "K9", "from": "FOH", "depth": 3})
    for entry_, leg, n in ((1, "vox1", 2), (2, "kick", 1)):
        setting["selections"].append(select(f"FOH.d.out[{entry_}]", f"FOH.a.in[{n}]"))
        setting["routes"].append(
            route(
                leg,
                "tape",
                entry_,
                f"BOX.mic[{n}] > BOX.mirror.out[{n}] > FOH.a.in[{n}] > FOH.d.out[{entry_}] > "
                f"TAPE.a.in[{entry_}] > TAPE.track[{entry_}]",
            )
        )
    assert told(rig, show, patch) == []
    take(setting, "FOH.d.out[1]", "FOH.a.in[1]")
    take(setting, "FOH.d.out[2]", "FOH.a.in[2]")
    setting["routes"] = [row for row in setting["routes"] if row["to"] != "tape"]
    assert names(told(rig, show, patch)) == ["wrong-channel"]


# choices


def test_a_block_fills_the_place_of_a_whole_run() -> None:
    """A short source run leaves the rest of its place empty, and nothing else may be put there."""
    rig, show, patch = BASES["house"]()
    rig["types"]["mon"]["select"][0]["from"] = ["a.in", "b.in[1-4]"]
    rig["types"]["mon"]["select"].append({"into": "intake", "from": ["a.in"]})
    setting = patch["settings"][0]
    drop(setting, "MON.intake[9-16]")
    take(setting, "MON.intake[9-12]", "MON.b.in[1-4]")
    assert told(rig, show, patch) == []
    take(setting, "MON.intake[16]", "MON.a.in[9]")
    (found,) = told(rig, show, patch)
    assert (found.rule, found.where) == ("one-feeder", ("MON.intake[16]",))


def test_a_span_of_single_choices_may_lie_across_rows() -> None:
    """Consecutive choices of one slot each are one span, whichever rows allow them."""
    rig, show, patch = BASES["house"]()
    rig["types"]["foh"]["select"][0] = {"into": "ch[1-3]", "from": ["a.in", "b.in"]}
    rig["types"]["foh"]["select"].append({"into": "ch[4-16]", "from": ["a.in", "b.in"]})
    assert told(rig, show, patch) == []
    rig["types"]["foh"]["select"][0]["from"] = ["b.in"]
    assert "no-select-row" in names(told(rig, show, patch))


def test_a_block_may_drop_its_tail_at_the_end_of_a_link() -> None:
    """A block that only partly fits a link is right as long as nobody needs the tail."""
    rig, show, patch = BASES["house"]()
    rig["types"]["mon"]["ports"]["b"]["slots"] = {"in": 8, "out": 8}
    rig["formats"]["eight"]["channels"] = {"48000": [4, 8]}
    assert told(rig, show, patch) == []


def test_an_end_named_first_turns_an_uneven_link() -> None:
    """A port that says which end it is overrules the order the link is joined in."""
    rig, show, patch = BASES["house"]()
    rig["types"]["mon"]["ports"]["b"]["slots"] = {"in": 8, "out": 8}
    rig["formats"]["eight"]["channels"] = {"48000": [8, 1]}
    assert names(told(rig, show, patch)) == ["link-capacity"]
    rig["types"]["foh"]["ports"]["b"]["end"] = "first"
    assert told(rig, show, patch) == []
    rig["types"]["mon"]["ports"]["b"]["end"] = "second"
    assert told(rig, show, patch) == []


def test_a_fixed_choice_with_a_tap_is_held_to_the_tap() -> None:
    """A fixed choice that names a tap is only met at that tap."""
    rig, show, patch = BASES["house"]()
    show["fixed"].append({"into": "FOH.line[1-2]", "from": "FOH.mix[1-2]", "tap": "post"})
    assert told(rig, show, patch) == []
    show["fixed"][-1]["tap"] = "pre"
    assert names(told(rig, show, patch)) == ["fixed-ignored"]


@pytest.mark.parametrize(("fold", "number"), [("left", 5), ("right", 6)])
def test_a_folded_pair_is_one_of_its_legs(fold: str, number: int) -> None:
    """Folding to the left or the right lands that leg on one channel."""
    rig, show, patch = BASES["house"]()
    show["lists"] = [
        {"id": "foh", "position": "foh", "at": "FOH.ch", "wants": [{"signal": "oh", "fold": fold}]},
        {"id": "mon", "position": "mon", "at": "MON.ch", "wants": []},
    ]
    show["wishes"] = None
    setting = patch["settings"][0]
    leg = f"oh.{fold[0].upper()}"
    setting.update(spares=[], unmet=[], selections=[row for row in setting["selections"] if ".ch[" not in row["into"]])
    setting["routes"] = [row for row in setting["routes"] if row["to"] not in ("foh", "mon")]
    setting["gains"][1] = {"leg": "vox1", "at": "BOX.mic[2]"}
    setting["selections"].append(select("FOH.ch[1]", f"FOH.a.in[{number}]"))
    setting["routes"].append(
        route(leg, "foh", 1, f"BOX.mic[{number}] > BOX.mirror.out[{number}] > FOH.a.in[{number}] > FOH.ch[1]")
    )
    assert told(rig, show, patch) == []
    take(setting, "FOH.ch[1]", f"FOH.a.in[{11 - number}]")
    assert names(told(rig, show, patch)) == ["wrong-signal"]


# words and numbers


def test_a_message_gives_the_printed_mark_beside_the_number() -> None:
    """A socket whose mark is not its number is named by both."""
    rig, show, patch = BASES["house"]()
    rig["types"]["box"]["banks"]["mic"]["mark"] = ["A{1-8}", "B{1-8}"]
    patch["settings"][0]["plugs"]["vox2"] = "BOX.mic[9]"
    (found,) = [row for row in told(rig, show, patch) if row.rule == "plug-shared"]
    assert "BOX.mic[9] (printed B1)" in found.message


def test_what_is_lost_is_counted_and_named_behind_its_root() -> None:
    """One wrong block is one finding that names everything lost with it."""
    rig, show, patch = BASES["house"]()
    take(patch["settings"][0], "MON.intake[9-16]", "MON.a.in[9-16]")
    (found,) = told(rig, show, patch)
    assert dict(found.numbers)["behind it"] == 2
    assert found.where[-2:] == ("mon: pa.L", "mon: pa.R")


def test_a_wish_of_a_feed_may_be_left_if_it_is_said() -> None:
    """A destination with a priority may go without, named among the unmet."""
    rig, show, patch = BASES["house"]()
    of(show["feeds"], "wedge")["to"][0]["priority"] = 1
    setting = patch["settings"][0]
    drop(setting, "MON.a.out[1]")
    setting["routes"] = [row for row in setting["routes"] if row["to"] != "wedge"]
    assert names(told(rig, show, patch)) == ["wish-unsaid"]
    setting["unmet"].append("wedge: wedge")
    assert told(rig, show, patch) == []


def test_a_list_that_lands_nowhere_is_named() -> None:
    """A list whose bank the rig lacks, or lacks at this rate, is told once."""
    rig, show, patch = BASES["house"]()
    show["lists"].append({"id": "more", "position": "more", "at": "FOH.tape", "wants": [{"signal": "kick"}]})
    assert names(told(rig, show, patch)) == ["no-such-place"]
    show["lists"][-1]["at"] = "FOH.spare"
    rig["types"]["foh"]["banks"]["spare"] = {"slots": {"96000": 4}}
    assert names(told(rig, show, patch)) == ["rate-unsupported"]


def test_a_spare_that_is_no_address_is_no_spare() -> None:
    """Whatever is written there, a spare is a free socket or it is told."""
    rig, show, patch = BASES["house"]()
    patch["settings"][0]["spares"] = ["BOX.mic"]
    assert names(told(rig, show, patch)) == ["spare-not-free"]


def test_a_spare_without_a_position_to_reach_needs_only_be_free() -> None:
    """A spare that need not reach anybody is right when it is free."""
    rig, show, patch = BASES["house"]()
    show["wishes"]["spare"][0].pop("reaching")
    patch["settings"][0]["spares"] = ["BOX.mic[16]"]
    assert told(rig, show, patch) == []


def test_a_gain_nothing_bounds_may_stay_open() -> None:
    """Where nobody says how much is wanted, no gain is owed."""
    rig, show, patch = BASES["house"]()
    patch["settings"][0]["gains"].append({"leg": "di", "at": "BOX.mic[7]"})
    assert told(rig, show, patch) == []


def test_a_split_that_supplies_itself_needs_no_desk() -> None:
    """Phantom fed by the split powers what needs it, with every desk off."""
    rig, show, patch = BASES["copper"]()
    rig["types"]["split"]["banks"]["in"]["phantom_supply"] = True
    show["sources"][1]["phantom"] = "no"
    patch["settings"][0]["phantom"][3] = {"at": "MON.mic[1]"}
    assert told(rig, show, patch) == []


@pytest.mark.parametrize("cables", [[{"dc": "no"}, {"dc": "yes"}], [{"dc": "yes"}, {}]])
def test_direct_current_passes_when_one_of_two_cables_passes_it(cables: list[dict[str, str]]) -> None:
    """Cables of one link are in parallel."""
    rig, show, patch = BASES["copper"]()
    of(rig["links"], "D")["cables"] = cables
    assert told(rig, show, patch) == []


# the whole


def test_digests_are_those_of_the_documents() -> None:
    """A patch that carries the digests of its rig and show is right; with another rig it is not."""
    rig, show, patch = BASES["house"]()
    here, tonight = build(Rig, rig), build(Show, show)
    patch.update(rig=digest(dump(here)), show=digest(dump(tonight)))
    assert verify(here, tonight, build(Patch, patch)) == ()
    other = attrs.evolve(here, name="another")
    assert [row.where for row in verify(other, tonight, build(Patch, patch))] == [("rig",)]


def test_a_finding_names_its_period() -> None:
    """What is wrong in one act is told of that act."""
    rig, show, patch = BASES["acts"]()
    patch["settings"][2]["selections"] = []
    (found,) = told(rig, show, patch)
    assert (found.rule, found.period) == ("not-delivered", "second")
    assert str(found).startswith("stop not-delivered [second]: foh wants three")


def test_the_order_of_rows_changes_nothing() -> None:
    """Selections, routes and keys in any order give the same findings, and nothing given is altered."""
    rig, show, patch = BASES["house"]()
    setting = patch["settings"][0]
    take(setting, "MON.intake[9-16]", "MON.a.in[9-16]")
    drop(setting, "FOH.ch[1]")
    setting["plugs"]["ghost"] = "BOX.mic[13]"
    before = copy.deepcopy((rig, show, patch))
    right = told(rig, show, patch)
    assert (rig, show, patch) == before
    for seed in range(5):
        shuffle = random.Random(seed).shuffle
        for key in ("selections", "phantom", "gains", "owners", "clock"):
            shuffle(setting[key])
        setting["plugs"] = dict(sorted(setting["plugs"].items(), key=lambda row: hash((seed, row[0][-1]))))
        assert told(rig, show, patch) == right


@pytest.mark.parametrize("example", ["shared-stage", "truck", "small-church", "panel"])
def test_every_choice_of_a_solved_example_matters(example: str) -> None:
    """A solved example is not accused; with any one of its choices taken away, it is."""
    rig = patchloom.read_rig(EXAMPLES / example / "rig.json")
    show = patchloom.read_show(EXAMPLES / example / "show.json", rig)
    patch = patchloom.solve(rig, show)
    said = (patch.rig, patch.show)
    assert [row for row in verify(rig, show, patch, digests=said) if row.severity in ("stop", "safety")] == []
    setting = patch.settings[0]
    for number in range(len(setting.selections)):
        less = attrs.evolve(setting, selections=setting.selections[:number] + setting.selections[number + 1 :])
        found = verify(rig, show, attrs.evolve(patch, settings=(less, *patch.settings[1:])), digests=said)
        assert any(row.severity == "stop" for row in found), setting.selections[number]


@pytest.mark.parametrize("seed", range(40))
def test_a_planted_patch_is_not_accused(seed: int) -> None:
    """A patch that was drawn before its show was asked for is right, whatever it is made of."""
    planted = generate(seed)
    assert [str(row) for row in verify(planted.rig, planted.show, planted.patch) if row.severity != "note"] == []


def test_the_work_grows_with_the_slots_used_and_no_faster() -> None:
    """Function calls for each hop of a route stay within a narrow band from the smallest rig to the largest."""
    calls: list[tuple[int, float]] = []
    for seed in range(12):
        planted = generate(seed)
        hops = sum(len(row.hops) for setting in planted.patch.settings for row in setting.routes)
        made = 0

        def count(frame: Any, event: str, arg: Any) -> None:
            nonlocal made
            made += event == "call"

        sys.setprofile(count)
        try:
            verify(planted.rig, planted.show, planted.patch, digests=(planted.patch.rig, planted.patch.show))
        finally:
            sys.setprofile(None)
        calls.append((hops, made / hops))
    calls.sort()
    assert calls[-1][0] > 8 * calls[0][0]
    assert calls[-1][1] < 1.5 * sorted(each for _, each in calls)[len(calls) // 2]
    assert calls[-1][1] < 60


def test_nobody_is_no_place() -> None:
    """What nobody owns is told with the addresses concerned, and with no empty place among them."""
    rig, show, patch = BASES["house"]()
    patch["settings"][0]["owners"].append({"preamps": "FOH.ch[1]", "owner": ""})
    patch["settings"][0]["owners"].append({"preamps": "BOX.mic[1-16]", "owner": ""})
    found = {row.rule: row for row in told(rig, show, patch) if row.rule.startswith("owner")}
    assert found["owner-no-preamp"].where == ("FOH.ch[1]",)
    assert "owner-two" in found
    assert all(all(row.where) for row in found.values())
