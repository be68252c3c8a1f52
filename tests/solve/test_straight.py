"""A leg that comes to a list in several slots counts where the list has it, or next to it."""

from __future__ import annotations

import pytest

import patchloom
from patchloom.testing.generate import generate


@pytest.mark.parametrize("seed", [28, 33])
def test_a_leg_that_two_blocks_bring_counts_where_people_look_for_it(seed: int) -> None:
    """On a desk that takes blocks a source comes in twice: the way written is the one to the slot nearest the list's."""
    planted = generate(seed)
    patch = patchloom.solve(planted.rig, planted.show)
    assert not [row for row in patchloom.verify(planted.rig, planted.show, patch) if row.severity != "note"]
