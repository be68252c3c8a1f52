"""Of clock, owners, gains and phantom every word said is the word meant."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from . import words_clock, words_gain, words_owner, words_phantom
from .words import CASES

HERE = Path(__file__).parent
ENTERED = (words_clock, words_gain, words_owner, words_phantom)
"""The modules that enter cases."""


def test_every_word_is_the_word_meant(golden: Callable[..., None]) -> None:
    """Each case says exactly what `words.txt` holds: severity, check, message, places and numbers, or nothing at all."""
    golden("words.txt", "".join(f"{name}\n{case() or '  nothing'}\n" for name, case in CASES.items()), HERE)
