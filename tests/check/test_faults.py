"""Every kind of planted fault is found as what it is, and right patches are left alone."""

from __future__ import annotations

from collections import Counter
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from patchloom.check import check
from patchloom.check.check import shipped_rules
from patchloom.check.verify import verify
from patchloom.finding import Finding
from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

from .bases import BASES
from .faults import FAULTS, Fault, table
from .planting import planted, shared

PAGE = Path(__file__).with_name("faults.md")


def judge(rig: dict[str, Any], show: dict[str, Any], patch: dict[str, Any], rules: Any = ()) -> tuple[Finding, ...]:
    """Return verify's findings of plain data."""
    return verify(build(Rig, rig), build(Show, show), build(Patch, patch), digests=("sha256:rig", "sha256:show"), rules=rules)


@cache
def spoiled(fault: Fault) -> tuple[Finding, ...]:
    """Return what verify says of a planted fault."""
    made, rules = planted(fault.base, fault.spoil)
    return verify(*made, digests=("sha256:rig", "sha256:show"), rules=rules)


@cache
def told_before(base: str) -> frozenset[tuple[str, tuple[str, ...]]]:
    """Return what the rules say of a right patch."""
    rig, show, patch = BASES[base]()
    return frozenset((row.rule, row.where) for row in check(build(Rig, rig), build(Show, show), build(Patch, patch)))


@pytest.mark.parametrize("base", sorted(BASES))
def test_a_right_patch_is_not_accused(base: str) -> None:
    """Nothing at all is said about a right patch but that it names no rig and show."""
    assert [row.rule for row in judge(*BASES[base]())] == ["digest-absent"]


def test_a_source_handed_on_raw_is_not_accused() -> None:
    """A source that passes a channel by a raw tap is still the source."""
    rig, show, patch = BASES["house"]()
    shared(rig, show, patch["settings"][0])
    assert [str(row) for row in judge(rig, show, patch) if row.severity != "note"] == []


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.kind.replace(" ", "-"))
def test_a_planted_fault_is_found_as_its_root(fault: Fault) -> None:
    """Exactly the checks named speak, each once; what follows from the root is folded under it."""
    found = spoiled(fault)
    told = "\n".join(map(str, found))
    assert Counter(row.rule for row in found if row.severity != "note") == Counter(fault.found), told
    for row in found:
        assert row.message.endswith("."), told
        assert row.todo.endswith("."), told
        assert row.where or row.rule.startswith("digest"), told


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.kind.replace(" ", "-"))
def test_what_verify_finds_no_rule_says_again(fault: Fault) -> None:
    """At the root stands the check of verify alone: whatever a rule makes of the same fault is folded under it."""
    made, _ = planted(fault.base, fault.spoil)
    found = check(*made, found=spoiled(fault))
    names = {name for name, _ in shipped_rules()}
    new = [row for row in found if row.rule in names and row.severity != "note"]
    assert [str(row) for row in new if (row.rule, row.where) not in told_before(fault.base)] == []
    assert {row.rule for row in found} >= set(fault.found)
    assert "rule-broken" not in {row.rule for row in found}


def test_kinds_are_different_and_the_page_is_fresh() -> None:
    """Every kind is named once, there are at least a hundred, and the committed page lists them all."""
    names = [fault.kind for fault in FAULTS]
    assert len(names) == len(set(names)) >= 100
    assert PAGE.read_text(encoding="utf-8") == table(), "write faults.md again from faults.table()"
