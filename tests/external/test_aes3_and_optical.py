"""Two-channel serial (AES3) and the eight-channel optical lead against published figures."""

from __future__ import annotations

from fractions import Fraction

import pytest

from patchloom import library
from patchloom.library.packets import aes3_bits_per_s
from patchloom.model.base import build
from patchloom.model.rig import Format


def shipped(name: str) -> Format:
    """Return a shipped format."""
    return build(Format, library.formats()[name], id=name)


def test_aes3_carries_two_channels_one_way() -> None:
    """Two channels, one way, at any listed rate.  Source: AES3 / IEC 60958.  Confirmed: archive glossary."""
    aes3 = shipped("aes3")
    assert {aes3.each_way(Fraction(rate)) for rate in (44100, 48000, 96000)} == {(2, 0)}
    assert aes3.one_way


def test_aes3_frame_is_64_bits() -> None:
    """3.072 Mbit/s at 48 kHz; blocks of 192 frames come 250 times a second.  Source: AES3.  Confirmed: archive glossary."""
    assert aes3_bits_per_s(48000) == 3_072_000
    assert 48000 / 192 == 250


def test_aes3_length() -> None:
    """Balanced: care from 100 m (engineers' pocket book); a few hundred metres at most.  Source: EBU Tech 3250, secondary."""
    aes3 = shipped("aes3")
    assert aes3.caution_m["pair-110"] == 100
    assert 200 <= aes3.most_m["pair-110"] <= 400


def test_aes3_on_coax() -> None:
    """75 ohm coax carries it beyond 100 m, up to 1000 m as quoted.  Source: AES-3id, secondary."""
    assert shipped("aes3").most_m["coax-75"] == 1000


@pytest.mark.parametrize(("rate", "channels"), [(44100, 8), (48000, 8), (88200, 4), (96000, 4), (176400, 2), (192000, 2)])
def test_optical_lead_counts(rate: int, channels: int) -> None:
    """8, 4 and 2 channels as the rate doubles.  Source: common practice, no open document."""
    optical = shipped("optical-8")
    assert optical.each_way(Fraction(rate)) == (channels, 0)
    assert optical.standing == "practice"


def test_embedded_clock_goes_with_the_signal() -> None:
    """AES3, AES10 and the optical lead carry a clock to their receiver only.  Source: published articles; partly from memory."""
    for name in ("aes3", "aes10-56", "aes10-64", "optical-8"):
        assert "clock" in shipped(name).pass_
        assert shipped(name).one_way
