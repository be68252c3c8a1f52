"""Small rigs, each about one idea, whose routes were written by hand before any search saw them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

import patchloom
from patchloom import Impossible, Undecided

from .reading import CASES, documents, load, mismatches


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_small_rig_is_answered_as_written_by_hand(path: Path) -> None:
    """The search delivers one of the hops written down, or proves that there are none; the judge agrees."""
    case = load(path)
    rig_document, show_document = documents(case)
    rig = patchloom.read_rig(rig_document)
    show = patchloom.read_show(show_document, rig)
    outcome, answer = _outcome(rig, show)
    if outcome == "undecided" and "open" in case["expect"]:
        pytest.xfail(f"left open by the search: {case['expect']['open']}")
    assert outcome == case["expect"]["verdict"], str(answer)
    if outcome == "impossible":
        assert answer.facts, "a proof names its facts"
        return
    assert list(mismatches(case, answer.setting())) == []
    grave = [finding for finding in patchloom.verify(rig, show, answer) if finding.severity in ("stop", "safety")]
    assert grave == []


def _outcome(rig: Any, show: Any) -> tuple[str, Any]:
    """Return the verdict and the patch, or what was raised."""
    try:
        return "solved", patchloom.solve(rig, show)
    except Impossible as proof:
        return "impossible", proof
    except Undecided as question:
        return "undecided", question


def test_there_are_forty_small_rigs_and_every_one_says_its_idea() -> None:
    """At least forty rigs of two to eight devices, each with an idea of its own in its first line."""
    cases = [load(path) for path in CASES]
    assert len(cases) >= 40
    assert len({case["idea"] for case in cases}) == len(cases)
    assert all(2 <= len(case["rig"]["devices"]) <= 8 for case in cases)
