"""Bits, frames and packets of digital audio links by arithmetic.

Comes in: channels, sample rates in Hz, packet times in milliseconds.  Goes out: samples, bytes, bits per
second.  Next: rules that judge a format, papers that state a load.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

__all__ = [
    "LEVELS",
    "MOST_PAYLOAD_BYTES",
    "aes3_bits_per_s",
    "aes10_fits",
    "most_channels",
    "payload_bytes",
    "samples_per_packet",
    "wire_bits_per_s",
]

MOST_PAYLOAD_BYTES = 1440
"""Largest audio payload of one packet in bytes (AES67-2018, secondary)."""

_RTP, _UDP, _IP, _ETHERNET, _GAP, _VLAN = 12, 8, 20, 18, 20, 4
"""Bytes around the payload: RTP, UDP, IPv4, Ethernet with check sequence, preamble with gap, VLAN tag."""

LEVELS: Mapping[str, tuple[tuple[int, float, int], ...]] = MappingProxyType(
    {
        "a": ((48000, 1, 8),),
        "b": ((48000, 1, 8), (48000, 0.125, 8)),
        "c": ((48000, 1, 8), (48000, 0.125, 64)),
        "ax": ((48000, 1, 8), (96000, 1, 4)),
        "bx": ((48000, 1, 8), (48000, 0.125, 8), (96000, 1, 4), (96000, 0.125, 8)),
        "cx": ((48000, 1, 8), (48000, 0.125, 64), (96000, 1, 4), (96000, 0.125, 32)),
    }
)
"""Streams a receiver of each conformance level must take: (rate in Hz, packet time in ms, channels).

SMPTE ST 2110-30:2017; the 32 channels of CX at 96 kHz are from memory.
"""

_SAMPLES_48K = {0.125: 6, 0.25: 12, 1 / 3: 16, 1: 48, 4: 192}


def samples_per_packet(rate_hz: int, packet_ms: float) -> int:
    """Return the samples of one channel in one packet (AES67-2018, secondary).

    Packet times are nominal: at 44.1 kHz a packet holds as many samples as at 48 kHz and so lasts longer.
    Raises ValueError for a rate or a packet time that has none.
    """
    nominal = next((count for ms, count in _SAMPLES_48K.items() if abs(ms - packet_ms) < 0.001), None)
    if nominal is None or rate_hz not in (44100, 48000, 96000) or (rate_hz == 96000 and nominal == 192):
        raise ValueError(f"no packet of {packet_ms} ms at {rate_hz} Hz")
    return nominal * (2 if rate_hz == 96000 else 1)


def payload_bytes(channels: int, samples: int, bytes_per_sample: int = 3) -> int:
    """Return the audio payload of one packet in bytes."""
    return channels * samples * bytes_per_sample


def most_channels(rate_hz: int, packet_ms: float, bytes_per_sample: int = 3) -> int:
    """Return the most channels whose packet still fits `MOST_PAYLOAD_BYTES`."""
    return MOST_PAYLOAD_BYTES // (samples_per_packet(rate_hz, packet_ms) * bytes_per_sample)


def wire_bits_per_s(channels: int, rate_hz: int, packet_ms: float, *, vlan: bool = False) -> float:
    """Return what one stream of 24-bit samples takes of an Ethernet wire, preamble and gap included."""
    samples = samples_per_packet(rate_hz, packet_ms)
    around = _RTP + _UDP + _IP + _ETHERNET + _GAP + (_VLAN if vlan else 0)
    return (payload_bytes(channels, samples) + around) * 8 * rate_hz / samples


def aes3_bits_per_s(rate_hz: int) -> int:
    """Return the bit rate of a two-channel serial signal: 64 bits a frame (AES3)."""
    return 64 * rate_hz


def aes10_fits(channels: int, rate_hz: float) -> bool:
    """Return whether so many 32-bit slots fit the 100 Mbit/s of AES10 (AES10-2008)."""
    return channels * 32 * rate_hz <= 100e6
