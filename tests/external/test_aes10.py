"""AES10 (multichannel serial) against its published figures.

Source of every check here: AES10-2003/2008 through its abstract and the Handbook for Sound Engineers, chapter 39,
unless one says otherwise.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from patchloom import library
from patchloom.library.packets import aes10_fits
from patchloom.model.base import build
from patchloom.model.rig import Format


def mode(name: str) -> Format:
    """Return a shipped format."""
    return build(Format, library.formats()[name], id=name)


@pytest.mark.parametrize(
    ("name", "rate", "channels"),
    [
        ("aes10-56", 48000, 56),
        ("aes10-56", 44100, 56),
        ("aes10-56", 32000, 56),
        ("aes10-56", 96000, 28),
        ("aes10-64", 48000, 64),
        ("aes10-64", 44100, 64),
        ("aes10-64", 96000, 32),
    ],
)
def test_channels_of_each_mode(name: str, rate: int, channels: int) -> None:
    """56 and 64 channels to 48 kHz, 28 and 32 at double rate.  Confirmed: handbook and abstract."""
    assert mode(name).each_way(Fraction(rate)) == (channels, 0)


def test_quarter_rate_counts() -> None:
    """At 192 kHz two places of the 96 kHz frame make one channel: 14 or 16.  By arithmetic ("two or more channels")."""
    assert mode("aes10-56").each_way(Fraction(192000)) == (14, 0)
    assert mode("aes10-64").each_way(Fraction(192000)) == (16, 0)


def test_runs_one_way_only() -> None:
    """The link is simplex: a return needs a second cable.  Confirmed: abstract, "asynchronous simplex"."""
    assert all(mode(name).one_way for name in ("aes10-56", "aes10-64"))


def test_every_listed_count_fits_the_payload() -> None:
    """Every count fits 100 Mbit/s in 32-bit places (125 Mbit/s on the line, 4B5B).  Confirmed: handbook; by arithmetic."""
    for name in ("aes10-56", "aes10-64"):
        for rate, channels in mode(name).channels.items():
            assert aes10_fits(channels, int(rate)), (name, rate)


def test_56_leaves_room_for_varispeed_and_64_does_not() -> None:
    """56 fit at 48 kHz + 12.5 %, 64 do not; 64 end at 48828 Hz.  Confirmed: encyclopedia and arithmetic."""
    assert aes10_fits(56, 48000 * 1.125)
    assert not aes10_fits(64, 48000 * 1.125)
    assert aes10_fits(64, 48828)
    assert not aes10_fits(64, 48829)


def test_coax_and_fibre_lengths() -> None:
    """Coax: care from 50 m (two glossaries), 100 m at most (from memory); fibre up to 2000 m (encyclopedia)."""
    for name in ("aes10-56", "aes10-64"):
        assert mode(name).caution_m["coax-75"] == 50
        assert mode(name).most_m["coax-75"] == 100
        assert mode(name).most_m["fibre"] == 2000


def test_two_framings_at_double_rate() -> None:
    """Both ends must agree on one of two framings at high rates.  Common practice, no source."""
    assert len(mode("aes10-64").framings) == 2


def test_a_rate_between_the_rows_is_not_supported() -> None:
    """A rate that is not listed gives no channels; a rate pulled by 1000/1001 takes its nominal row.  Our own rule."""
    assert mode("aes10-64").each_way(Fraction(50000)) is None
    assert mode("aes10-64").each_way(Fraction(48_000_000, 1001)) == (64, 0)
