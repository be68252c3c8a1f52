"""Single changes that might help against a conflict, each with what it costs.

Comes in: the atoms of a conflict, the facts that tell of it.  Goes out: `Offer`s, none of them tried as a whole yet.
Next: `explain_ways.py` tries them, the cheapest first.

What is about cables is in `explain_cables.py`, what changes cost in `explain_cost.py`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

from patchloom.address import parse
from patchloom.finding import Fact
from patchloom.model.change import Change, apply
from patchloom.model.change.shows import want_key
from patchloom.solve.cutting import build_fabric
from patchloom.solve.explain.atoms import Atom, block_of
from patchloom.solve.explain.cables import Cables
from patchloom.solve.explain.cost import COST, Offer
from patchloom.solve.explain.words import listed, release_words
from patchloom.solve.fabric import Fabric
from patchloom.solve.slot import cut_at

if TYPE_CHECKING:
    from patchloom.solve.explain.ways import Case

__all__ = ["Offers"]

MANY = 8
"""Sources moved or left out at most."""


class Offers:
    """Makes offers on top of changes already made."""

    def __init__(self, case: Case, base: tuple[Change, ...], short: int) -> None:
        self.case = case
        self.base = base
        self.short = max(1, short)
        self.rig, self.show = apply(case.rig, case.show, base)

    def of(self, atoms: Sequence[Atom], facts: Sequence[Fact]) -> Iterator[Offer]:
        """Yield offers for every kind of atom in a conflict."""
        kinds: dict[str, list[Atom]] = {}
        for atom in atoms:
            kinds.setdefault(atom.drop, []).append(atom)
        for kind, rows in kinds.items():
            make = _MAKERS.get(kind)
            if make is not None:
                yield from make(self, rows)
        if "plug-anywhere" in kinds and "without-wants" in kinds and "without-sources" not in kinds:
            yield from self.left_out([atom._replace(key=atom.key.partition(".")[0]) for atom in kinds["plug-anywhere"]])
        yield from Cables(self.rig, self.show).joined(kinds, facts)

    def fewest(self, names: Sequence[str], change: Callable[[tuple[str, ...]], Change], guess: int) -> tuple[str, ...] | None:
        """Return as few of the names as help alone, the first ones; the guess where no number does."""
        if guess > len(names):
            return None
        works = lambda count: self.case.works((*self.base, change(tuple(names[:count]))))  # noqa: E731 - a name for three uses
        if works(guess):
            low, high = 0, guess
        elif works(len(names)):
            low, high = guess, len(names)
        else:
            return tuple(names[:guess])
        while low + 1 < high:
            middle = (low + high) // 2
            low, high = (low, middle) if works(middle) else (middle, high)
        return tuple(names[:high])

    def wishes(self, rows: list[Atom]) -> Iterator[Offer]:
        """Yield musts made wishes: as few as help, the last of a list first."""
        by_list: dict[str, list[str]] = {}
        for atom in rows:
            by_list.setdefault(atom.position, []).append(atom.key)
        for position, keys in by_list.items():
            widths = {key: self._legs(key) for key in keys}
            names = list(reversed(keys))  # the last of a list first, of those what frees most
            names.sort(key=lambda key: -min(widths[key], self.short))
            guess, left = 0, self.short
            while left > 0 and guess < len(names):
                left -= widths[names[guess]]
                guess += 1
            do = "wish"
            few = self.fewest(names, lambda some: Change("wish", some), guess)
            if few and not self.case.works((*self.base, Change(do, few))):
                # A wish keeps its place in the list, which may be just what there is no room for.
                do = rows[0].drop
                few = self.fewest(names, lambda some, do=do: Change(do, some), guess)  # type: ignore[misc]
            if few:
                side = 2 if rows[0].drop == "without-wants" else 0
                what = listed([key.partition(": ")[side] for key in few])
                them = ("it" if len(few) == 1 else "them") + (" off the list" if do != "wish" else "")
                how = f"take {them}" if do != "wish" else f"make {them} {'a wish' if len(few) == 1 else 'wishes'}"
                text = f"Let {position} do without {what}: {how}."
                yield Offer(text, COST["wish"] + 2 * len(few), (Change(do, few),), f"wish {position}")
        yield from self._wished_everywhere(rows)

    def _wished_everywhere(self, rows: list[Atom]) -> Iterator[Offer]:
        """Yield signals that every list on a device does without, where several lists want the same."""
        at = {item.id: item.at.partition(".")[0] for item in self.show.lists}
        keys: dict[str, dict[str, list[str]]] = {}
        for atom in rows:
            key, _, signal = atom.key.partition(": ")
            if key in at:
                keys.setdefault(at[key], {}).setdefault(signal, [])
        for device, signals in keys.items():
            for item in self.show.lists:
                if at[item.id] == device:
                    for want in item.wants:
                        if want is not None and want.signal in signals:
                            signals[want.signal].append(want_key(item.id, want.signal, want.leg))
            if all(len(wants) < 2 for wants in signals.values()):
                continue
            names = list(reversed(signals))

            def change(some: tuple[str, ...], signals: dict[str, list[str]] = signals) -> Change:
                return Change("wish", tuple(key for name in some for key in signals[name]))

            few = self.fewest(names, change, min(self.short, len(names)))
            if few:
                text = f"Let every list on {device} do without {listed(list(few))}: make them wishes."
                yield Offer(text, COST["wish"] + 2 * len(few), (change(few),), f"wish at {device}")

    def _legs(self, key: str) -> int:
        head, _, tail = key.partition(": ")
        signals = self.show.signals()
        found = signals.get(tail) or signals.get(head)
        return len(found.leg_ids()) if found is not None else 1

    def left_out(self, rows: list[Atom]) -> Iterator[Offer]:
        """Yield sources left out: as few as help."""
        names = list(dict.fromkeys(atom.key for atom in reversed(rows)))
        names.sort(key=lambda key: -min(self._legs(key), self.short))
        guess, left = 0, self.short
        while left > 0 and guess < len(names):
            left -= self._legs(names[guess])
            guess += 1
        few = self.fewest(names, lambda some: Change("without-sources", some), guess)
        if few and len(few) <= MANY:
            text = f"Leave {listed(list(few))} out of the show."
            yield Offer(text, COST["leave out"] + 5 * len(few), (Change("without-sources", few),), "leave out")

    def plugs(self, rows: list[Atom]) -> Iterator[Offer]:
        """Yield sources that may plug into other places: single ones that are enough, else as many as it takes."""
        into = {row.source: row.into for row in self.show.plug}
        signals = self.show.signals()
        names = [atom.key for atom in reversed(rows)]
        for bank, cost in self._places(names, into):
            able = [name for name in names if not any(_covers(text, bank) for text in into.get(name, ()))]
            widths = {name: len(signals[name].leg_ids()) if name in signals else 1 for name in able}
            single = [name for name in able if widths[name] >= self.short][:6]
            for name in single:
                own = any(text.partition("[")[0] == bank for text in into.get(name, ()))
                yield self._plug((name,), bank, COST["own place"] if own else max(cost, COST["plug"]))
            if not single and able:
                able.sort(key=lambda name: -widths[name])
                guess, left = 0, self.short
                while left > 0 and guess < len(able):
                    left -= widths[able[guess]]
                    guess += 1
                if left <= 0 and guess <= MANY:
                    yield self._plug(tuple(able[:guess]), bank, cost + guess)

    def _plug(self, names: tuple[str, ...], bank: str, cost: int) -> Offer:
        text = f"Let {listed(list(names))} plug into {bank}{' too' if cost > COST['own place'] + 3 else ', any socket of it'}."
        return Offer(text, cost, (Change("plug", names, (bank,)),), f"plug {bank}", 2)

    def _places(self, names: Sequence[str], into: dict[str, tuple[str, ...]]) -> list[tuple[str, int]]:
        """Return banks of sockets that take sources, with what it costs to use them: first those in use already."""
        mine = {text.partition("[")[0] for name in names for text in into.get(name, ())}
        used = {text.partition("[")[0] for texts in into.values() for text in texts}
        fabric = build_fabric(self.rig, cut_at(self.show))
        found = []
        for device in self.rig.devices:
            kind = self.rig.type_of(device)
            for name, bank in kind.banks.items():
                place = f"{device}.{name}"
                if bank.socket != "in" or bank.only_for or not _free(fabric, device, name):
                    continue
                cost = COST["own place"] if place in mine else COST["plug"] if place in used else COST["far plug"]
                found.append((place, cost))
        return sorted(found, key=lambda row: row[1])

    def slots(self, rows: list[Atom]) -> Iterator[Offer]:
        """Yield larger banks."""
        for atom in rows:
            span = parse(atom.key)
            bank = self.rig.type_of(span.device).banks[span.bank or ""]
            by = block_of(self.rig, span.device, span.bank or "")
            what = f"block of {by}" if by > 1 else "socket" if bank.socket else "channel" if bank.does == "process" else "slot"
            yield from self._more(atom, "slots", by, f"Have {{n}} {what}{{s}} more at {atom.key}: other hardware.")

    def pools(self, rows: list[Atom]) -> Iterator[Offer]:
        """Yield larger pools."""
        for atom in rows:
            yield from self._more(atom, "pool", 1, f"Have {{n}} more in the pool {atom.key}: other hardware.")

    def _more(self, atom: Atom, do: str, unit: int, words: str) -> Iterator[Offer]:
        text = words.format(n=self.short, s="" if self.short == 1 else "s")
        yield Offer(text, COST["hardware"] + self.short, (Change(do, (atom.key,), self.short * unit),), f"{do} {atom.key}")

    def cables(self, rows: list[Atom]) -> Iterator[Offer]:
        """Yield other formats, second links and other rates."""
        return Cables(self.rig, self.show).links(rows)

    def released(self, rows: list[Atom]) -> Iterator[Offer]:
        """Yield rows of the show let go, one at a time."""
        for atom in rows:
            cost = COST["release"] if atom.key.startswith("fixed") else COST["rule"]
            text = f"Let go of it that {release_words(self.show, atom.key)}."
            yield Offer(text, cost, (Change("release", (atom.key,)),), f"release {atom.key}")

    def orders(self, rows: list[Atom]) -> Iterator[Offer]:
        """Yield channels and runs given up: one alone, or as few as help."""
        do = rows[0].drop
        names = [atom.key for atom in reversed(rows)]
        few = self.fewest(names, lambda some: Change(do, some), min(self.short, len(names)))
        if few:
            where = "on any channel" if do == "any-channel" else "outside the run it was to be within"
            text = f"Let {listed([key.partition(': ')[2] for key in few])} land {where}."
            yield Offer(text, COST["order"] + len(few), (Change(do, few),), do)

    def phantom(self, rows: list[Atom]) -> Iterator[Offer]:
        """Yield ways to keep phantom away from what must not have it, or to power what needs it otherwise."""
        sources = {source.id: source for source in self.show.sources}
        need = tuple(atom.key for atom in rows if sources[atom.key].phantom == "need")
        never = tuple(atom.key for atom in rows if sources[atom.key].phantom == "never")
        for names in dict.fromkeys((never, *((name,) for name in never))):
            if names:
                text = f"Put {listed(list(names))} behind an isolating transformer, so that no phantom reaches it."
                yield Offer(text, COST["isolate"] + len(names), (Change("phantom-any", names),), "isolate")
        for names in dict.fromkeys((need, *((name,) for name in need))):
            if names:
                text = f"Power {listed(list(names))} from a supply of its own."
                yield Offer(text, COST["isolate"] + len(names), (Change("own-supply", names),), "own supply")

    def gains(self, rows: list[Atom]) -> Iterator[Offer]:
        """Yield other total gains: by what is short, up or down."""
        sources = {source.id: source for source in self.show.sources}
        for atom in rows:
            position, _, name = atom.key.partition(": ")
            wanted = sources[name].want_db[position]
            for value in (wanted - self.short, wanted + self.short):
                text = f"Let {position} ask for {value:g} dB in all of {name} instead of {wanted:g}."
                yield Offer(text, COST["gain"], (Change("want-db", (atom.key,), value),), f"gain {atom.key}", 1, False)

    def peaks(self, rows: list[Atom]) -> Iterator[Offer]:
        """Yield pads, and a smaller reserve."""
        for source in self.show.sources:
            if any(atom.key == source.id for atom in rows) and source.peak_dbu is not None:
                text = f"Put a pad of {self.short} dB before {source.id}."
                yield Offer(text, COST["pad"], (Change("peak", (source.id,), source.peak_dbu - self.short),), f"pad {source.id}")
        left = self.show.gain.reserve_db - self.short
        if left >= 0:
            text = f"Keep {left:g} dB of reserve instead of {self.show.gain.reserve_db:g}."
            yield Offer(text, COST["pad"] + 1, (Change("reserve", (), left),), "reserve")

    def chosen_gain(self, rows: list[Atom]) -> Iterator[Offer]:
        """Yield gains no longer fixed."""
        for atom in rows:
            yield Offer(
                f"Let the gain of {atom.key} be chosen.", COST["release"], (Change("any-gain", (atom.key,)),), f"gain {atom.key}"
            )

    def trims(self, rows: list[Atom]) -> Iterator[Offer]:
        """Yield desks that trim further."""
        for atom in rows:
            span = parse(atom.key)
            low, high = self.rig.type_of(span.device).banks[span.bank or ""].trim_db or (0, 0)
            to = (low - self.short, high + self.short)
            text = f"Have trims of {to[0]:g} to {to[1]:g} dB at {atom.key}: other hardware."
            yield Offer(text, COST["hardware"], (Change("trim", (atom.key,), to),), f"trim {atom.key}")

    def simple(self, rows: list[Atom]) -> Iterator[Offer]:
        """Yield what is dropped as it stands: a setting, or hardware without that limit."""
        words, kind = _SIMPLE[rows[0].drop]
        for atom in rows:
            yield Offer(words.format(atom.key), COST[kind], (Change(atom.drop, (atom.key,), atom.to),), f"{atom.drop} {atom.key}")


_SIMPLE = {
    "any-pairs": ("Have stereo start on any slot of {}: other hardware.", "hardware"),
    "any-preamp-gain": ("Have preamps of a wider range at {}: other hardware.", "hardware"),
    "carries-all": ("Let link {} carry all it can.", "setting"),
    "leader": ("Let another device lead clock domain {}.", "setting"),
    "may-lead": ("Let {} lead a clock domain.", "setting"),
    "owned-alone": ("Have preamps that are owned socket by socket at {}: other hardware.", "hardware"),
    "switched-alone": ("Have phantom switched socket by socket at {}: other hardware.", "hardware"),
}
_MAKERS: dict[str, Callable[[Offers, list[Atom]], Iterator[Offer]]] = {
    **dict.fromkeys(_SIMPLE, Offers.simple),
    "any-channel": Offers.orders,
    "any-gain": Offers.chosen_gain,
    "anywhere-in-list": Offers.orders,
    "channels": Offers.cables,
    "peak": Offers.peaks,
    "phantom-any": Offers.phantom,
    "plug-anywhere": Offers.plugs,
    "pool": Offers.pools,
    "release": Offers.released,
    "slots": Offers.slots,
    "trim": Offers.trims,
    "want-db": Offers.gains,
    "without-destinations": Offers.wishes,
    "without-sources": Offers.left_out,
    "without-wants": Offers.wishes,
}


def _covers(text: str, bank: str) -> bool:
    """Return whether an address names a whole bank or its device."""
    return text in (bank, bank.partition(".")[0])


def _free(fabric: Fabric, device: str, bank: str) -> bool:
    """Return whether a bank has a socket without a cable in it."""
    at = fabric.bank_of.get((device, bank))
    return at is not None and any(fabric.fed_by[segment] is None for segment in fabric.segment_of[at][1:])
