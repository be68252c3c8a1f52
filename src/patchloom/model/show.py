"""What tonight needs: sources, where they may plug, who wants what in which order, feeds, owners, acts.

Comes in: an expanded show document, or Python values.  Goes out: one frozen `Show`.
Next: `solve/` answers it over a rig, `check/` doubts the answer.

In this expanded form every row names one thing, every list of signals names each signal once, and order
lives only in tuples.  A *leg id* is `keys1.L`, or just `kick` for a signal of one leg.
"""

from __future__ import annotations

from typing import Any

import attrs

from patchloom.model.base import Table, build, flag, many, numbers, one, plain, table, text, words

__all__ = [
    "Destination",
    "Feed",
    "Fixed",
    "Gain",
    "GainFixed",
    "Group",
    "Insert",
    "List",
    "Owner",
    "Period",
    "Plug",
    "Position",
    "Preference",
    "Routing",
    "Show",
    "Source",
    "Spare",
    "Stage",
    "Survives",
    "Talk",
    "Thing",
    "Waiver",
    "Want",
    "Wishes",
    "Zone",
]


@attrs.frozen
class Position:
    """A working place with its own needs."""

    id: str = text("Key in `positions`.")
    name: str = text("What people call it. Absent: its id.")
    desk: str = text("Device it controls from. Absent: the device its first list lands on.")
    kind: str = text("foh, monitor, broadcast, record, stream or other: which columns its papers have. Absent: other.", "other")
    person: str = text("Who works there.")
    label_length: int | None = plain("Characters of a label on its desk. Absent: what the bank says, else 12.")
    plain_words: bool = flag("Whether its papers are for a volunteer: few columns, plain words. Absent: no.")


@attrs.frozen
class Source:
    """A physical thing that gives a signal."""

    id: str = text("Id; shares one namespace with feeds and sets. Required.")
    name: str = text("What people call it. Absent: its id.")
    short: str = text("Short name for labels. Absent: derived from the name.")
    legs: tuple[str, ...] = words("Parts in order, e.g. L, R. Absent: one part.")
    phantom: str = text("need, no (indifferent), never or unknown. Absent: unknown.", "unknown")
    kind: str = text("mic, di, radio, line, playback, talkback, digital or other: how it is drawn. Absent: unknown.")
    mic: str = text("What kind of microphone or DI, in generic words.")
    stand: str = text("tall boom, short boom, straight, clip, table, floor, hand-held, headset, hang ... Absent: unknown.")
    person: str = text("Who plays or wears it.")
    zone: str = text("Zone of the stage. Absent: unknown.")
    at: tuple[float, ...] | None = numbers("[x, y] in metres as in a device's place. Absent: unknown.")
    left_is: str = text("Whose left the left leg is: audience or player. Absent: unknown.")
    level: str = text("Level it gives: mic, line, instrument, speaker, digital. Absent: unknown.")
    balanced: str = text("yes or no. Absent: unknown.")
    connector: str = text("Connector it comes on. Absent: unknown.")
    powered_by: str = text("What powers it: phantom, battery, mains, nothing. Absent: unknown.")
    phantom_ma: float | None = plain("Current it draws from phantom in milliampere. Absent: unknown.")
    peak_dbu: float | None = plain("Loudest level in dBu at the preamp. Absent: unknown.")
    want_db: Table = plain("Total gain each position wants in dB, by position. Absent: unknown.", Table())
    gain_db: float | None = plain("Gain the preamp is fixed at in dB. Absent: chosen.")
    tags: tuple[str, ...] = words("Words that select it, e.g. private, talk. Tags only select.")
    spare_of: str = text("The source it stands in for. Absent: none.")
    cable_m: float | None = plain("Length of its stage cable in metres. Absent: unknown.")
    latency_ms: float | None = plain(
        "Delay before its socket in milliseconds, e.g. of a digital radio link. Absent: unknown for radio and digital, else none."
    )
    front_end: tuple[str, ...] = words(
        "What is set at its preamp beside gain and phantom, heard by all who share it: pad, polarity, filter. Absent: none."
    )
    colour: str = text("Colour of its label or loom, in words.")
    group: str = text("Desk group it belongs to, in words.")
    file_name: str = text("Name of its recorded file. Absent: derived from track and name.")
    priority: int | None = plain("Order of restoring, 1 first. Absent: last.")
    notes: str = text("Anything to print beside it.")

    def leg_ids(self) -> tuple[str, ...]:
        """Return the ids of its legs in order: the id itself when there is one leg."""
        return tuple([f"{self.id}.{leg}" for leg in self.legs]) if self.legs else (self.id,)


@attrs.frozen
class Plug:
    """Where one source may plug in."""

    source: str = text("Id of a source, or of one leg of it. Required.")
    into: tuple[str, ...] = words("Addresses it may choose among; one slot is a fixed choice. Required.")


