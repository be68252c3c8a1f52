"""The data of a proof page: what was asked and delivered, what was checked and what not, and on whose word.

Comes in: rig, show, patch, the findings of verify and the rules.  Goes out: one frozen `Proof`; no words of a page but
`WORDS`.  Next: the paper that prints it, `cli`.

Nothing is judged here: states are read off the findings, deliveries are counted from what the selections carry.
Never say more of it than `WORDS` does.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import attrs

from patchloom.check.applies import entries_idle, idle
from patchloom.check.capacity import Use, uses
from patchloom.check.catalogue import ENTRIES, ENTRY
from patchloom.check.look import Look, looks
from patchloom.check.trade import SECOND, TRADE, TradeEntry
from patchloom.finding import SEVERITIES, Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Feed, Show, Source, Waiver

__all__ = ["WORDS", "Asked", "Demand", "Proof", "Signed", "State", "Use", "proof"]

WORDS = "checked against the rules listed, with the data given"
"""All that a proof page may claim."""


@attrs.frozen
class Demand:
    """What one list asks for, or one feed's destinations, over all periods it is there."""

    to: str
    """List, or feed."""
    position: str
    """Who hears it; the position that mixes a feed."""
    delivered: int
    """Legs of musts delivered, one counted for each period."""
    asked: int
    wishes: int
    """Legs of wishes delivered."""
    wished: int
    lost: tuple[str, ...]
    """Musts not delivered, as `act2 foh: kick`."""


@attrs.frozen
class State:
    """How one rule or check came out."""

    name: str
    severity: str
    issuer: str
    says: str
    state: str
    """`found`, `checked`, `in part` (something found or looked at, and something not), `not checked`, `not applicable`,
    or `not asked`."""
    found: int
    """Findings, waived ones left out."""
    waived: int
    missing: tuple[str, ...]
    """Fields the documents do not give."""
    because: tuple[str, ...]
    """Why it was not checked or does not apply, in the rule's words."""
    worst: str
    """The gravest severity found, waived ones left out; "" for none."""


@attrs.frozen
class Asked:
    """One entry of the sixty, with the states of its issuers folded into one."""

    section: str
    name: str
    severity: str
    """The gravest that was found; where nothing was, the gravest it could be."""
    issuers: tuple[str, ...]
    state: str
    """As in `State`; the most telling of its issuers': found, not checked, in part, checked, not applicable."""
    found: int
    missing: tuple[str, ...]


@attrs.frozen
class Signed:
    """One waiver and what it holds for."""

    number: int
    rule: str
    where: tuple[str, ...]
    who: str
    why: str
    until: str
    covers: tuple[str, ...]
    """Messages of the findings it was written on; empty for one that holds for nothing."""
    trouble: tuple[str, ...]
    """What is said of the waiver itself: unused, expired, too broad, unclear, unknown."""


@attrs.frozen
class Proof:
    """Everything a proof page says."""

    words: str
    clean: bool
    """Whether no finding of severity stop or safety is left without a waiver, and none of severity stop was broken off."""
    demands: tuple[Demand, ...]
    counts: tuple[tuple[str, int], ...]
    """Severity to findings not waived, gravest first; nought is said too."""
    states: tuple[State, ...]
    """Every rule and check that took part, in the order of the catalogue, strangers' rules last."""
    asked: tuple[Asked, ...]
    """The sixty entries, then the second tier."""
    waivers: tuple[Signed, ...]
    capacities: tuple[Use, ...]
    assumptions: tuple[str, ...]
    unhonoured: tuple[str, ...]
    digests: tuple[tuple[str, str], ...]
    """(rig, show, patch) to digest; what the patch itself names for the first two."""

    @property
    def delivered(self) -> int:
        """Return how many legs of musts are delivered in all."""
        return sum(row.delivered for row in self.demands)

    @property
    def musts(self) -> int:
        """Return how many legs of musts are asked for in all."""
        return sum(row.asked for row in self.demands)

    def of_state(self, *states: str) -> tuple[Asked, ...]:
        """Return the entries in one of the states."""
        return tuple(row for row in self.asked if row.state in states)


