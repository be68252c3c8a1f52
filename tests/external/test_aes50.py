"""AES50 against its published figures.

Source of every check here: AES50-2011 (AES news texts on its revision, September 2011), unless one says otherwise.
"""

from __future__ import annotations

from fractions import Fraction

from patchloom import library
from patchloom.model.base import build
from patchloom.model.rig import Format


def aes50() -> Format:
    """Return the shipped format."""
    return build(Format, library.formats()["aes50"], id="aes50")


def test_48_channels_each_way_at_base_rate() -> None:
    """48 channels in each direction at 44.1 and 48 kHz.  Confirmed: "up to 48 channels", "bi-directional"."""
    assert aes50().each_way(Fraction(48000)) == (48, 48)
    assert aes50().each_way(Fraction(44100)) == (48, 48)
    assert not aes50().one_way


def test_half_the_channels_at_each_doubling() -> None:
    """24, 12 and 6 channels at two, four and eight times the rate.  From memory; the payload is constant by arithmetic."""
    counts = [aes50().each_way(Fraction(rate)) for rate in (96000, 192000, 384000)]
    assert counts == [(24, 24), (12, 12), (6, 6)]
    assert {24 * rate * count[0] for rate, count in zip((96000, 192000, 384000), counts, strict=True) if count} == {55_296_000}


def test_one_hop_takes_three_samples() -> None:
    """One link takes 62.5 microseconds, 3 samples at 48 kHz.  Confirmed: secondary text; samples by arithmetic."""
    latency = aes50().latency_ms
    assert latency == 0.0625
    assert latency * 48 == 3
    assert latency * 96 == 6
    assert latency < 0.1


def test_hundred_metres_of_category_cable() -> None:
    """Up to 100 m of Category 5 or better.  Confirmed: "span up to 100 m"."""
    assert aes50().most_m == 100
    assert aes50().medium[0] == "cat5"


def test_carries_its_own_clock() -> None:
    """A sample clock of 64 times the rate runs on the spare pairs: 2.8224 MHz at 44.1 kHz.  Confirmed for 44.1."""
    assert "clock" in aes50().pass_
    assert 64 * 44100 == 2_822_400
