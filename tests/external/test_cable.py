"""Cable lengths, delays and split loading against TIA-568 and arithmetic."""

from __future__ import annotations

import pytest

from patchloom import library
from patchloom.library.physics import CHANNEL_CORDS_M, CHANNEL_FIXED_M, CHANNEL_M, cable_delay_ns, cable_length_m, split_loss_db


def test_channel_is_ninety_and_ten() -> None:
    """100 m: 90 m fixed and 10 m of cords.  Source: TIA-568.  Confirmed: two installers' texts."""
    assert (CHANNEL_FIXED_M, CHANNEL_CORDS_M, CHANNEL_M) == (90, 10, 100)


def test_category_formats_end_at_the_channel_length() -> None:
    """No shipped format runs over more category cable than a channel has.  Source: TIA-568."""
    for name, shipped in library.formats().items():
        most = shipped.get("most_m")
        for medium in shipped.get("medium", []):
            if medium.startswith("cat"):
                assert (most[medium] if isinstance(most, dict) else most) == CHANNEL_M, name


def test_delay_of_a_full_channel() -> None:
    """100 m at 62 % of the speed of light take 538 ns.  Source: TIA-568, 5.38 ns a metre at 100 MHz, secondary."""
    assert cable_delay_ns(100, 0.62) == pytest.approx(538, abs=0.5)


def test_cable_delay_is_far_below_a_sample() -> None:
    """100 m of cable are 0.026 of a sample at 48 kHz.  Source: by arithmetic."""
    assert cable_delay_ns(100, 0.62) * 1e-9 * 48000 == pytest.approx(0.026, abs=1e-3)


def test_length_from_delay() -> None:
    """435 ns at 69 % stand for 90 m.  Source: training slides on cable testing (formula); by arithmetic."""
    assert cable_length_m(435, 0.69) == pytest.approx(90.0, abs=0.05)


@pytest.mark.parametrize(("loads", "db"), [(2, 1.0), (3, 1.8), (4, 2.6)])
def test_passive_split_loading(loads: int, db: float) -> None:
    """200 ohms into 2, 3, 4 inputs of 1.5 kilohms lose 1.0, 1.8, 2.6 dB.  Source: by arithmetic."""
    assert split_loss_db(200, 1500, loads) == pytest.approx(db, abs=0.05)


def test_shipped_splits_state_that_loss() -> None:
    """The shipped splits state the loss of their number of outputs.  Source: by arithmetic, 200 ohms into 1.5 kilohms."""
    for name in ("split-passive", "split-transformer"):
        rows = library.types()[name]["select"]
        assert {row["load_db"] for row in rows} == {round(split_loss_db(200, 1500, len(rows)), 1)}


def test_a_split_feeds_at_least_one() -> None:
    """No load is an error, not a figure.  Source: our own rule."""
    with pytest.raises(ValueError, match="at least one"):
        split_loss_db(200, 1500, 0)
