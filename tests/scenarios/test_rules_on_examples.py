"""What the rules say of the right answers: no stop, warnings somebody has looked at, and what could not be checked, by name."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from patchloom import pipeline
from patchloom.check.proof import WORDS, Proof, proof

from .reading import solved

EXAMPLES = ("demo", "festival", "panel", "shared-stage", "small-church", "truck")
SHORT = ("demo", "shared-stage", "truck")
"""Examples that leave at most five rules without data."""
HERE = Path(__file__).parent


@cache
def judged(name: str) -> tuple[Any, ...]:
    return pipeline.judge(*solved(name))


@cache
def proven(name: str) -> Proof:
    return proof(*solved(name), judged(name))


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_right_answer_is_accused_of_no_stop(name: str) -> None:
    """Neither verify nor a rule says stop or safety; everything asked for is delivered; the proof is clean."""
    assert [str(row) for row in judged(name) if row.severity in ("stop", "safety")] == []
    page = proven(name)
    assert page.clean
    assert page.delivered == page.musts > 0
    assert page.words == WORDS == "checked against the rules listed, with the data given"


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_is_said_and_what_is_not_checked_is_known(name: str, golden: Callable[..., None]) -> None:
    """Every warning, and every rule that lacks data with the missing fields, is committed; a new one has to be looked at."""
    page = proven(name)
    rows = {
        "not checked": {row.name: list(row.missing) for row in page.states if row.missing},
        "not applicable": [row.name for row in page.states if row.state == "not applicable"],
        "said": [
            f"{row.severity} {row.rule}{f' [{row.period}]' if row.period else ''}: {row.message}"
            for row in judged(name)
            if row.kind == "found"
        ],
    }
    golden(f"{name}.json", json.dumps(rows, indent=1, ensure_ascii=False) + "\n", HERE / "said")


@pytest.mark.parametrize("name", SHORT)
def test_little_is_left_unchecked(name: str) -> None:
    """At most five rules lack data; each says which field."""
    lacking = [row for row in proven(name).states if row.state in ("not checked", "in part") and row.issuer == "rule"]
    assert len(lacking) <= 5
    assert all(row.missing for row in lacking)


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_entry_of_the_sixty_has_a_state(name: str) -> None:
    """Each entry is found, checked, not checked, checked in part, or does not apply: none passes in silence."""
    states = {row.state for row in proven(name).asked}
    assert states <= {"found", "checked", "not checked", "in part", "not applicable"}
    assert len(proven(name).of_state("checked")) > 30