def proof(
    rig: Rig, show: Show, patch: Patch, findings: Iterable[Finding], *, digest: str = "", rules: Iterable[str] | None = None
) -> Proof:
    """Return the data of a proof page.

    `findings` are verify's and the rules', waivers applied, as `pipeline.judge` returns them.  `digest` is the patch's.
    `rules` are the names of the rules that took part; None: those of this package and whoever has a finding.
    """
    rows = tuple(findings)
    seen = looks(rig, show, patch)
    states = _states(rows, rules, idle(seen))
    by_name = {row.name: row for row in states}
    no_entry = entries_idle(seen)
    left = [row for row in rows if not row.waived]
    return Proof(
        words=WORDS,
        clean=not any(row.severity in ("stop", "safety") for row in left),
        demands=_demands(seen),
        counts=tuple((word, sum(row.severity == word and row.kind == "found" for row in left)) for word in SEVERITIES),
        states=states,
        asked=tuple(_asked(row, by_name, no_entry) for row in (*TRADE, *SECOND)),
        waivers=tuple(_signed(number, row, rows) for number, row in enumerate(show.waivers, 1)),
        capacities=uses(seen),
        assumptions=_assumptions(rig, show, seen),
        unhonoured=patch.unhonoured,
        digests=(("rig", patch.rig), ("show", patch.show), ("patch", digest)),
    )


# states


def _states(rows: tuple[Finding, ...], rules: Iterable[str] | None, no_use: dict[str, str]) -> tuple[State, ...]:
    ours = [entry.name for entry in ENTRIES if entry.issuer != "check"]
    took = set(ours) if rules is None else {entry.name for entry in ENTRIES if entry.issuer == "verify"} | set(rules)
    by_rule: dict[str, list[Finding]] = {}
    for row in rows:
        by_rule.setdefault(row.rule, []).append(row)
    own = {entry.name for entry in ENTRIES if entry.issuer == "check"}
    others = [name for name in dict.fromkeys((*(rules or ()), *by_rule)) if name not in ENTRY and name not in own]
    return tuple(
        _state(name, by_rule.get(name, []), name in took or name in others, no_use.get(name, "")) for name in (*ours, *others)
    )


def _state(name: str, rows: list[Finding], took: bool, no_use: str) -> State:
    """Return how a check came out; `no_use` says why one of verify's had nothing to look at."""
    entry = ENTRY.get(name)
    found = [row for row in rows if row.kind == "found"]
    lacks = [row for row in rows if row.kind == "unchecked"]
    nothing = [row for row in rows if row.kind == "nothing"]
    missing = tuple(dict.fromkeys(str(value) for row in lacks for key, value in row.numbers if key == "missing"))
    if not took:
        state = "not asked"
    elif lacks:
        state = "in part" if found or _partly(lacks) else "not checked"
    elif nothing or (no_use and not found):
        state = "not applicable"
    else:
        state = "found" if any(not row.waived for row in found) else "checked"
    return State(
        name,
        entry.severity if entry else (found[0].severity if found else ""),
        entry.issuer if entry else "rule",
        entry.says if entry else "",
        state,
        sum(not row.waived for row in found),
        sum(bool(row.waived) for row in found),
        missing,
        tuple(dict.fromkeys((*(row.message for row in (*lacks, *nothing)), *_why_not(no_use, found)))),
        min((row.severity for row in found if not row.waived), key=SEVERITIES.index, default=""),
    )


def _why_not(no_use: str, found: list[Finding]) -> tuple[str, ...]:
    return (f"Not applicable: {no_use}.",) if no_use and not found else ()


def _partly(lacks: list[Finding]) -> bool:
    """Return whether something was looked at although something else could not be, as the numbers of a rule say."""
    numbers = [dict(row.numbers) for row in lacks]
    return any(row.get("things seen", 0) > row.get("not checked", 0) for row in numbers)


_TELLING = ("found", "not checked", "in part", "checked", "not asked", "not applicable")


def _asked(entry: TradeEntry, states: dict[str, State], no_entry: dict[str, str]) -> Asked:
    mine = [states[name] for name in entry.issuers if name in states]
    reading = any(name.startswith("reading:") or name == "solve" for name in entry.issuers)
    found = sum(row.found for row in mine)
    words = ["found" if row.found else row.state for row in mine]
    if not mine:
        words = ["checked" if reading else "not asked"]
    elif entry.name in no_entry and not found:
        words = ["not applicable"]
    return Asked(
        entry.section,
        entry.name,
        min((row.worst for row in mine if row.worst), key=SEVERITIES.index, default=entry.severity),
        entry.issuers,
        min(words, key=_TELLING.index),
        found,
        tuple(dict.fromkeys(field for row in mine for field in row.missing)),
    )


