"""The collector at rest: as it was before, whatever happens inside."""

from __future__ import annotations

import gc

import pytest

from patchloom.collector import at_rest


def test_it_runs_again_afterwards_even_after_an_error() -> None:
    """Inside it rests; an exception on the way out puts it back all the same."""

    @at_rest()
    def broken() -> None:
        assert not gc.isenabled()
        raise ValueError("on the way")

    assert gc.isenabled()
    with pytest.raises(ValueError, match="on the way"):
        broken()
    assert gc.isenabled()


def test_one_that_rested_before_rests_on() -> None:
    """Whoever had switched it off finds it off."""
    gc.disable()
    try:
        with at_rest():
            pass
        assert not gc.isenabled()
    finally:
        gc.enable()
