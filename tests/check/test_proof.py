"""The data of a proof page: counts, states, waivers, capacities, and no more words than may be said."""

from __future__ import annotations

from typing import Any

from patchloom.check import check
from patchloom.check.proof import Proof, proof
from patchloom.check.verify import verify
from patchloom.finding import Finding
from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

from .bases import BASES


def proven(base: str = "house", spoil: Any = None) -> Proof:
    """Return the proof of a base, changed before by `spoil(rig, show, setting)`."""
    rig, show, patch = BASES[base]()
    if spoil is not None:
        spoil(rig, show, patch["settings"][0])
    made = build(Rig, rig), build(Show, show), build(Patch, patch)
    found = check(*made, found=verify(*made))
    return proof(*made, found, digest="sha256:patch")


def test_musts_and_wishes_are_counted_by_list_and_feed() -> None:
    """Each leg of a list's wants and of a feed's destinations counts once a period; wishes stand apart."""
    page = proven()
    rows = {row.to: row for row in page.demands}
    assert (rows["foh"].delivered, rows["foh"].asked) == (7, 7)
    assert (rows["foh"].wishes, rows["foh"].wished) == (1, 1)
    assert (rows["mon"].wishes, rows["mon"].wished) == (0, 1)
    assert (rows["ear"].delivered, rows["ear"].asked) == (2, 2)
    assert page.delivered == page.musts == sum(row.asked for row in page.demands)
    assert page.clean


def test_periods_add_up() -> None:
    """A list counts its wants in every period it is there."""
    (row,) = proven("acts").demands
    assert (row.delivered, row.asked) == (4, 4)


def test_what_does_not_arrive_is_named_and_ends_the_clean_stamp() -> None:
    """A must that is not carried is named with its period; a stop that nobody signed leaves no clean stamp."""

    def spoil(rig: Any, show: Any, setting: Any) -> None:
        setting["selections"] = [row for row in setting["selections"] if row["into"] != "FOH.ch[1]"]

    page = proven(spoil=spoil)
    rows = {row.to: row for row in page.demands}
    assert rows["foh"].delivered == 6
    assert rows["foh"].lost == ("foh: kick",)
    assert not page.clean
    assert dict(page.counts)["stop"] >= 1


def test_states_are_read_off_the_findings() -> None:
    """Found, checked, not checked with the missing field, in part, not applicable, not asked."""
    lacking = Finding("reach", "note", "Not checked, because x.", (), (("missing", "stock"),), kind="unchecked")
    idle = Finding("leader-stays", "note", "Not applicable: x.", kind="nothing")
    made = [build(kind, data) for kind, data in zip((Rig, Show, Patch), BASES["acts"](), strict=True)]
    page = proof(*made, (lacking, idle), rules=["reach", "block-leak", "leader-stays"])
    states = {row.name: row for row in page.states}
    assert (states["reach"].state, states["reach"].missing) == ("not checked", ("stock",))
    assert states["leader-stays"].state == "not applicable"
    assert states["one-feeder"].state == "checked"
    assert states["labels-collide"].state == "not asked"
    asked = {row.name: row for row in page.asked}
    assert asked["Reach"].state == "not checked"
    assert asked["Reach"].missing == ("stock",)
    assert asked["One feeder per point"].state == "checked"
    assert {row.name for row in page.of_state("not checked")} == {"Reach"}


def test_a_waiver_is_listed_with_what_it_covers() -> None:
    """Who, why and until, and the words of what was signed off; a waived stop leaves the stamp clean."""

    def spoil(rig: Any, show: Any, setting: Any) -> None:
        setting["selections"] = [row for row in setting["selections"] if row["into"] != "FOH.ch[1]"]
        show["waivers"] = [
            {"rule": "not-delivered", "where": ["foh"], "who": "A. Person", "why": "not tonight"},
            {"rule": "route-disagrees", "where": ["foh", "kick"], "who": "A. Person", "why": "not tonight"},
        ]

    page = proven(spoil=spoil)
    covered = [row for row in page.waivers if row.covers]
    assert len(covered) == 1
    assert covered[0].who == "A. Person"
    idle = next(row for row in page.waivers if not row.covers)
    assert "matches no finding" in idle.trouble[0]
    assert page.clean


def test_capacities_say_used_filled_and_most() -> None:
    """An intake counts blocks, a link slots each way, a pool what it says; filled counts what came along."""
    rows = {(row.kind, row.what): row for row in proven().capacities}
    intake = rows["intake", "MON.intake"]
    assert (intake.unit, intake.used, intake.most) == ("blocks", 2, 2)
    up = rows["link", "K1 BOX to MON"]
    assert up.most == 16
    assert up.used <= up.filled <= up.most
    assert up.free == up.most - up.filled
    assert rows["channels", "FOH.ch"].used == 8


def test_assumptions_and_digests_are_said() -> None:
    """What is not known and was assumed, and which documents it is about."""

    def spoil(rig: Any, show: Any, setting: Any) -> None:
        next(row for row in show["feeds"] if row["id"] == "pa").pop("of", None)
        show["sources"][0].pop("phantom", None)

    page = proven(spoil=spoil)
    said = " ".join(page.assumptions)
    assert "What pa" in said
    assert "need phantom is unknown" in said
    assert page.digests[2] == ("patch", "sha256:patch")
