"""Clock, owners, gains and phantom are set, and refused, word for word as written down."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from . import words_clock, words_gain, words_owner, words_phantom
from .words import CASES

HERE = Path(__file__).parent
ENTERED = (words_clock, words_gain, words_owner, words_phantom)
"""The modules that enter cases."""


def test_every_setting_is_the_one_meant(golden: Callable[..., None]) -> None:
    """Each case gives exactly what `words.txt` holds: what is set, and every fact against it."""
    golden("words.txt", "".join(f"{name}\n{case() or '  nothing'}\n" for name, case in CASES.items()), HERE)
