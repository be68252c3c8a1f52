"""The small parts of the testing package, each by itself."""

from __future__ import annotations

import datetime
import gc
import os
import random
import time
from random import Random
from typing import Any

import attrs
import pytest

from patchloom.address import Slot
from patchloom.errors import Undecided
from patchloom.model.base import Table, build
from patchloom.model.patch import Selection, Setting
from patchloom.model.rig import Rig
from patchloom.model.show import Show
from patchloom.testing import settle, trial, watch
from patchloom.testing.flow import Flow
from patchloom.testing.generate import generate
from patchloom.testing.known import Known
from patchloom.testing.plan import Box, Chain, Node, Plan
from patchloom.testing.sources import Room


def a_rig(**more: Any) -> Rig:
    """Return a box of eight on a desk that chooses four at a time and hands on slot by slot."""
    data: dict[str, Any] = {
        "domains": {"main": {"rate": 48000}},
        "formats": {"six": {"channels": {"48000": 6}}},
        "types": {
            "box": {
                "banks": {"in": {"slots": 8, "socket": "in"}},
                "ports": {"main": {"speaks": ["six"]}},
                "select": [{"into": "main.out", "wired": "in"}],
            },
            "desk": {
                "banks": {"ch": {"slots": 8}, "few": {"slots": 2}},
                "ports": {"a": {"speaks": ["six"], "slots": {"in": 5, "out": 8}}, "b": {"speaks": ["six"]}},
                "select": [
                    {"into": "ch", "from": ["few", "a.in"], "by": 4},
                    {"into": "b.out[2-3]", "from": ["b.in", "a.in[2-4]"]},
                    {"into": "few[2]", "wired": "few[1]"},
                    {"into": "few[1]", "wired": "few[2]"},
                ],
            },
        },
        "devices": {"BOX": {"type": "box"}, "FOH": {"type": "desk"}},
        "links": [{"id": "K", "join": ["BOX.main", "FOH.a"], "format": "six"}],
    }
    built: Rig = build(Rig, {**data, **more})
    return built


def flow(*choices: tuple[str, str]) -> Flow:
    """Return the walker of a patch with sources on every socket and these choices."""
    plugs = {f"s{number}": Slot("BOX", "in", number) for number in range(1, 9)}
    rows = tuple(Selection(into, taken) for into, taken in choices)  # type: ignore[arg-type]
    return Flow(a_rig(), Setting(plugs=Table(plugs), selections=rows))


def test_the_walker_follows_choices_links_and_wires() -> None:
    """A channel's leg is found over a choice, a link and a wired row, with every slot passed."""
    leg, hops = flow(("FOH.ch[5-8]", "FOH.a.in[1-4]")).at(Slot("FOH", "ch", 7))
    assert leg == "s3"
    assert [str(hop) for hop in hops] == ["BOX.in[3]", "BOX.main.out[3]", "FOH.a.in[3]", "FOH.ch[7]"]


@pytest.mark.parametrize("place", ["FOH.ch[1]", "FOH.a.in[6]", "FOH.b.in[1]", "FOH.few[1]", "BOX.main.out[8]"])
def test_nothing_arrives_where_nothing_leads(place: str) -> None:
    """Unchosen channels, slots beyond a port, unjoined ports and circles hold nothing; a box has its own beyond its link."""
    device, rest = place.split(".", 1)
    bank, number = rest.rstrip("]").split("[")
    leg, _ = flow().at(Slot(device, bank, int(number)))
    assert leg == ("s8" if device == "BOX" else "")


@pytest.mark.parametrize(
    "choice",
    [
        ("FOH.ch[1-4]", "FOH.a.in[2-5]"),
        ("FOH.ch[2-5]", "FOH.a.in[1-4]"),
        ("FOH.ch[1-8]", "FOH.a.in[1-8]"),
        ("FOH.ch[9-12]", "FOH.a.in[1-4]"),
        ("FOH.ch[1-4]", "FOH.b.in[1-4]"),
        ("FOH.ch[1-4]", "BOX.in[1-4]"),
        ("FOH.ch[1-4]", "FOH.few[1-4]"),
        ("FOH.b.out[1]", "FOH.a.in[2]"),
        ("FOH.b.out[2]", "FOH.a.in[5]"),
    ],
)
def test_choices_no_row_allows_are_mistakes(choice: tuple[str, str]) -> None:
    """Runs out of step, too long, beyond their bank, from elsewhere or outside a row's runs are refused."""
    with pytest.raises(AssertionError, match="no select row allows"):
        flow(choice)


def test_a_short_run_and_a_part_of_a_run_may_be_chosen() -> None:
    """A run may be cut to what exists."""
    assert flow(("FOH.ch[5]", "FOH.a.in[5]")).at(Slot("FOH", "ch", 5))[0] == "s5"


def test_a_slot_chosen_twice_is_a_mistake() -> None:
    """Two choices for one slot are refused."""
    with pytest.raises(AssertionError, match="is chosen twice"):
        flow(("FOH.ch[1-4]", "FOH.a.in[1-4]"), ("FOH.ch[1-4]", "FOH.a.in[1-4]"))


