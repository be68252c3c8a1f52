"""The door rules come in by, waivers, and what is beyond one case of a rule."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from patchloom.check import check
from patchloom.check.catalogue import ENTRIES, ENTRY
from patchloom.check.check import apply_waivers, shipped_rules
from patchloom.check.rules.labels_collide import labels_collide
from patchloom.check.verify import verify
from patchloom.finding import SEVERITIES, Finding
from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

from .bases import BASES
from .faults import FAULTS


def built(base: str, **changes: Any) -> tuple[Rig, Show, Patch]:
    """Return the objects of a base; `changes` go into its show."""
    rig, show, patch = BASES[base]()
    show.update(changes)
    return build(Rig, rig), build(Show, show), build(Patch, patch)


def waiver(rule: str, **more: Any) -> dict[str, Any]:
    return {"rule": rule, "who": "A. Person", "why": "agreed on site", **more}


# the rules: cases of each stand in tests/rules/cases; here what goes beyond one


@pytest.mark.parametrize(
    ("one", "two", "length", "severity"),
    [
        ({"short": "KEYS LEFT"}, {"short": "KEYS RIGHT"}, 4, "stop"),
        ({"short": "keys a"}, {"short": "KEYS A"}, 12, "stop"),
        ({"name": "Reading desk left"}, {"name": "Reading desk right"}, 8, "warn"),
        ({"name": "Reading desk 1"}, {"name": "Reading desk 2"}, 8, None),
        ({"short": "KEYS L"}, {"short": "KEYS R"}, 6, None),
    ],
)
def test_labels_equal_once_cut_are_named(one: dict[str, str], two: dict[str, str], length: int, severity: str | None) -> None:
    """Two labels of one list that are the same once cut are a finding, and a stop where they were typed."""
    rig, show, patch = BASES["acts"]()
    show["sources"][0].update(one)
    show["sources"][1].update(two)
    show["positions"] = {"foh": {"label_length": length}}
    found = [row for row in labels_collide(build(Rig, rig), build(Show, show), build(Patch, patch)) if row.period == "first"]
    assert [row.severity for row in found] == ([severity] if severity else [])


def test_a_label_is_as_long_as_the_bank_says() -> None:
    """Where the position says nothing, the bank's label length holds."""
    rig, show, patch = BASES["house"]()
    rig["types"]["foh"]["banks"]["ch"]["label_length"] = 3
    found = list(labels_collide(build(Rig, rig), build(Show, show), build(Patch, patch)))
    assert [(row.where, dict(row.numbers)["characters"]) for row in found] == [(("foh", "vox1", "vox2"), 3)]


# the door


def quiet(rig: Rig, show: Show, patch: Patch) -> list[Finding]:
    return []


