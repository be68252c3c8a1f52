"""Cases of the clock, each by its docstring.

Comes in: rigs of `words`.  Goes out: cases entered in `words.CASES`.  Next: `test_words.py`.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from patchloom.model.rig import Rig
from patchloom.solve.clock import clock_domains

from .words import WAYS, Data, case, lines, rig

__all__: list[str] = []


def clock(made: Rig) -> str:
    """Return the domains of a rig, and what is said against some."""
    return lines(*clock_domains(made))


def chain(*names: str, **row: Any) -> list[Data]:
    """Return links from each device to the next, out at p1 and in at p2."""
    return [{"join": [f"{one}.p1", f"{other}.p2"], **row} for one, other in pairwise(names)]


def named(*names: str) -> Data:
    """Return devices with nothing said of them."""
    return {name: {} for name in names}


@case
def _chain_middle() -> str:
    """clock: of three in a row the middle one leads"""
    return clock(rig(named("A", "B", "C"), chain("A", "B", "C")))


@case
def _named_leader() -> str:
    """clock: who is named leads, and the fallback is kept"""
    domains = {"main": {"rate": "48000000/1001", "leader": "C", "fallback": ["B", "A"]}}
    return clock(rig(named("A", "B", "C"), chain("A", "B", "C"), domains=domains))


@case
def _guest_last() -> str:
    """clock: who leaves or is a guest leads only where nobody else can"""
    devices = {"A": {}, "B": {"leaves": True}, "C": {"belongs_to": "guest"}}
    return clock(rig(devices, chain("A", "B", "C")))


@case
def _two_guests() -> str:
    """clock: a guest that also leaves comes after one that only leaves"""
    devices = {"A": {"leaves": True, "belongs_to": "guest"}, "B": {"leaves": True}}
    return clock(rig(devices, chain("A", "B")))


@case
def _only_guests() -> str:
    """clock: a guest leads where the house's own cannot"""
    devices = {"A": {"can_lead": False}, "B": {"belongs_to": "guest"}}
    return clock(rig(devices, chain("A", "B")))


@case
def _can_lead_by_type() -> str:
    """clock: a type that cannot lead does not; a device of it that can does"""
    types = {"weak": {"role": "box", "can_lead": False, "ports": {"p1": dict(WAYS), "p2": dict(WAYS)}}}
    return clock(rig({"A": {"type": "weak"}, "B": {"type": "weak", "can_lead": True}}, chain("A", "B"), types))


@case
def _nobody_leads() -> str:
    """clock: where nobody may lead, that is said"""
    return clock(rig({"A": {"can_lead": False}, "B": {"can_lead": False}}, chain("A", "B")))


@case
def _two_islands() -> str:
    """clock: what no link reaches is named, nearest to the one that reaches most"""
    return clock(rig(named("A", "B", "C", "D", "E"), chain("A", "B", "C") + [{"join": ["D.p1", "E.p2"]}]))


@case
def _leader_reaches_not() -> str:
    """clock: a named leader that does not reach all is named"""
    domains = {"main": {"rate": 48000, "leader": "D"}}
    return clock(rig(named("A", "B", "C", "D", "E"), chain("A", "B", "C") + [{"join": ["D.p1", "E.p2"]}], domains=domains))


@case
def _one_way() -> str:
    """clock: over one-way links only the first of the row leads"""
    return clock(rig(named("A", "B", "C"), chain("A", "B", "C", format="there")))


@case
def _against_one_way() -> str:
    """clock: nobody leads against a one-way link"""
    domains = {"main": {"rate": 48000, "leader": "B"}}
    return clock(rig(named("A", "B"), chain("A", "B", format="there"), domains=domains))


@case
def _link_set() -> str:
    """clock: a link set to carry audio only locks nobody; one that is set to carry clock does"""
    links = [{"join": ["A.p1", "B.p2"], "pass_": ["audio"]}, {"join": ["A.p3", "C.p4"], "pass_": ["clock"]}]
    return clock(rig(named("A", "B", "C"), links))


@case
def _format_without() -> str:
    """clock: a format that carries audio only needs a clock and brings none"""
    return clock(rig(named("A", "B"), chain("A", "B", format="mute")))


@case
def _clock_beside() -> str:
    """clock: a clock line beside locks what audio alone does not"""
    links = [*chain("A", "B", format="mute"), {"join": ["B.p5", "A.p6"], "format": "tick"}]
    types = {"box": {"role": "box", "ports": {f"p{number}": {"speaks": ["tick", "mute"]} for number in range(1, 7)}}}
    return clock(rig(named("A", "B"), links, types))


@case
def _alone() -> str:
    """clock: who shares no digital line keeps a clock of its own"""
    links = [*chain("A", "B"), {"join": ["C.p1", "D.p2"], "format": "wire"}, {"join": ["E.x[1]", "F.x[1]"], "format": ""}]
    return clock(rig(named("A", "B", "C", "D", "E", "F"), [*links, {"join": ["C.p3", "D.p4"], "format": "rein"}]))


@case
def _leader_alone() -> str:
    """clock: a named leader is one of its domain though no line joins it"""
    return clock(rig(named("A"), [], domains={"main": {"rate": 44100, "leader": "A"}}))


