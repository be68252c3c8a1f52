"""Bits, frames and packets of digital audio links by arithmetic.

Comes in: channels, sample rates in Hz, packet times in milliseconds.  Goes out: samples, bytes, bits per
second.  Next: `sdp.py` describes a stream; rules judge a format, papers state a load.

A packet time is nominal: 1 ms stands for 48 samples at 48 kHz, and for 48 samples (1.088 ms) at 44.1 kHz.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

__all__ = [
    "DSCP",
    "ENCODINGS",
    "LEVELS",
    "MOST_PAYLOAD_BYTES",
    "PACKET_MS",
    "Load",
    "aes3_bits_per_s",
    "aes10_fits",
    "aes10_most_rate_hz",
    "encoding_in_scope",
    "jitter_ms",
    "levels_taking",
    "most_channels",
    "packet_lasts_ms",
    "payload_bytes",
    "receiver_buffer_ms",
    "reserved_bits_per_s",
    "samples_per_packet",
    "stream_load",
    "streams_that_fit",
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

ENCODINGS: Mapping[str, tuple[int, tuple[int, ...]]] = MappingProxyType({"L16": (2, (44100, 48000)), "L24": (3, (48000, 96000))})
"""Encoding to (bytes a sample, rates in Hz at which it is in scope) (AES67-2018 7.1, secondary)."""

DSCP: Mapping[str, int] = MappingProxyType({"clock": 46, "media": 34, "other": 0})
"""Code points of the traffic classes: EF, AF41, best effort (AES67-2018 6.2, secondary)."""

PACKET_MS: tuple[float, ...] = (0.125, 0.25, 0.333, 1, 4)
"""Nominal packet times in milliseconds (AES67-2018 7.2, secondary); 0.333 stands for a third."""

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


def packet_lasts_ms(rate_hz: int, packet_ms: float) -> float:
    """Return how many milliseconds a packet of a nominal time really holds: 1.088 for "1 ms" at 44.1 kHz.

    Raises ValueError for a rate or a packet time that has none.
    """
    return 1000 * samples_per_packet(rate_hz, packet_ms) / rate_hz


def encoding_in_scope(encoding: str, rate_hz: int) -> bool:
    """Return whether an encoding (L16, L24) is one of the standard's at a rate in Hz (AES67-2018 7.1, secondary)."""
    return rate_hz in ENCODINGS.get(encoding, (0, ()))[1]


def levels_taking(channels: int, rate_hz: int, packet_ms: float) -> tuple[str, ...]:
    """Return the names of the levels whose receivers must take such a stream, in the order of `LEVELS`.

    Channels, rate in Hz, nominal packet time in milliseconds (SMPTE ST 2110-30:2017, see `LEVELS`).
    """
    return tuple(
        name
        for name, streams in LEVELS.items()
        if any(rate == rate_hz and abs(ms - packet_ms) < 0.001 and 1 <= channels <= most for rate, ms, most in streams)
    )


class Load(NamedTuple):
    """What one stream takes, in bits per second at four depths, and its packets."""

    packets_per_s: float
    payload: float
    """Audio only."""
    ip: float
    """With RTP, UDP and IPv4."""
    frame: float
    """With Ethernet and its check sequence."""
    wire: float
    """With preamble and gap: what a link has to give."""


def stream_load(channels: int, rate_hz: int, packet_ms: float, bytes_per_sample: int = 3, *, vlan: bool = False) -> Load:
    """Return the load of one RTP stream over IPv4 and Ethernet in bits per second.

    Header lengths: RFC 3550, RFC 768, RFC 791, IEEE 802.3 (from memory, but for the 12 bytes of RTP).  Raises ValueError for
    a rate or packet time that has none, for no channels, and for a packet above `MOST_PAYLOAD_BYTES`.
    """
    samples = samples_per_packet(rate_hz, packet_ms)
    payload = payload_bytes(channels, samples, bytes_per_sample)
    if channels < 1:
        raise ValueError(f"{channels} channels; a stream has at least one")
    if payload > MOST_PAYLOAD_BYTES:
        most = most_channels(rate_hz, packet_ms, bytes_per_sample)
        raise ValueError(
            f"{channels} channels of {samples} samples are {payload} bytes; a packet holds {MOST_PAYLOAD_BYTES}. "
            f"Send at most {most} channels a stream, or shorter packets."
        )
    sizes = [payload, _RTP + _UDP + _IP, _ETHERNET + (_VLAN if vlan else 0), _GAP]
    each = 8 * rate_hz / samples
    return Load(rate_hz / samples, *(sum(sizes[: depth + 1]) * each for depth in range(len(sizes))))


def wire_bits_per_s(channels: int, rate_hz: int, packet_ms: float, *, vlan: bool = False) -> float:
    """Return what one stream of 24-bit samples takes of an Ethernet wire, preamble and gap included."""
    return stream_load(channels, rate_hz, packet_ms, vlan=vlan).wire


def streams_that_fit(link_bits_per_s: float, load: Load, share: float = 1.0) -> int:
    """Return how many equal streams fit one direction of a link; `share` is the part of it they may take."""
    return int(link_bits_per_s * share / load.wire + 1e-9)


def receiver_buffer_ms(packet_ms: float) -> tuple[float, float]:
    """Return (least, recommended) milliseconds a receiver buffers: 3 packets; 20 packets or 20 ms, the smaller.

    AES67-2018 7.5, secondary.
    """
    return 3 * packet_ms, min(20 * packet_ms, 20.0)


def jitter_ms(packet_ms: float) -> tuple[float, float]:
    """Return (recommended, most) milliseconds a sender may be late: 1 packet; 17 packets or 17 ms, the smaller.

    AES67-2018 7.5, secondary.
    """
    return packet_ms, min(17 * packet_ms, 17.0)


def reserved_bits_per_s(channels: int, rate_hz: int) -> int:
    """Return what a stream with reserved bandwidth takes: 8000 packets a second, 4 bytes a sample, 74 bytes around.

    Two places at least are sent.  IEEE 1722 through a published worked table.  Raises ValueError for a rate in Hz that is
    no multiple of 8000.
    """
    if rate_hz % 8000:
        raise ValueError(f"{rate_hz} Hz is no whole number of samples in each of 8000 packets a second")
    return (rate_hz // 8000 * max(channels, 2) * 4 + 74) * 8 * 8000


def aes3_bits_per_s(rate_hz: int) -> int:
    """Return the bit rate of a two-channel serial signal: 64 bits a frame (AES3)."""
    return 64 * rate_hz


def aes10_fits(channels: int, rate_hz: float) -> bool:
    """Return whether so many 32-bit slots fit the 100 Mbit/s of AES10 (AES10-2008)."""
    return channels * 32 * rate_hz <= 100e6


def aes10_most_rate_hz(channels: int) -> float:
    """Return the highest rate in Hz at which so many 32-bit slots fit AES10, before its synchronisation symbols."""
    return 100e6 / (channels * 32)
