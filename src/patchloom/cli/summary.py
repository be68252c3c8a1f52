"""About fifteen lines on what a solved show came to, and the next command to try.

Comes in: rig, show, patch, findings, names of papers.  Goes out: lines of text.  Next: `demo` prints them.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from patchloom.address import parse
from patchloom.cli.common import CHECKED, plural
from patchloom.finding import SEVERITIES, Finding
from patchloom.model.patch import Patch, Setting
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["summary"]


def summary(
    rig: Rig, show: Show, patch: Patch, findings: tuple[Finding, ...], papers: tuple[str, ...], folder: Path, command: str
) -> list[str]:
    """Return the lines; counts come from the patch, nothing is said that is not in it."""
    setting = patch.settings[0]
    lines = [
        show.name or show.about,
        f"asked      {_asked(show)}",
        f"there      {_there(rig)}",
        f"plugged    {_plugged(setting, rig)}",
        *_lists(show, setting),
        *_feeds(rig, show, setting),
        f"fullest    {_fullest(rig, setting)}",
        *(f"clock      {line}" for line in _clock(setting)),
        f"preamps    {_preamps(setting)}",
        f"phantom    {_phantom(setting)}",
        f"judged     {_judged(findings)}",
        f"papers     {plural(len(papers), 'file')} in {folder / 'papers'}; open {_first(folder, papers)}",
        f"next       {command} -C {folder} trace {_example(show, setting)}",
        CHECKED,
    ]
    return [line for line in lines if line]


def _asked(show: Show) -> str:
    legs = sum(len(source.leg_ids()) for source in show.sources)
    stereo = sum(1 for source in show.sources if len(source.legs) == 2)
    radio = sum(1 for source in show.sources if source.kind == "radio")
    positions = {row.position for row in show.lists}
    sources = f"{plural(len(show.sources), 'source')} on {plural(legs, 'line')}"
    return (
        f"{sources} ({plural(stereo, 'stereo pair')}, {radio} wireless), {plural(len(show.feeds), 'feed')}, "
        f"{plural(len(positions), 'position')}"
    )


def _there(rig: Rig) -> str:
    formats = sorted({link.format or "analogue" for link in rig.links})
    rates = ", ".join(f"{domain.id} {domain.rate} Hz" for domain in rig.domains.values())
    return f"{plural(len(rig.devices), 'device')}, {plural(len(rig.links), 'link')} ({', '.join(formats)}); {rates}"


def _lists(show: Show, setting: Setting) -> list[str]:
    counts = Counter(route.to for route in setting.routes if not route.alternate)
    cells = [f"{row.id or row.position} {counts[row.id or row.position]}" for row in show.lists]
    # A list that nobody can order slot by slot gets the nearest order there is, and the solver says so in a note.
    near = [row.id for row in show.lists if any(f"The order of {row.id} could not" in note for note in setting.notes)]
    order = f"each in its own order, {', '.join(near)} in the nearest that exists" if near else "each list in its own order"
    return [f"delivered  {', '.join(cells)} (legs, {order})"]


def _plugged(setting: Setting, rig: Rig) -> str:
    counts = Counter(at.device for at in setting.plugs.values())
    cells = [f"{device} {counts[device]}" for device in rig.devices if counts[device]]
    return f"{plural(len(setting.plugs), 'line')}: {', '.join(cells)}"


def _fullest(rig: Rig, setting: Setting) -> str:
    """Return the link that is fullest in one direction, by what the routes carry."""
    used: dict[tuple[str, str], set[int]] = {}
    for route in setting.routes:
        for hop in route.hops:
            used.setdefault((hop.device, hop.bank), set()).add(hop.number)
    best = (0.0, "no link of channels in use")
    for link in rig.links:
        sizes = rig.formats[link.format].each_way(rig.domain_of(link.join[0].split(".")[0]).hertz) if link.format else None
        for end, most in zip(link.join, sizes or (0, 0), strict=True):
            device, _, port = end.partition(".")
            count = len(used.get((device, f"{port}.out"), ()))
            if most and count / most > best[0]:
                best = (count / most, f"{link.id} from {device}: {count} of {most} channels of {link.format}")
    return best[1]


def _feeds(rig: Rig, show: Show, setting: Setting) -> list[str]:
    feeds = {feed.id: feed for feed in show.feeds}
    desks = {show.desk_of(row.position): row.position for row in show.lists}
    through: dict[str, dict[str, None]] = {}
    for route in setting.routes:
        if route.to not in feeds:
            continue
        own = show.desk_of(feeds[route.to].mixed_at)
        for hop in route.hops[:-1]:
            if hop.device in desks and hop.device not in (own, route.hops[-1].device) and rig.type_of(hop.device).role == "desk":
                through.setdefault(route.to, {})[hop.device] = None
    legs = sum(1 for route in setting.routes if route.to in feeds)
    home = ", ".join(f"{feed} ({' and '.join(ways)})" for feed, ways in through.items())
    lines = [f"feeds      {plural(len(feeds), 'feed')}, {plural(legs, 'leg')} brought home"]
    return [*lines, f"by way of  another position's desk: {home}"] if home else lines


def _clock(setting: Setting) -> list[str]:
    return [
        f"{domain.id}: {domain.leader} leads at {domain.rate} Hz, {plural(len(domain.followers), 'follower')}"
        for domain in setting.clock
    ]


def _preamps(setting: Setting) -> str:
    owned = Counter({row.owner: 0 for row in setting.owners})
    for row in setting.owners:
        span = row.preamps
        owned[row.owner] += (span.last or 0) - (span.first or 1) + 1 if span.first else 1
    shared = [row for row in setting.gains if row.trims_db]
    who = ", ".join(f"{owner or 'at the device'} moves {count}" for owner, count in owned.items())
    tight = sum(1 for row in shared if not row.margin)
    margin = f", {tight} of them without the wanted margin" if tight else ""
    return f"{who or 'none owned'}; {plural(len(shared), 'gain')} shared with trims{margin}"


def _phantom(setting: Setting) -> str:
    on = [row for row in setting.phantom if row.on]
    grouped = sum(1 for row in setting.phantom if row.at.first != row.at.last)
    unknown = sum(len(row.unknown) for row in setting.phantom)
    return (
        f"{len(on)} of {plural(len(setting.phantom), 'switch', 'switches')} on, {grouped} of them for groups; "
        f"need unknown for {plural(unknown, 'line')}"
    )


def _judged(findings: tuple[Finding, ...]) -> str:
    found = [row for row in findings if row.kind == "found"]
    counts = Counter(row.severity for row in found)
    words = ", ".join(f"{counts[name]} {name}" for name in SEVERITIES if counts[name])
    lacking = len({row.rule for row in findings if row.kind == "unchecked"})
    silent = f"; {lacking} rules lack data" if lacking > 1 else "; 1 rule lacks data" if lacking else ""
    return f"every leg pushed through from scratch; findings: {words or 'none'}{silent}"


def _first(folder: Path, papers: tuple[str, ...]) -> str:
    pages = sorted(
        (name for name in papers if name.endswith(".html")), key=lambda name: (name != "pocket.html", name != "book.html", name)
    )
    return str(folder / "papers" / pages[0]) if pages else str(folder / "papers")


def _example(show: Show, setting: Setting) -> str:
    """Return the list and channel whose way is longest: the trace most worth reading."""
    lists = {row.id or row.position for row in show.lists}
    rows = [route for route in setting.routes if route.to in lists and not route.alternate]
    if not rows:
        return f"{show.lists[0].id or show.lists[0].position} {parse(show.lists[0].at).first or 1}"
    best = max(rows, key=lambda route: (len(route.hops), [-ord(letter) for letter in route.to], -route.hops[-1].number))
    return f"{best.to} {best.hops[-1].number}"