# demands


def _demands(seen: tuple[Look, ...]) -> tuple[Demand, ...]:
    rows: dict[str, dict[str, Any]] = {}
    for look in seen:
        for to, position, name, must, there in _wanted(look):
            row = rows.setdefault(to, {"position": position, "must": [0, 0], "wish": [0, 0], "lost": []})
            count = row["must" if must else "wish"]
            count[0] += there
            count[1] += 1
            if must and not there:
                row["lost"].append(f"{look.period} {name}".strip())
    return tuple(
        Demand(to, row["position"], row["must"][0], row["must"][1], row["wish"][0], row["wish"][1], tuple(row["lost"]))
        for to, row in rows.items()
    )


def _wanted(look: Look) -> Iterable[tuple[str, str, str, bool, bool]]:
    """Yield (list or feed, position, name, whether a must, whether delivered) for each leg asked for."""
    there = {
        (row.to, row.entry, row.leg, row.alternate)
        for row in look.deliveries
        if look.leg(row.end, row.alternate) == row.leg and row.hops
    }
    for item in look.show.lists:
        for entry, want in enumerate(item.wants, 1):
            for leg in _legs(look.signals.get(want.signal), want.leg, want.fold) if want is not None else ():
                must = want is not None and want.priority is None
                yield item.id, item.position, f"{item.id}: {leg}", must, (item.id, entry, leg, False) in there
            for leg in _legs(look.signals.get(want.alternate), "", "") if want is not None and want.alternate else ():
                must = want is not None and want.priority is None
                yield item.id, item.position, f"{item.id}: {leg}", must, (item.id, entry, leg, True) in there
    for feed in look.show.feeds:
        for entry, place in enumerate(feed.to, 1):
            for leg in feed.leg_ids():
                yield feed.id, feed.mixed_at, f"{feed.id}: {leg}", place.priority is None, (feed.id, entry, leg, False) in there


def _legs(signal: Source | Feed | None, leg: str, fold: str) -> tuple[str, ...]:
    if signal is None:
        return ()
    legs = signal.leg_ids()
    if leg and signal.legs:
        return (f"{signal.id}.{leg}",)
    if fold and len(legs) > 1:
        return {"left": legs[:1], "right": legs[1:2]}.get(fold, legs)
    return legs


# waivers


def _signed(number: int, waiver: Waiver, rows: tuple[Finding, ...]) -> Signed:
    mark = f"{waiver.who}: {waiver.why}"
    covers = tuple(row.message for row in rows if row.rule == waiver.rule and row.waived == mark)
    trouble = tuple(row.message for row in rows if row.rule.startswith("waiver-") and f"waiver {number}" in row.where)
    return Signed(number, waiver.rule, waiver.where, waiver.who, waiver.why, waiver.until, covers, trouble)


# assumptions


def _assumptions(rig: Rig, show: Show, seen: tuple[Look, ...]) -> tuple[str, ...]:
    said = []
    mixed = dict.fromkeys(key for look in seen for key, row in look.mixing.items() if row.assumed)
    if mixed:
        said.append(f"What {_words(mixed)} contain is not said: all that can reach the desk that mixes them is assumed.")
    phantom = [row.id for row in show.sources if row.phantom == "unknown"]
    if phantom:
        said.append(f"Whether {_words(phantom)} need phantom is unknown: neither need nor harm is assumed.")
    loud = [row.id for row in show.sources if row.want_db and row.peak_dbu is None]
    if loud:
        said.append(f"How loud {_words(loud)} get is unknown: headroom is not known for them.")
    used = dict.fromkeys(row.format for look in seen for row in look.rig.links if row.format)
    rough = [name for name in used if name in rig.formats and rig.formats[name].standing != "standard"]
    if rough:
        said.append(f"Channels of {_words(rough)} are typical of the trade, from no open standard.")
    kinds = dict.fromkeys(row.type for row in rig.devices.values())
    typical = [name for name in kinds if name in rig.types and not rig.types[name].source]
    if typical:
        said.append(f"Numbers of device types {_words(typical)} are typical, from no data sheet named.")
    return tuple(said)


def _words(names: Iterable[str]) -> str:
    rows = list(names)
    return ", ".join(rows[:12]) + (f" and {len(rows) - 12} more" if len(rows) > 12 else "")
