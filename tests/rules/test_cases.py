"""Every case of every rule comes out as it says, and in the words written down."""

from __future__ import annotations

from pathlib import Path

from patchloom.check.catalogue import ENTRIES
from patchloom.testing import case_test
from patchloom.testing.folder import words_in

HERE = Path(__file__).parent
WORDS = HERE / "words"

test_cases = case_test(HERE / "cases", words=WORDS)


def test_every_rule_has_its_words_written_down() -> None:
    """Each shipped rule has a file of words, and what stands there belongs to a case that is there."""
    shipped = sorted(entry.name for entry in ENTRIES if entry.issuer == "rule")
    assert [name for name in shipped if not (WORDS / f"{name}.txt").is_file()] == []
    for path in sorted(WORDS.glob("*.txt")):
        there = {case.stem for case in (HERE / "cases" / path.stem).glob("*.json")}
        assert sorted(set(words_in(path)) - there) == [], path.name