@attrs.frozen
class Want:
    """One entry of a list: a signal a position wants, in its own order."""

    signal: str = text("Id of a source or feed. Required.")
    leg: str = text("One leg of it. Absent: all legs, in order.")
    fold: str = text("How a stereo signal lands on one channel: sum, left or right. Absent: not folded.")
    channel: int | None = plain("The slot it must land on. Absent: the next in order.")
    within: str = text("Run of slots it must land in. Absent: anywhere in the list's bank.")
    name: str = text("What this position calls it. Absent: the signal's name.")
    alternate: str = text("Signal on the channel's alternate input. Absent: none.")
    tap: str = text("What a copy may come after, e.g. `trim`. Absent: raw only for a source, any for a feed.")
    priority: int | None = plain("Absent: a must. A number: a wish, 1 the dearest.")
    group: str = text("Group, in words.")
    insert: str = text("Insert, in words.")
    notes: str = text("Anything to print beside it.")


@attrs.frozen
class Survives:
    """What must go on when something is lost."""

    loss_of: str = text("Device or link lost. Required.")
    except_: tuple[str, ...] = words("Signals that may be lost with it. Absent: none.")


@attrs.frozen
class List:
    """An ordered set of wants that lands in one bank."""

    id: str = text("Id of the list. Absent: the position's id.")
    position: str = text("Position it belongs to. Required.")
    name: str = text("What people call it. Absent: its id.")
    at: str = text("Bank or run of slots it lands in. Required.")
    wants: tuple[Want | None, ...] = many(Want, "Entries in order; null leaves one slot empty.")
    pairs: str = text(
        "`odd`: a stereo entry starts on an odd slot when there is room; `any`: no gaps. Absent: odd on a process bank, else any."
    )
    survives: tuple[Survives, ...] = many(Survives, "What it must outlive. Absent: nothing declared.")
    notes: str = text("Anything to print beside it.")


@attrs.frozen
class Destination:
    """One place a feed must arrive at; each of its legs takes one slot, in order."""

    at: tuple[str, ...] = words("Addresses it may choose among. A run as long as the feed has legs is a fixed choice. Required.")
    name: str = text("What stands there: wedge, ear pack, amplifier, encoder ...")
    person: str = text("Who hears it.")
    zone: str = text("Where it stands.")
    level: str = text("mic, line, speaker or digital. Absent: unknown.")
    priority: int | None = plain("Absent: a must. A number: a wish, 1 the dearest.")
    cable: str = text("Cable, in words.")
    latency_ms: float | None = plain("Delay behind that place in milliseconds, e.g. of an ear transmitter. Absent: unknown.")
    notes: str = text("Anything to print beside it.")


@attrs.frozen
class Feed:
    """A mix made at a position that must arrive somewhere."""

    id: str = text("Id; shares one namespace with sources and sets. Required.")
    name: str = text("What people call it. Absent: its id.")
    short: str = text("Short name for labels. Absent: derived from the name.")
    legs: tuple[str, ...] = words("Parts in order. Absent: one part.")
    mixed_at: str = text("Position that makes it. Required.")
    from_: str = text("Bank or run of slots it is made on. Absent: any sum bank of the position's desk.")
    of: tuple[str, ...] | None = plain("Signals it contains, after `not`. Absent: unknown; rules assume all that can reach it.")
    to: tuple[Destination, ...] = many(Destination, "Where it must arrive, lists that want it aside. Absent: nowhere else.")
    kind: str = text("pa, wedge, ear, record, stream, n-1, programme, talkback, press or other. Absent: unknown.")
    person: str = text("Who it is for.")
    excludes: str = text("The signal an N-1 feed must not contain. Absent: none declared.")
    tap: str = text("What a copy may come after, e.g. `fader`. Absent: any.")
    most_ms: float | None = plain(
        "Longest delay from microphone to ear in milliseconds. Absent: 3 for who sings or speaks into "
        "a microphone of their own, else 6; only ears and wedges are held to it."
    )
    survives: tuple[Survives, ...] = many(Survives, "What it must outlive. Absent: nothing declared.")
    tags: tuple[str, ...] = words("Words that select it.")
    priority: int | None = plain("Order of restoring, 1 first. Absent: last.")
    notes: str = text("Anything to print beside it.")

    def leg_ids(self) -> tuple[str, ...]:
        """Return the ids of its legs in order: the id itself when there is one leg."""
        return tuple([f"{self.id}.{leg}" for leg in self.legs]) if self.legs else (self.id,)


@attrs.frozen
class Owner:
    """Who owns which preamps."""

    preamps: tuple[str, ...] = words("Addresses of socket banks or runs. Required.")
    owner: str = text("Position that moves them. Required.")


