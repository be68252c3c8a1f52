"""What follows from a fault is folded under it: where `verify` names the root, a rule need not say it again.

Comes in: findings of verify and of the rules.  Goes out: the same, what is implied folded away and named at its root.
Next: `check.check`, before waivers.

`ROOTS` says, rule by rule, which checks may be its cause; folded is only what shares a place with such a finding in the
same period: an address, a signal, a link, a device, or a slot on the way of a signal named.  When the root is mended,
what is still wrong speaks for itself.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

import attrs

from patchloom.address import slot
from patchloom.check.look import Look
from patchloom.finding import Finding

__all__ = ["ROOTS", "folded"]

_SLOT = re.compile(r"^[\w-]+(?:\.[\w-]+){1,2}\[[0-9]+\]$")

_PLACES = "no-such-place device-absent link-absent out-of-range rate-unsupported"
_CHOICES = "no-select-row select-misaligned select-length tap-unknown tap-not-raw tap-not-allowed one-feeder signal-loop"
_LINKS = "link-capacity link-direction framing-mismatch rate-crossing converts-missing"
_ENTRIES = (
    "plug-unknown plug-no-socket plug-not-allowed plug-shared plug-missing mix-unknown mix-not-sum mix-elsewhere mix-shared "
    "mix-missing insert-send-wrong insert-return-taken fixed-ignored"
)
_WANTS = (
    "list-too-long not-delivered wrong-signal legs-swapped wrong-channel outside-within gap-not-empty alternate-wrong "
    "want-absent must-unmet feed-not-delivered feed-wrong-place route-unknown route-disagrees route-missing"
)
_CLOCK = (
    "clock-no-row clock-unknown-domain clock-no-leader clock-two-leaders clock-cannot-lead clock-leader-unlike "
    "clock-fallback-unlike clock-not-joined clock-not-passed clock-wrong-domain clock-two-inputs clock-loop clock-broken "
    "clock-missing"
)
_OWNERS = (
    "owner-unknown owner-no-preamp owner-two owner-finer owner-unlike-show owner-door owner-path owner-unreachable "
    "owner-cannot-control owner-missing"
)
_GAINS = (
    "gain-missing gain-range gain-step gain-headroom gain-fixed gain-trim gain-trim-range gain-interval gain-margin gain-place"
)
_PHANTOM = (
    "phantom-need-off phantom-never-on phantom-clash phantom-isolated phantom-dc-unknown phantom-two-suppliers phantom-group "
    "phantom-no-switch phantom-unsaid"
)
_RELATIONS = "not-together not-disjoint not-apart not-one-box not-in-order summed-unlike loss-not-survived"
_CARRIED = " ".join((_PLACES, _CHOICES, _LINKS, _ENTRIES, _WANTS))

ROOTS: dict[str, frozenset[str]] = {
    rule: frozenset(" ".join(checks).split())
    for rule, checks in {
        "demand-without-source": (_CARRIED, _CLOCK),
        "unused-but-patched": (_CARRIED, _CLOCK),
        "duplicate-channel": (_CARRIED,),
        "block-leak": (_CARRIED,),
        "stereo-adjacent": (_CARRIED,),
        "stereo-legs-alike": (_CARRIED, _GAINS, _PHANTOM, _RELATIONS),
        "width-folds-stated": (_CARRIED,),
        "split-paths-aligned": (_CARRIED, _RELATIONS),
        "coherent-group": (_CARRIED, _RELATIONS),
        "monitor-budget": (_CARRIED,),
        "insert-latency": ("insert-send-wrong insert-return-taken",),
        "pass-through-dependence": ("loss-not-survived",),
        "framing-unsaid": (_LINKS, _PLACES),
        "leader-stays": (_CLOCK,),
        "fallback-reaches": (_CLOCK,),
        "clock-line-ended": (_CLOCK,),
        "owner-awake": (_OWNERS,),
        "takeover-known": (_OWNERS,),
        "front-end-shared": (_OWNERS, _GAINS),
        "tracking-mixed": (_OWNERS, _GAINS),
        "trim-margin": (_GAINS,),
        "converter-headroom": (_GAINS,),
        "di-powered": (_PHANTOM,),
        "phantom-current": (_PHANTOM,),
        "phantom-unresolved": (_PHANTOM,),
        "passive-split-loading": (_CARRIED,),
        "feed-comes-back": (_CARRIED,),
        "n-minus-one": (_CARRIED,),
        "ear-path-complete": (_CARRIED,),
        "talk-reaches": (_CARRIED,),
        "talk-kept-out": (_CARRIED,),
        "record-order": (_CARRIED,),
        "spare-line-per-box": ("spare-not-free spare-not-reaching", _CARRIED),
        "unmuted-repatch": (_CARRIED,),
        "level-and-connector-fit": ("one-feeder", _ENTRIES, _PLACES),
    }.items()
}
"""Rule to the checks of verify that may be its cause."""


def folded(findings: Iterable[Finding], seen: Iterable[Look]) -> list[Finding]:
    """Return findings with what follows from a check of verify folded under it; `seen` are the looks at all periods."""
    rows = list(findings)
    settings = {look.period: look for look in seen}
    reach: dict[int, set[str]] = {}
    behind: dict[int, dict[str, None]] = {}
    kept: list[Finding] = []
    roots = [row for row in rows if row.kind == "found" and row.severity in ("stop", "safety", "warn")]
    for row in rows:
        causes = ROOTS.get(row.rule, ())
        cause = next(
            (root for root in roots if root.rule in causes and _together(root, row) and _meet(root, row, settings, reach)), None
        )
        if cause is None or row.kind != "found":
            kept.append(row)
        else:
            behind.setdefault(id(cause), {}).setdefault(row.rule)
    return [_named(row, behind.get(id(row))) for row in kept]


def _together(root: Finding, row: Finding) -> bool:
    return root.period == row.period or not row.period or not root.period


def _meet(root: Finding, row: Finding, settings: dict[str, Look], reach: dict[int, set[str]]) -> bool:
    if id(root) not in reach:
        reach[id(root)] = _reach(root, settings.get(root.period))
    known = reach[id(root)]
    return any(place in known or place.partition(".")[0].partition("[")[0] in known for place in row.where)


def _reach(root: Finding, look: Look | None) -> set[str]:
    """Return the places of a root: those it names, its signals, and every slot on their ways."""
    places = set(root.where)
    legs = {place.rpartition(": ")[2] for place in root.where}
    signals = {leg.partition(".")[0] for leg in legs}
    places |= legs | {leg for leg in signals if leg and "[" not in leg}
    if look is not None:
        for route in look.setting.routes:
            if route.leg in legs or route.leg.partition(".")[0] in legs:
                places |= {str(hop) for hop in route.hops}
        places |= {str(hop) for place in root.where if _SLOT.search(place) for hop in look.way(slot(place))}
    return places


def _named(row: Finding, rules: dict[str, None] | None) -> Finding:
    if not rules:
        return row
    numbers = (*row.numbers, ("rules behind it", len(rules)))
    return attrs.evolve(row, message=f"{row.message} With it: {', '.join(rules)}.", numbers=numbers)
