"""The description of a network audio stream: written for a declared stream, read from a text (RFC 8866).

Comes in: a `Stream`, or a text in the session description protocol.  Goes out: the text, or `Stream`s.
Next: people who set up a sender or a receiver; nothing here opens a connection.

Forms: RFC 8866 (the protocol), RFC 3190 (L24), RFC 7273 (clocks), AES67-2018, SMPTE ST 2110-30 (order of channels).
What a text says beyond these is passed over, as the protocol asks.
"""

from __future__ import annotations

import re

from patchloom.errors import DocumentError
from patchloom.finding import Complaint
from patchloom.library.packets import PACKET_MS, packet_lasts_ms
from patchloom.library.streams import Reference, Stream, impossible

__all__ = ["packet_time", "read_sdp", "write_sdp"]

_CLOCK = (
    r"ptp=(?P<version>IEEE1588-20\d\d):"
    r"(?:(?P<id>(?:[0-9A-Fa-f]{2}-){7}[0-9A-Fa-f]{2})(?::(?P<domain>\d{1,9}))?|traceable)"
)
_ORDER = re.compile(r"channel-order=SMPTE2110\.\(([^()]*)\)\s*(?:;|$)")


# -- writing -----------------------------------------------------------------------------------------------------------


def packet_time(rate_hz: int, packet_ms: float) -> str:
    """Return a packet time as it is written: "1", "0.125", "0.333", and "1.088" for the longer packet of 44.1 kHz."""
    return f"{packet_lasts_ms(rate_hz, packet_ms):.3f}".rstrip("0").rstrip(".")


def write_sdp(stream: Stream) -> str:
    """Return the description of a stream, lines ended as RFC 8866 asks.

    Raises DocumentError with every complaint at once where the stream cannot be sent as declared.
    """
    wrong = tuple(impossible(stream, stream.name or "stream"))
    if wrong:
        raise DocumentError(wrong)
    lines = [
        "v=0",
        f"o=- {stream.session} {stream.version} IN IP4 {stream.sender}",
        f"s={stream.name}",
        f"c=IN IP4 {stream.address}" + (f"/{stream.hops}" if stream.multicast else ""),
        "t=0 0",
        f"m=audio {stream.port} RTP/AVP {stream.payload_type}",
        *([f"i={stream.info}"] if stream.info else []),
        f"a=rtpmap:{stream.payload_type} {stream.encoding}/{stream.rate_hz}/{stream.channels}",
        *([f"a=fmtp:{stream.payload_type} channel-order=SMPTE2110.({','.join(stream.order)})"] if stream.order else []),
        "a=recvonly",
        f"a=ptime:{packet_time(stream.rate_hz, stream.packet_ms)}",
        *([f"a=ts-refclk:{stream.clock}"] if stream.clock else []),
        *([f"a=mediaclk:direct={stream.offset}"] if stream.offset is not None else []),
    ]
    return "".join(f"{line}\r\n" for line in lines)


# -- reading -----------------------------------------------------------------------------------------------------------


class _Section:
    """Lines of one section by their letter and attribute, each with its number; the first of a kind counts."""

    def __init__(self) -> None:
        self.rows: dict[str, tuple[int, str]] = {}

    def take(self, number: int, key: str, value: str) -> None:
        """Keep a line."""
        if key == "a":
            name, _, rest = value.partition(":")
            key, value = f"a={name}", rest
        self.rows.setdefault(key, (number, value))


def read_sdp(text: str, document: str = "sdp") -> tuple[Stream, ...]:
    """Return the streams a description declares, one for each audio section, in order.

    What stands before the first section counts for all that say nothing else.  Raises DocumentError with every complaint
    at once, each with its line.
    """
    complaints: list[Complaint] = []
    top, sections = _Section(), list[_Section]()
    for number, line in enumerate(text.split("\n"), 1):
        line = line.rstrip("\r")
        if not line:
            continue
        key, equals, value = line.partition("=")
        if len(key) != 1 or not equals:
            complaints.append(
                Complaint(
                    document,
                    f"line {number}",
                    f"{line!r} is no line of a description",
                    "syntax",
                    number,
                    1,
                    hint="Write one letter, = and its value.",
                )
            )
            continue
        if key == "m":
            sections.append(_Section())
        (sections[-1] if sections else top).take(number, key, value)
    if top.rows.get("v", (0, ""))[1] != "0":
        complaints.append(Complaint(document, "v", "does not begin with v=0", "format", 1, 1, hint="Is this a description?"))
    audio = [section for section in sections if section.rows["m"][1].startswith("audio ")]
    if not audio:
        complaints.append(
            Complaint(document, "m", "has no audio section", "missing", hint="A line such as m=audio 5004 RTP/AVP 96.")
        )
    found = []
    for index, section in enumerate(audio):
        stream = _Reading(document, f"audio[{index}]", section, top, complaints).stream()
        if stream is not None:
            found.append(stream)
    if complaints:
        raise DocumentError(tuple(complaints))
    return tuple(found)


