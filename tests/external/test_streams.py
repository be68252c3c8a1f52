"""Streams of network audio and their descriptions against AES67-2018, SMPTE ST 2110-10 and -30, RFC 8866 and 7273.

Source of every check here: the standard it names, through secondary texts, its published examples or open test suites;
"by arithmetic" where a figure only follows.
"""

from __future__ import annotations

import pytest

from patchloom.errors import DocumentError
from patchloom.library.packets import (
    DSCP,
    encoding_in_scope,
    jitter_ms,
    levels_taking,
    most_channels,
    packet_lasts_ms,
    receiver_buffer_ms,
    reserved_bits_per_s,
    stream_load,
    streams_that_fit,
)
from patchloom.library.sdp import packet_time, read_sdp, write_sdp
from patchloom.library.streams import Reference, Stream, channels_of, concerns, order_groups

PUBLISHED = """v=0
o=- 1311738121 1311738121 IN IP4 192.168.1.1
s=Stage left I/O
c=IN IP4 239.0.0.1/32
t=0 0
m=audio 5004 RTP/AVP 96
i=Channels 1-8
a=rtpmap:96 L24/48000/8
a=recvonly
a=ptime:1
a=ts-refclk:ptp=IEEE1588-2008:39-A7-94-FF-FE-07-CB-D0:0
a=mediaclk:direct=963214424
"""
"""The example AES67 prints in its annex."""


def sent(**said: object) -> Stream:
    """Return a stream with a clock, changed as said."""
    usual = {
        "name": "stage", "channels": 8, "address": "239.1.2.3", "sender": "192.0.2.1",
        "clock": Reference("39-A7-94-FF-FE-07-CB-D0", 0),
    }  # fmt: skip
    return Stream(**{**usual, **said})  # type: ignore[arg-type]


def test_published_description_is_understood() -> None:
    """Every figure of the example is found.  Source: AES67-2018 annex, as repeated by an open test suite."""
    (stream,) = read_sdp(PUBLISHED)
    assert (stream.name, stream.info, stream.sender) == ("Stage left I/O", "Channels 1-8", "192.168.1.1")
    assert (stream.address, stream.port, stream.hops, stream.payload_type) == ("239.0.0.1", 5004, 32, 96)
    assert (stream.encoding, stream.rate_hz, stream.channels, stream.packet_ms) == ("L24", 48000, 8, 1)
    assert stream.clock == Reference("39-A7-94-FF-FE-07-CB-D0", 0)
    assert stream.offset == 963214424


def test_published_description_is_written_the_same() -> None:
    """Read and written again, the example is what it was, line for line.  Source: AES67-2018 annex; line ends of RFC 8866."""
    text = write_sdp(read_sdp(PUBLISHED)[0])
    assert text.splitlines() == PUBLISHED.splitlines()
    assert text.count("\r\n") == text.count("\n") == 12


@pytest.mark.parametrize(
    ("rate", "packet", "written"),
    [(48000, 0.125, "0.125"), (48000, 0.25, "0.25"), (48000, 0.333, "0.333"), (48000, 1, "1"), (44100, 1, "1.088")],
)
def test_packet_times_are_written_to_less_than_half_a_sample(rate: int, packet: float, written: str) -> None:
    """125 us is written 0.125; the error stays below half a sample.  Source: AES67-2018 8.1, secondary."""
    assert packet_time(rate, packet) == written
    assert abs(float(written) - packet_lasts_ms(rate, packet)) < 500 / rate


def test_identity_of_a_clock_with_and_without_domain() -> None:
    """Identity alone, with domain 37, and `traceable`.  Source: RFC 7273 forms; confirmed: open checker of descriptions."""
    for said, meant in (
        ("39-A7-94-FF-FE-07-CB-D0:37", Reference("39-A7-94-FF-FE-07-CB-D0", 37)),
        ("39-A7-94-FF-FE-07-CB-D0", Reference("39-A7-94-FF-FE-07-CB-D0")),
        ("traceable", Reference()),
    ):
        (stream,) = read_sdp(PUBLISHED.replace("39-A7-94-FF-FE-07-CB-D0:0", said))
        assert stream.clock == meant
        assert f"ts-refclk:ptp=IEEE1588-2008:{said}" in write_sdp(stream)


def test_an_identity_has_eight_bytes() -> None:
    """Seven bytes are none.  Source: RFC 7273 form, by the same checker."""
    with pytest.raises(DocumentError, match="ts-refclk"):
        read_sdp(PUBLISHED.replace("39-A7-94-FF-FE-07-CB-D0", "39-A7-94-FF-FE-07-CB"))


def test_offset_of_the_media_clock() -> None:
    """AES67 takes any offset; ST 2110-10 asks for 0.  Source: ST 2110-10 7.4; confirmed: open checker."""
    stream = read_sdp(PUBLISHED)[0]
    assert concerns([stream]) == ()
    assert [row.path for row in concerns([stream], broadcast=True)] == ["$.offset"]


