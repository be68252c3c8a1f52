"""Routing rules as they are defined: what a rule may be, what it answers, what is said when it breaks."""

from __future__ import annotations

import attrs
import pytest

import patchloom
from patchloom import PluginError
from patchloom.address import Slot
from patchloom.model.rig import Cable, Device, Link, Rig
from patchloom.model.routing import Hop, Placement, Trail, routing_rule, rules_of
from patchloom.model.show import Group, List, Routing, Show, Source, Survives, Want

HOP = Hop("vox", "foh", "foh", Slot("BOX", "p1.out", 1), Slot("FOH", "a.in", 1), "K1", "")
RIG = Rig(
    devices={key: Device(type="x", power="left") for key in ("A", "B")},
    links=(
        Link("K1", join=("A.p", "FOH.a"), cables=(Cable(route="pit"),)),
        Link("K2", join=("B.p", "FOH.b"), cables=(Cable(route="pit"), Cable(route="roof"))),
        Link("K3", join=("B.q", "FOH.c"), cables=(Cable(route="pit"),)),
    ),
)
SHOW = Show(
    sources=(Source("lead"), Source("spare"), Source("keys", legs=("L", "R"))),
    lists=(List("foh", position="foh", at="FOH.ch", wants=(Want("lead"), Want("keys"))),),
)


def trail(leg: str, *things: str, to: str = "foh") -> Trail:
    devices = tuple(thing for thing in things if not thing.startswith("K"))
    return Trail(leg, to, False, devices, tuple(thing for thing in things if thing.startswith("K")), ())


def test_a_text_forbids_a_number_costs_and_none_is_fine() -> None:
    """The answer of a function becomes a veto, a cost that is never below 0, or nothing."""
    for said, veto, cost in (("no", "no", 0.0), (3, "", 3.0), (-2, "", 0.0), (None, "", 0.0), ("", "", 0.0), (False, "", 0.0)):
        rule = routing_rule(name="r", version="1")(lambda hop, said=said: said)  # type: ignore[misc]
        assert (rule.veto(HOP), rule.cost(HOP)) == (veto, cost)


def test_a_rule_is_asked_only_what_it_is_on() -> None:
    """A rule on placements is not asked about hops, nor one for some signals about others; legs belong to their signal."""
    on_plugs = routing_rule(name="r", version="1", on="placement")(lambda placement: "no")
    assert on_plugs.veto(HOP) == ""
    assert on_plugs.veto(Placement("vox", HOP.into)) == "no"
    some = routing_rule(name="r", version="1", signals="keys")(lambda hop: "no")
    assert some.veto(HOP) == ""
    assert some.veto(HOP._replace(leg="keys.L")) == "no"
    with pytest.raises(ValueError, match="hop or placement"):
        routing_rule(name="r", version="1", on="link")


def test_a_rule_that_breaks_is_named() -> None:
    """A function that raises, or answers out of contract, is named with its version and what it was asked."""
    with pytest.raises(PluginError, match=r"rule broken 7 raised KeyError at .*BOX"):
        routing_rule(name="broken", version="7")(lambda hop: {}["no"]).veto(HOP)
    with pytest.raises(PluginError, match=r"rule yes 1 answered True; a text forbids"):
        routing_rule(name="yes", version="1")(lambda hop: True).veto(HOP)
    with pytest.raises(PluginError, match=r"is no routing rule; put @routing_rule"):
        rules_of(RIG, SHOW, [lambda hop: None])


def test_no_rules_are_none_and_rows_may_be_passed() -> None:
    """A show without rules costs nothing; a row made in a program counts as one of the show; the patch names both kinds."""
    assert rules_of(RIG, SHOW) is None
    written = routing_rule(name="mine", version="3")(lambda hop: None)
    found = rules_of(RIG, SHOW, [Routing("far", "apart", ("lead", "spare")), written])
    assert found is not None
    assert found.names() == ("far", "mine 3")


def test_what_two_ways_share() -> None:
    """A device, a link, a supply, a run of cable; the device both end at is left out; a second run saves a link."""
    rules = rules_of(RIG, attrs.evolve(SHOW, groups=(Group("g", of=("lead", "spare"), relation="disjoint"),)))
    assert rules is not None
    (rule,) = rules.declared
    assert rules.clash(rule, trail("lead", "A", "FOH", "K1"), trail("spare", "A", "FOH", "K2")) == ("A",)
    assert rules.clash(rule, trail("lead", "A", "FOH", "K1"), trail("spare", "B", "FOH", "K2")) == ("supply left",)
    assert rules.clash(rule, trail("lead", "C", "FOH", "K1"), trail("spare", "B", "FOH", "K3")) == ("run pit",)
    assert rules.clash(rule, trail("lead", "C", "FOH", "K1"), trail("spare", "B", "FOH", "K2")) == ()
    assert rules.clash(rule, trail("lead", "A", "FOH", "K1"), trail("spare", "A", "FOH", "K1", to="mon")) == ()


def test_what_must_be_outlived_holds_for_what_a_list_wants() -> None:
    """Every leg a list wants is held to it, but for the signals excepted."""
    item = attrs.evolve(SHOW.lists[0], survives=(Survives("K1", ("lead",)),))
    rules = rules_of(RIG, attrs.evolve(SHOW, lists=(item,)))
    assert rules is not None
    (rule,) = rules.declared
    assert rule.legs == {"keys.L", "keys.R"}
    assert rule.speaks("keys.L", "foh")
    assert not rule.speaks("lead", "foh")


def test_a_device_named_alone_is_its_inside() -> None:
    """What comes to a port is not in the device until something takes it in; the port named by itself is what comes to it."""
    row = Routing("r", "forbid", ("lead",), ("FOH", "MON.a.in"))
    rules = rules_of(RIG, attrs.evolve(SHOW, routing=(row,)))
    assert rules is not None
    places = rules.declared[0].places
    assert places is not None
    assert [places.holds(Slot(*place)) for place in (("FOH", "a.in", 1), ("FOH", "intake", 1), ("MON", "a.in", 1))] == [
        False,
        True,
        True,
    ]


def test_the_decorator_is_public() -> None:
    """`patchloom.routing_rule` is the same function."""
    assert patchloom.routing_rule is routing_rule
