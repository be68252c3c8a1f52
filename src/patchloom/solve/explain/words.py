"""An irreducible conflict in the user's words: facts with numbers, at most a line for each position and limit.

Comes in: a `Problem`, its `Core`, the facts of the proof, numbers found by solving again.  Goes out: `Fact`s, each with
the parts that can be dropped.  Next: `explain.py` puts them into `Impossible`.

Where the proof has said it well (a gain that cannot suit two desks, an owner no control reaches), its own words are
kept, and the parts are put behind them.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import attrs

from patchloom.address import parse
from patchloom.finding import Fact, Part
from patchloom.model.base import at_rate
from patchloom.model.change.shows import want_key
from patchloom.model.rig import Rig
from patchloom.model.show import Show
from patchloom.solve.cutting import link_slots
from patchloom.solve.explain.atoms import COUNTED, DEMANDS, Problem, block_of
from patchloom.solve.explain.shrink import Core

__all__ = ["CONTROLS", "facts_of", "listed", "parts_of", "release_words", "there"]

CONTROLS = ("gain", "owner", "control", "phantom", "clock")
"""What proofs about the plugs chosen speak of; each says all in one sentence."""


def parts_of(problem: Problem, core: Core) -> list[Part]:
    """Return the parts of a conflict, in the order of the documents."""
    left = set(core.kept)
    parts = []
    for number in core.kept:
        if number not in left:
            continue
        atom = problem.atoms[number]
        alike = core.alike.get(number, (number,))
        mine = [n for n in alike if n in left]
        left.difference_update(mine)
        names = [problem.atoms[n].key for n in (*mine, *(n for n in alike if n not in mine))]
        parts.append(Part(atom.drop, tuple(names), len(mine), atom.to))
    return parts


def facts_of(problem: Problem, core: Core, proof: Sequence[Fact], short: dict[str, int]) -> tuple[list[Fact], list[Fact]]:
    """Return the facts of a conflict, and the proof's facts that belong to other conflicts.

    `short` says how much each counted limit lacks.
    """
    parts = parts_of(problem, core)
    told, also = _told(problem, core, proof)
    if not told and proof and proof[0].limit.split()[0] in CONTROLS:
        told, also = list(proof[:1]), list(proof[1:])
    whole = [fact for fact in told if fact.limit.split()[0] in CONTROLS]
    if whole:
        return _behind(whole, parts), also
    facts = [_limit(problem, part, told, short) for part in parts if part.drop in COUNTED]
    if not facts:
        facts = list(told)
    facts += _rules(problem, [part for part in parts if part.drop not in COUNTED and part.drop not in DEMANDS])
    facts += _wanted(problem, parts)
    return _merged(facts), also


def _told(problem: Problem, core: Core, proof: Sequence[Fact]) -> tuple[list[Fact], list[Fact]]:
    """Return the facts of the proof that speak of the conflict found (of one of its signals, where several do), and the rest."""
    tokens: set[str] = set()
    for number in core.kept:
        tokens |= problem.atoms[number].tokens
    told = [fact for fact in proof if _speaks(fact, tokens)]
    if told:
        told = [fact for fact in told if fact.limit == told[0].limit]
    return told, [fact for fact in proof if fact.members and fact not in told and not _like(fact, told)]


def _speaks(fact: Fact, tokens: set[str]) -> bool:
    words = {word.strip(",()").partition("[")[0] for word in fact.limit.split()}
    signals = {key.partition("[")[0] for key in fact.members}
    return bool(signals & tokens) or (not signals and bool(words & tokens))


def _like(fact: Fact, told: list[Fact]) -> bool:
    """Return whether a fact says of another leg of a signal what has been said of one already."""
    return any(fact.limit.partition(".")[0] == other.limit.partition(".")[0] and fact.asked == other.asked for other in told)


def _behind(facts: list[Fact], parts: list[Part]) -> list[Fact]:
    """Return facts with the parts behind them: a position's own to its own fact, all others to the first."""
    mine: list[list[Part]] = [[] for _ in facts]
    for part in parts:
        speakers = {name.partition(": ")[0] for name in part.of if ": " in name}
        at = next((n for n, fact in enumerate(facts) if fact.position and fact.position in speakers), 0)
        mine[at].append(part)
    return [attrs.evolve(fact, parts=tuple(rows)) for fact, rows in zip(facts, mine, strict=True)]


