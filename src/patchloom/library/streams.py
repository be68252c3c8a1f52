"""Declared streams of network audio: what is sent where, by which clock, and what is doubtful about several together.

Comes in: `Stream`s, labels of channels.  Goes out: complaints, groups of a channel order.  Next: `sdp.py` writes and
reads a stream's description; nothing here opens a connection.

Forms: AES67-2018, SMPTE ST 2110-10 and ST 2110-30, IEEE 1588-2008 (all secondary); addresses are IPv4.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from ipaddress import AddressValueError, IPv4Address, IPv4Network

import attrs

from patchloom.finding import Complaint
from patchloom.library.packets import (
    ENCODINGS,
    MOST_PAYLOAD_BYTES,
    PACKET_MS,
    encoding_in_scope,
    payload_bytes,
    samples_per_packet,
)

__all__ = ["GROUPS", "Reference", "Stream", "channels_of", "concerns", "impossible", "order_groups"]

GROUPS = {"M": 1, "DM": 2, "ST": 2, "LtRt": 2, "51": 6, "71": 8, "222": 24, "SGRP": 4}
"""Channels of each group in a channel order (ST 2110-30 6.2.2; the sizes of 222 and SGRP from memory); U01 to U64 beside."""

_ORDERS = {
    ("M1",): "M",
    ("M1", "M2"): "DM",
    ("L", "R"): "ST",
    ("Lt", "Rt"): "LtRt",
    ("L", "R", "C", "LFE", "Ls", "Rs"): "51",
    ("L", "R", "C", "LFE", "Lss", "Rss", "Lrs", "Rrs"): "71",
}
_MULTICAST = IPv4Network("224.0.0.0/4")
_USUAL = IPv4Network("239.0.0.0/8")
_IDENTITY = re.compile(r"(?:[0-9A-Fa-f]{2}-){7}[0-9A-Fa-f]{2}")


@attrs.frozen
class Reference:
    """The precision clock a stream's samples are counted by; no identity: any that is traceable."""

    identity: str = ""
    """Eight bytes as `39-A7-94-FF-FE-07-CB-D0`."""
    domain: int | None = None
    """Domain number, 0 to 127; None where not said."""
    version: str = "IEEE1588-2008"

    def __str__(self) -> str:
        if not self.identity:
            return f"ptp={self.version}:traceable"
        return f"ptp={self.version}:{self.identity}" + ("" if self.domain is None else f":{self.domain}")


@attrs.frozen
class Stream:
    """One declared stream: what is sent, where to, and by which clock."""

    name: str
    channels: int
    address: str
    """Where it is sent: a multicast group, or one receiver."""
    sender: str
    """Address of the sender."""
    rate_hz: int = 48000
    packet_ms: float = 1
    """Nominal packet time in milliseconds: 0.125, 0.25, 0.333, 1, 4."""
    encoding: str = "L24"
    port: int = 5004
    hops: int = 32
    """How many routers a multicast packet may pass."""
    payload_type: int = 96
    session: int = 1
    version: int = 1
    info: str = ""
    clock: Reference | None = None
    """None: nothing is said of the clock, and no receiver can tell whether it shares it."""
    offset: int | None = 0
    """Media clock at the clock's epoch, in samples; ST 2110-10 asks for 0.  None: not said."""
    order: tuple[str, ...] = ()
    """Groups of channels in order, e.g. ("ST", "U06").  Empty: not said."""

    @property
    def multicast(self) -> bool:
        """Return whether it is sent to a group of receivers; False too where the address is none."""
        return _within(self.address, _MULTICAST)


def impossible(stream: Stream, document: str = "stream") -> Iterable[Complaint]:
    """Yield what no stream can be, field by field; nothing for one that can be sent as declared."""

    def wrong(field: str, message: str, hint: str) -> Complaint:
        return Complaint(document, f"$.{field}", message, "invalid", value=getattr(stream, field.split(".")[0]), hint=hint)

    for field in ("name", "info"):
        if re.search(r"[\r\n\0]", getattr(stream, field)) or (field == "name" and not stream.name):
            yield wrong(field, f"{getattr(stream, field)!r} is no single line of text", "Write one line.")
    for field in ("address", "sender"):
        try:
            IPv4Address(getattr(stream, field))
        except AddressValueError:
            yield wrong(field, f"{getattr(stream, field)!r} is no IPv4 address", "Write four numbers, e.g. 239.0.0.1.")
    for field, low, high in (("port", 1, 65535), ("hops", 1, 255), ("payload_type", 96, 127)):
        if not low <= getattr(stream, field) <= high:
            yield wrong(field, f"{getattr(stream, field)} is not from {low} to {high}", f"Write a number from {low} to {high}.")
    clock = stream.clock
    if clock is not None and clock.identity and not _IDENTITY.fullmatch(clock.identity):
        yield wrong("clock.identity", f"{clock.identity!r} is no clock identity", "Write eight bytes, 39-A7-94-FF-FE-07-CB-D0.")
    if clock is not None and clock.domain is not None and not 0 <= clock.domain <= 127:
        yield wrong("clock.domain", f"{clock.domain} is not from 0 to 127", "Write the number of the clock domain.")
    if stream.encoding not in ENCODINGS:
        yield wrong("encoding", f"{stream.encoding!r} is none of {', '.join(ENCODINGS)}", "Write L24 or L16.")
        return
    try:
        samples = samples_per_packet(stream.rate_hz, stream.packet_ms)
    except ValueError as problem:
        field = "packet_ms" if stream.rate_hz in (44100, 48000, 96000) else "rate_hz"
        times = ", ".join(f"{ms:g}" for ms in PACKET_MS)
        yield wrong(field, str(problem), f"Write 44100, 48000 or 96000 Hz, and one of {times} ms.")
        return
    each = payload_bytes(1, samples, ENCODINGS[stream.encoding][0])
    if not 1 <= stream.channels <= MOST_PAYLOAD_BYTES // each:
        yield wrong(
            "channels",
            f"{stream.channels} channels are {stream.channels * each} bytes a packet; a packet holds {MOST_PAYLOAD_BYTES}",
            f"Send from 1 to {MOST_PAYLOAD_BYTES // each} channels, or change the packet time.",
        )
    yield from _order_complaints(stream, wrong)


