"""A picture of a rule: a rig it speaks of above one it is silent about, drawn from its cases.

Comes in: the name of a rule, a file.  Goes out: one SVG or PNG, written whole.  Next: whoever asked `patchloom rules`.

Each rig is a frame of one diagram; what the findings name is written on it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from patchloom.check.shown import RuleCase, built, cases_in, home
from patchloom.errors import PatchloomError
from patchloom.finding import Finding
from patchloom.model.rig import Rig
from patchloom.pages import Book, Diagram, Edge, Group, Node, Page, Stamp

__all__ = ["draw", "page"]

_SHOWN = {"fails": "it speaks", "passes": "it is silent"}
_KINDS = {".svg": "svg", ".png": "png"}


def draw(name: str, path: Path) -> None:
    """Write the picture of a rule; raise PatchloomError for a rule without cases, or another kind of file."""
    from patchloom import pipeline
    from patchloom.document import write_file

    if path.suffix.lower() not in _KINDS:
        raise PatchloomError(f"--picture {path}: write .svg or .png")
    made = page(name)
    book = Book(stamp=Stamp(show="an example", rig=f"cases of {name}"), pages=(made,))
    artifacts = pipeline.render(book, _KINDS[path.suffix.lower()])
    if not artifacts:
        raise PatchloomError(f"rule {name} cannot be drawn")
    write_file(path, artifacts[0].bytes)


def page(name: str) -> Page:
    """Return the diagram of a rule: the failing rig, then the passing one."""
    rows = cases_in(home(), name)
    chosen = [case for outcome in _SHOWN if (case := _first(rows, outcome)) is not None]
    if not chosen:
        raise PatchloomError(f"{name} has no cases to draw")
    nodes: list[Node] = []
    edges: list[Edge] = []
    groups: list[Group] = []
    notes: list[str] = []
    for case in chosen:
        rig, show, patch = built(case, _solve)
        found = [row for row in _rule(name)(rig, show, patch) if row.kind == "found"]
        groups.append(Group(case.outcome, f"{name}: {_SHOWN[case.outcome]}", "other"))
        leaders = {domain.leader for setting in patch.settings for domain in setting.clock}
        nodes.extend(_nodes(case.outcome, rig, found, leaders))
        edges.extend(_edges(case.outcome, rig, found))
        notes.append(f"{_SHOWN[case.outcome].capitalize()}: {case.text['about']}")
        notes.extend(str(row) for row in found)
    diagram = Diagram(tuple(nodes), tuple(edges), tuple(groups))
    return Page("diagram", f"Rule {name}", paper="rule", subject=name, diagram=diagram, notes=tuple(notes))


def _first(rows: Iterable[RuleCase], outcome: str) -> RuleCase | None:
    """Return the case of an outcome that says `picture`, else the one with the smallest base."""
    mine = [case for case in rows if case.outcome == outcome]
    asked = [case for case in mine if case.text.get("picture")]
    small = [case for case in mine if not case.text.get("only")]
    return next(iter(asked or small or mine), None)


def _rule(name: str) -> Any:
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


def _nodes(key: str, rig: Rig, found: list[Finding], leaders: set[str]) -> Iterator[Node]:
    named = _named(found)
    for device in rig.devices.values():
        kind = rig.type_of(device.id)
        here = [place.partition(".")[2] for place in named.get(device.id, ())]
        lines = [kind.role, *([f"here: {', '.join(here[:3])}" if here else "here"] if device.id in named else [])]
        marks = [*(["leader"] if device.id in leaders else []), *(["guest"] if device.belongs_to else [])]
        yield Node(f"{key}-{device.id}", device.name or device.id, tuple(lines), kind.role, key, None, tuple(marks))


def _edges(key: str, rig: Rig, found: list[Finding]) -> Iterator[Edge]:
    named = _named(found)
    for link in rig.links:
        here, there = (end.partition(".") for end in link.join)
        lines = (link.format or "analogue", *(["here"] if link.id in named else []))
        kind = "audio" if link.format else "analogue"
        ends = (f"{key}-{here[0]}", f"{key}-{there[0]}")
        yield Edge(f"{key}-{link.id}", ends[0], ends[1], here[2], there[2], link.id, lines, kind=kind, arrows="none")
