"""Other cables that might help: formats, second links, other rates, links where none leads.

Comes in: a rig, a show, the links in conflict.  Goes out: `Offer`s.  Next: `explain_offers.py` hands them on.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from patchloom.finding import Fact
from patchloom.library import format_names, formats
from patchloom.model.base import at_rate, build
from patchloom.model.change import Change
from patchloom.model.rig import Format, Rig
from patchloom.model.show import Show
from patchloom.solve.explain.atoms import COUNTED, Atom
from patchloom.solve.explain.cost import COST, Offer
from patchloom.solve.explain.words import listed

__all__ = ["Cables"]

TAPS = ("trim", "polarity", "filter", "delay", "insert", "processing", "mute", "fader")
NEW_LINKS = 12
"""New links tried at most where none leads from here to there."""


class Cables:
    """Makes offers about the links of a rig."""

    def __init__(self, rig: Rig, show: Show) -> None:
        self.rig = rig
        self.show = show

    def links(self, rows: list[Atom]) -> Iterator[Offer]:
        """Yield other formats, second links and other rates for links that are too small."""
        for atom in rows:
            link = next((row for row in self.rig.links if row.id == atom.key), None)
            if link is None:
                continue
            device, rate = link.join[0].partition(".")[0], self._rate(link.join[0])
            here = _channels(self.rig, link.format, rate)
            for name in self._common(link.join[0], link.join[1]):
                if _channels(self.rig, name, rate) > here:
                    size = _channels(self.rig, name, rate)
                    text = f"Run link {link.id} as {name}, which carries {size} channels."
                    yield Offer(text, COST["format"] + size // 32, (Change("format", (link.id,), name),), f"format {link.id}")
            a, b = (end.partition(".")[0] for end in link.join)
            yield from self._new_links(a, b, 2)
            yield from self._rates(device)

    def _rate(self, end: str) -> Fraction:
        """Return the sample rate in Hz at a port."""
        device, _, port = end.partition(".")
        return self.rig.domain_of(device, self.rig.type_of(device).ports[port].clock).hertz

    def _rates(self, device: str) -> Iterator[Offer]:
        domain = self.rig.domain_of(device)
        for lower in (48000, 44100):
            if domain.hertz >= 2 * lower and domain.hertz % lower == 0:
                text = f"Run clock domain {domain.id} at {lower} Hz instead of {domain.rate}."
                yield Offer(text, COST["rate"], (Change("rate", (domain.id,), lower),), f"rate {domain.id}")

    def _common(self, first: str, second: str) -> list[str]:
        speaks = []
        for end in (first, second):
            device, _, port = end.partition(".")
            found = self.rig.type_of(device).ports.get(port)
            speaks.append(found.speaks if found is not None else ())
        known = {*self.rig.formats, *format_names()}
        return [name for name in speaks[0] if name in speaks[1] and name in known]

    def _new_links(self, a: str, b: str, most: int = 1, what: str = "audio") -> Iterator[Offer]:
        """Yield links between free ports of two devices that carry something, the widest format first."""
        taken = {end for link in self.rig.links for end in link.join}
        ids = {link.id for link in self.rig.links}
        key = next(f"NEW{n}" for n in range(1, 99) if f"NEW{n}" not in ids)
        pairs = [
            (f"{a}.{p}", f"{b}.{q}", name)
            for p in self.rig.type_of(a).ports
            for q in self.rig.type_of(b).ports
            if f"{a}.{p}" not in taken and f"{b}.{q}" not in taken
            for name in self._common(f"{a}.{p}", f"{b}.{q}")
            if _carries(self.rig, name, what) and (a < b or _format(self.rig, name).one_way)
        ]
        pairs.sort(key=lambda row: (-min(_channels(self.rig, row[2], self._rate(row[0])), 64), row))
        for first, second, name in pairs[:most]:
            text = f"Add one link more: {first} to {second}, as {name}."
            yield Offer(text, COST["link"], (Change("link", (key,), (first, second, name)),), f"link {a} {b}")

    def joined(self, kinds: dict[str, list[Atom]], facts: Sequence[Fact]) -> Iterator[Offer]:
        """Yield what helps where nothing leads from here to there: other taps, what links carry, new links."""
        if not any(fact.limit.split()[0] in ("ways", "clock", "control") for fact in facts) and any(
            kind in kinds for kind in COUNTED
        ):
            return
        wants = [atom.key for atom in kinds.get("without-wants", ())]
        subject = facts[0].limit.split()[0] if facts else ""
        for at, stage in enumerate(TAPS):
            if wants and subject == "ways":
                text = f"Let {listed([key.partition(': ')[2] for key in wants])} be taken after {stage}."
                yield Offer(text, COST["tap"] + at, (Change("tap", tuple(wants), stage),), "tap", 1, False)
        for link in self.rig.links:
            if link.pass_ is not None:
                text = f"Let link {link.id} carry all it can."
                yield Offer(text, COST["setting"], (Change("carries-all", (link.id,)),), f"pass {link.id}")
        made: list[Offer] = []
        for a, b, far in self._pairs(wants, facts):
            if len(made) < NEW_LINKS:
                new = self._new_links(a, b, 1, subject if subject in ("clock", "control") else "audio")
                made += [row._replace(cost=row.cost + far) for row in new]
        yield from made

    def _pairs(self, wants: Sequence[str], facts: Sequence[Fact]) -> list[tuple[str, str, int]]:
        """Return pairs of devices a link might join, with how far fetched that is: joined ones and those spoken of first."""
        named = {word.partition(".")[0].strip(",:") for fact in facts for word in fact.text.replace("[", " ").split()}
        lists = {want.partition(": ")[0] for want in wants}
        named |= {item.at.partition(".")[0] for item in self.show.lists if item.id in lists}
        joined = {frozenset(end.partition(".")[0] for end in link.join) for link in self.rig.links}
        found = []
        for a in self.rig.devices:
            for b in self.rig.devices:
                if a != b:  # a link that runs both ways is offered once, by the order of the names
                    far = (0 if {a, b} <= named else 1) + (0 if frozenset((a, b)) in joined else 1)
                    found.append((a, b, far))
        return sorted(found, key=lambda row: row[2])


def _format(rig: Rig, name: str) -> Format:
    """Return a format of the rig, or of the library."""
    found: Format = rig.formats.get(name) or build(Format, formats()[name], id=name)
    return found


def _carries(rig: Rig, name: str, what: str) -> bool:
    spoken = _format(rig, name)
    sizes = (way for size in spoken.channels.values() for way in (size if isinstance(size, tuple) else (size,)))
    return any(sizes) if what == "audio" else what in spoken.pass_


def _channels(rig: Rig, name: str, rate: Fraction) -> int:
    size = at_rate(_format(rig, name).channels, rate)
    return max(size) if isinstance(size, tuple) else size or 0