@case
def _nobody_there() -> str:
    """clock: a domain without devices is left out, the next is not"""
    return clock(rig({"A": {"domain": "b"}, "B": {"domain": "b"}}, chain("A", "B"), domains={"a": {"rate": 1}, "b": {"rate": 2}}))


@case
def _facts_and_domains() -> str:
    """clock: a domain that fails keeps no other from being set"""
    devices = {"A": {"domain": "a", "can_lead": False}, "B": {"domain": "b"}, "C": {"domain": "b"}, "D": {"domain": "a"}}
    links = [{"join": ["A.p1", "B.p1"]}, {"join": ["B.p3", "C.p3"]}, {"join": ["D.p4", "C.p4"]}]
    return clock(rig(devices, links, domains={"a": {"rate": 1}, "b": {"rate": 2}}))


@case
def _analogue() -> str:
    """clock: an analogue device needs none, though a digital line ends at it"""
    types = {"amp": {"role": "amplifier", "digital": False, "ports": {"p2": dict(WAYS)}}}
    return clock(rig({"A": {}, "B": {"type": "amp"}, "C": {}}, [{"join": ["A.p1", "B.p2"]}, {"join": ["A.p3", "C.p4"]}], types))


@case
def _port_ways() -> str:
    """clock: a port that only sends or only takes decides the direction"""
    types = {
        "tx": {"role": "box", "ports": {"p1": {"speaks": ["line"], "ways": "out"}}},
        "rx": {"role": "box", "ports": {"p2": {"speaks": ["line"], "ways": "in"}}},
    }
    return clock(rig({"A": {"type": "rx"}, "B": {"type": "tx"}}, [{"join": ["A.p2", "B.p1"]}], types))


@case
def _port_passes() -> str:
    """clock: what a port passes in and out decides as well"""
    types = {
        "gives": {"role": "box", "ports": {"p1": {"speaks": ["line"], "pass_": {"in": ["audio"], "out": ["audio", "clock"]}}}},
        "takes": {"role": "box", "ports": {"p2": {"speaks": ["line"], "pass_": {"in": ["clock"], "out": ["audio"]}}}},
    }
    return clock(rig({"A": {"type": "takes"}, "B": {"type": "gives"}}, [{"join": ["B.p1", "A.p2"]}], types))


@case
def _unknown_port() -> str:
    """clock: a link to a run of sockets or a port nobody has locks nobody; the links after it do"""
    links = [{"join": ["A.x[1-8]", "B.p2"]}, {"join": ["A.p1", "C.y[1]"]}, {"join": ["A.p3", "B.p4"]}, {"join": ["B.p5", "C.p6"]}]
    return clock(rig(named("A", "B", "C"), links))


@case
def _sections() -> str:
    """clock: each section of a converter follows in its own domain, by its own port"""
    types = {
        "src": {
            "role": "rate-converter",
            "clocks": ["in", "out"],
            "can_lead": False,
            "ports": {"a": {"speaks": ["line"], "clock": "in"}, "b": {"speaks": ["line"], "clock": "out"}},
        }
    }
    devices = {"A": {"domain": "a"}, "S": {"type": "src", "clocks": {"in": "a", "out": "b"}}, "Z": {"domain": "b"}}
    links = [{"join": ["A.p1", "S.a"]}, {"join": ["S.b", "Z.p1"]}]
    return clock(rig(devices, links, types, domains={"a": {"rate": 96000}, "b": {"rate": 48000}}))


@case
def _ring() -> str:
    """clock: round a ring each takes the shorter way, the lower link between equals"""
    links = [{"join": [f"{one}.p1", f"{other}.p2"]} for one, other in ("AB", "BC", "CD", "DA")]
    return clock(rig(named("A", "B", "C", "D"), [*links, {"join": ["A.p3", "B.p4"]}]))


@case
def _clock_line_only() -> str:
    """clock: a line that carries clock and nothing else joins two to one clock"""
    return clock(rig(named("A", "B"), chain("A", "B", format="tick")))


@case
def _half_a_way() -> str:
    """clock: a way needs both: a port that gives and a port that takes"""
    texts = []
    for port in (
        {"ways": "in"},
        {"ways": "out"},
        {"pass_": {"in": ["clock"], "out": []}},
        {"pass_": {"in": [], "out": ["clock"]}},
    ):
        types = {"half": {"role": "box", "ports": {"p2": {"speaks": ["line"], **port}}}}
        for leader in ("A", "B"):
            domains = {"main": {"rate": 48000, "leader": leader}}
            texts.append(clock(rig({"A": {}, "B": {"type": "half"}}, chain("A", "B"), types, domains=domains)))
    return "\n".join(texts)


@case
def _nearest_stays() -> str:
    """clock: of two that reach as much, the one that stays and is the house's is called nearest"""
    first = clock(rig({"A": {"leaves": True}, "B": {}}, chain("A", "B", format="mute")))
    return first + "\n" + clock(rig({"A": {"belongs_to": "guest"}, "B": {}}, chain("A", "B", format="mute")))