@attrs.frozen
class GainFixed:
    """A gain the user has fixed."""

    signal: str = text("Source. Required.")
    gain_db: float = plain("Gain in dB. Required.")


@attrs.frozen
class Gain:
    """How shared gain is chosen."""

    reserve_db: float = plain("Headroom kept above the loudest level, in dB. Absent: 6.", 6)
    margin_db: float = plain("Kept free at each end of every trim, in dB, where possible. Absent: 3.", 3)
    tracking: str = text("`on` or `off`: whether followers track the owner's moves. Absent: off.", "off")
    fixed: tuple[GainFixed, ...] = many(GainFixed, "Gains fixed by the user.")


@attrs.frozen
class Group:
    """A relation between signals."""

    id: str = text("Id of the group. Absent: numbered.")
    of: tuple[str, ...] = words("Signals. Required.")
    relation: str = text("one-box, in-order, same-path, apart, disjoint, never-open-together or summed. Required.")
    notes: str = text("Why.")


@attrs.frozen
class Insert:
    """A declared insert: a send and a return on one channel; a closed loop on purpose."""

    position: str = text("Position. Required.")
    channel: str = text("Channel or mix slot. Required.")
    send: str = text("Slot the send leaves by. Required.")
    return_: str = text("Slot the return comes in by. Required.")
    what: str = text("What stands in the loop.")


@attrs.frozen
class Talk:
    """Who must be able to speak to whom."""

    from_: str = text("Source or position that speaks. Required.")
    to: tuple[str, ...] = words("Positions, feeds or people who must hear. Required.")
    priority: int | None = plain("Absent: a must. A number: a wish.")


@attrs.frozen
class Zone:
    """A named part of the stage or house."""

    id: str = text("Key in `zones`.")
    name: str = text("What people call it. Absent: its id.")
    at: tuple[float, ...] | None = numbers(
        "[x, y] of its centre in metres. Absent: unknown; the plot is drawn by zone, not to scale."
    )
    order: int | None = plain("Order of walking, 1 first. Absent: in order of ids.")
    side: str = text("SR, C or SL. Absent: unknown.")
    depth: str = text("US, MS, DS or OFF. Absent: unknown.")


@attrs.frozen
class Thing:
    """Something drawn on the stage plot that is no source and no device."""

    id: str = text("Id. Absent: numbered.")
    kind: str = text(
        "performer, instrument, drums, keys, amp, riser, wedge, ear, power, obstacle, stairs, walkway, table or other. Required."
    )
    name: str = text("Words beside it.")
    at: tuple[float, ...] | None = numbers("[x, y] of its centre in metres. Absent: unknown; drawn in its zone.")
    size: tuple[float, ...] | None = numbers("[width, depth] or [width, depth, height] in metres. Absent: unknown, drawn small.")
    turn_deg: float = plain("Degrees clockwise seen from above, 0 facing the audience. Absent: 0.", 0)
    zone: str = text("Zone. Absent: unknown.")
    feed: str = text("Feed it plays, for wedges and ear packs.")
    sources: tuple[str, ...] = words("Sources that belong to it.")
    person: str = text("Who.")
    own: str = text("house or act. Absent: house.", "house")
    text_: str = text("More words, e.g. of a power drop: what is asked for; supplied by others.")


@attrs.frozen
class Stage:
    """The stage as it is drawn: x positive to stage left, y positive upstage, origin at the downstage centre."""

    width_m: float | None = plain("Width in metres. Absent: unknown, not to scale.")
    depth_m: float | None = plain("Depth in metres. Absent: unknown, not to scale.")
    zones: Table = table(Zone, "Zones by id.")
    things: tuple[Thing, ...] = many(Thing, "What stands there.")
    notes: str = text("Words on the plot.")


@attrs.frozen
class Period:
    """An act, or a scene inside an act: what is in use, who holds it, what it is called."""

    id: str = text("Id. Required.")
    name: str = text("What people call it. Absent: its id.")
    scene_of: str = text("Act it is a scene of. Absent: it is an act.")
    uses: tuple[str, ...] | None = plain("Signals in use. Absent: all (of its act, for a scene).")
    lists: Table = plain(
        "List id to the list's wants in this period, as in the list. Absent: the list's own wants that are in use.", Table()
    )
    without_lists: tuple[str, ...] = words("Lists not present.")
    without_devices: tuple[str, ...] = words("Devices not present.")
    without_links: tuple[str, ...] = words("Links not present.")
    people: Table = plain("Source to who holds it.", Table())
    names: Table = plain("Signal to what it is called.", Table())
    owners: tuple[Owner, ...] = many(Owner, "Owners in this period. Absent: the show's.")
    change_min: float | None = plain("Minutes of changeover before it. Absent: unknown.")
    mute: tuple[str, ...] = words(
        "Feeds, or signals in their channels, muted before anything is changed for it, and opened after. Absent: not said."
    )
    notes: str = text("Anything to print beside it.")


