"""Every word said of a patch, and beside it, is the word meant."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from . import (
    words_clock,
    words_feeds,
    words_gain,
    words_ground,
    words_owner,
    words_phantom,
    words_routing,
    words_told,
    words_told_edits,
    words_wants,
)
from .words import CASES

HERE = Path(__file__).parent
ENTERED = (words_clock, words_gain, words_owner, words_phantom, words_ground, words_wants, words_feeds, words_routing)
"""The modules that enter cases of the judge."""
TOLD = words_told_edits.CASES
"""Cases of what is told beside."""


def test_every_word_is_the_word_meant(golden: Callable[..., None]) -> None:
    """Each case says exactly what `words.txt` holds: severity, check, message, places and numbers, or nothing at all."""
    golden("words.txt", "".join(f"{name}\n{case() or '  nothing'}\n" for name, case in CASES.items()), HERE)


def test_every_word_beside_is_the_word_meant(golden: Callable[..., None]) -> None:
    """Each case tells exactly what `words_told.txt` holds."""
    golden("words_told.txt", "".join(f"{name}\n{case() or '  nothing'}\n" for name, case in words_told.CASES.items()), HERE)