@pytest.mark.parametrize(
    ("labels", "groups"),
    [
        (["L", "R"], ("ST",)),
        (["M1", "M2"], ("DM",)),
        (["M1"], ("M",)),
        (["Lt", "Rt"], ("LtRt",)),
        (["L", "R", "C", "LFE", "Ls", "Rs"], ("51",)),
        (["L", "R", "C", "LFE", "Lss", "Rss", "Lrs", "Rrs"], ("71",)),
        (["L", "R", "x", "x", "x", "x", "x", "x"], ("ST", "U06")),
    ],
)
def test_groups_of_a_channel_order(labels: list[str], groups: tuple[str, ...]) -> None:
    """Labels make groups; what is in none is counted.  Source: ST 2110-30 6.2.2; confirmed: open test suite."""
    assert order_groups(labels) == groups


@pytest.mark.parametrize(
    ("group", "size"), [("M", 1), ("DM", 2), ("ST", 2), ("LtRt", 2), ("51", 6), ("71", 8), ("U01", 1), ("U64", 64)]
)
def test_sizes_of_groups(group: str, size: int) -> None:
    """1, 2, 2, 2, 6, 8 and the undefined.  Source: ST 2110-30 6.2.2 table 1; confirmed: open checker."""
    assert channels_of(group) == size


def test_sizes_of_groups_from_memory() -> None:
    """222 holds 24, SGRP 4.  Source: ST 2110-30 6.2.2 table 1, from memory."""
    assert (channels_of("222"), channels_of("SGRP")) == (24, 4)


def test_undefined_groups_run_from_1_to_64() -> None:
    """U00 and U65 are none.  Source: open specifications of source descriptions (U01 to U64)."""
    assert channels_of("U00") is None
    assert channels_of("U65") is None


def test_channel_order_in_a_description() -> None:
    """The order is written as SMPTE2110.(...) and read back.  Source: ST 2110-30 6.2.2; confirmed: open checker."""
    text = write_sdp(sent(order=("ST", "U06")))
    assert "a=fmtp:96 channel-order=SMPTE2110.(ST,U06)\r\n" in text
    assert read_sdp(text)[0].order == ("ST", "U06")


@pytest.mark.parametrize(
    ("encoding", "rate", "within"),
    [
        ("L16", 44100, True),
        ("L16", 48000, True),
        ("L24", 48000, True),
        ("L24", 96000, True),
        ("L24", 44100, False),
        ("L16", 96000, False),
    ],
)
def test_encodings_in_scope(encoding: str, rate: int, within: bool) -> None:
    """L16 at 44.1 and 48, L24 at 48 and 96 kHz.  Source: AES67-2018 7.1; confirmed: open checker and secondary text."""
    assert encoding_in_scope(encoding, rate) is within


def test_a_receiver_need_take_eight_channels() -> None:
    """Nine channels may be sent and may not be taken.  Source: AES67-2018 7.3, secondary."""
    assert concerns([sent(channels=8)]) == ()
    assert [row.path for row in concerns([sent(channels=9)])] == ["$.channels"]


def test_usual_addresses_and_ports() -> None:
    """239.0.0.0/8, port 5004, one sender a group.  Source: AES67-2018 6, secondary."""
    assert sent().port == 5004
    assert [row.path for row in concerns([sent(address="232.1.1.1")])] == ["$.address"]
    assert [row.path for row in concerns([sent(), sent(name="other")])] == ["$.address"]


def test_streams_of_two_clock_domains() -> None:
    """A receiver should not take a stream of another domain.  Source: AES67-2018 8.2, secondary."""
    other = sent(name="other", address="239.1.2.4", clock=Reference("39-A7-94-FF-FE-07-CB-D0", 127))
    assert [row.path for row in concerns([sent(), other])] == ["$.clock"]


def test_code_points_of_traffic() -> None:
    """Clock 46, media 34, the rest 0.  Source: AES67-2018 6.2, secondary."""
    assert dict(DSCP) == {"clock": 46, "media": 34, "other": 0}


@pytest.mark.parametrize(
    ("channels", "rate", "packet", "least"),
    [(8, 48000, 1, "a"), (8, 48000, 0.125, "b"), (64, 48000, 0.125, "c"), (4, 96000, 1, "ax"), (8, 96000, 0.125, "bx")],
)
def test_least_level_that_takes_a_stream(channels: int, rate: int, packet: float, least: str) -> None:
    """Levels A, B, C, AX, BX.  Source: ST 2110-30:2017 7; confirmed: open receiver examples and a trade article."""
    assert levels_taking(channels, rate, packet)[0] == least


def test_no_level_takes_more() -> None:
    """65 channels, 9 at 1 ms and 5 at 96 kHz and 1 ms are in no level.  Source: ST 2110-30:2017 7; confirmed: same."""
    assert levels_taking(65, 48000, 0.125) == levels_taking(9, 48000, 1) == levels_taking(5, 96000, 1) == ()


def test_every_level_takes_a_and_its_own() -> None:
    """B takes A, C takes B, BX takes B and AX.  Source: ST 2110-30:2017 7; confirmed: open receiver examples."""
    assert levels_taking(8, 48000, 1) == ("a", "b", "c", "ax", "bx", "cx")
    assert levels_taking(8, 48000, 0.125) == ("b", "c", "bx", "cx")
    assert levels_taking(4, 96000, 1) == ("ax", "bx", "cx")