@attrs.frozen
class Spare:
    """Spare lines to keep free, and which positions they must reach."""

    at: tuple[str, ...] = words("Addresses of sockets. Required.")
    count: int = plain("How many. Required.", 0)
    reaching: tuple[str, ...] = words("Positions whose lists a source plugged there would reach. Absent: none.")


@attrs.frozen
class Preference:
    """A softer wish about one choice."""

    signals: tuple[str, ...] = words("Signals. Required.")
    at: tuple[str, ...] = words("Places preferred, the dearest first. Required.")
    priority: int = plain("1 the dearest. Absent: 1.", 1)


@attrs.frozen
class Wishes:
    """What is wanted when there is a choice."""

    spare: tuple[Spare, ...] = many(Spare, "Spare lines to keep.")
    prefer: tuple[Preference, ...] = many(Preference, "Preferred places.")


@attrs.frozen
class Routing:
    """A routing rule of the user's own, declared."""

    id: str = text("Id. Required.")
    rule: str = text("forbid, require, together, apart, disjoint or prefer. Required.")
    signals: tuple[str, ...] = words("Signals it speaks of. Required.")
    at: tuple[str, ...] = words("Devices, links or addresses it speaks of.")
    positions: tuple[str, ...] = words("Positions it holds for. Absent: all.")
    why: str = text("Why.")


@attrs.frozen
class Fixed:
    """A selection the user has fixed."""

    into: str = text("Slot or run that is fed. Required.")
    from_: str = text("Slot or run it takes. Required.")
    tap: str = text("Tap. Absent: not stated.")


@attrs.frozen
class Waiver:
    """A finding somebody has signed off."""

    rule: str = text("Name of the check. Required.")
    where: tuple[str, ...] = words("Addresses or signals it holds for. Absent: everywhere.")
    who: str = text("Who signed. Required.")
    why: str = text("Why. Required.")
    until: str = text("Date (YYYY-MM-DD) or period it ends with. Absent: the show.")


def _gain(value: Any) -> Gain:
    gain: Gain = Gain() if value is None else build(Gain, value)
    return gain


@attrs.frozen
class Show:
    """The whole show."""

    format: str = text("`show/1`.", "show/1")
    name: str = text("What people call the show.")
    about: str = text("Anything worth knowing about it.")
    date: str = text("Date, as it should be printed.")
    positions: Table = table(Position, "Positions by id; a list may name one that is not here, all absent.")
    sources: tuple[Source, ...] = many(Source, "Sources, in the order of the master list.")
    plug: tuple[Plug, ...] = many(Plug, "Where each source may plug in.")
    lists: tuple[List, ...] = many(List, "Lists.")
    feeds: tuple[Feed, ...] = many(Feed, "Feeds.")
    owners: tuple[Owner, ...] = many(Owner, "Owners of preamps. Absent: chosen.")
    gain: Gain = attrs.field(
        default=Gain(),
        converter=_gain,
        metadata={"doc": "How shared gain is chosen. Absent: the defaults.", "kind": "one", "cls": Gain},
    )
    groups: tuple[Group, ...] = many(Group, "Relations between signals.")
    inserts: tuple[Insert, ...] = many(Insert, "Declared inserts.")
    talk: tuple[Talk, ...] = many(Talk, "Who must be able to speak to whom.")
    fixed: tuple[Fixed, ...] = many(Fixed, "Selections fixed by the user.")
    stage: Stage | None = one(Stage, "The stage. Absent: unknown.")
    periods: tuple[Period, ...] = many(Period, "Acts and scenes in order. Absent: the whole show is one act.")
    wishes: Wishes | None = one(Wishes, "Wishes. Absent: none.")
    routing: tuple[Routing, ...] = many(Routing, "Routing rules.")
    waivers: tuple[Waiver, ...] = many(Waiver, "Findings signed off.")

    def signals(self) -> dict[str, Source | Feed]:
        """Return every source and feed by id, sources first."""
        rows: tuple[Source | Feed, ...] = (*self.sources, *self.feeds)
        return {item.id: item for item in rows}

    def position(self, key: str) -> Position:
        """Return a position by id, an empty one when the show says nothing about it."""
        return self.positions.get(key) or Position(id=key)

    def desk_of(self, position: str) -> str:
        """Return the device a position controls from: its own, or its first list's; empty when it has none."""
        own = self.position(position).desk
        if own:
            return own
        return next((row.at.split(".")[0] for row in self.lists if row.position == position), "")
