"""What follows from a check of verify is folded under it, and nothing else is."""

from __future__ import annotations

from patchloom.check.catalogue import ENTRIES
from patchloom.check.folding import ROOTS, folded
from patchloom.check.look import looks
from patchloom.finding import Finding
from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

from .bases import BASES

ROOT = Finding("mix-missing", "stop", "The wedge is mixed nowhere.", ("wedge",), (), "Give it a mix.")


def run(*rows: Finding) -> list[Finding]:
    """Return findings folded over the house's right patch."""
    rig, show, patch = BASES["house"]()
    return folded(rows, looks(build(Rig, rig), build(Show, show), build(Patch, patch)))


def test_every_name_is_a_rule_or_a_check_of_verify() -> None:
    """The table speaks of what there is."""
    issuers = {entry.name: entry.issuer for entry in ENTRIES}
    assert {issuers[rule] for rule in ROOTS} == {"rule"}
    assert {issuers[check] for checks in ROOTS.values() for check in checks} == {"verify"}


def test_what_lies_on_the_way_of_a_signal_named_is_folded() -> None:
    """An output that takes the mix nobody mixes follows from the mix being missing; the root says what was folded."""
    told = Finding("demand-without-source", "stop", "It takes nothing.", ("MON.a.out[1]", "MON.mix[1]"), (), "Clear it.")
    (row,) = run(ROOT, told)
    assert row.rule == "mix-missing"
    assert row.message == "The wedge is mixed nowhere. With it: demand-without-source."
    assert row.numbers == (("rules behind it", 1),)


def test_what_is_elsewhere_or_cannot_follow_stays() -> None:
    """Another place, another period, a rule the root cannot be the cause of, a stranger's rule: all stay as they are."""
    rows = (
        ROOT,
        Finding("demand-without-source", "stop", "It takes nothing.", ("FOH.line[9]",), (), "Clear it."),
        Finding("labels-collide", "stop", "Two are one.", ("wedge",), (), "Rename."),
        Finding("somebodys-own", "warn", "Odd.", ("wedge",), (), "Look."),
        Finding("takeover-known", "warn", "Unknown.", ("BOX", "wedge"), (), "Ask."),
    )
    assert run(*rows) == list(rows)
    other = Finding("unused-but-patched", "advice", "Idle.", ("wedge",), (), "Take it out.", "act2")
    here = Finding("mix-missing", "stop", "Nowhere.", ("wedge",), (), "Mix it.", "act1")
    assert run(here, other) == [here, other]


def test_what_was_not_checked_is_never_folded() -> None:
    """A note of what could not be looked at is no consequence of anything."""
    note = Finding("demand-without-source", "note", "Not checked, because x.", ("wedge",), kind="unchecked")
    assert run(ROOT, note) == [ROOT, note]
