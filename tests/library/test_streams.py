"""Declared streams, their descriptions, and the arithmetic beside: what is refused, what is said of it, what goes round."""

from __future__ import annotations

import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patchloom.errors import DocumentError
from patchloom.library import packets, sound, switching, timing
from patchloom.library.sdp import packet_time, read_sdp, write_sdp
from patchloom.library.streams import Reference, Stream, concerns, impossible, order_groups

CLOCK = Reference("39-A7-94-FF-FE-07-CB-D0", 0)


def sent(**said: object) -> Stream:
    """Return a stream, changed as said."""
    usual = {"name": "stage", "channels": 8, "address": "239.1.2.3", "sender": "192.0.2.1", "clock": CLOCK}
    return Stream(**{**usual, **said})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("name", "", "no single line"),
        ("name", "two\nlines", "no single line"),
        ("info", "two\rlines", "no single line"),
        ("address", "239.1.2", "no IPv4 address"),
        ("sender", "stage", "no IPv4 address"),
        ("port", 0, "from 1 to 65535"),
        ("port", 65536, "from 1 to 65535"),
        ("hops", 0, "from 1 to 255"),
        ("hops", 256, "from 1 to 255"),
        ("payload_type", 95, "from 96 to 127"),
        ("payload_type", 128, "from 96 to 127"),
        ("encoding", "L20", "none of L16, L24"),
        ("packet_ms", 2, "no packet of 2 ms"),
        ("rate_hz", 32000, "at 32000 Hz"),
        ("channels", 0, "0 channels"),
        ("channels", 11, "a packet holds 1440"),
        ("clock", Reference("39-A7"), "no clock identity"),
        ("clock", Reference("39-A7-94-FF-FE-07-CB-D0", 128), "from 0 to 127"),
        ("order", ("ST", "U00"), "'U00' is no group"),
        ("order", ("71", "ST"), "its groups hold 10 channels"),
    ],
)
def test_what_cannot_be_sent_is_refused_by_field(field: str, value: object, said: str) -> None:
    """Each field says what is wrong, the value found, and what to write."""
    (complaint,) = impossible(sent(**{field: value}))
    assert complaint.path.startswith(f"$.{field}")
    assert said in complaint.message
    assert complaint.hint
    with pytest.raises(DocumentError):
        write_sdp(sent(**{field: value}))


def test_the_edges_are_sent() -> None:
    """What lies just inside every limit is sent as declared."""
    for said in ({"port": 1}, {"port": 65535}, {"hops": 255}, {"payload_type": 127}, {"channels": 10}, {"order": ("71",)}):
        assert list(impossible(sent(**said))) == []


@given(
    st.builds(
        Stream,
        name=st.text(string.ascii_letters + " é", min_size=1, max_size=9).map(str.strip).filter(bool),
        channels=st.integers(1, 2),
        address=st.ip_addresses(v=4).map(str),
        sender=st.just("192.0.2.7"),
        rate_hz=st.sampled_from([44100, 48000, 96000]),
        packet_ms=st.sampled_from([0.125, 0.25, 0.333, 1]),
        encoding=st.sampled_from(["L16", "L24"]),
        port=st.integers(1, 65535),
        payload_type=st.integers(96, 127),
        session=st.integers(0, 2**60),
        version=st.integers(0, 2**60),
        info=st.text(string.ascii_letters, max_size=5),
        clock=st.sampled_from([None, CLOCK, Reference(), Reference(CLOCK.identity)]),
        offset=st.none() | st.integers(0, 2**32 - 1),
        order=st.sampled_from([(), ("M",)]),
    )
)
def test_what_is_written_is_read_again(stream: Stream) -> None:
    """Every stream that can be written comes back the same."""
    assert read_sdp(write_sdp(stream)) == (stream,)


@given(st.lists(st.sampled_from([
    "v=0", "o=- 1 1 IN IP4 192.0.2.1", "s=x", "c=IN IP4 239.0.0.1/32", "m=audio 5004 RTP/AVP 96", "m=video 1 RTP/AVP 96",
    "a=rtpmap:96 L24/48000/8", "a=rtpmap:97 L24/96000", "a=rtpmap:96 L24/999/99999", "a=ptime:1", "a=ptime:0.125", "a=ptime:x",
    "a=ts-refclk:ptp=IEEE1588-2008:39-A7-94-FF-FE-07-CB-D0:300", "a=mediaclk:direct=0", "a=mediaclk:sender", "i=ok",
    "a=fmtp:96 channel-order=SMPTE2110.(ST,U99)", "a=fmtp:96 channel-order=?", "nonsense", "", "=", "a",
]), max_size=14).map("\n".join) | st.text(max_size=60))  # fmt: skip
def test_any_text_is_read_or_complained_of(text: str) -> None:
    """Whatever stands there, the answer is streams that could be sent, or complaints."""
    try:
        streams = read_sdp(text)
    except DocumentError as problem:
        streams = ()
        said = problem.complaints
    else:
        said = ()
    assert bool(streams) is not bool(said)
    assert all(not list(impossible(stream)) for stream in streams)


