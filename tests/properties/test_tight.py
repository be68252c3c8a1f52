"""Hard rigs that can be patched by construction are patched, and the hidden patch is one."""

from __future__ import annotations

import pytest

from patchloom import solve, write
from patchloom.testing.tight import KINDS, tight


@pytest.mark.parametrize("seed", range(8))
def test_a_tight_rig_is_solved(seed: int) -> None:
    """A rig with scarce blocks and nearly full boxes gets a patch the judge has nothing against."""
    drawn = tight(seed, most=24)
    assert solve(drawn.rig, drawn.show, explain=False).settings[0].plugs


@pytest.mark.parametrize("kind", KINDS)
def test_the_hidden_patch_is_one(kind: str) -> None:
    """With every leg fixed where it was planted there is a patch, so nobody may call the rig impossible."""
    drawn = tight(5, kind=kind, most=48, fixed=True)
    plugs = solve(drawn.rig, drawn.show, explain=False).settings[0].plugs
    assert {leg: str(place) for leg, place in plugs.items()} == drawn.plugs


def test_the_same_seed_gives_the_same_rig() -> None:
    """Two calls with one seed give the same documents; another seed gives others."""
    one, two, other = tight(3), tight(3), tight(7)
    assert (write(one.rig), write(one.show)) == (write(two.rig), write(two.show))
    assert write(one.show) != write(other.show)


def test_a_kind_nobody_knows_is_named() -> None:
    """An unknown kind is an error that lists those there are."""
    with pytest.raises(ValueError, match="no such kind: star; there are hub, chain, mirror, mesh"):
        tight(1, kind="star")
