"""About fifteen lines on what a solved show came to, and the next command to try.

Comes in: rig, show, patch, findings, names of papers.  Goes out: lines of text.  Next: `demo` prints them.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from patchloom.address import parse
from patchloom.cli.common import CHECKED, plural
from patchloom.finding import Finding
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
        *_lists(show, setting),
        f"feeds      {_feeds(rig, show, setting)}",
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
    return [f"delivered  {', '.join(cells)} (legs, each list in its own order)"]


def _feeds(rig: Rig, show: Show, setting: Setting) -> str:
    feeds = {feed.id: feed for feed in show.feeds}
    desks = {show.desk_of(row.position): row.position for row in show.lists}
    through = set()
    for route in setting.routes:
        if route.to not in feeds:
            continue
        own = show.desk_of(feeds[route.to].mixed_at)
        passed = {hop.device for hop in route.hops[:-1]} - {own, route.hops[-1].device}
        through |= {f"{route.to} by way of {device}" for device in passed & set(desks) if rig.type_of(device).role == "desk"}
    legs = sum(1 for route in setting.routes if route.to in feeds)
    home = f"; through another position's desk: {', '.join(sorted(through))}" if through else ""
    return f"{plural(legs, 'leg')} brought home{home}"


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
    counts = Counter(row.severity for row in findings)
    words = ", ".join(f"{counts[name]} {name}" for name in ("stop", "safety", "warn", "advice", "note") if counts[name])
    return f"every leg pushed through from scratch; findings: {words or 'none'}"


def _first(folder: Path, papers: tuple[str, ...]) -> str:
    pages = sorted((name for name in papers if name.endswith(".html")), key=lambda name: (name != "index.html", name))
    return str(folder / "papers" / pages[0]) if pages else str(folder / "papers")


def _example(show: Show, setting: Setting) -> str:
    """Return the list and channel whose way is longest: the trace most worth reading."""
    lists = {row.id or row.position for row in show.lists}
    rows = [route for route in setting.routes if route.to in lists and not route.alternate]
    if not rows:
        return f"{show.lists[0].id or show.lists[0].position} {parse(show.lists[0].at).first or 1}"
    best = max(rows, key=lambda route: (len(route.hops), [-ord(letter) for letter in route.to], -route.hops[-1].number))
    return f"{best.to} {best.hops[-1].number}"