def _order_complaints(stream: Stream, wrong: Callable[[str, str, str], Complaint]) -> Iterable[Complaint]:
    unknown = [group for group in stream.order if channels_of(group) is None]
    if unknown:
        yield wrong("order", f"{unknown[0]!r} is no group of channels", f"Write {', '.join(GROUPS)} or U01 to U64.")
    elif stream.order and (held := sum(channels_of(group) or 0 for group in stream.order)) > stream.channels:
        yield wrong(
            "order", f"its groups hold {held} channels, the stream {stream.channels}", "Drop a group, or send more channels."
        )


# -- order of channels -------------------------------------------------------------------------------------------------


def channels_of(group: str) -> int | None:
    """Return how many channels a group of a channel order holds; None where there is no such group."""
    if group in GROUPS:
        return GROUPS[group]
    found = re.fullmatch(r"U(\d\d)", group)
    return int(found[1]) if found and 1 <= int(found[1]) <= 64 else None


def order_groups(labels: Sequence[str]) -> tuple[str, ...]:
    """Return the groups that say a row of channel labels; what belongs to no group is counted as undefined, U01 to U64.

    `["L", "R", "x", "x"]` gives `("ST", "U02")`; the longest group that fits is taken (open test suites for ST 2110-30).
    """
    groups: list[str] = []
    loose = 0
    rest = tuple(labels)
    while rest:
        size = next((size for size in (8, 6, 2, 1) if rest[:size] in _ORDERS), 0)
        if size or loose == 64:
            groups.extend([f"U{loose:02d}"] if loose else [])
            loose = 0
        if size:
            groups.append(_ORDERS[rest[:size]])
        else:
            loose += 1
        rest = rest[size or 1 :]
    return (*groups, f"U{loose:02d}") if loose else tuple(groups)


# -- several streams ---------------------------------------------------------------------------------------------------


def concerns(streams: Sequence[Stream], *, broadcast: bool = False) -> tuple[Complaint, ...]:
    """Return what is doubtful about streams that share a network: addresses, clocks, what receivers need not take.

    `broadcast` adds what ST 2110-10 asks for beyond AES67.  Nothing here stops a stream from being sent.
    """
    found: list[Complaint] = []
    taken: dict[tuple[str, int], str] = {}
    clocks: dict[str, Stream] = {}
    for stream in streams:
        found.extend(_alone(stream, broadcast))
        place = (stream.address, stream.port)
        if stream.multicast and place in taken:
            message = f"{stream.address}:{stream.port} is {taken[place]}'s too"
            found.append(_doubt(stream, "address", message, "Give each stream a group of its own."))
        taken.setdefault(place, stream.name)
        if stream.clock is not None and stream.clock.identity:
            clocks.setdefault(str(stream.clock), stream)
    if len(clocks) > 1:
        said = ", ".join(f"{stream.name}: {clock}" for clock, stream in clocks.items())
        hint = "Set one clock domain for all; a receiver should not take a stream of another."
        found.append(_doubt(list(clocks.values())[1], "clock", f"the clocks differ ({said})", hint))
    return tuple(found)


def _within(address: str, network: IPv4Network) -> bool:
    try:
        return IPv4Address(address) in network
    except AddressValueError:
        return False


def _doubt(stream: Stream, field: str, message: str, hint: str) -> Complaint:
    return Complaint(stream.name, f"$.{field}", message, "doubtful", value=getattr(stream, field), hint=hint)


def _alone(stream: Stream, broadcast: bool) -> Iterable[Complaint]:
    if not encoding_in_scope(stream.encoding, stream.rate_hz):
        yield _doubt(stream, "encoding", f"{stream.encoding} at {stream.rate_hz} Hz is outside AES67", "L24 at 48000 or 96000.")
    if stream.channels > 8:
        yield _doubt(stream, "channels", f"{stream.channels} channels; receivers need take no more than 8", "Ask the receiver.")
    if stream.multicast and not _within(stream.address, _USUAL):
        yield _doubt(stream, "address", f"{stream.address} is outside 239.0.0.0/8", "Take a group of 239.0.0.0/8.")
    if stream.clock is None:
        yield _doubt(stream, "clock", "nothing is said of the clock", "Name the clock's identity and domain.")
    if broadcast and stream.offset != 0:
        said = "not said" if stream.offset is None else stream.offset
        yield _doubt(stream, "offset", f"the media clock's offset is {said}; ST 2110-10 asks for 0", "Set it to 0.")
