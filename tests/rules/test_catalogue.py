"""The catalogue is whole: sixty entries with issuers, pages and cases, and every rule with a door it comes in by."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from importlib.metadata import entry_points

import pytest

from patchloom.check.catalogue import ENTRIES, ENTRY
from patchloom.check.explain import PARTS, explain
from patchloom.check.judging import cases_of, speaks
from patchloom.check.shown import RuleCase, cases_in, home
from patchloom.check.trade import BESIDE, BY_KEY, SECOND, SECTIONS, TRADE
from patchloom.document import COMPLAINTS, REMEDIES, schema, schema_names
from patchloom.finding import SEVERITIES

RULES = [entry.name for entry in ENTRIES if entry.issuer == "rule"]
ALL = cases_in(home())
CASES: dict[str, list[RuleCase]] = {name: [case for case in ALL if case.rule == name] for name in RULES}
EXAMPLES = ("demo", "festival", "panel", "shared-stage", "small-church", "truck")


def test_the_sixty_are_all_there() -> None:
    """Sections A to H hold 12, 16, 7, 7, 7, 6, 3 and 2 entries; names are different; severities are this package's words."""
    assert Counter(row.section for row in TRADE) == {"A": 12, "B": 16, "C": 7, "D": 7, "E": 7, "F": 6, "G": 3, "H": 2}
    assert len({row.name for row in (*TRADE, *SECOND, *BESIDE)}) == len(TRADE) + len(SECOND) + len(BESIDE)
    for row in BY_KEY.values():
        assert row.severity in SEVERITIES
        assert row.asks.endswith(".")
        assert row.section in SECTIONS


@pytest.mark.parametrize("entry", BY_KEY.values(), ids=lambda row: row.name)
def test_every_entry_has_an_issuer_that_exists(entry: object) -> None:
    """Who issues an entry is a check of the catalogue, a kind of complaint, or what `solve` says of what cannot be."""
    issuers = entry.issuers  # type: ignore[attr-defined]
    assert issuers
    for name in issuers:
        assert name in ENTRY or name == "solve" or name.removeprefix("reading:") in COMPLAINTS, name


def test_every_rule_is_part_of_an_entry_and_every_entry_keeps_its_severity() -> None:
    """No rule stands outside the list, and an entry that stops a show has an issuer that does."""
    named = {name for row in BY_KEY.values() for name in row.issuers}
    assert [name for name in RULES if name not in named] == []
    for row in BY_KEY.values():
        ours = [ENTRY[name].severity for name in row.issuers if name in ENTRY]
        if ours and row.severity == "stop":
            assert min(ours, key=SEVERITIES.index) in ("stop", "safety"), row.name


def test_rules_come_in_by_the_door_of_strangers() -> None:
    """The entry points of this package are the rules of the catalogue, each one the function of its own file."""
    ours = {point.name: point.value for point in entry_points(group="patchloom.rules") if point.dist.name == "patchloom"}
    words = {name: name.replace("-", "_") for name in RULES}
    assert ours == {name: f"patchloom.check.rules.{word}:{word}" for name, word in words.items()}


@pytest.mark.parametrize("name", RULES)
def test_a_rule_says_all_about_itself(name: str) -> None:
    """Its page has a first line and the six paragraphs in order, none empty."""
    page = explain(name)
    assert page.first.endswith(".")
    assert tuple(heading for heading, _ in page.parts) == PARTS
    assert all(words for _, words in page.parts)
    assert page.entries


@pytest.mark.parametrize("name", RULES)
def test_a_rule_has_cases_enough(name: str) -> None:
    """Three cases pass and three fail at least; one of the failing is an example's right answer with one change."""
    outcomes = Counter(case.outcome for case in CASES[name])
    assert outcomes["passes"] >= 3
    assert outcomes["fails"] >= 3
    only = [case for case in CASES[name] if case.text.get("only")]
    assert any(case.outcome == "fails" and case.text["base"] in EXAMPLES for case in only), "no case of an example says only"


@pytest.mark.parametrize("key", BY_KEY)
def test_an_entry_has_a_page(key: str) -> None:
    """It has a first line and the six paragraphs in order, none empty: of its own, or of the rule that covers it."""
    page = explain(key)
    assert page.first.endswith(".")
    assert tuple(heading for heading, _ in page.parts) == PARTS
    assert all(words for _, words in page.parts)
    assert not any("one of the checks of `verify`, which pushes" in words for _, words in page.parts), "a page of its own"
    assert [name for name, *_ in page.issuers] in ([], list(BY_KEY[key].issuers))


@pytest.mark.parametrize("key", BY_KEY)
def test_an_entry_has_cases_enough(key: str) -> None:
    """Three pass, three fail, one of these an example's right answer with one change; each of its issuers speaks in one."""
    rows = cases_of(key)
    outcomes = Counter(case.outcome for case in rows)
    assert outcomes["passes"] >= 3
    assert outcomes["fails"] >= 3
    assert any(case.outcome == "fails" and case.text.get("only") and case.text["base"] in EXAMPLES for case in rows)
    spoken = {name for case in rows if case.outcome == "fails" for name in speaks(case)}
    assert [name for name in BY_KEY[key].issuers if name not in spoken] == []


def test_pages_name_fields_that_are_there() -> None:
    """Every `rows.field` under the data an entry or a check needs is a field of some document."""
    fields = {key for name in schema_names() for key in _fields(schema(name))}
    odd = {}
    for name in {**BY_KEY, **ENTRY}:
        words = dict(explain(name, cases=False).parts)["What data it needs"]
        odd[name] = [text for text in re.findall(r"`(\w+\.[\w.]+)`", words) if text.rpartition(".")[2] not in fields]
    assert {name: rows for name, rows in odd.items() if rows} == {}


def _fields(part: object) -> Iterator[str]:
    """Yield every key of a schema's objects, however deep."""
    if isinstance(part, dict):
        yield from part.get("properties", {})
    for inner in part.values() if isinstance(part, dict) else part if isinstance(part, list) else ():
        yield from _fields(inner)


def test_no_case_is_of_what_there_is_not() -> None:
    """Every folder of cases is a rule's or an entry's."""
    assert {case.rule for case in ALL} <= {*RULES, *BY_KEY}


@pytest.mark.parametrize("kind", COMPLAINTS)
def test_a_complaint_says_all_about_itself(kind: str) -> None:
    """Each kind of complaint has the six paragraphs, of its own or of the entry it is part of, and its own remedy."""
    page = explain(f"reading:{kind}")
    assert tuple(heading for heading, _ in page.parts) == PARTS
    assert all(words for _, words in page.parts)
    assert page.todo == REMEDIES[kind]
    assert page.severity == ("note" if kind == "byte-order-mark" else "stop")
