"""How much of each intake, link and pool is in use: the numbers a planner asks for before saying yes to one more line.

Comes in: looks at every period.  Goes out: `Use` rows, the fullest period of each.  Next: `proof`.

A slot is *used* when a delivery passes it, *filled* when it carries anything, dragged along with a block or wanted.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import attrs

from patchloom.address import Slot, parse
from patchloom.check.ground import Ground
from patchloom.check.look import Look
from patchloom.model.base import at_rate

__all__ = ["Use", "uses"]


@attrs.frozen
class Use:
    """One thing with a limit, in the period that uses most of it."""

    kind: str
    """`intake`, `link`, `pool`, `sockets`, `channels` or `mixes`."""
    what: str
    """Address of the bank, `K1 BOX to MON`, or the pool's own words."""
    where: str
    """Device, or link."""
    unit: str
    """slots or blocks."""
    used: int
    filled: int
    most: int
    period: str = ""
    """The fullest period; empty where there is one only."""

    @property
    def free(self) -> int:
        """Return what is left beside all that is filled."""
        return self.most - self.filled


def uses(seen: Iterable[Look]) -> tuple[Use, ...]:
    """Return what is used of everything with a limit: intakes, links each way, pools, then sockets, channels and mixes."""
    best: dict[tuple[str, str], Use] = {}
    for look in seen:
        for row in (*_banks(look), *_links(look), *_pools(look)):
            key = (row.kind, row.what)
            if key not in best or (row.filled, row.used) > (best[key].filled, best[key].used):
                best[key] = row
    order = ("intake", "link", "pool", "sockets", "channels", "mixes")
    return tuple(sorted(best.values(), key=lambda row: (order.index(row.kind), row.what)))


def _taken(look: Look) -> dict[tuple[str, str], tuple[list[int], list[int]]]:
    """Return, for each bank with anything in it, the slots used and the slots filled."""
    found: dict[tuple[str, str], tuple[list[int], list[int]]] = {}
    for device, bank, number in sorted(look.used):
        found.setdefault((device, bank), ([], []))[0].append(number)
    for place, legs in look.legs.items():
        found.setdefault(place, ([], []))[1].extend(legs)
    return found


def _banks(look: Look) -> Iterator[Use]:
    for (device, bank), (used, filled) in _taken(look).items():
        kind = look.ground.bank(device, bank)
        size = look.ground.size(device, bank) if kind is not None else None
        if kind is None or size is None:
            continue
        by = _by(look.ground, device, bank)
        if by > 1:
            blocks = [len({(number - 1) // by for number in numbers}) for numbers in (used, filled)]
            yield Use("intake", f"{device}.{bank}", device, "blocks", blocks[0], blocks[1], -(-size // by), look.period)
        elif kind.socket == "in" or kind.does in ("process", "sum"):
            word = {"process": "channels", "sum": "mixes"}.get(kind.does, "sockets")
            yield Use(word, f"{device}.{bank}", device, "slots", len(set(used)), len(set(filled)), size, look.period)


def _by(ground: Ground, device: str, bank: str) -> int:
    return max((row.by for row in ground.rows_into(device, bank) if not row.wired), default=1)


def _links(look: Look) -> Iterator[Use]:
    taken = _taken(look)
    for link_id, ends in look.ground.ends.items():
        link = look.ground.links[link_id]
        if not link.format:
            continue
        for sender in (0, 1):
            here, there = ends[sender], ends[1 - sender]
            most = look.ground.carry(link, sender).most
            if most:
                used, filled = taken.get((there.device, f"{there.name}.in"), ([], []))
                what = f"{link_id} {here.device} to {there.device}"
                yield Use("link", what, link_id, "slots", len(set(used)), len(set(filled)), most, look.period)


def _pools(look: Look) -> Iterator[Use]:
    taken = _taken(look)
    for device in look.rig.devices:
        for limit in look.type(device).limits:
            spans = [parse(f"{device}.{text}") for text in limit.of]
            most = at_rate(limit.most, look.ground.rate(device, spans[0].bank or ""))
            if most is None:
                continue
            counts = []
            for which in (0, 1):
                count = 0
                for span in spans:
                    numbers = taken.get((device, span.bank or ""), ([], []))[which]
                    inside = {number for number in numbers if span.holds(Slot(device, span.bank or "", number))}
                    count += len({(number - 1) // limit.by for number in inside}) if limit.count == "blocks" else len(inside)
                counts.append(count)
            words = limit.about or f"{device}: {', '.join(limit.of)}"
            yield Use("pool", words, device, limit.count, counts[0], counts[1], most, look.period)
