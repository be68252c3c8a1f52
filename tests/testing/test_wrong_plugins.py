"""A deliberately wrong plugin of each kind is caught, and told what to mend."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

import patchloom
from patchloom.testing.conformance import Breach, check_rule, check_types


def said(check: Callable[..., None], *things: Any) -> str:
    """Return what a check says against something."""
    with pytest.raises(Breach) as raised:
        check(*things)
    return str(raised.value)


def rule(**more: Any) -> Any:
    """Return the decorator of a rule with something more."""
    return patchloom.rule(name="trial", severity="warn", says="Something.", **more)


@rule()
def goes_through(rig: Any, show: Any, patch: Any) -> Iterator[Any]:
    """Say of each list what it hears: right in every respect."""
    for row in show.lists:
        yield f"{row.id} hears {len(row.wants)}", row.id


@rule()
def takes_for_granted(rig: Any, show: Any, patch: Any) -> Iterator[Any]:
    """Raise where a patch speaks of what is not there."""
    for setting in patch.settings:
        for choice in setting.selections:
            kind = rig.type_of(choice.into.device)
            if choice.into.bank not in kind.banks and choice.into.bank.partition(".")[0] not in kind.ports:
                raise KeyError(choice.into.bank)
    yield from ()


@rule()
def by_spelling(rig: Any, show: Any, patch: Any) -> Iterator[Any]:
    """Find desks by how their ids begin."""
    for key in rig.devices:
        if key.startswith("DESK"):
            yield f"{key} is a desk", key


@rule()
def first_only(rig: Any, show: Any, patch: Any) -> Iterator[Any]:
    """Stop at the first source there is."""
    for row in show.sources[:1]:
        yield f"{row.id} is first", row.id


@rule()
def nowhere(rig: Any, show: Any, patch: Any) -> Iterator[Any]:
    """Name no place."""
    yield "something is wrong"


@rule(monotone="fewer-wants")
def wants_more(rig: Any, show: Any, patch: Any) -> Iterator[Any]:
    """Claim to be monotone, and complain where a list is short."""
    for row in show.lists:
        if len(row.wants) < 2:
            yield f"{row.id} hears less than two", row.id


@rule(monotone="more-wants")
def wants_less(rig: Any, show: Any, patch: Any) -> Iterator[Any]:
    """Claim that more wants never matter, and complain of each."""
    for row in show.lists:
        for want in row.wants:
            yield f"{row.id} hears {want.signal if want else 'nothing'}", row.id, *([want.signal] if want else [])


@patchloom.routing_rule(name="low", version="1", on="placement")
def low(placement: Any) -> str | None:
    """Forbid sockets above 4."""
    return "sockets above 4 are wet" if placement.at.number > 4 else None


def entered_above(most: int) -> Callable[..., Iterator[Any]]:
    """Return a rule function: nothing is plugged above a socket."""

    def look(rig: Any, show: Any, patch: Any) -> Iterator[Any]:
        for setting in patch.settings:
            for leg, place in (*setting.plugs.items(), *setting.mixes.items()):
                if place.number > most and place.device in rig.devices and place.number < 99:
                    yield f"{leg} is on {place}", place

    return look


WRONG = [
    (takes_for_granted, "it raised KeyError: 'attic'; patches may be wrong, look things up as if they might not be there"),
    (by_spelling, "under other ids it says something else (lost: trial at ['DESK1']"),
    (first_only, "in another order it says something else (lost: trial at ['s1'])"),
    (nowhere, "it names no place; put the address, link, signal or position it speaks of into `where`"),
    (wants_more, "it claims monotone='fewer-wants', and with fewer wants it says more"),
    (wants_less, "it claims monotone='more-wants', and with more wants it says more"),
    (rule(steers=low)(entered_above(0)), "a patch solved under its veto breaks it: warn trial:"),
    (rule(steers=low)(entered_above(98)), "its veto forbids what the rule has nothing against"),
    (rule()(lambda rig, show, patch: [7]), "trial yielded 7; yield a sentence, (sentence, place, ...)"),
]


@pytest.mark.parametrize(("wrong", "words"), WRONG, ids=[str(number) for number in range(len(WRONG))])
def test_each_kind_of_wrong_rule_is_told_what_to_mend(wrong: Any, words: str) -> None:
    """Raising, spelling, order, no place, false claims, a veto that is another rule: each has its sentence."""
    assert words in said(check_rule, wrong)


def test_right_rules_pass_several_at_once() -> None:
    """A rule that is right passes, alone and among others; so does one that steers by what it judges."""
    check_rule(goes_through, rule(steers=low)(entered_above(4)), low)


def test_among_several_the_wrong_one_is_named() -> None:
    """Only the wrong one is spoken of, by its name."""
    assert "goes_through" not in said(check_rule, goes_through, nowhere)


def routing(ask: Callable[[Any], Any], on: str = "placement") -> Any:
    """Return a routing rule."""
    return patchloom.routing_rule(name="mine", version="1", on=on)(ask)


def test_routing_rules_that_do_not_keep_what_they_say() -> None:
    """One that counts, one that raises, one that answers nonsense."""
    asked: dict[Any, int] = {}

    def twice(placement: Any) -> str | None:
        asked[placement] = asked.get(placement, 0) + 1
        return "asked again" if asked[placement] > 1 else None

    words = said(check_rule, routing(twice))
    assert "mine: two desks, two boxes on both: no patch could be made under it" in words
    assert "it must answer the same whenever it is asked the same" in words
    assert "raised ZeroDivisionError" in said(check_rule, routing(lambda placement: 1 / 0))
    assert "a text forbids, a number costs" in said(check_rule, routing(lambda placement: [], "hop"))
    check_rule(routing(lambda hop: 3 if hop.link == "K1" else None, "hop"), routing(lambda placement: "never"))


BOX = {
    "role": "box",
    "banks": {"mic": {"slots": 8, "socket": "in"}},
    "ports": {"main": {"speaks": ["category-32"], "pass": ["audio", "clock", "control"]}},
    "select": [{"into": "main.out", "wired": "mic"}],
}


def pack(folder: Path, **types: Any) -> Path:
    """Write a type file."""
    path = folder / "mine.json"
    path.write_text(json.dumps({"format": "type/1", "types": types}))
    return path


def test_a_pack_that_works_passes(tmp_path: Path) -> None:
    """As a path, and as a function that returns it."""
    path = pack(tmp_path, **{"my-box": BOX})
    check_types(path, lambda: path)


@pytest.mark.parametrize(
    ("types", "words"),
    [
        ({"my-box": {**BOX, "nonsense": 1}}, "nonsense"),
        ({"my-box": {**BOX, "select": []}}, "nothing plugged into it comes to a channel"),
        ({"stage-box-16": BOX}, "the library has one of that name"),
        ({}, "it holds no type and no format"),
    ],
)
def test_packs_that_do_not_work_are_told_what_to_mend(types: dict[str, Any], words: str, tmp_path: Path) -> None:
    """A field nobody knows, sockets that lead nowhere, a name that is taken, nothing at all."""
    assert words in said(check_types, pack(tmp_path, **types))


def test_a_pack_that_cannot_be_read(tmp_path: Path) -> None:
    """A path that is not there, a function that raises, one that changes its mind."""
    assert "cannot be read" in said(check_types, tmp_path / "nothing.json")
    assert "it raised ZeroDivisionError" in said(check_types, lambda: 1 / 0)
    one, two = tmp_path / "one", tmp_path / "two"
    one.mkdir()
    two.mkdir()
    paths = iter([pack(one, a=BOX), pack(two, b=BOX)])
    assert "something else the second time" in said(check_types, lambda: next(paths))
