"""What verify has nothing to look at is said, and nothing that was found is said to be nothing."""

from __future__ import annotations

from functools import cache
from typing import Any

from patchloom.check.applies import _CHECKS, _ENTRIES, entries_idle, idle
from patchloom.check.catalogue import ENTRY
from patchloom.check.look import looks
from patchloom.check.trade import SECOND, TRADE
from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

from .bases import BASES
from .faults import FAULTS, Fault
from .planting import planted
from .test_faults import spoiled
from .test_proof import proven

KNOWN = {name for _, _, names in _CHECKS for name in names.split()}


def bare(rig: Any, show: Any, setting: Any) -> None:
    """Take away the only digital line there is, and the clock it carries."""
    rig["links"] = [row for row in rig["links"] if row.get("format") != "wc"]
    setting["clock"] = []


def empty(rig: Any, show: Any, setting: Any) -> None:
    """Take away whatever can be taken."""
    rig["links"] = []
    show.update(sources=[], plug=[], lists=[], owners=[])
    for key in ("plugs", "mixes"):
        setting[key] = {}
    for key in ("selections", "routes", "clock", "owners", "gains", "phantom"):
        setting[key] = []


def more(rig: Any, show: Any, setting: Any) -> None:
    """Say that there is an ear mix, and that the house records."""
    show["feeds"][2]["kind"] = "ear"
    rig["types"]["foh"]["banks"]["ch"]["ends"] = "record"


def seen(base: str, spoil: Any = None) -> Any:
    """Return the looks at a right patch, perhaps changed."""
    rig, show, patch = BASES[base]()
    if spoil is not None:
        spoil(rig, show, patch["settings"][0])
    return looks(build(Rig, rig), build(Show, show), build(Patch, patch))


def test_names_are_those_of_the_catalogue() -> None:
    """Each check is one of verify's and stands once; each entry is one of the sixty or the second tier."""
    assert len(KNOWN) == sum(len(names.split()) for _, _, names in _CHECKS)
    assert {ENTRY[name].issuer for name in KNOWN} == {"verify"}
    assert {name for _, _, name in _ENTRIES} <= {row.name for row in (*TRADE, *SECOND)}


@cache
def faulty() -> tuple[tuple[Fault, Any], ...]:
    """Return a fault for each check that may be idle, and the looks at it."""
    rows = {fault.found: fault for fault in FAULTS if KNOWN.intersection(fault.found)}.values()
    return tuple((fault, looks(*planted(fault.base, fault.spoil)[0])) for fault in rows)


def test_no_check_that_finds_something_is_idle() -> None:
    """Whatever fault is planted, the check that finds it had something to look at."""
    for fault, seen_here in faulty():
        without = idle(seen_here)
        assert [row.rule for row in spoiled(fault) if row.rule in without] == [], fault.kind


def test_each_reason_is_given_somewhere_and_not_everywhere() -> None:
    """Among the faults and a rig of copper alone, each thing a check looks at is there once and once not."""
    rows = [look for _, seen_here in faulty() for look in seen_here]
    rows += [*seen("copper", bare), *seen("copper", empty), *seen("house", more)]
    for has, why, _ in (*_CHECKS, *_ENTRIES):
        assert {bool(has(look)) for look in rows} == {True, False}, why


def test_what_is_there_is_looked_at_and_what_is_not_is_said() -> None:
    """Copper alone has no clock and no links that carry channels; a house has both; each says why it does not apply."""
    copper, house = idle(seen("copper", bare)), idle(seen("house"))
    assert copper["clock-missing"] == "no two devices share a digital line"
    assert copper["link-capacity"] == "no cable carries channels"
    assert "phantom-isolated" not in copper
    assert "clock-missing" not in house
    assert house["phantom-isolated"] == "no source that needs phantom comes through copper"
    assert house["rate-crossing"] == "there is one clock domain"
    assert "rate-crossing" not in idle(seen("border"))
    assert "plug-moved-in-scene" not in idle(seen("acts"))
    assert entries_idle(seen("copper"))["Stereo adjacent odd and even"] == "nothing is stereo"
    assert "Stereo adjacent odd and even" not in entries_idle(seen("house"))


def test_the_proof_says_not_applicable_with_the_reason() -> None:
    """A check with nothing to look at does not pass for one that looked, and neither does an entry."""
    page = proven("copper", bare)
    state = next(row for row in page.states if row.name == "clock-loop")
    assert (state.state, state.because) == ("not applicable", ("Not applicable: no two devices share a digital line.",))
    asked = {row.name: row.state for row in page.asked}
    assert asked["No clock loop"] == asked["Ear mix path complete"] == asked["Bus count a position"] == "not applicable"
    assert asked["One plug per socket"] == "checked"


def test_an_entry_something_was_found_for_applies() -> None:
    """Where one of an entry's checks has found something, it is found, whatever the entry is about."""

    def spoil(rig: Any, show: Any, setting: Any) -> None:
        setting["mixes"] = {"ghost": "FOH.mix[1]"}

    page = proven("house", spoil)
    assert {row.name: row.state for row in page.asked}["Bus count a position"] == "found"