def test_the_clock_does_not_run_against_a_one_way_link() -> None:
    """Led from the lower end of a pair of one-way links, the upper end follows over the link that comes up."""
    row = next(
        row
        for row in (generate(seed, desks=2, sources=4, features=("one-way", "slots")) for seed in range(9))
        if any(link.id == "T-DESK2-back" for link in row.rig.links)
    )
    main = attrs.evolve(row.rig.domains["main"], leader="DESK2")
    (domain,) = settle._clock(attrs.evolve(row.rig, domains=Table({"main": main})))
    assert {follower.device: follower.link for follower in domain.followers}["DESK1"] == "T-DESK2-back"


def test_a_box_grows_when_no_pair_fits_any_more() -> None:
    """Sockets never run out: the last box of a chain, and what its mirror carries, gets a block more."""
    plan = Plan(Random(1), frozenset())
    plan.nodes["DESK1"] = Node("DESK1", "slots")
    plan.chains["BOX1"] = Chain("BOX1", [Box("BOX1", 8)], "DESK1", "a", "DESK2", "b", 8)
    room = Room(plan)
    firsts = [room.place(2)[1] for _ in range(5)]
    assert sorted(firsts) == [1, 3, 5, 7, min(set(firsts) - {1, 3, 5, 7})]
    assert (plan.chains["BOX1"].boxes[0].inputs, plan.chains["BOX1"].mirror_carries) == (16, 16)
    plan.chains["BOX1"].mirror = ""
    for _ in range(4):
        room.place(2)
    assert plan.chains["BOX1"].boxes[0].inputs == 24
    assert plan.chains["BOX1"].mirror_carries == 16


@pytest.mark.parametrize(
    ("text", "there"),
    [
        ("", True),
        ("BOX", True),
        ("K", True),
        ("kick", True),
        ("two words", True),
        ("FOH.a", True),
        ("FOH.a.in[900]", True),
        ("BOX.in[8]", True),
        ("BOX.in", True),
        ("BOX.in[9]", False),
        ("BOX.out[1]", False),
        ("NONE.in[1]", False),
        ("?", False),
        ("FOH.z.in", False),
        ("FOH.a.up", False),
    ],
)
def test_what_is_known(text: str, there: bool) -> None:
    """Ids and addresses of the rig and the show are known; port slots are not counted; nothing else is."""
    assert Known(a_rig(), build(Show, {"sources": [{"id": "kick"}]})).has(text) is there


def test_stray_addresses_in_a_text() -> None:
    """Numbered addresses of a device that is there are checked; backward runs and other devices are let be."""
    known = Known(a_rig(), Show())
    assert list(known.strays("BOX.in[8] BOX.in[9], BOX.in[9] and BOX.in[8-2], NONE.in[1]")) == ["BOX.in[9]"]


@pytest.mark.parametrize(
    ("called", "words"),
    [
        (time.time, "reads the clock (time.time)"),
        (datetime.datetime.now, "reads the clock (datetime.now)"),
        (os.urandom, "throws dice (os.urandom)"),
        (random.random, "throws dice (random.random)"),
        (random.Random(1).random, ""),
        (random.seed, ""),
        (len, ""),
        (time.sleep, ""),
    ],
)
def test_calls_that_are_unsteady(called: Any, words: str) -> None:
    """Clocks and shared dice have words; one's own dice and other calls have none."""
    assert watch._unsteady(called) == words


def test_an_ear_hears_only_while_it_listens() -> None:
    """Nothing is noted before or after; opening to read is not writing."""
    ear = watch._Ear()
    ear.audit("os.mkdir", ())
    ear.profile(None, "c_call", time.time)
    ear.heard = {}
    ear.audit("open", ("in", "r", 0))
    ear.audit("open", ("in", None, os.O_RDONLY))
    ear.audit("open", ("in", None, None))
    ear.audit("import", ())
    ear.profile(None, "c_call", len)
    ear.profile(None, "call", time.time)
    assert ear.heard == {}
    ear.audit("open", ("out", "w", 0))
    ear.audit("open", ("fd", None, os.O_RDWR))
    ear.audit("os.mkdir", ())
    ear.profile(None, "c_call", time.time)
    assert list(ear.heard) == ["writes the file out", "writes the file fd", "does os.mkdir", "reads the clock (time.time)"]


def test_a_watch_leaves_the_collector_as_it_was() -> None:
    """Garbage collection is off while watching, and is what it was before afterwards."""
    assert watch.watched(gc.isenabled) == (False, [])
    assert gc.isenabled()
    gc.disable()
    try:
        watch.watched(gc.isenabled)
        assert not gc.isenabled()
    finally:
        gc.enable()


def test_a_trial_names_what_failed(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """Questions left open, crashes and answers the judge objects to are each named by seed, and the status says so."""
    from patchloom import pipeline
    from patchloom.model.patch import Patch

    answers = iter((Undecided(("no idea",)), RuntimeError("broken"), Patch()))

    def solve(*_: Any, **__: Any) -> Patch:
        answer = next(answers)
        if isinstance(answer, Exception):
            raise answer
        return answer

    monkeypatch.setattr(pipeline, "solve", solve)
    assert trial.run(1, 3) == 1
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "seed 1: Undecided: 'no idea'"
    assert lines[1] == "seed 2: RuntimeError: broken"
    assert lines[2].startswith("seed 3: stop period-missing")
    assert lines[3] == "solved and verified 0 of 3, seeds 1 to 3"
