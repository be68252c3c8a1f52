"""Everything rules can read of a patch, written down: what is carried, by whom, how late, and what leans on what.

Comes in: the small bases, as they are and spoiled.  Goes out: `look.txt`, one line a fact.  Next: a person reads it;
`tests/mutation` asks the same cases.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import Any

from patchloom.check.look import Look, Thing, looks
from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

from .bases import BASES

HERE = Path(__file__).parent
Spoil = Callable[[Any, Any, Any], None]


def _timed(rig: Any, _: Any, setting: Any) -> None:
    """Every delay is known but the house desk's channels; a convertible row and an analogue amplifier say one, too."""
    for kind, bank, ms in (("box", "mic", 0.5), ("box", "line", 0.6), ("mon", "ch", 0.8), ("foh", "line", 0.4), ("amp", "in", 3)):
        rig["types"][kind]["banks"][bank]["latency_ms"] = ms
    rig["types"]["mon"]["banks"]["intake"]["latency_ms"] = 0.05
    rig["types"]["mon"]["select"][0]["latency_ms"] = 0.1
    rig["types"]["mon"]["select"][2]["latency_ms"] = 0.2
    rig["types"]["foh"]["select"][0]["converts"] = True
    rig["formats"]["cat"]["latency_ms"] = 0.25
    for row in setting["selections"]:
        if row["into"] == "MON.out[1]":
            row.update({"from": "MON.ch[2]", "tap": "in"})


def _leaning(rig: Any, show: Any, _: Any) -> None:
    """Supplies, doubled cables that share a way, one cable that runs alone; feeds inside feeds that say little."""
    rig["devices"]["BOX"]["power"] = rig["devices"]["MON"]["power"] = "stage"
    for row in rig["links"]:
        if row["id"] == "K1":
            row["cables"] = [{"route": "pit", "power": "x"}, {"route": "pit", "power": "y"}]
        if row["id"] == "K2":
            row["cables"] = [{"route": "hall"}]
    for key, of in (("pa", ["kick", "wedge"]), ("wedge", ["pa", "vox1", "ghost", "oh.L"]), ("ear", ["wedge"])):
        next(row for row in show["feeds"] if row["id"] == key)["of"] = of


def _bare(rig: Any, show: Any, setting: Any) -> None:
    """Mixes that do not say what they are made of, a list of gaps, routes and choices of what is not there."""
    rig["types"]["mon"]["banks"]["mix"].pop("of")
    rig["types"]["mon"]["ports"]["a"]["clock"] = "second"
    next(row for row in show["feeds"] if row["id"] == "ear")["of"] = ["pa", "kick"]
    show["feeds"].append({"id": "spare", "mixed_at": "nobody", "of": ["kick", "ghost"]})
    show["positions"] = {"foh": {"desk": "FOH"}, "guest": {"desk": "FOH"}, "mon": {"desk": "MON"}}
    setting["plugs"]["ghost"] = "BOX.mic[14]"
    setting["plugs"]["kick"] = "BOX.mic[2]"
    setting["selections"] += [{"into": "FOH.nothing[1]", "from": "FOH.ch[1]"}, {"into": "GONE.ch[1]", "from": "GONE.mic[1]"}]
    setting["selections"] += [
        {"into": "FOH.b.out[5]", "from": "FOH.ch[1]", "tap": "post"},
        {"into": "FOH.b.out[6]", "from": "FOH.ch[3]", "tap": "in"},
        {"into": "MON.out[2]", "from": "MON.ch[3]"},
    ]
    setting["routes"] += [
        {"leg": "ghost", "to": "foh", "entry": 99, "hops": ["GONE.ch[1]"]},
        {"leg": "kick", "to": "ear", "entry": 9, "hops": ["MON.mix[3]"]},
        {"leg": "kick", "to": "nobody", "entry": 1, "hops": ["MON.mix[3]"]},
        {"leg": "kick", "to": "kick", "entry": 1, "hops": ["MON.mix[3]"]},
        {"leg": "kick", "to": "foh", "entry": 1, "hops": []},
    ]
    setting["owners"] += [{"preamps": "BOX.mic[1-2]", "owner": "foh"}, {"preamps": "BOX.mic", "owner": "foh"}]
    setting["clock"][0]["followers"] += [
        {"device": "GONE", "section": "main", "link": "K1", "from": "BOX"},
        {"device": "FOH", "link": "K3", "from": "MON"},
        {"device": "FOH", "link": "K9", "from": "MON"},
    ]


