"""What has to be placed: each signal with its legs, where it may enter, what is wanted of it.

Comes in: fabric, show, aims.  Goes out: `Unit`s.  Next: `attempt.py` places and routes them.
"""

from __future__ import annotations

from patchloom.address import parse
from patchloom.model.show import Show
from patchloom.solve.fabric import Fabric, lateness
from patchloom.solve.inserts import returns
from patchloom.solve.path import BOUND
from patchloom.solve.slot import Aim, root

__all__ = ["Unit", "units"]


class Unit:
    """A signal with its legs, the places it may enter by, and what is wanted of it."""

    __slots__ = (
        "aims",
        "allow",
        "allowed",
        "bound",
        "choices",
        "ends",
        "feed",
        "fixed",
        "folded",
        "group_key",
        "kept",
        "legs",
        "name",
        "number",
        "phantom",
        "prefer",
        "signature",
        "spare",
        "tap",
    )

    def __init__(self, name: str, legs: tuple[str, ...], number: int, feed: bool) -> None:
        self.name = name
        self.legs = legs
        self.number = number
        self.feed = feed
        self.phantom = "no"
        self.allow = ""
        """The latest tap any copy of it may be taken at."""
        self.tap = ""
        """The tap every copy of it may be taken at: a feed's own."""
        self.allowed: list[set[tuple[int, int]]] = []
        """Per leg: the (segment, offset) places it may enter by."""
        self.choices: list[int] = []
        """Segments that hold a place for the first leg, by address."""
        self.fixed = False
        self.aims: list[Aim] = []
        self.prefer: dict[str, tuple[int, int]] = {}
        """Leg to a place some wired list would like it at."""
        self.signature: tuple[str, ...] = ()
        self.ends: tuple[tuple[int, ...], ...] = ()
        """Segments each must of the first leg has to land in; units with the same ends are carried alike."""
        self.group_key = ""
        self.spare = False
        self.kept = False
        """Whether it stays plugged while there is a way, wanted or not: it was, or the show says where it plugs."""
        self.folded = False
        """Whether a must folds it: all its legs are plugged, whichever of them is carried."""
        self.bound = False
        """Whether some aim can land in one place only, which blocks or wires feed."""

    @property
    def optional(self) -> bool:
        """Whether no must wants it: where it finds no place it is left out, and what wishes want it are unmet."""
        return not self.spare and not any(aim.must for aim in self.aims) and not self.folded


def units(fabric: Fabric, show: Show, aims: list[Aim], hidden: dict[str, str]) -> list[Unit]:
    """Return the units of a show in a period: every source that is plugged or wanted, every feed wanted.

    `hidden` maps a feed to the desk it is mixed at.
    """
    by_leg: dict[str, list[Aim]] = {}
    for aim in aims:
        by_leg.setdefault(aim.leg, []).append(aim)
    order = {leg: (rank, number) for rank, number, leg in _orders(aims)}
    found: list[Unit] = []
    closed = {place for slot in sorted(returns(show)) if (place := fabric.find(slot)) is not None}
    plugs: dict[str, list[str]] = {}
    for row in show.plug:
        plugs.setdefault(row.source, []).extend(row.into)
    general: list[str] | None = None
    for number, source in enumerate(show.sources):
        unit = Unit(source.id, source.leg_ids(), number, False)
        unit.phantom = source.phantom if source.powered_by not in ("battery", "mains") else "no"
        for leg in unit.legs:
            texts = plugs.get(leg) or plugs.get(source.id)
            if texts is None:
                if general is None:
                    general = _general(fabric)
                texts = general
            unit.allowed.append(_places(fabric, texts, len(unit.legs)) - closed)
        unit.aims = [aim for leg in unit.legs for aim in by_leg.get(leg, ())]
        if not unit.aims and source.id not in plugs and not any(leg in plugs for leg in unit.legs):
            continue
        found.append(unit)
    for number, feed in enumerate(show.feeds, start=len(show.sources)):
        unit = Unit(feed.id, feed.leg_ids(), number, True)
        unit.aims = [aim for leg in unit.legs for aim in by_leg.get(leg, ())]
        if not unit.aims:
            continue
        unit.allow = unit.tap = feed.tap
        texts = [feed.from_] if feed.from_ else _sums(fabric, hidden.get(feed.id, ""))
        unit.allowed = [_places(fabric, texts, len(unit.legs)) for _ in unit.legs]
        found.append(unit)
    asked = {(aim.to, aim.entry) for aim in aims if aim.must}
    wants = [(item.id, entry, want) for item in show.lists for entry, want in enumerate(item.wants, 1)]
    folded = {want.signal for to, entry, want in wants if want is not None and want.fold and (to, entry) in asked}
    # A channel of one takes one leg of what is on its alternate input; the whole of it is plugged all the same.
    folded |= {want.alternate for to, entry, want in wants if want is not None and want.alternate and (to, entry) in asked}
    found = [part for unit in found for part in _parts(unit, folded)]
    for unit in found:
        _finish(fabric, unit, order)
    return found