def test_load_of_level_a() -> None:
    """8 channels at 1 ms: 9.216 Mbit/s of audio, 9.536, 9.680, 9.840.  Source: headers of RFC 3550, 768, 791, IEEE 802.3."""
    load = stream_load(8, 48000, 1)
    assert load.packets_per_s == 1000
    assert [round(depth / 1e6, 6) for depth in load[1:]] == [9.216, 9.536, 9.680, 9.840]


def test_load_of_two_channels() -> None:
    """Stereo at 1 ms: 2.304 Mbit/s of audio (trade article), 2.624 with IP, 2.928 on the wire.  Source: same; by arithmetic."""
    load = stream_load(2, 48000, 1)
    assert [round(depth / 1e6, 6) for depth in (load.payload, load.ip, load.wire)] == [2.304, 2.624, 2.928]


def test_load_of_level_c() -> None:
    """64 channels at 125 us: 73.728, 76.288, 78.720 Mbit/s in 8000 packets a second.  Source: same; by arithmetic."""
    load = stream_load(64, 48000, 0.125)
    assert load.packets_per_s == 8000
    assert [round(depth / 1e6, 6) for depth in (load.payload, load.ip, load.wire)] == [73.728, 76.288, 78.720]


def test_packets_of_44100() -> None:
    """918.75 packets a second of 48 samples.  Source: AES67-2018 7.2.1, secondary; by arithmetic."""
    assert stream_load(2, 44100, 1, 2).packets_per_s == pytest.approx(918.75)


@pytest.mark.parametrize(
    ("link", "channels", "packet", "fit"), [(100e6, 8, 1, 10), (1e9, 8, 1, 101), (100e6, 64, 0.125, 1), (1e9, 64, 0.125, 12)]
)
def test_streams_on_a_link(link: float, channels: int, packet: float, fit: int) -> None:
    """10 and 101 streams of level A, 1 and 12 of level C.  Source: by arithmetic from the loads."""
    assert streams_that_fit(link, stream_load(channels, 48000, packet)) == fit


def test_what_no_packet_holds_is_refused() -> None:
    """64 channels at 1 ms would be 9216 bytes.  Source: AES67-2018 6.3 (1440 bytes); by arithmetic."""
    with pytest.raises(ValueError, match="9216 bytes"):
        stream_load(64, 48000, 1)
    with pytest.raises(DocumentError, match="1440"):
        write_sdp(sent(channels=64))


@pytest.mark.parametrize(("channels", "megabit"), [(1, 7.81), (2, 7.81), (4, 10.88), (8, 17.02), (16, 29.31), (32, 53.89)])
def test_streams_with_reserved_bandwidth(channels: int, megabit: float) -> None:
    """A published worked table at 48 kHz.  Source: IEEE 1722 through an open implementation's documentation."""
    assert reserved_bits_per_s(channels, 48000) / 1e6 == pytest.approx(megabit, abs=0.005)


def test_reserved_bandwidth_at_96_khz() -> None:
    """8 channels at 96 kHz take what 16 take at 48.  Source: the same table."""
    assert reserved_bits_per_s(8, 96000) == reserved_bits_per_s(16, 48000)


@pytest.mark.parametrize(("packet", "least", "recommended"), [(1, 3, 20), (0.125, 0.375, 2.5), (4, 12, 20)])
def test_buffer_of_a_receiver(packet: float, least: float, recommended: float) -> None:
    """3 packets at least; 20 packets or 20 ms recommended.  Source: AES67-2018 7.5, secondary."""
    assert receiver_buffer_ms(packet) == (least, recommended)


@pytest.mark.parametrize(("packet", "most"), [(1, 17), (0.125, 2.125), (4, 17)])
def test_lateness_of_a_sender(packet: float, most: float) -> None:
    """One packet recommended; 17 packets or 17 ms at most.  Source: AES67-2018 7.5, secondary."""
    assert jitter_ms(packet) == (packet, most)


@pytest.mark.parametrize(("packet", "at_48", "at_96"), [(0.125, 80, 40), (0.25, 40, 20), (0.333, 30, 15), (1, 10, 5)])
def test_most_channels_at_two_rates(packet: float, at_48: int, at_96: int) -> None:
    """Channels of 24 bits in 1440 bytes, half at twice the rate.  Source: AES67-2018 6.3; by arithmetic."""
    assert (most_channels(48000, packet), most_channels(96000, packet)) == (at_48, at_96)


@pytest.mark.parametrize(("packet", "channels"), [(0.125, 120), (0.25, 60), (0.333, 45), (1, 15), (4, 3)])
def test_most_channels_of_16_bits_at_each_time(packet: float, channels: int) -> None:
    """Channels of 16 bits in 1440 bytes.  Source: AES67-2018 6.3; 120 confirmed by an encyclopedia, the rest by arithmetic."""
    assert most_channels(48000, packet, 2) == channels
