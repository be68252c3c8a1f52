"""Network audio against AES67-2018 and SMPTE ST 2110-30:2017 (secondary texts and open examples)."""

from __future__ import annotations

from fractions import Fraction

import pytest

from patchloom import library
from patchloom.library.packets import (
    LEVELS,
    MOST_PAYLOAD_BYTES,
    most_channels,
    payload_bytes,
    samples_per_packet,
    wire_bits_per_s,
)
from patchloom.model.base import build
from patchloom.model.rig import Format


def level(name: str) -> Format:
    """Return the shipped format of a level."""
    return build(Format, library.formats()[f"aes67-{name}"], id=f"aes67-{name}")


@pytest.mark.parametrize(
    ("name", "rate", "channels", "packet"),
    [
        ("a", 48000, 8, 1),
        ("b", 48000, 8, 0.125),
        ("c", 48000, 64, 0.125),
        ("bx", 96000, 8, 0.125),
        ("ax", 96000, 4, 1),
    ],
)
def test_channels_of_each_level(name: str, rate: int, channels: int, packet: float) -> None:
    """Channels and packet time of levels A, B, C, AX, BX.  Source: ST 2110-30:2017; confirmed: open examples."""
    assert level(name).each_way(Fraction(rate)) == (channels, channels)
    assert level(name).packet_ms == packet


def test_level_cx() -> None:
    """32 channels at 96 kHz in 125 microseconds.  Source: ST 2110-30:2017, from memory; 1152 bytes by arithmetic."""
    assert level("cx").each_way(Fraction(96000)) == (32, 32)
    assert payload_bytes(32, samples_per_packet(96000, 0.125)) == 1152


def test_formats_agree_with_the_levels_table() -> None:
    """Each shipped format carries the largest stream of its level at each rate.  Source: the table of levels itself."""
    for name, streams in LEVELS.items():
        for rate in (48000, 96000):
            counts = [channels for at, _, channels in streams if at == rate]
            carried = level(name).each_way(Fraction(rate))
            assert carried == ((max(counts), max(counts)) if counts else None), (name, rate)


@pytest.mark.parametrize(("packet", "at_48", "at_96"), [(0.125, 6, 12), (0.25, 12, 24), (0.333, 16, 32), (1, 48, 96)])
def test_samples_of_each_packet_time(packet: float, at_48: int, at_96: int) -> None:
    """Samples a packet at 48 and 96 kHz.  Source: AES67-2018 7.2.  Confirmed: secondary."""
    assert samples_per_packet(48000, packet) == at_48
    assert samples_per_packet(96000, packet) == at_96


def test_a_millisecond_at_44100_holds_48_samples() -> None:
    """At 44.1 kHz the "1 ms" packet has 48 samples and lasts 1.0884 ms.  Source: AES67-2018 7.2.1.  Confirmed: secondary."""
    assert samples_per_packet(44100, 1) == 48
    assert pytest.approx(1.0884, abs=1e-4) == 1000 * 48 / 44100


def test_no_four_millisecond_packet_at_96_khz() -> None:
    """The 4 ms packet does not exist at 96 kHz.  Source: AES67-2018 7.2.  Confirmed: secondary."""
    assert samples_per_packet(48000, 4) == 192
    with pytest.raises(ValueError, match="no packet of 4 ms"):
        samples_per_packet(96000, 4)


@pytest.mark.parametrize(("packet", "channels"), [(0.125, 80), (0.25, 40), (0.333, 30), (1, 10), (4, 2)])
def test_most_channels_of_24_bits(packet: float, channels: int) -> None:
    """Channels of 24 bits that fit 1440 bytes at 48 kHz.  Source: AES67-2018 6.3; by arithmetic."""
    assert most_channels(48000, packet) == channels


def test_most_channels_of_16_bits() -> None:
    """120 channels of 16 bits at 125 microseconds, 15 at 1 ms.  Source: AES67-2018 6.3.  Confirmed: 120 in an encyclopedia."""
    assert most_channels(48000, 0.125, 2) == 120
    assert most_channels(48000, 1, 2) == 15


def test_level_ax_takes_fewer_than_fit() -> None:
    """AX names 4 channels though 5 fit the packet.  Source: ST 2110-30:2017.  Confirmed: open receiver examples."""
    assert most_channels(96000, 1) == 5
    assert level("ax").each_way(Fraction(96000)) == (4, 4)


def test_every_level_fits_a_packet() -> None:
    """No level asks for a packet above 1440 bytes; 64 channels at 1 ms would.  Source: AES67-2018 6.3; by arithmetic."""
    for streams in LEVELS.values():
        for rate, packet, channels in streams:
            assert payload_bytes(channels, samples_per_packet(rate, packet)) <= MOST_PAYLOAD_BYTES
    assert payload_bytes(64, 48) > MOST_PAYLOAD_BYTES


def test_load_of_one_stream_on_the_wire() -> None:
    """Level A: 9.840 Mbit/s, 9.872 with a VLAN tag; 8 channels at 125 us: 14.208.

    Source: header lengths of RFC 3550, 768, 791 and IEEE 802.3; by arithmetic.
    """
    assert wire_bits_per_s(8, 48000, 1) == pytest.approx(9.840e6)
    assert wire_bits_per_s(8, 48000, 1, vlan=True) == pytest.approx(9.872e6)
    assert wire_bits_per_s(8, 48000, 0.125) == pytest.approx(14.208e6)
    assert wire_bits_per_s(64, 48000, 0.125) == pytest.approx(78.720e6)


def test_streams_that_fit_a_hundred_megabit_link() -> None:
    """Ten level A streams fit 100 Mbit/s.  Source: by arithmetic from the load of one stream."""
    assert 100e6 // wire_bits_per_s(8, 48000, 1) == 10