class _Reading:
    """One audio section on its way to a stream; whatever is wrong is noted, the rest is read on."""

    def __init__(self, document: str, path: str, section: _Section, top: _Section, complaints: list[Complaint]) -> None:
        self.document, self.path, self.section, self.top, self.complaints = document, path, section, top, complaints

    def wrong(self, key: str, message: str, hint: str) -> None:
        """Note what is wrong with a line."""
        line, value = self.section.rows.get(key) or self.top.rows.get(key) or (None, None)
        self.complaints.append(
            Complaint(
                self.document,
                f"{self.path}.{key}",
                message,
                "invalid" if line else "missing",
                line,
                1 if line else None,
                value,
                hint,
            )
        )

    def match(self, key: str, pattern: str, hint: str, *, needed: bool = True) -> re.Match[str] | None:
        """Return a line of the section, or else of the head, matched whole; None where it is absent or wrong."""
        row = self.section.rows.get(key) or self.top.rows.get(key)
        if row is None:
            if needed:
                self.wrong(key, "is missing", hint)
            return None
        found = re.fullmatch(pattern, row[1].strip(), re.ASCII)
        if found is None:
            self.wrong(key, f"{row[1]!r} is not understood", hint)
        return found

    def stream(self) -> Stream | None:
        """Return the stream, or None when something it needs is wrong."""
        before = len(self.complaints)
        media = self.match("m", r"audio (\d{1,19})(?:/1)? RTP/AVP (\d{1,19})(?: \d{1,19})*", "Write m=audio 5004 RTP/AVP 96.")
        where = self.match("c", r"IN IP4 ([\d.]+)(?:/(\d{1,19}))?(?:/1)?", "Write c=IN IP4 239.0.0.1/32.")
        origin = self.match("o", r"\S+ (\d{1,19}) (\d{1,19}) IN IP4 (\S+)", "Write o=- 1 1 IN IP4 192.0.2.1.")
        coded = self.match("a=rtpmap", r"(\d{1,19}) (L16|L24)/(\d{1,19})(?:/(\d{1,19}))?", "Write a=rtpmap:96 L24/48000/8.")
        lasts = self.match("a=ptime", r"(\d{1,9}(?:\.\d{1,9})?)", "Write a=ptime:1.")
        clock = self.match("a=ts-refclk", _CLOCK, "Write a=ts-refclk:ptp=IEEE1588-2008:<identity>:<domain>.", needed=False)
        media_clock = self.match("a=mediaclk", r"direct=(\d{1,19})(?: .*)?|sender", "Write a=mediaclk:direct=0.", needed=False)
        if not (media and where and origin and coded and lasts):
            return None
        if coded[1] != media[2]:
            self.wrong(
                "a=rtpmap", f"speaks of payload type {coded[1]}, the section of {media[2]}", "Write the same number in both."
            )
        rate = int(coded[3])
        packet = _nominal(rate, float(lasts[1]))
        if packet is None:
            self.wrong("a=ptime", f"no packet of {lasts[1]} ms is known at {rate} Hz", "0.125, 0.25, 0.333, 1 or 4.")
        if len(self.complaints) > before or packet is None:
            return None
        stream = Stream(
            name=self.top.rows.get("s", (0, ""))[1].strip() or "-",
            channels=int(coded[4] or 1),
            address=where[1],
            sender=origin[3],
            rate_hz=rate,
            packet_ms=packet,
            encoding=coded[2],
            port=int(media[1]),
            hops=int(where[2] or 32),
            payload_type=int(media[2]),
            session=int(origin[1]),
            version=int(origin[2]),
            info=self.section.rows.get("i", (0, ""))[1],
            clock=_reference(clock) if clock else None,
            offset=int(media_clock[1]) if media_clock and media_clock[1] else None,
            order=self._order(),
        )
        self.complaints.extend(impossible(stream, self.document))
        return stream

    def _order(self) -> tuple[str, ...]:
        row = self.section.rows.get("a=fmtp")
        found = _ORDER.search(row[1]) if row else None
        if row and found is None and "channel-order" in row[1]:
            self.wrong("a=fmtp", f"{row[1]!r} is not understood", "Write a=fmtp:96 channel-order=SMPTE2110.(ST).")
        return tuple(part.strip() for part in found[1].split(",") if part.strip()) if found else ()


def _reference(found: re.Match[str]) -> Reference:
    domain = found["domain"]
    return Reference((found["id"] or "").upper(), None if domain is None else int(domain), found["version"])


def _nominal(rate_hz: int, written_ms: float) -> float | None:
    """Return the nominal time of a packet whose written time is off by less than half a sample, or is nominal itself."""
    for packet_ms in PACKET_MS:
        try:
            lasts = packet_lasts_ms(rate_hz, packet_ms)
        except ValueError:
            continue
        if abs(lasts - written_ms) < 500 / rate_hz or abs(packet_ms - written_ms) < 0.0005:
            return packet_ms
    return None
