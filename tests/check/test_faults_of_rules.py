"""Every kind of fault that only rules can see is found by exactly the rules named, and by none of verify's checks."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from patchloom.check.check import shipped_rules
from patchloom.check.trade import TRADE
from patchloom.check.verify import verify
from patchloom.finding import Finding
from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

from .bases import BASES
from .faults import FAULTS, RULED
from .planting import Fault


def said(rig: dict[str, Any], show: dict[str, Any], patch: dict[str, Any]) -> list[Finding]:
    """Return what verify and all shipped rules find in plain data; what is not checked is left out."""
    built = build(Rig, rig), build(Show, show), build(Patch, patch)
    rows = list(verify(*built))
    for _, rule in shipped_rules():
        rows += rule(*built)
    return [row for row in rows if row.severity != "note"]


def right(base: str) -> tuple[dict[str, Any], dict[str, Any], dict[str, Any]]:
    """Return a base with what the rules of its faults need said beside it."""
    rig, show, patch = BASES[base]()
    if base == "house":
        rig["types"]["box"]["takeover"] = "box"
        rig["devices"]["MON"]["manned"] = "somebody"
        next(row for row in show["sources"] if row["id"] == "oh").update(kind="mic", left_is="audience")
    return rig, show, patch


@cache
def before(base: str) -> frozenset[tuple[str, str]]:
    return frozenset((row.rule, row.message) for row in said(*right(base)))


@pytest.mark.parametrize("fault", RULED, ids=lambda fault: fault.kind.replace(" ", "-"))
def test_a_fault_is_found_by_its_rule_alone(fault: Fault) -> None:
    """Exactly the rules named say something new, and verify says nothing new."""
    rig, show, patch = right(fault.base)
    fault.spoil(rig, show, patch["settings"][0])
    new = [row for row in said(rig, show, patch) if (row.rule, row.message) not in before(fault.base)]
    assert {row.rule for row in new} == set(fault.found), "\n".join(map(str, new))
    assert all(row.where for row in new)


def test_what_verify_says_is_not_said_again() -> None:
    """Of faults verify finds, no rule on preamps, gain, phantom, stereo, coherence and delay says anything new."""
    names = {name for row in TRADE if row.section in ("B", "C") for name in row.issuers}
    rules = [rule for name, rule in shipped_rules() if name in names]
    known: dict[str, set[tuple[str, str]]] = {}
    again = []
    for fault in FAULTS:
        if fault.base not in known:
            known[fault.base] = {(row.rule, row.message) for row in ruled_in(rules, *right(fault.base))}
        rig, show, patch = right(fault.base)
        setting = patch["settings"][0]
        setting.update(all=patch["settings"], patch=patch, rules=[])
        fault.spoil(rig, show, setting)
        for key in ("all", "patch", "rules"):
            setting.pop(key)
        new = [row for row in ruled_in(rules, rig, show, patch) if (row.rule, row.message) not in known[fault.base]]
        again += [f"{fault.kind} ({', '.join(fault.found)}): {row}" for row in new]
    assert len(rules) >= 15
    assert again == []


def ruled_in(rules: list[Any], rig: dict[str, Any], show: dict[str, Any], patch: dict[str, Any]) -> list[Finding]:
    """Return what some rules find in plain data."""
    built = build(Rig, rig), build(Show, show), build(Patch, patch)
    return [row for rule in rules for row in rule(*built) if row.severity != "note"]