def facts(look: Look) -> Iterator[str]:
    """Yield everything a look says, one fact a line."""
    yield from _rows("signals", {key: type(item).__name__ for key, item in look.signals.items()})
    yield from _rows("source of", {leg: item.id for leg, item in look.sources.items()})
    yield from _rows("feed of", {leg: item.id for leg, item in look.feeds.items()})
    yield f"lists: {', '.join(look.lists)}; positions: {', '.join(look.positions)}; {look.desks}; {look.at_desk}"
    for row in look.deliveries:
        want, place = (row.want.signal if row.want else "-"), (row.place.at if row.place else "-")
        yield f"delivery {row.name} {row.entry} {row.position} {want} {place} {row.alternate} to {row.end} over {row.devices}"
        yield f"    late {_late(look.late(row.hops))}"
    for name, by in (("by leg", look.by_leg), ("by position", look.by_position), ("by list", look.by_to), ("used", look.used_by)):
        yield from _rows(name, {key: ", ".join(item.name for item in rows) for key, rows in by.items()})
    yield f"used are {len(look.used)}, of {len(look.used_by)}"
    yield from _rows("chosen", {place: feed.source for place, feed in look.chosen})
    yield from _rows("picked", {f"{device}.{bank}": sorted(table) for device, bank, table in look.picked()})
    yield from _rows("carried", {place: f"{leg} {_way(look, place)}" for place, leg in look.carried.items()})
    yield f"carrying: {', '.join(look.carrying)}"
    yield from _rows("spread", {leg: _words(places) for leg, places in look.spread.items()})
    for place, steps in look.audio.items():
        turned = " turned" if look.leg(place, True) else ""
        yield f"audio {place}{turned}: {'; '.join(f'{step.to} {tuple(step[1:])}' for step in steps)}"
        yield f"    onward {_words(look.onward(place))} links {_words(look.over_links(place))}"
    yield from _rows("reach", look.reach)
    yield from _rows("mixing", {key: tuple(row) for key, row in look.mixing.items()})
    for device in (*look.rig.devices, "GONE"):
        yield f"commands {device}: {look.commands(device)}; {look.type(device).id!r}; {_words(look.slots(f'{device}.mic[2-3]'))}"
        yield f"    all {_words(look.slots(device))}"
    for name, graph in (("control", look.control), ("clock", look.clock), ("clock could", look.clock_ways)):
        yield from _rows(name, {_words(key): [tuple(edge) for edge in edges] for key, edges in graph.items()})
    for thing, leans in look.dependence.items():
        yield f"{_words(thing)} leans on {'; '.join(map(_words, leans))}"
        yield f"    lost with it {look.lost_with(thing)}; in the end on {'; '.join(map(_words, look.leans_on(thing)))}"
    yield f"lost with two: {look.lost_with(Thing('device', 'FOH'), Thing('device', 'MON'))}"
    yield from _rows("owner", {place: row.owner for place, row in look.owner_at.items()})
    for place, amp in look.amps.items():
        gain = amp.gain.gain_db if amp.gain else None
        yield f"amp {place} {amp.kind.id} {amp.leg} {amp.source.id} {amp.owner} {gain} {amp.positions} {amp.sharers}"
    yield from _into(look)


def _into(look: Look) -> Iterator[str]:
    """Yield how sources come into feeds, and how far the ways to two lists are apart."""
    yield from _rows("arrives", {key: [row.name for row in rows] for key, rows in look.into.arrivals.items()})
    for feed in look.mixing:
        yield f"into {feed} on {look.into.desks.get(feed)}: {sorted(look.into.signals(feed))}; {look.into.feeds(feed)}"
        for source in look.mixing[feed].sources:
            yield f"    {source} {_words(look.into.way(source, feed))}"
    for feed in (*look.mixing, "nowhere"):
        for source in (*look.signals, "ghost"):
            inside = [key for key in (*look.mixing, "nowhere") if look.into.inside(source, key, feed)]
            if look.into.straight(source, feed) or inside:
                yield f"comes to {feed}: {source} over {len(look.into.straight(source, feed))} slots, inside {inside}"
    yield f"and of what is not there {look.into.way('ghost', 'nowhere')} {look.into.way('kick', 'nowhere')}"
    for leg, rows in look.by_leg.items():
        for other in rows[1:]:
            yield f"apart {leg}: {_late(look.apart(rows[0].hops, other.hops))}"


def _rows(name: str, table: Mapping[Any, Any]) -> Iterator[str]:
    yield from (
        f"{name} {key if not isinstance(key, tuple) or hasattr(key, 'number') else ' '.join(key)}: {value}"
        for key, value in table.items()
    )


def _words(names: Any) -> str:
    return names if isinstance(names, str) else " ".join(map(str, names))


def _way(look: Look, place: Any) -> str:
    node = look.node(place)
    way = look.way(place)
    links = [look.link_between(here, there) for here, there in pairwise(way)]
    return f"by {_words(way)}; links {links}; after {node.after}; at {look.rate(place)}"


def _late(late: Any) -> str:
    return f"{late.ms} ms {late.samples} missing {late.missing} of {late.parts}"


def told(base: str, spoil: Spoil | None = None) -> str:
    """Return everything looks at a base say, period by period."""
    rig, show, patch = BASES[base]()
    if spoil is not None:
        spoil(rig, show, patch["settings"][0])
    lines: list[str] = []
    for look in looks(build(Rig, rig), build(Show, show), build(Patch, patch)):
        lines += [f"  period {look.period!r}", *(f"  {line}" for line in facts(look))]
    return "".join(f"{line}\n" for line in lines)


def otherwise(base: str, spoil: Spoil) -> str:
    """Return what looks at a spoiled base say that they do not say of the base, and how many lines they say no longer."""
    before, after = told(base).splitlines(), told(base, spoil).splitlines()
    known, now = set(before), set(after)
    fresh = [line for line in after if line not in known]
    return "".join(f"{line}\n" for line in (*fresh, f"  {sum(line not in now for line in before)} lines are gone"))


CASES: dict[str, Callable[[], str]] = {
    **{base: partial(told, base) for base in BASES},
    "house timed": partial(otherwise, "house", _timed),
    "house leaning": partial(otherwise, "house", _leaning),
    "house bare": partial(otherwise, "house", _bare),
}


def test_every_fact_is_the_fact_meant(golden: Callable[..., None]) -> None:
    """A look at each base says exactly what `look.txt` holds."""
    golden("look.txt", "".join(f"{name}\n{case()}" for name, case in CASES.items()), HERE)
