"""Which phantom switches are on: every source that needs it gets it from one supplier, and none that must not see it does.

Comes in: rig and show in one period, plugs, and the amplified sockets a plug's copper leads on to.
Goes out: `PhantomSet`s, or `Fact`s.  Next: `controls.py`.

A source behind a passive split may be fed by any of several switches, but by one only.  A switch that somebody behind it
must never see stays off; where a source has but one switch left, that one is on, and what that rules out follows; what is
still open is tried in the order of addresses.
"""

from __future__ import annotations

from collections.abc import Mapping

from patchloom.address import Slot, Span
from patchloom.finding import Fact
from patchloom.model.patch import PhantomSet
from patchloom.model.rig import Rig
from patchloom.model.show import Show, Source

__all__ = ["phantom_sets"]

_Groups = dict[Span, list[tuple[str, Source]]]
"""Sockets switched together to the legs that copper leads to them, by address."""


def phantom_sets(
    rig: Rig, show: Show, plugs: Mapping[str, Slot], feeds_on: Mapping[Slot, list[Slot]]
) -> tuple[list[PhantomSet], list[Fact]]:
    """Return every phantom switch that has something plugged in its group, and the facts that forbid one.

    `feeds_on` maps a plugged socket without an amplifier to the amplified sockets its copper leads on to, unbroken.
    """
    groups = _groups(rig, show, plugs, feeds_on)
    switches: dict[str, list[Span]] = {}
    for span, rows in groups.items():
        for leg in _needing(rows):
            switches.setdefault(leg, [])
            if not _never(rows):
                switches[leg].append(span)
    on: set[Span] = set()
    facts = _clashes(groups, [leg for leg, spans in switches.items() if not spans])
    for legs in _together({leg: spans for leg, spans in switches.items() if spans}):
        chosen = _choose({leg: switches[leg] for leg in legs}, frozenset())
        if chosen is None:
            facts.append(_no_choice(legs, switches))
        else:
            on |= chosen
    clashing = {fact.limit for fact in facts}
    found = []
    for span, rows in groups.items():
        if f"phantom of {span}" in clashing:
            continue
        because = _needing(rows) if span in on else _never(rows)
        unknown = tuple(leg for leg, source in rows if source.phantom == "unknown")
        found.append(PhantomSet(at=span, on=span in on, because=tuple(because), unknown=unknown))
    return found, facts


def _groups(rig: Rig, show: Show, plugs: Mapping[str, Slot], feeds_on: Mapping[Slot, list[Slot]]) -> _Groups:
    sources = {leg: source for source in show.sources for leg in source.leg_ids()}
    groups: _Groups = {}
    for leg, place in sorted(plugs.items(), key=lambda row: row[1]):
        for socket in [place, *feeds_on.get(place, ())]:
            bank = rig.type_of(socket.device).banks.get(socket.bank)
            preamp = rig.type_of(socket.device).preamps.get(bank.preamp) if bank is not None and bank.preamp else None
            if preamp is None or not preamp.phantom_by:
                continue
            first = (socket.number - 1) // preamp.phantom_by * preamp.phantom_by + 1
            span = Span(socket.device, socket.bank, first, first + preamp.phantom_by - 1)
            groups.setdefault(span, []).append((leg, sources[leg]))
    return dict(sorted(groups.items()))


def _needing(rows: list[tuple[str, Source]]) -> list[str]:
    return [leg for leg, source in rows if source.phantom == "need" and source.powered_by not in ("battery", "mains")]


def _never(rows: list[tuple[str, Source]]) -> list[str]:
    return [leg for leg, source in rows if source.phantom == "never"]


def _together(switches: Mapping[str, list[Span]]) -> list[list[str]]:
    """Return the legs that share switches, directly or through others, in lists of their own; in order."""
    legs_of: dict[Span, list[str]] = {}
    for leg, spans in switches.items():
        for span in spans:
            legs_of.setdefault(span, []).append(leg)
    seen: set[str] = set()
    parts = []
    for leg in switches:
        if leg in seen:
            continue
        seen.add(leg)
        part = [leg]
        for member in part:
            more = [other for span in switches[member] for other in legs_of[span] if other not in seen]
            for other in more:
                if other not in seen:
                    seen.add(other)
                    part.append(other)
        parts.append(part)
    return parts


def _choose(switches: Mapping[str, list[Span]], on: frozenset[Span]) -> frozenset[Span] | None:
    """Return switches of which each leg has exactly one, None where there are none; first what leaves no choice."""
    while True:
        fed = {leg for leg, spans in switches.items() if not on.isdisjoint(spans)}
        if any(len(on.intersection(spans)) > 1 for spans in switches.values()):
            return None
        shut = {span for leg in fed for span in switches[leg] if span not in on}
        open_ = {leg: [span for span in spans if span not in shut] for leg, spans in switches.items() if leg not in fed}
        if not open_:
            return on
        leg = min(open_, key=lambda name: len(open_[name]))
        if len(open_[leg]) > 1:
            tried = (_choose(switches, on | {span}) for span in open_[leg])
            return next((found for found in tried if found is not None), None)
        if not open_[leg]:
            return None
        on |= {open_[leg][0]}


def _clashes(groups: _Groups, bare: list[str]) -> list[Fact]:
    """Return each switch that legs with no other share with what must not see it."""
    facts = []
    for span, rows in groups.items():
        need, never = [leg for leg in _needing(rows) if leg in bare], _never(rows)
        if need:
            facts.append(
                Fact(
                    limit=f"phantom of {span}",
                    text=f"{span} is switched together, and {', '.join(need)} need phantom "
                    f"while {', '.join(never)} must never have it.",
                    asked=len(need),
                    there=0,
                    members=(*need, *never),
                )
            )
    return facts


def _no_choice(legs: list[str], switches: Mapping[str, list[Span]]) -> Fact:
    spans = list(dict.fromkeys(span for leg in legs for span in switches[leg]))
    return Fact(
        limit=f"phantom of {spans[0]}",
        text=f"{', '.join(legs)} need phantom from one supplier each, and no choice of "
        f"{', '.join(map(str, spans))} gives them that.",
        asked=len(legs),
        there=0,
        members=tuple(legs),
    )