def test_complaints_name_their_line() -> None:
    """Everything wrong is said at once, each at its line."""
    text = write_sdp(sent()).replace("L24", "L99").replace("ptime:1", "ptime:3").replace("RTP/AVP 96", "RTP/AVP 97")
    with pytest.raises(DocumentError) as problem:
        read_sdp(text, "stage.sdp")
    assert [(row.document, row.path, row.line) for row in problem.value.complaints] == [("stage.sdp", "audio[0].a=rtpmap", 7)]
    with pytest.raises(DocumentError) as problem:
        read_sdp(text.replace("L99", "L24"), "stage.sdp")
    assert [(row.path, row.line) for row in problem.value.complaints] == [("audio[0].a=rtpmap", 7), ("audio[0].a=ptime", 9)]


def test_what_is_missing_is_named() -> None:
    """A description of nothing but its first line lacks an audio section; an empty section lacks five lines."""
    with pytest.raises(DocumentError, match="no audio section"):
        read_sdp("v=0\n")
    with pytest.raises(DocumentError) as problem:
        read_sdp("v=0\nm=audio 5004 RTP/AVP 96\n")
    assert {row.path for row in problem.value.complaints} == {f"audio[0].{key}" for key in ("c", "o", "a=rtpmap", "a=ptime")}


def test_a_section_takes_what_stands_before_it() -> None:
    """Address and clock before the first section count for both sections; a section's own line comes first."""
    one = write_sdp(sent(clock=None, offset=None)).splitlines()
    head = [*one[:5], "a=ts-refclk:ptp=IEEE1588-2008:traceable"]
    text = "\n".join([*head, *one[5:], "m=audio 5006 RTP/AVP 97", "c=IN IP4 239.9.9.9/8", "a=rtpmap:97 L16/44100", "a=ptime:1"])
    first, second = read_sdp(text)
    assert (first.address, first.clock, first.offset) == ("239.1.2.3", Reference(), None)
    assert (second.address, second.hops, second.port, second.channels, second.packet_ms) == ("239.9.9.9", 8, 5006, 1, 1)


def test_a_stream_to_one_receiver_has_no_hops() -> None:
    """Only a multicast address says how many routers it may pass."""
    assert "c=IN IP4 192.0.2.9\r\n" in write_sdp(sent(address="192.0.2.9"))
    assert not sent(address="192.0.2.9").multicast
    assert not sent(address="nowhere").multicast


def test_concerns_of_one_stream() -> None:
    """A silent clock and an odd encoding are doubtful, and nothing keeps the stream from being sent."""
    stream = sent(clock=None, encoding="L16", rate_hz=96000, offset=None, channels=4)
    assert [row.path for row in concerns([stream])] == ["$.encoding", "$.clock"]
    assert [row.path for row in concerns([stream], broadcast=True)] == ["$.encoding", "$.clock", "$.offset"]
    assert write_sdp(stream)


def test_concerns_of_two_streams() -> None:
    """Two receivers may share a port, two clocks may not; a clock that is merely traceable contradicts none."""
    one, other = sent(address="192.0.2.8"), sent(address="192.0.2.8", name="other")
    assert concerns([one, other]) == ()
    assert concerns([one, sent(address="239.1.1.1", clock=Reference())]) == ()
    clash = sent(name="late", address="239.1.1.2", clock=Reference("00-00-00-00-00-00-00-01", 0))
    assert [(row.document, row.path) for row in concerns([one, clash])] == [("late", "$.clock")]


def test_undefined_channels_come_in_groups_of_at_most_64() -> None:
    """70 channels without a name are 64 and 6; names in between end a group."""
    assert order_groups(["x"] * 70) == ("U64", "U06")
    assert order_groups(["x", "M1", "M2", "x"]) == ("U01", "DM", "U01")
    assert order_groups([]) == ()


def test_arithmetic_refuses_what_has_no_answer() -> None:
    """No channels, no time, no distance, no sound: an error that says so, never a figure."""
    for wrong in (
        lambda: packets.stream_load(0, 48000, 1),
        lambda: packets.reserved_bits_per_s(2, 44100),
        lambda: packet_time(48000, 3),
        lambda: sound.sum_db([]),
        lambda: sound.sum_alike_db([]),
        lambda: sound.leq_db([]),
        lambda: sound.at_metres_db(90, 0),
        lambda: sound.level_budget([(90, -1)]),
        lambda: timing.rates_related(0, 48000),
    ):
        with pytest.raises(ValueError, match=r".+"):
            wrong()
    with pytest.raises(KeyError):
        timing.captures(3, 1)
    with pytest.raises(KeyError):
        sound.exchange_hours(90, "nobody")


def test_shares_of_a_link() -> None:
    """A share of a link holds that share of the streams."""
    load = packets.stream_load(8, 48000, 1)
    assert (packets.streams_that_fit(1e9, load, 0.75), packets.streams_that_fit(load.wire * 3, load)) == (76, 3)
    assert packets.aes10_most_rate_hz(64) == pytest.approx(48828.125)
    assert packets.packet_lasts_ms(48000, 0.333) == pytest.approx(1 / 3)


def test_budget_without_a_wanted_level() -> None:
    """No wanted level, nothing left."""
    assert sound.level_budget([(100, 1)]) == sound.Budget(100, (100,), None)


def test_stages_at_the_edges() -> None:
    """One line more or less decides."""
    assert [switching.always_free(4, middle, 2) for middle in (6, 7)] == [False, True]
    assert [switching.free_by_moving(4, middle) for middle in (3, 4)] == [False, True]
    assert switching.bundles_needed([("a", "x"), ("a", "y"), ("b", "a")]) == 2
