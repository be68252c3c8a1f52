"""The answer: plugs, selections, taps, clock, owners, gains, and every route hop by hop, per period.

Comes in: from `solve/`, or from a patch document.  Goes out: one frozen `Patch`.
Next: `check/` doubts it, `pages/` prints it.

A period's answer is a `Setting`.  Its `selections` and `plugs` and `mixes` are the whole truth (a judge
needs nothing else); its `routes` say the same thing again as one hop list per delivered leg, for people.
"""

from __future__ import annotations

from typing import Any

import attrs

from patchloom.address import Slot, Span, parse, slot
from patchloom.model.base import Table, flag, many, numbers, plain, text, words

__all__ = ["ClockDomain", "Follower", "GainSet", "Ownership", "Patch", "PhantomSet", "Route", "Selection", "Setting", "WishValue"]


def _slot(value: Any) -> Slot:
    return value if isinstance(value, Slot) else slot(value)


def _span(value: Any) -> Span:
    return value if isinstance(value, Span) else parse(value)


def _slots(values: Any) -> tuple[Slot, ...]:
    if set(map(type, values)) == {Slot}:
        return tuple(values)
    return tuple(_slot(value) for value in values)


def _slot_table(values: Any) -> Table:
    return Table({key: _slot(value) for key, value in values.items()})


@attrs.frozen
class Selection:
    """One choice set on a device: a run of slots takes a run of slots of the same length."""

    into: Span = attrs.field(converter=_span, metadata={"doc": "Run that is fed, all of it inside one bank."})
    from_: Span = attrs.field(converter=_span, metadata={"doc": "Run it takes, slot by slot."})
    tap: str = text("Tap of a process or sum bank it takes. Absent: the bank has none, or the raw one of a carry bank.")
    alternate: bool = flag("Whether it sets the alternate input. Absent: the main input.")


@attrs.frozen
class Route:
    """One leg delivered: from where it enters to where it is wanted, slot by slot."""

    leg: str = text("Leg id, e.g. `kick` or `pa.L`.")
    to: str = text("List id, or feed id when the place is a destination of that feed.")
    entry: int = plain("Place of the want in its list, or of the destination in its feed, from 1.", 1)
    hops: tuple[Slot, ...] = attrs.field(
        default=(),
        converter=_slots,
        metadata={"doc": "Every slot passed, first the socket or mix it enters by, last the slot it is wanted at."},
    )
    alternate: bool = flag("Whether it lands on the alternate input of its channel. Absent: no.")


@attrs.frozen
class Follower:
    """One device, or one clock section of it, that takes its clock from a link."""

    device: str = text("Device.")
    section: str = text("Clock section. Absent: its only one.")
    port: str = text("Port it takes clock from.")
    link: str = text("Link that brings it.")
    from_: str = text("Device at the other end.")
    depth: int = plain("Hops from the leader, 1 for a direct follower.", 1)


@attrs.frozen
class ClockDomain:
    """One clock domain as it is set."""

    id: str = text("Domain.")
    rate: int | str = plain("Exact rate in Hz.", 48000)
    leader: str = text("Device that leads.")
    fallback: tuple[str, ...] = words("Devices that lead next, in order.")
    followers: tuple[Follower, ...] = many(Follower, "Followers, nearest first.")


@attrs.frozen
class Ownership:
    """Who owns a run of preamps, and the way control takes."""

    preamps: Span = attrs.field(converter=_span, metadata={"doc": "Run of sockets."})
    owner: str = text("Position. Empty: nobody moves it remotely (local only).")
    door: str = text("local, port or network.")
    path: tuple[str, ...] = words("Devices and links control passes, from the owner's desk to the preamp, alternating.")


@attrs.frozen
class GainSet:
    """Gain of one shared or private preamp, and each list's trim."""

    leg: str = text("Leg.")
    at: Slot = attrs.field(converter=_slot, default=Slot("X", "x", 1), metadata={"doc": "Its socket."})
    gain_db: float | None = plain("Gain in dB. None: not known enough to say.")
    interval_db: tuple[float, ...] | None = numbers("[lowest, highest] workable gain in dB. Absent: nothing bounds it.")
    trims_db: Table = plain("Digital trim in dB by position.", Table())
    margin: bool = flag("Whether the wanted margin is kept on every trim.", True)


@attrs.frozen
class PhantomSet:
    """One phantom switch."""

    at: Span = attrs.field(converter=_span, metadata={"doc": "Sockets switched together."})
    on: bool = flag("Whether it is on.")
    because: tuple[str, ...] = words("Legs that need it, or that forbid it.")
    unknown: tuple[str, ...] = words("Legs there whose need is unknown.")


@attrs.frozen
class Setting:
    """The answer for one period."""

    period: str = text("Act or scene; empty when the show has no periods.")
    plugs: Table = attrs.field(
        default=Table(), converter=_slot_table, metadata={"doc": "Source leg to the socket it plugs into."}
    )
    mixes: Table = attrs.field(default=Table(), converter=_slot_table, metadata={"doc": "Feed leg to the slot it is mixed on."})
    selections: tuple[Selection, ...] = many(Selection, "Every choice set, by address.")
    routes: tuple[Route, ...] = many(Route, "Every leg delivered.")
    clock: tuple[ClockDomain, ...] = many(ClockDomain, "Clock domains.")
    owners: tuple[Ownership, ...] = many(Ownership, "Owners of preamps in use.")
    gains: tuple[GainSet, ...] = many(GainSet, "Gains and trims, by socket.")
    phantom: tuple[PhantomSet, ...] = many(PhantomSet, "Phantom switches that have something plugged.")
    unmet: tuple[str, ...] = words("Wishes not carried, as `list: signal`.")
    spares: tuple[str, ...] = words("Sockets kept free as declared spares.")
    notes: tuple[str, ...] = words("What a reader should know: an order that could not be kept, a margin given up.")


@attrs.frozen
class WishValue:
    """How far one wish was met."""

    wish: str = text("Name of the wish.")
    value: float = plain("What was reached.", 0)
    bound: float | None = plain("What no patch can beat. Absent: unknown.")
    unit: str = text("Unit of both.")
    proven: bool = flag("Whether value equals the bound.")


@attrs.frozen
class Patch:
    """The whole answer."""

    format: str = text("`patch/1`.", "patch/1")
    rig: str = text("Digest of the rig it was solved for.")
    show: str = text("Digest of the show it was solved for.")
    previous: str = text("Digest of the patch it replaces. Absent: none.")
    made_by: str = text("Program and version.")
    settings: tuple[Setting, ...] = many(Setting, "One per period, in order; one with an empty name when there are none.")
    wishes: tuple[WishValue, ...] = many(WishValue, "Wishes and how far they were met.")
    rules: tuple[str, ...] = words("Routing rules that took part, with version.")
    unhonoured: tuple[str, ...] = words("Fields of rig and show that were read and not honoured.")

    def setting(self, period: str = "") -> Setting:
        """Return the setting of a period; the first one when none is named."""
        for row in self.settings:
            if row.period == period:
                return row
        if not period and self.settings:
            return self.settings[0]
        raise KeyError(period)
