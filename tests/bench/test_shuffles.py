"""The same bytes whatever the hash seed and the order of keys; a short part of `shuffles.py`."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from shuffles import differing


@pytest.mark.parametrize("name", ["theatre", "truck"])
def test_same_bytes(name: str) -> None:
    """Two hash seeds, the second with every object's keys shuffled, give the same patch."""
    assert differing(name, 2) == []
