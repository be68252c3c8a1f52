"""A picture of a check: a rig it speaks of above one it is silent about, drawn from its cases.

Comes in: the name of a rule, an entry, a check of verify or a complaint, and a file.  Goes out: one SVG or PNG, written
whole.  Next: whoever asked `patchloom rules`.

Each rig is a sheet of its own; what the findings name is written on it, and the ways of the signals they name.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

import attrs

from patchloom.check.judging import READING, SOLVE, cases_of, drawable, entries_of, is_rule, said
from patchloom.check.look import Look, looks
from patchloom.check.shown import RuleCase
from patchloom.check.trade import BY_KEY, TradeEntry
from patchloom.cli.written import carried, subjects, written
from patchloom.drawing import Scene, Text, scene_svg, scenes
from patchloom.drawing.fonts import FAMILIES, folder
from patchloom.errors import PatchloomError
from patchloom.finding import Finding
from patchloom.model.rig import Rig
from patchloom.pages import Diagram, Edge, Node, Page

__all__ = ["draw", "pages"]

_SHOWN = {"fails": "it speaks", "passes": "it is silent"}
_KINDS = (".svg", ".png")
_FAMILY = ", ".join(f"'{name}'" for name in FAMILIES)
_WORD = re.compile(r"[\w-]+(?:\.[\w-]+(?:\[[0-9-]+\])?)*")
_SIGNALS = 4
"""Signals whose ways are written on a drawing, at most."""
_ROOMS = ((255.0, 165.0), (395.0, 232.0), (570.0, 380.0))
"""Widths and heights in millimetres a drawing may take; the first that holds both in one piece is taken."""
_EDGE, _HEAD, _GAP = 8.0, 10.0, 7.0
"""Millimetres around a drawing, for its title, and left between what stands one below the other."""


def draw(name: str, path: Path) -> None:
    """Write the picture of a rule; raise PatchloomError for a rule without cases, or another kind of file."""
    from patchloom.document import write_file

    kind = path.suffix.lower()
    if kind not in _KINDS:
        raise PatchloomError(f"--picture {path}: write .svg or .png")
    drawn = _stacked(name, [_headed(scene) for scene in _drawn(pages(name))])
    write_file(path, drawn.encode("utf-8") if kind == ".svg" else _png(drawn))


def _drawn(made: tuple[Page, ...]) -> list[Scene]:
    """Return the drawings of pages, all in the smallest room where each is one piece."""
    for room in _ROOMS:
        whole = [scenes(page, room=room, most=1) for page in made]
        if all(whole):
            return [scene for rows in whole for scene in rows]
    return [scene for page in made for scene in scenes(page, room=_ROOMS[-1])]


def _headed(scene: Scene) -> Scene:
    """Return a drawing with its title above it, and without the empty stripes a whole sheet would have."""
    boxes = [*(row.box() for row in scene.shapes), *(row.box() for row in scene.texts)]
    shifts: list[tuple[float, float]] = []
    below, gone = 0.0, 0.0
    for top, bottom in sorted((box.y0, box.y1) for box in boxes):
        if top - below > _GAP:
            gone += top - below - _GAP
            shifts.append((top, gone))
        below = max(below, bottom)

    def shift(y: float) -> float:
        return _HEAD - next((by for top, by in reversed(shifts) if y >= top), 0.0)

    shapes = [row._replace(points=tuple((x + _EDGE, y + shift(row.box().y0)) for x, y in row.points)) for row in scene.shapes]
    texts = [row._replace(x=row.x + _EDGE, y=row.y + shift(row.box().y0)) for row in scene.texts]
    title = Text(_EDGE, _HEAD, scene.title, 14.0, bold=True)
    high = below - gone + _HEAD + _EDGE
    return attrs.evolve(scene, wide=scene.wide + 2 * _EDGE, high=high, shapes=tuple(shapes), texts=(title, *texts))


def _stacked(name: str, made: list[Scene]) -> str:
    """Return sheets one above the other as one SVG."""
    wide, high = max(scene.wide for scene in made), sum(scene.high for scene in made)
    head = f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:g}mm" height="{high:g}mm" viewBox="0 0 {wide:g} {high:g}">'
    parts = ['<?xml version="1.0" encoding="UTF-8"?>', head, f"<title>Rule {name}</title>"]
    top = 0.0
    for scene in made:
        drawn = scene_svg(scene, inline=True, family=_FAMILY).replace("<svg ", f'<svg y="{top:g}" ', 1)
        parts.append(drawn.replace('mm" height=', '" height=', 1).replace('mm" viewBox=', '" viewBox=', 1))
        top += scene.high
    return "\n".join([*parts, "</svg>", ""])


def _png(drawn: str) -> bytes:
    """Return an SVG as a picture of 110 dots to the inch, in the fonts brought along."""
    from patchloom.pages.extra import needed

    resvg = needed("resvg_py", "png")
    fonts = [str(path) for path in sorted(folder().glob("*.ttf"))]
    made = resvg.svg_to_bytes(
        svg_string=drawn, skip_system_fonts=True, font_files=fonts, font_family=FAMILIES[0], background="#ffffff", dpi=110
    )
    return bytes(made)


def pages(name: str) -> tuple[Page, ...]:
    """Return the diagrams of a rule or an entry: a rig it speaks of, then one it is silent about."""
    rows = cases_of(name)
    chosen = [case for outcome in _SHOWN if (case := _first(rows, outcome)) is not None]
    if not chosen:
        raise PatchloomError(f"{name} has no cases to draw; `patchloom rules {name}` says all about it")
    made = [_seen(name, case) for case in chosen]
    places = (place for one in made for row in one.found for place in row.where)
    named = dict.fromkeys(place.rpartition(": ")[2].partition(".")[0] for place in places)
    signals = tuple(key for key in named if any(key in look.signals for one in made for look in one.looks))
    told = [row for one in made for row in one.found]
    return tuple(_page(name, one, signals[:_SIGNALS], told) for one in made)


class _Seen(NamedTuple):
    """A case, worked out."""

    case: RuleCase
    rig: Rig
    looks: tuple[Look, ...]
    found: list[Finding]


def _seen(name: str, case: RuleCase) -> _Seen:
    told = said(case, _solve, _Installed())
    made = told.made or drawable(case, _solve)
    rows = [_placed(row, made[0]) for row in told.findings if row.kind == "found"]
    return _Seen(case, made[0], looks(*made), [row for row in rows if row.rule == name] or rows)


def _placed(row: Finding, rig: Rig) -> Finding:
    """Return a finding; one of reading or `solve` with the devices and links its sentence names."""
    if not row.rule.startswith(READING) and row.rule != SOLVE:
        return row
    known = {*rig.devices, *(link.id for link in rig.links)}
    words = (word for text in (*row.where, row.message) for word in _WORD.findall(text))
    return attrs.evolve(row, where=tuple(dict.fromkeys(word for word in words if word.partition(".")[0] in known)))


def _page(name: str, one: _Seen, signals: tuple[str, ...], told: list[Finding]) -> Page:
    """Return the diagram of a case; `told` is what is found in the failing one, which says what the picture is about."""
    leaders = {domain.leader for look in one.looks for domain in look.setting.clock}
    look = next((look for look in one.looks if any(row.period == look.period for row in one.found)), one.looks[0])
    about = subjects(told)
    lines = written(look, about, told)
    for device, more in _entering(look, signals).items():
        lines.setdefault(device, []).extend(more[:_SIGNALS])
    carries = {key: list(rows) for key, rows in (_following(look) if _is_clock(name, about) else {}).items()}
    for link, also in carried(look, about).items():
        carries.setdefault(link, []).extend(also)
    nodes = _nodes(one.rig, one.found, leaders, lines)
    diagram = Diagram(tuple(nodes), tuple(_edges(one.rig, one.found, _crossing(look, signals), _ways(look), carries)))
    title = f"{name}: {_SHOWN[one.case.outcome]}"
    notes = (str(one.case.text["about"]), *map(str, one.found))
    return Page("diagram", title, paper="rule", subject=name, diagram=diagram, notes=notes)


def _is_clock(name: str, about: tuple[str, ...]) -> bool:
    return "clock" in about or any(row.section == "D" for row in (*entries_of(name), *_own_entry(name)))


def _entering(look: Look, signals: tuple[str, ...]) -> dict[str, list[str]]:
    """Return, by device, where the signals named enter: `vox in mic[3]`, `pa from mix[1]`."""
    found: dict[str, list[str]] = {}
    for word, rows in (("in", look.setting.plugs), ("from", look.setting.mixes)):
        for leg, place in rows.items():
            if look.signal_of(leg) in signals:
                found.setdefault(place.device, []).append(f"{leg} {word} {place.bank}[{place.number}]")
    return found


def _crossing(look: Look, signals: tuple[str, ...]) -> dict[str, list[str]]:
    """Return, by link, which of the signals named cross it, and to where."""
    found: dict[str, dict[str, None]] = {}
    for place, leg in look.carried.items():
        for step in look.audio.get(place, ()) if look.signal_of(leg) in signals else ():
            if step.link:
                found.setdefault(step.link, {}).setdefault(f"{leg} to {step.to.device}")
    return {link: list(names) for link, names in found.items()}


def _own_entry(name: str) -> tuple[TradeEntry, ...]:
    return (BY_KEY[name],) if name in BY_KEY else ()


def _ways(look: Look) -> dict[str, str]:
    """Return, by link, which way signals cross it: `to` its second end, `from` there, or `both`."""
    found: dict[str, set[str]] = {}
    ends = {link.id: link.join[1].partition(".")[0] for link in look.rig.links}
    for place in look.carried:
        for step in look.audio.get(place, ()):
            if step.link:
                found.setdefault(step.link, set()).add("to" if step.to.device == ends[step.link] else "from")
    return {link: next(iter(ways)) if len(ways) == 1 else "both" for link, ways in found.items()}


def _following(look: Look) -> dict[str, tuple[str, ...]]:
    """Return, by link, which of its ends follow the clock of the other."""
    found: dict[str, dict[str, None]] = {}
    ends = {link.id: link.join[1].partition(".")[0] for link in look.rig.links}
    for domain in look.setting.clock:
        for row in domain.followers:
            if row.link in ends:
                found.setdefault(row.link, {}).setdefault("clock-to" if row.device == ends[row.link] else "clock-from")
    return {link: tuple(rows) for link, rows in found.items()}


def _first(rows: Iterable[RuleCase], outcome: str) -> RuleCase | None:
    """Return the case of an outcome that says `picture`, else the one with the smallest base."""
    mine = [case for case in rows if case.outcome == outcome]
    asked = [case for case in mine if case.text.get("picture")]
    small = [case for case in mine if not isinstance(case.text["base"], str) or _small(case)]
    return next(iter(asked or small or mine), None)


def _small(case: RuleCase) -> bool:
    return (case.path.parents[2] / "bases" / f"{case.text['base']}.json").is_file()


class _Installed(dict[str, Any]):
    """Rules by name, each loaded when it is asked."""

    def __contains__(self, name: object) -> bool:
        return isinstance(name, str) and is_rule(name) and not name.startswith(READING) and name != SOLVE

    def __missing__(self, name: str) -> Any:
        from patchloom import plugins

        return plugins.load("rules", name)


def _solve(rig: Any, show: Any) -> Any:
    from patchloom import pipeline

    return pipeline.solve(rig, show, explain=False)


def _named(found: Iterable[Finding]) -> dict[str, list[str]]:
    """Return, by device or link, what the findings name there."""
    named: dict[str, list[str]] = {}
    for row in found:
        for place in row.where:
            rows = named.setdefault(place.partition(".")[0], [])
            if "." in place and place not in rows:
                rows.append(place)
    return named


def _nodes(rig: Rig, found: list[Finding], leaders: set[str], more: dict[str, list[str]]) -> Iterator[Node]:
    named = _named(found)
    rates = len({str(domain.rate) for domain in rig.domains.values()}) > 1
    for device in rig.devices.values():
        kind = rig.type_of(device.id)
        here = [place.partition(".")[2] for place in named.get(device.id, ())]
        lines = [kind.role, *(_rates(rig, device.id) if rates and kind.digital else [])]
        lines += [f"here: {', '.join(here[:3])}" if here else "here"] if device.id in named else []
        lines += more.get(device.id, [])
        marks = [*(["leader"] if device.id in leaders else []), *(["guest"] if device.belongs_to else [])]
        yield Node(device.id, device.name or device.id, tuple(lines), kind.role, "", None, tuple(marks))


def _rates(rig: Rig, device: str) -> list[str]:
    """Return the rates a device runs at, one for each clock section."""
    return list(dict.fromkeys(f"{rig.domain_of(device, section).rate} Hz" for section in rig.sections(device)))


def _edges(
    rig: Rig, found: list[Finding], crossing: dict[str, list[str]], ways: dict[str, str], carries: dict[str, list[str]]
) -> Iterator[Edge]:
    named = _named(found)
    for link in rig.links:
        here, there = (end.partition(".") for end in link.join)
        framed = [" / ".join(dict.fromkeys(link.framing))] if link.framing else []
        lines = [link.format or "analogue", *framed, *(["here"] if link.id in named else [])]
        lines += crossing.get(link.id, [])[:_SIGNALS]
        kind, arrows = "audio" if link.format else "analogue", ways.get(link.id, "none")
        yield Edge(
            link.id,
            here[0],
            there[0],
            here[2],
            there[2],
            link.id,
            tuple(lines),
            kind=kind,
            arrows=arrows,
            carries=tuple(carries.get(link.id, ())),
        )