def noisy(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    yield Finding("noisy", "advice", "A word.", ("BOX.mic[3]",), (), "Nothing.")
    yield Finding("noisy", "safety", "A grave word.", ("AMP.in[1]",), (), "Stand back.")


def broken(rig: Rig, show: Show, patch: Patch) -> list[Finding]:
    raise RuntimeError("no such thing")


def stray(rig: Rig, show: Show, patch: Patch) -> list[Any]:
    return ["a text"]


def test_a_broken_rule_is_named_and_the_others_speak() -> None:
    """A rule that raises, or gives what is no finding, becomes a finding; the rest goes on."""
    found = check(*built("acts"), [quiet, broken, stray, noisy])
    assert [(row.rule, row.severity) for row in found] == [
        ("noisy", "safety"),
        ("rule-broken", "warn"),
        ("rule-broken", "warn"),
        ("noisy", "advice"),
    ]
    assert "RuntimeError: no such thing" in found[1].message
    assert "'a text'" in found[2].message


@pytest.mark.parametrize("rules", [None, shipped_rules(), dict(shipped_rules()), [row for _, row in shipped_rules()]])
def test_rules_may_be_given_in_any_form(rules: Any) -> None:
    """Absent, as pairs, as a mapping or as bare functions: the same findings."""
    found = check(*built("house"), rules)
    assert found == check(*built("house"))
    assert {row.rule for row in found} <= {name for name, _ in shipped_rules()}


def test_every_name_is_in_the_catalogue_once_with_words() -> None:
    """Names, severities and sentences are complete, and every rule and every planted fault is in the catalogue."""
    assert len(ENTRY) == len(ENTRIES)
    for entry in ENTRIES:
        assert entry.severity in SEVERITIES
        assert entry.says.endswith(".")
        assert entry.todo.endswith(".")
    assert {name for name, _ in shipped_rules()} == {entry.name for entry in ENTRIES if entry.issuer == "rule"}
    planted = {name for fault in FAULTS for name in fault.found}
    verified = {entry.name for entry in ENTRIES if entry.issuer == "verify"}
    assert planted <= verified
    assert verified - planted == {"digest-absent", "rule-not-given"}, "every check of verify is shown by a planted fault"


# waivers


def judged(*waivers: dict[str, Any], today: str = "", base: str = "house", **changes: Any) -> tuple[Finding, ...]:
    rig, show, patch = built(base, waivers=list(waivers), **changes)
    return check(rig, show, patch, [noisy], found=verify(rig, show, patch), today=today)


def test_a_waived_finding_stays_and_says_who_signed() -> None:
    """A waiver writes who and why on the finding, and removes nothing, grave or not."""
    found = judged(waiver("noisy"))
    assert [(row.severity, row.waived) for row in found if row.rule == "noisy"] == [
        ("safety", "A. Person: agreed on site"),
        ("advice", "A. Person: agreed on site"),
    ]


@pytest.mark.parametrize("where", ["BOX.mic[3]", "BOX.mic[1-8]", "BOX.mic", "BOX"])
def test_a_waiver_holds_for_what_its_address_covers(where: str) -> None:
    """The shorter the address, the more it covers; other findings are left alone."""
    found = {row.severity: row.waived for row in judged(waiver("noisy", where=[where])) if row.rule == "noisy"}
    assert found == {"safety": "", "advice": "A. Person: agreed on site"}


@pytest.mark.parametrize("where", ["BOX.mic[4]", "FOH", "BOX.line", "not an address"])
def test_a_waiver_that_matches_nothing_is_a_finding(where: str) -> None:
    """A waiver that meets no finding is named, so that it cannot hide the next one."""
    (row,) = [row for row in judged(waiver("noisy", where=[where])) if row.rule == "waiver-unused"]
    assert row.where == ("waiver 1", "noisy")


def test_a_waiver_without_a_place_may_not_sign_off_many() -> None:
    """Four findings at once under a waiver that names no place: they are waived, and the waiver is named."""
    rows = [Finding("x", "warn", f"{name} is odd.", (name,)) for name in ("A", "B", "C", "D")]
    _, wide, _ = built("acts", waivers=[waiver("x")])
    found = apply_waivers(rows, wide)
    (broad,) = [row for row in found if row.rule == "waiver-too-broad"]
    assert dict(broad.numbers) == {"findings": 4}
    assert all(row.waived for row in found if row.rule == "x")
    _, named, _ = built("acts", waivers=[waiver("x", where=["A", "B", "C", "D"])])
    assert "waiver-too-broad" not in {row.rule for row in apply_waivers(rows, named)}
    assert "waiver-too-broad" not in {row.rule for row in apply_waivers(rows[:3], wide)}


def test_what_was_not_checked_is_nobodys_to_sign_off() -> None:
    """A waiver meets findings only: a rule that lacks data still says so, and the waiver is called unused."""
    lacking = Finding("x", "note", "Not checked, because nobody says.", kind="unchecked")
    _, show, _ = built("acts", waivers=[waiver("x")])
    assert {row.rule: row.waived for row in apply_waivers([lacking], show)} == {"x": "", "waiver-unused": ""}


def test_a_waiver_for_a_check_there_is_not_gets_a_hint() -> None:
    """A misspelt name is named with the nearest."""
    (row,) = [row for row in judged(waiver("one-feeders")) if row.rule == "waiver-unknown"]
    assert "did you mean one-feeder?" not in row.message
    assert "did you mean one-feeder" in row.message


@pytest.mark.parametrize(
    ("until", "today", "date", "told", "waived"),
    [
        ("2030-05-01", "2030-05-01", "", "", True),
        ("2030-05-01", "2030-05-02", "", "waiver-expired", False),
        ("2030-05-01", "", "2030-06-01", "waiver-expired", False),
        ("2030-05-01", "", "", "", True),
        ("next week", "", "", "waiver-unclear", True),
    ],
)
def test_a_waiver_ends(until: str, today: str, date: str, told: str, waived: bool) -> None:
    """A date past its day no longer holds and says so; an end that is no date is taken for the whole show."""
    found = judged(waiver("noisy", until=until), today=today, date=date)
    assert [row.rule for row in found if row.rule.startswith("waiver-")] == ([told] if told else [])
    assert any(row.waived for row in found) is waived


def test_a_waiver_may_end_with_a_period() -> None:
    """A waiver until an act holds for findings up to that act, and for those of no act."""
    rows = [Finding("x", "warn", "A.", period=period) for period in ("", "first", "solo", "second")]
    _, show, _ = built("acts", waivers=[waiver("x", until="solo")])
    found = {row.period: bool(row.waived) for row in apply_waivers(rows, show)}
    assert found == {"": True, "first": True, "solo": True, "second": False}


def test_waivers_for_verify_wait_for_its_findings() -> None:
    """Without verify's findings a waiver for one of its checks is not called unused; with them it is."""
    rig, show, patch = built("house", waivers=[waiver("gain-margin")])
    assert "waiver-unused" not in {row.rule for row in check(rig, show, patch, [])}
    assert "waiver-unused" in {row.rule for row in check(rig, show, patch, [], found=verify(rig, show, patch))}
