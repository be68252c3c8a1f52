"""What holds for every shipped pair of documents."""

from __future__ import annotations

import json

import pytest

import patchloom

from .reading import example, folder, solved

NAMES = ("demo", "shared-stage", "small-church", "truck", "panel", "festival")


@pytest.mark.parametrize("name", NAMES)
def test_example_is_read_solved_and_verified(name: str) -> None:
    """Both documents are read without a note, solved, and the judge has nothing grave to say."""
    rig, show, patch = solved(name)
    assert [row for row in patchloom.verify(rig, show, patch) if row.severity in ("stop", "safety")] == []
    assert (patch.rig, patch.show) == (patchloom.digest(rig), patchloom.digest(show))


@pytest.mark.parametrize("name", NAMES)
def test_example_waives_nothing_grave(name: str) -> None:
    """No example signs off a finding that stops or may hurt."""
    rig, show, patch = solved(name)
    assert [row for row in patchloom.check(rig, show, patch) if row.waived and row.severity in ("stop", "safety")] == []


@pytest.mark.parametrize("name", NAMES)
def test_every_must_arrives(name: str) -> None:
    """Nothing is left unmet, and every entry of every list in use has its route."""
    _, show, patch = solved(name)
    assert not [wish for row in patch.settings for wish in row.unmet]
    if not show.periods:
        signals = show.signals()
        for item in show.lists:
            asked = sum(len(signals[want.signal].leg_ids()) for want in item.wants if want and not want.fold and not want.leg)
            assert sum(1 for route in patch.setting().routes if route.to == item.id) >= asked


@pytest.mark.parametrize("name", NAMES)
def test_example_is_unchanged_by_reading_twice(name: str) -> None:
    """What is read can be written and read again to the same rig and show."""
    rig, show = example(name)
    assert patchloom.read_rig(json.loads(patchloom.write(rig))) == rig
    assert patchloom.read_show(json.loads(patchloom.write(show)), rig) == show


def test_festival_fits_on_two_pages() -> None:
    """A festival is written on two printed pages of 75 lines."""
    lines = sum((folder("festival") / f"{kind}.json").read_text(encoding="utf-8").count("\n") for kind in ("rig", "show"))
    assert lines <= 150


@pytest.mark.parametrize("name", NAMES)
def test_lines_are_short_enough_to_print(name: str) -> None:
    """No line of a shipped document is longer than 118 characters."""
    for kind in ("rig", "show"):
        text = (folder(name) / f"{kind}.json").read_text(encoding="utf-8")
        assert max(len(line) for line in text.splitlines()) <= 118
