"""What a house or a truck has: types, devices, links, formats, clock domains.

Comes in: an expanded rig document, or Python values.  Goes out: one frozen `Rig`.
Next: `model/show.py` says what tonight needs of it.

Every field's `doc` says its unit and what absence means.  `None` is *unknown* unless the doc says
otherwise.  A *size* is a number, or a table from nominal sample rate in Hz (as text) to number; a rate
that is not listed is not supported.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import attrs

from patchloom.model.base import Table, at_rate, exact, flag, many, numbers, one, plain, rate_of, table, text, words

__all__ = [
    "Bank",
    "Cable",
    "Device",
    "Domain",
    "Format",
    "Limit",
    "Link",
    "Place",
    "Port",
    "Preamp",
    "Rig",
    "Select",
    "Stock",
    "Type",
]


@attrs.frozen
class Format:
    """How many channels a kind of link carries, which way, how far, and what else rides along."""

    id: str = text("Key in `formats`.")
    about: str = text("What it is, in a sentence.")
    source: str = text("The published source of the numbers; absent: none, the numbers are typical.")
    standing: str = text("`standard`, `practice` (of the trade, no open document) or `typical`.", "typical")
    channels: Table = plain(
        "Channels by nominal rate in Hz: a number for each direction, or [from first end to second, "
        "from second to first]. A rate not listed is not supported.",
        Table(),
    )
    one_way: bool = flag("Whether signal runs only from the first joined port to the second. Absent: both ways.")
    pass_: tuple[str, ...] = words("What it may carry: audio, clock, control, power. Absent: audio only.")
    medium: tuple[str, ...] = words("Cables it runs over. Absent: unknown.")
    most_m: object = plain("Longest run in metres, a number or a table by medium. Absent: unknown.")
    caution_m: object = plain("Length in metres from which to take care, a number or a table by medium. Absent: none.")
    latency_ms: float | None = plain("Delay of one hop in milliseconds. Absent: unknown.")
    framings: tuple[str, ...] = words("Names of framings both ends must agree on. Absent: one framing only.")
    digital: bool = flag("Whether it carries sampled audio. Absent: yes.", True)
    packet_ms: float | None = plain("Packet time in milliseconds of a network format. Absent: not a packet format.")

    def each_way(self, rate: Fraction) -> tuple[int, int] | None:
        """Return channels (first to second end, second to first) at a rate; None where unsupported."""
        size = at_rate(self.channels, rate)
        if size is None:
            return None
        there, back = size if isinstance(size, tuple) else (size, size)
        return (there, 0 if self.one_way else back)


@attrs.frozen
class Bank:
    """An ordered row of slots on a device."""

    id: str = text("Key in `banks`.")
    slots: Any = plain("How many slots, a size. Required.")
    about: str = text("What it is, where the name does not say it.")
    socket: str | None = plain("`in` or `out` when each slot is a physical connector. Absent: not a socket.")
    does: str = text("`carry`, `process` (channels) or `sum` (mixes). Absent: carry.", "carry")
    preamp: str | None = plain("Key in the type's `preamps`. Absent: no mic amplifier.")
    trim_db: tuple[float, ...] | None = numbers(
        "Digital trim range [lowest, highest] in dB. Absent: unknown, no trim is relied on."
    )
    taps: Table = plain(
        "Name of each tap to what it comes after: trim, polarity, filter, delay, insert, processing, mute, "
        "fader. A tap after nothing is raw. Absent: a process bank hands nothing on.",
        Table(),
    )
    of: tuple[str, ...] = words("Banks a sum bank can take from. Absent: unknown.")
    ends: str = text("What becomes of the signal here: record, listen, loudspeaker, ear, stream. Absent: nothing ends here.")
    mark: tuple[str, ...] = words("Printed marks in slot order, braces allowed. Absent: the number is printed.")
    row: int = plain("Sockets in one row of the panel. Absent: 8.", 8)
    connector: str = text("Connector, e.g. XLR-3. Absent: unknown.")
    plug_ways: int | None = plain(
        "Ways of one multi-pin plug: these many slots are one plug and one move. Absent: one way a plug."
    )
    level: str = text("Level it takes or gives: mic, line, instrument, speaker, digital, any. Absent: unknown.")
    balanced: str = text("yes or no. Absent: unknown.")
    load_ohm: float | None = plain("Input impedance in ohms. Absent: unknown.")
    pairs: bool = flag("Whether stereo starts only on odd slots. Absent: any slot.")
    only_for: str = text(
        "The one purpose of a fixed-function bank, e.g. talkback; a source lands there only when its plug row "
        "names the bank. Absent: general."
    )
    phantom_supply: bool = flag(
        "Whether the device itself feeds phantom out of this input (a splitter that supplies). Absent: no."
    )
    clock: str = text("Which of the type's clock sections it belongs to. Absent: the first.")
    latency_ms: float | None = plain("Delay through the bank in milliseconds (converter, processing). Absent: unknown.")
    label_length: int | None = plain("Characters a label may have there. Absent: unknown.")


@attrs.frozen
class Port:
    """A connector for a link of many channels; it makes two banks, `port.in` and `port.out`."""

    id: str = text("Key in `ports`.")
    about: str = text("What it is for, e.g. mirror, where the name does not say it.")
    speaks: tuple[str, ...] = words("Formats it can speak. Required.")
    ways: str = text("`both`, `in` or `out`. Absent: both.", "both")
    slots: object = plain("A size for both directions, or {in: size, out: size}. Absent: what the format carries.")
    end: str = text("`first` or `second` end of a format with uneven directions. Absent: the order in the link's `join`.")
    pass_: object = plain(
        "What passes: a list for both directions or {in: [...], out: [...]} of audio, control, clock, power. "
        "Absent: what the format may carry, clock excepted where the format does not name it."
    )
    framings: tuple[str, ...] = words("Framings it can use. Absent: all of the format's.")
    clock: str = text("Which of the type's clock sections it belongs to. Absent: the first.")
    connector: str = text("Connector. Absent: unknown.")

    def passes(self, way: str, what: str, spoken: Format) -> bool:
        """Return whether `what` (audio, control, clock, power) passes `in` or `out` of this port in a format."""
        if self.ways not in ("both", way) and what == "audio":
            return False
        allowed: Any = self.pass_
        if isinstance(allowed, Table):
            allowed = allowed.get(way, ())
        if allowed is None:
            allowed = spoken.pass_ or ("audio",)
        return what in allowed and (what in spoken.pass_ or what == "audio")


@attrs.frozen
class Select:
    """Where each slot, or each run of slots, of one bank takes its signal from."""

    into: str = text("Bank or run of slots that is fed, e.g. `intake` or `b.out[1-32]`. Required.")
    from_: tuple[str, ...] = words("Banks or runs of slots to choose from; several rows for one slot add choices.")
    by: int = plain(
        "How many slots at once: runs of this many, counted from the start of `into` and of each `from`. Absent: 1.", 1
    )
    wired: str = text("The one bank or run that always feeds `into`, slot by slot; no choice. Absent: a choice `from`.")
    taps: tuple[str, ...] = words("Taps of a process or sum bank this row can take. Absent: any of them.")
    alternate: bool = flag("Whether it feeds the alternate input of a channel. Absent: the main input.")
    converts: bool = flag("Whether it crosses two clock sections through a sample-rate converter. Absent: no.")
    latency_ms: float | None = plain("Delay of the crossing in milliseconds. Absent: unknown.")
    dc: str = text("Whether an analogue path is unbroken for direct current: yes or no. Absent: unknown.")
    load_db: float | None = plain("Level lost through a passive path in dB. Absent: unknown.")


@attrs.frozen
class Limit:
    """A pool shared between banks: at most so many slots or blocks in use over all of them."""

    of: tuple[str, ...] = words("Banks that share the pool. Required.")
    most: Any = plain("The pool, a size. Required.")
    count: str = text("`slots` or `blocks`. Absent: slots.", "slots")
    by: int = plain("Slots in a block when blocks are counted. Absent: 8.", 8)
    about: str = text("What the pool is.")


@attrs.frozen
class Preamp:
    """A mic amplifier in front of a bank of sockets."""

    id: str = text("Key in `preamps`.")
    gain_db: tuple[float, ...] | None = numbers("Gain range [lowest, highest] in dB. Absent: unknown.")
    step_db: float | None = plain("Gain step in dB. Absent: continuous.")
    pad_db: float | None = plain("Pad in dB. Absent: none.")
    full_scale_dbu: float | None = plain(
        "Level in dBu at the input that reaches digital full scale at 0 dB gain. Absent: unknown."
    )
    phantom_by: int | None = plain(
        "Sockets switched together: 1 a socket, 4 or 8 a group, the bank's size for all. Absent: no phantom."
    )
    phantom_ma: float | None = plain("Current the whole phantom supply can give in milliampere. Absent: unknown.")
    owner_by: str = text("How finely ownership is set: socket, group, port or device. Absent: device.", "device")
    doors: tuple[str, ...] = words("Ways it can be controlled: local, port, network. Absent: local and port.")
    keeps: str = text("What gain does when its owner is lost: hold, reset. Absent: unknown.")


@attrs.frozen
class Type:
    """What devices of one kind are like; generic, by numbers a person can read off a data sheet."""

    id: str = text("Key in `types`.")
    about: str = text("What it is, in a sentence.")
    source: str = text("Where the numbers come from. Absent: typical values.")
    role: str = text(
        "desk, box, split, multicore, converter, rate-converter, recorder, personal-mixer, network, amplifier, "
        "transmitter, loudspeaker-line, comms or other.",
        "other",
    )
    banks: Table = table(Bank, "Banks by id.")
    ports: Table = table(Port, "Ports by id.")
    select: tuple[Select, ...] = many(Select, "The select rows. Absent: nothing inside is joined.")
    limits: tuple[Limit, ...] = many(Limit, "Pools shared between banks. Absent: none.")
    preamps: Table = table(Preamp, "Mic amplifiers by id.")
    clocks: tuple[str, ...] = words("Clock sections in order. Absent: one section, named main.")
    digital: bool = flag("Whether it works on sampled audio and so needs a clock. Absent: yes.", True)
    can_lead: bool = flag("Whether it may lead a clock domain. Absent: yes.", True)
    controls: tuple[str, ...] = words(
        "Roles or types whose preamps a person at this device can control over its ports. "
        "Absent: all "
        "that a control path reaches if the role is desk, else none."
    )
    passes_control: bool = flag(
        "Whether control that comes in at one port goes out at the others (a switch does, a desk or a "
        "format bridge does not). Absent: no."
    )
    tracks_gain: bool = flag("Whether it can follow another position's gain moves. Absent: no.")
    takeover: str = text("Which gains win when it is claimed: `box` keeps its own, `desk` sends its own. Absent: unknown.")
    after_loss: Table = plain(
        "What it does after a loss: {clock: hold|mute|next, power: pass|silent, link: hold|mute}. Absent: unknown.", Table()
    )
    recalls: tuple[str, ...] = words("What a stored scene of its memory can change: patch, preamps, outputs. Absent: unknown.")
    look_at: Table = plain("Bank or port to what a person looks at there (meter, lamp, listen point). Absent: unknown.", Table())
    weight_kg: float | None = plain("Weight in kilograms. Absent: unknown.")


@attrs.frozen
class Place:
    """Where a device stands."""

    at: tuple[float, ...] | None = numbers(
        "[x, y] in metres from the centre of the downstage edge: x positive to stage left, "
        "y positive "
        "upstage. Absent: unknown, never invented."
    )
    zone: str = text("Zone of the stage or house. Absent: unknown.")
    note: str = text("Words for the person who looks for it.")


@attrs.frozen
class Device:
    """Anything a signal passes through."""

    id: str = text("Key in `devices`.")
    type: str = text("Key in the rig's `types`. Required.")
    name: str = text("What people call it. Absent: its id.")
    place: Place | None = one(Place, "Where it stands. Absent: unknown.")
    domain: str = text("Clock domain of its only clock section. Absent: the rig's only domain, or the one named main.")
    clocks: Table = plain("Clock domain of each clock section, {section: domain}. Absent: `domain` for all.", Table())
    belongs_to: str = text("Whose it is, e.g. house or guest. Absent: the house.")
    leaves: bool = flag("Whether it may leave or power down before the show ends. Absent: no.")
    power: str = text("Tag of the supply it hangs on. Absent: unknown.")
    address: str = text("Network address or unit number. Absent: unknown.")
    can_lead: bool | None = plain("Whether it may lead a clock domain. Absent: what its type says.")
    manned: str = text("Who is at it, or `no`. Absent: unknown.")
    recalls: tuple[str, ...] = words(
        "What a recalled scene of its memory is set to change tonight: patch, preamps, outputs, or `none`. Absent: unknown."
    )
    space_gb: float | None = plain("Free space for recording in gigabytes of 10^9 bytes. Absent: unknown.")
    record_h: float | None = plain("Hours it has to record. Absent: unknown.")
    record_bits: int = plain("Bits of each recorded sample. Absent: 24.", 24)
    notes: str = text("Anything to print beside it.")


@attrs.frozen
class Cable:
    """One cable of a link; several are redundancy, not capacity."""

    medium: str = text("Kind of cable. Absent: unknown.")
    length_m: float | None = plain("Length in metres, joints and patch cords included. Absent: unknown.")
    route: str = text("Tag of the way it runs. Absent: unknown.")
    power: str = text("Tag of the supply of whatever stands in its way. Absent: none.")
    joints: int = plain("Joints in it. Absent: 0.", 0)
    dc: str = text("Whether it is unbroken for direct current: yes or no. Absent: unknown.")
    shield: str = text("both, lifted-a, lifted-b or none. Absent: unknown.")
    stock: str = text("Id of a row of cable stock. Absent: none.")
    label: str = text("What is written on it. Absent: nothing.")


@attrs.frozen
class Link:
    """What joins a port to a port, or a run of output sockets to a run of input sockets."""

    id: str = text("Id of the link. Required.")
    join: tuple[str, ...] = words("Its two ends: `DEVICE.port`, or runs of sockets `DEVICE.bank[1-8]`. Required.")
    format: str = text("Key in the rig's `formats`. Absent: analogue, for runs of sockets.")
    framing: tuple[str, ...] = words("Framing set at both ends, or at [first, second]. Absent: unknown.")
    cables: tuple[Cable, ...] = many(Cable, "Its cables. Absent: unknown.")
    pass_: tuple[str, ...] | None = plain("What it carries as it is set tonight. Absent: all that its ports and format pass.")
    ended: str = text("Which ends of a clock line have their termination on: first, second, both or none. Absent: unknown.")
    name: str = text("What people call it. Absent: its id.")
    notes: str = text("Anything to print beside it.")


@attrs.frozen
class Domain:
    """The devices under one clock leader at one exact rate."""

    id: str = text("Key in `domains`.")
    rate: int | str = attrs.field(
        default=None,
        converter=exact,
        metadata={
            "doc": 'Exact rate in Hz: a whole number, or a fraction such as "48000000/1001". Required.',
            "kind": "rate",
            "cls": None,
        },
    )
    leader: str = text("Device that leads. Absent: chosen.")
    fallback: tuple[str, ...] = words("Devices that lead next, in order. Absent: none named.")
    locked_to: str = text("What the leader itself follows outside the rig, e.g. video. Absent: nothing.")

    @property
    def hertz(self) -> Fraction:
        """Return the rate in Hz, exactly."""
        return rate_of(self.rate)


@attrs.frozen
class Stock:
    """Cables or adaptors in the store."""

    id: str = text("Id of the row. Required.")
    kind: str = text("Kind of cable or adaptor. Required.")
    length_m: float | None = plain("Length in metres. Absent: not a length.")
    count: int = plain("How many there are. Required.", 0)
    connectors: tuple[str, ...] = words("Connectors at its two ends. Absent: unknown.")


@attrs.frozen
class Rig:
    """The whole rig."""

    format: str = text("`rig/1`.", "rig/1")
    name: str = text("What people call the rig.")
    about: str = text("Anything worth knowing about it.")
    domains: Table = table(Domain, "Clock domains by id. In short: `rate` and `clock` make one domain named main.")
    formats: Table = table(Format, "Formats used, library ones included once expanded.")
    types: Table = table(Type, "Types used, library ones included once expanded.")
    devices: Table = table(Device, "Devices by id.")
    links: tuple[Link, ...] = many(Link, "Links, in the order they are printed.")
    stock: tuple[Stock, ...] = many(Stock, "Cables and adaptors in the store. Absent: unknown.")

    def type_of(self, device: str) -> Type:
        """Return the type of a device, by the device's id."""
        return self.types[self.devices[device].type]

    def domain_of(self, device: str, section: str = "") -> Domain:
        """Return the clock domain of a device's clock section (of its first section when none is named)."""
        placed = self.devices[device]
        key = placed.clocks.get(section or self.sections(device)[0]) or placed.domain
        if not key:
            key = "main" if "main" in self.domains else next(iter(self.domains))
        return self.domains[key]

    def sections(self, device: str) -> tuple[str, ...]:
        """Return the clock sections of a device, in order; at least one."""
        return self.type_of(device).clocks or ("main",)

    def link_at(self, device: str, port: str) -> Link | None:
        """Return the link that is joined to a port, or None."""
        end = f"{device}.{port}"
        return next((link for link in self.links if end in link.join), None)
