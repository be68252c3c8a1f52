"""Microphones that belong together go through different converters, or arrive at a list at different times.

What it says: which signals of a group declared `one-box`, or which microphones that share a desk group and a zone, come to a
list later or earlier than the others; and which signals declared `summed` arrive level, but through converters of different
kinds.
Why: the microphones of one kit, one piano, one array hear each other's sound; half a millisecond between them changes it
when they are mixed (common practice, no source).
When it is no fault: microphones far apart that share a desk group only for the fader: give them another `group` word or
another zone.
What data it needs: `groups`, or `sources.group` and `sources.zone`; `latency_ms` of banks, formats and rows where the ways
differ. That a declared relation is broken outright (`same-path` among them), and that what is `summed` arrives unequally
late, `verify` says.
What to do: plug them into boxes of one kind and lead them over one kind of link; or delay the earlier ones.
Source: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from patchloom.check.look import Delivery, Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["coherent_group"]

_RELATIONS = ("one-box", "summed")


def coherent_group(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each group, and each list it comes to, that is not level."""
    tally = Tally("coherent-group", show, patch)
    for look in looks(rig, show, patch):
        for name, relation, legs in _groups(look):
            tally.seen += 1
            if relation == "summed":
                _converters(tally, look, name, legs)
            else:
                _times(tally, look, name, legs)
    yield from tally.told("no microphones are grouped")


def _groups(look: Look) -> Iterator[tuple[str, str, list[str]]]:
    """Yield (name, relation, legs plugged) of each group of two or more."""
    plugs = look.setting.plugs
    declared: set[str] = set()
    for number, group in enumerate(look.show.groups, 1):
        if group.relation in _RELATIONS:
            ids = [key.split(".")[0] for key in group.of]
            legs = [leg for key in dict.fromkeys(ids) if key in look.signals for leg in look.signals[key].leg_ids()]
            legs = [leg for leg in legs if leg in plugs]
            declared.update(ids)
            if len(legs) > 1:
                yield group.id or f"group {number}", group.relation, legs
    words: dict[tuple[str, str], list[str]] = {}
    for source in look.show.sources:
        if source.kind == "mic" and source.group and source.zone and source.id not in declared:
            words.setdefault((source.group, source.zone), []).extend(leg for leg in source.leg_ids() if leg in plugs)
    for (word, zone), legs in words.items():
        if len(legs) > 1:
            yield f"{word} in {zone}", "", legs


def _converters(tally: Tally, look: Look, name: str, legs: list[str]) -> None:
    """Note what is summed, level, through converters of different kinds; that it is not level, `verify` says."""
    kinds: dict[str, str] = {}
    for leg in legs:
        place = look.setting.plugs[leg]
        if look.type(place.device).digital:
            kinds.setdefault(f"{look.type(place.device).id}.{place.bank}", f"{leg} at {place}")
    ways = [_offsets(look, rows) for rows in _arrivals(look, legs).values()]
    for field in (field for _, missing in ways for field in missing):
        tally.lacks(field, "what is summed comes by ways whose delay is not known", name)
    if len(kinds) > 1 and all(len(offsets) < 2 for offsets, _ in ways):
        told = f"{name} goes through {len(kinds)} kinds of converter: {', '.join(kinds.values())}."
        tally.found(look.period, told, name, *legs, numbers=(("kinds", len(kinds)),))


def _times(tally: Tally, look: Look, name: str, legs: list[str]) -> None:
    for to, rows in _arrivals(look, legs).items():
        offsets, missing = _offsets(look, rows)
        for field in missing:
            tally.lacks(field, "microphones of a group come by ways whose delay is not known", name)
        if len(offsets) > 1:
            _say(tally, look, name, to, offsets, look.rate(rows[0].end))


def _arrivals(look: Look, legs: list[str]) -> dict[str, list[Delivery]]:
    """Return what comes of a group to main inputs, by list."""
    found: dict[str, list[Delivery]] = {}
    for leg in legs:
        for row in look.by_leg.get(leg, ()):
            if row.want is not None and not row.alternate:
                found.setdefault(row.to, []).append(row)
    return found


def _offsets(look: Look, rows: list[Delivery]) -> tuple[dict[Fraction, list[str]], list[str]]:
    """Return who comes how many samples later than the first by address, and the fields that are missing to say."""
    first = min(rows, key=lambda row: row.hops)
    offsets: dict[Fraction, list[str]] = {}
    missing: list[str] = []
    for row in rows:
        apart = look.apart(first.hops, row.hops) if _banks(row) != _banks(first) else None
        if apart is not None and apart.missing:
            missing.extend(apart.missing)
        else:
            offsets.setdefault(apart.samples if apart is not None else Fraction(0), []).append(row.leg)
    return offsets, missing


def _say(tally: Tally, look: Look, name: str, to: str, offsets: dict[Fraction, list[str]], rate: Fraction) -> None:
    """Note who comes later or earlier than the most."""
    usual = max(offsets, key=lambda samples: (len(offsets[samples]), -samples))
    most = offsets[usual]
    for offset, legs in sorted(offsets.items()):
        samples = float(offset - usual)
        if not samples:
            continue
        ms = round(samples * 1000 / float(rate), 6)
        word = "later" if samples > 0 else "earlier"
        than = most[0] if len(most) == 1 else f"the other {len(most)}"
        verb = "comes" if len(legs) == 1 else "come"
        told = f"{name}: {', '.join(legs)} {verb} to {to} {abs(samples):.4g} samples ({abs(ms):.4g} ms) {word} than {than}."
        numbers = (("samples", round(samples, 3)), ("ms", ms), ("sources", len(legs)))
        tally.found(look.period, told, to, name, *legs, *most, numbers=numbers)


def _banks(row: Delivery) -> list[tuple[str, str]]:
    return [(hop.device, hop.bank) for hop in row.hops]