def _parts(unit: Unit, folded: set[str]) -> list[Unit]:
    """Return a unit in two where a must wants some legs of it only: those, and the rest, which may stay out."""
    unit.folded = unit.name in folded
    needed = {aim.leg for aim in unit.aims if aim.must}
    if unit.folded or not needed or len(needed) == len(unit.legs):
        return [unit]
    parts = []
    for wanted in (True, False):
        legs = tuple(leg for leg in unit.legs if (leg in needed) == wanted)
        part = Unit(unit.name if wanted else legs[0], legs, unit.number, unit.feed)
        part.phantom, part.allow, part.tap = unit.phantom, unit.allow, unit.tap
        part.allowed = [places for leg, places in zip(unit.legs, unit.allowed, strict=True) if leg in legs]
        part.aims = [aim for aim in unit.aims if aim.leg in legs]
        parts.append(part)
    return parts


def _finish(fabric: Fabric, unit: Unit, order: dict[str, tuple[int, int]]) -> None:
    unit.kept = not unit.aims
    unit.fixed = all(len(places) == 1 for places in unit.allowed)
    unit.choices = sorted({segment for segment, _ in unit.allowed[0]})
    unit.signature = tuple(sorted({aim.to for aim in unit.aims}))
    unit.ends = tuple(dict.fromkeys(aim.goals[0].segments for aim in unit.aims if aim.must and aim.partner == 0 and aim.goals))
    # What can land in one place only goes first: its way fixes the slots that the others can share.
    unit.aims.sort(key=lambda aim: (0 if _is_bound(aim) else 1, bool(aim.allow)))
    unit.bound = any(_is_bound(aim) for aim in unit.aims)
    if not unit.feed or unit.tap:
        unit.allow = max([unit.tap, *(aim.allow for aim in unit.aims)], key=lateness)
    unit.number = order.get(unit.legs[0], (0, unit.number))[1] if unit.legs[0] in order else unit.number
    for aim in unit.aims:
        if not aim.free and aim.place is not None and not unit.feed:
            place = fabric.find(aim.place)
            if place is not None:
                base, _ = root(fabric, place[0])
                if aim.leg not in unit.prefer and (base, place[1]) in unit.allowed[aim.partner % len(unit.legs)]:
                    unit.prefer[aim.leg] = (base, place[1])


def _is_bound(aim: Aim) -> bool:
    """Return whether an aim can land in one place only, which blocks or wires feed."""
    return len(aim.goals) == 1 and aim.goals[0].tail == BOUND


def _orders(aims: list[Aim]) -> list[tuple[int, int, str]]:
    """Return (rank, number, leg) for the legs of lists whose order only the plugs can give; first such list wins."""
    seen: set[str] = set()
    rows = []
    first = next((aim.to for aim in aims if not aim.free), None)
    for number, aim in enumerate(aims):
        if aim.to == first and aim.leg not in seen:
            seen.add(aim.leg)
            rows.append((0, number, aim.leg))
    return rows


def _places(fabric: Fabric, texts: list[str], legs: int) -> set[tuple[int, int]]:
    found: set[tuple[int, int]] = set()
    for text in texts:
        span = parse(text)
        names = (
            [span.bank]
            if span.bank
            else [
                name
                for device, name in fabric.banks
                if device == span.device
                and (kind := fabric.kind[fabric.bank_of[device, name]]) is not None
                and kind.socket == "in"
                and not kind.only_for
            ]
        )
        for name in names:
            bank = fabric.bank_of.get((span.device, name))
            if bank is None:
                continue
            last = min(span.last or fabric.size[bank], fabric.size[bank])
            for number in range(span.first or 1, last + 1):
                segment = fabric.segment_of[bank][number]
                if fabric.fed_by[segment] is not None:
                    continue  # a cable is in it already
                found.add((segment, number - fabric.seg_first[segment]))
    return found


def _general(fabric: Fabric) -> list[str]:
    return [
        f"{device}.{name}"
        for device, name in fabric.banks
        if (kind := fabric.kind[fabric.bank_of[device, name]]) is not None and kind.socket == "in" and not kind.only_for
    ]


def _sums(fabric: Fabric, desk: str) -> list[str]:
    return [
        f"{device}.{name}"
        for device, name in fabric.banks
        if device == desk and (kind := fabric.kind[fabric.bank_of[device, name]]) is not None and kind.does == "sum"
    ]