def _limit(problem: Problem, part: Part, told: list[Fact], short: dict[str, int]) -> Fact:
    key, lacks = part.of[0], short.get(part.of[0])
    has = there(problem.rig, part.drop, key, back=lacks is not None and lacks < 0)
    text = _limit_words(problem.rig, part.drop, key, has, lacks)
    members = next((fact.members for fact in told if fact.asked is not None), ())
    if lacks is None:
        return Fact(key, f"{text}.", there=has, members=members, parts=(part,))
    asked = has + abs(lacks)
    text += f": {asked} asked, {has} there, {abs(lacks)} short."
    return Fact(key, text, asked, has, abs(lacks), members, parts=(part,))


def there(rig: Rig, drop: str, key: str, *, back: bool = False) -> int:
    """Return how much of a counted limit there is: slots, blocks, channels of a link (`back`: to its first end)."""
    if drop == "channels":
        link = next(row for row in rig.links if row.id == key)
        return _each_way(rig, link)[1 if back else 0]
    if drop == "pool":
        device, _, number = key.rstrip("]").partition(".limits[")
        kind = rig.type_of(device)
        return at_rate(kind.limits[int(number)].most, rig.domain_of(device).hertz) or 0
    span = parse(key)
    bank = rig.type_of(span.device).banks[span.bank or ""]
    size = at_rate(bank.slots, rig.domain_of(span.device, bank.clock).hertz) or 0
    return -(-size // block_of(rig, span.device, span.bank or ""))


def _each_way(rig: Rig, link: Any) -> tuple[int, int]:
    """Return how many channels a link carries from its first end to its second, and back."""
    device, _, port = link.join[0].partition(".")
    ways = link_slots(rig, link, rig.domain_of(device, rig.type_of(device).ports[port].clock).hertz)
    size = {row[0:2]: row[-1] for row in ways}
    other, _, far = link.join[1].partition(".")
    return size.get((device, f"{port}.out"), 0), size.get((other, f"{far}.out"), 0)


def _limit_words(rig: Rig, drop: str, key: str, has: int, lacks: int | None) -> str:
    if drop == "channels":
        link = next(row for row in rig.links if row.id == key)
        first, second = link.join if lacks is None or lacks > 0 else reversed(link.join)
        return f"link {key} carries {has} channels from {first} to {second}"
    if drop == "pool":
        device, _, number = key.rstrip("]").partition(".limits[")
        row = rig.type_of(device).limits[int(number)]
        return f"{', '.join(f'{device}.{name}' for name in row.of)} share a pool of {has} {row.count}"
    span = parse(key)
    bank = rig.type_of(span.device).banks[span.bank or ""]
    by = block_of(rig, span.device, span.bank or "")
    if by > 1:
        return f"{key} takes {has} block{'s' if has != 1 else ''} of {by}"
    what = "socket" if bank.socket else {"process": "channel", "sum": "mix"}.get(bank.does, "slot")
    return f"{key} has {has} {what}{'' if has == 1 else 'es' if what == 'mix' else 's'}"


def listed(names: Sequence[str], most: int = 6) -> str:
    """Return names as words, the rest counted."""
    return ", ".join(names) if len(names) <= most else f"{', '.join(names[: most - 1])} and {len(names) - most + 1} more"


def _of(parts: Sequence[Part], names: Sequence[str]) -> str:
    """Return names with how many of them are enough, where that is fewer than all."""
    enough = sum(part.enough for part in parts)
    if enough == len(names):
        return f"{listed(names)}{f' ({len(names)})' if len(names) > 2 else ''}"
    return f"{listed(names)} ({len(names)}; {'any ' if len(parts) == 1 else ''}{enough} of them are enough)"


def _wanted(problem: Problem, parts: list[Part]) -> list[Fact]:
    """Return what is asked for: a fact a list, a fact for the feeds a position sends to one place, one for bare sockets."""
    mixed = {feed.id: feed.mixed_at for feed in problem.show.feeds}
    rows: dict[tuple[str, str, str], list[Part]] = {}
    for part in parts:
        head, _, tail = part.of[0].partition(": ")
        if part.drop == "without-wants":
            rows.setdefault((part.drop, head, ""), []).append(part)
        elif part.drop == "without-destinations":
            rows.setdefault((part.drop, mixed.get(head, ""), tail), []).append(part)
        elif part.drop == "without-sources":
            rows.setdefault((part.drop, "", ""), []).append(part)
    facts = []
    for (drop, who, where), mine in rows.items():
        names = [name for part in mine for name in part.of]
        if drop == "without-wants":
            names = [name.partition(": ")[2] for name in names]
            text, limit = f"{who} wants {_of(mine, names)}.", who
        elif drop == "without-destinations":
            names = [name.partition(": ")[0] for name in names]
            text, limit = f"{who} sends {_of(mine, names)} to {where}.", where
        else:
            text, limit = f"{_of(mine, names)} {'needs a socket' if len(names) == 1 else 'need a socket each'}.", "sockets"
        facts.append(Fact(limit, text, members=tuple(names), position=who, parts=tuple(mine)))
    return facts


def _rules(problem: Problem, parts: list[Part]) -> list[Fact]:
    return [_rule(problem.rig, problem.show, part) for part in parts]


def _rule(rig: Rig, show: Show, part: Part) -> Fact:
    names, key = part.of, part.of[0]
    what = _of((part,), names)
    many = len(names) > 1
    text = {
        "any-channel": f"{what} {'have' if many else 'has'} a channel fixed.",
        "any-gain": f"The gain of {what} is fixed.",
        "any-pairs": f"Stereo starts only on odd slots of {what}.",
        "any-preamp-gain": f"The preamps of {what} have a range of their own.",
        "carries-all": f"Link {what} is set to carry less than it could.",
        "leader": f"Clock domain {what} has its leader fixed.",
        "may-lead": f"{what} may not lead a clock domain.",
        "owned-alone": f"The preamps of {what} cannot each have an owner of their own.",
        "peak": f"The peak of {what} bounds its gain.",
        "phantom-any": f"What phantom {what} may have is fixed.",
        "switched-alone": f"Phantom of {what} is switched in groups.",
        "trim": f"The trim of {what} has its ends.",
        "want-db": f"{what} is wanted at a gain of its own.",
    }.get(part.drop)
    if part.drop == "anywhere-in-list":
        runs = [
            want.within
            for item in show.lists
            for want in item.wants
            if want and want_key(item.id, want.signal, want.leg) in names
        ]
        bare = [name.partition(": ")[2] for name in names]
        text = f"{key.partition(': ')[0]} keeps {_of((part,), bare)} within {listed(list(dict.fromkeys(runs)))}."
        return Fact(runs[0], text, members=tuple(bare), position=key.partition(": ")[0], parts=(part,))
    if part.drop == "plug-anywhere":
        rows = [row for row in show.plug if row.source in names]
        into = list(dict.fromkeys(text for row in rows for text in row.into))
        text = f"{what} may plug only into {listed(into)}."
        return Fact(parse(into[0])._replace(first=None, last=None).__str__(), text, members=names, parts=(part,))
    if part.drop == "release":
        text = "; ".join(release_words(show, name) for name in names) + "."
        return Fact(key, text, members=_row_members(show, names), parts=(part,))
    return Fact(key, text or f"{part.drop}: {what}.", members=names, parts=(part,))


def _row(show: Show, path: str) -> Any:
    field, _, number = path.rstrip("]").partition("[")
    return getattr(show, field)[int(number)]


def _row_members(show: Show, paths: Sequence[str]) -> tuple[str, ...]:
    found: list[str] = []
    for path in paths:
        row = _row(show, path)
        for field in ("of", "signals", "preamps", "into", "from_", "to"):
            value = getattr(row, field, ())
            found.extend((value,) if isinstance(value, str) else value or ())
    return tuple(dict.fromkeys(found))


def release_words(show: Show, path: str) -> str:
    """Return what a row of the show says, named by its path."""
    row = _row(show, path)
    field = path.partition("[")[0]
    if field == "groups":
        return f"the group {row.id or path} says {row.relation} of {listed(row.of)}"
    if field == "fixed":
        return f"the show fixes that {row.into} takes {row.from_}"
    if field == "owners":
        return f"{row.owner} is to own {listed(row.preamps)}"
    if field == "routing":
        where = f" at {listed(row.at)}" if row.at else ""
        return f"the rule {row.id} says {row.rule} of {listed(row.signals)}{where}"
    return f"the show's row {path} asks for it"


def _merged(facts: list[Fact]) -> list[Fact]:
    """Return facts with those of one limit in one, and sources that need a socket beside where they may plug."""
    made: list[Fact] = []
    for fact in facts:
        who = set(fact.members)
        twin = next((n for n, row in enumerate(made) if fact.limit == "sockets" and row.parts and set(row.members) == who), None)
        same = next(
            (n for n, row in enumerate(made) if fact.parts and row.parts and fact.limit == row.limit and row.asked is None), None
        )
        if twin is not None:
            made[twin] = attrs.evolve(made[twin], parts=(*made[twin].parts, *fact.parts))
        elif same is not None:
            old = made[same]
            text, members = f"{old.text[:-1]}; {fact.text}", tuple(dict.fromkeys((*old.members, *fact.members)))
            made[same] = attrs.evolve(old, text=text, members=members, parts=(*old.parts, *fact.parts))
        else:
            made.append(fact)
    return made
