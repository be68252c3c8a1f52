"""All packs of a show as a page: by pack and by scene.

Comes in: the `View`s of all acts and scenes.  Goes out: a `Page`, or None where nothing is worn.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patchloom.model.show import Feed, List, Source
from patchloom.pages import Cell, Column, Page, Row, Table, View, cautions, list_id
from patchloom.pages.cells import labels
from patchloom.pages.lines import channels, head, list_name, pair_of, short_length, touching

__all__ = ["pack_page"]

_MOST_SCENES = 10
_BLOCK = 8


def pack_page(seen: Sequence[View]) -> Page | None:
    """Return the radio and pack sheet of a show."""
    packs = _radios(seen)
    ears = _ears(seen)
    if not packs and not ears:
        return None
    tables = [table for table in (_packs(seen, packs), *_scenes(seen, packs), _receivers(seen, ears)) if table is not None]
    view = seen[0]
    legs = [leg for pack in packs.values() for leg in pack.leg_ids()] + [leg for ear in ears.values() for leg in ear.leg_ids()]
    return Page(
        "table",
        "Radio and pack sheet",
        subject="packs",
        subject_name=view.say("scene by scene"),
        about=view.say("Radio lines: {packs}; ear mixes: {ears}.", packs=len(packs), ears=len(ears)),
        tables=tuple(tables),
        notes=("Frequencies, batteries and spares in the hand are the radio team's; blank = not stated.",),
        cautions=cautions(["hearing", "radio", "privacy"]),
        touches=touching(view, legs, *(key for each in seen for key in each.positions())),
    )


def _radios(seen: Sequence[View]) -> dict[str, Source]:
    found: dict[str, Source] = {}
    for view in seen:
        for row in view.show.sources:
            if row.kind == "radio":
                found.setdefault(row.id, row)
    return found


def _ears(seen: Sequence[View]) -> dict[str, Feed]:
    found: dict[str, Feed] = {}
    for view in seen:
        for row in view.show.feeds:
            if row.kind == "ear":
                found.setdefault(row.id, row)
    return found


def _name(view: View) -> str:
    return view.period_name or view.period


def _spans(seen: Sequence[View], key: str) -> Iterator[tuple[str, str, View, Source]]:
    """Yield first and last scene of each stretch in which a pack is worn by one person under one name."""
    first: View | None = None
    last: View | None = None
    worn: Source | None = None
    for view in seen:
        row = next((each for each in view.show.sources if each.id == key), None)
        same = row is not None and worn is not None and (row.person, row.name) == (worn.person, worn.name)
        if worn is not None and first is not None and last is not None and not same:
            yield _name(first), _name(last), first, worn
        if row is None:
            first = last = worn = None
        elif same:
            last = view
        else:
            first, last, worn = view, view, row
    if worn is not None and first is not None and last is not None:
        yield _name(first), _name(last), first, worn


def _packs(seen: Sequence[View], packs: dict[str, Source]) -> Table | None:
    """Return pack by pack, stretch by stretch: person, scenes, element, where it is heard, its label, its spare."""
    if not packs:
        return None
    view = seen[0]
    heard = _heard(seen, [leg for row in packs.values() for leg in row.leg_ids()])
    columns = (
        Column("pack", "Pack", 1.4, "address", "strong"),
        Column("person", "Person", 2.4, size="strong"),
        Column("scenes", "Scene from - to", 2),
        Column("element", "Element", 2),
        Column("worn", "Worn", 1.4),
        *(Column(f"list-{row.id or row.position}", head(row), 0.8, "number") for row in heard),
        Column("line", "Receiver on", 1.5, "address"),
        Column("label", "Label", 1.6, size="bold"),
        Column("spare", "Spare", 1.8),
        Column("battery", "Battery \u2713", 0.6, "tick"),
    )
    short = labels([(key, row.short or row.name or key) for key, row in packs.items()], short_length(view))
    rows: list[Row] = []
    for number, (key, row) in enumerate(packs.items()):
        spare = ", ".join(other.name or other.id for other in packs.values() if other.spare_of == key)
        for_ = next((view.signals[row.spare_of] for each in seen if row.spare_of in (view := each).signals), None)
        spare = spare or (seen[0].say("stands in for {name}", name=for_.name or for_.id) if for_ is not None else "")
        for start, end, at, worn in _spans(seen, key):
            legs = worn.leg_ids()
            socket = at.setting.plugs.get(legs[0])
            rows.append(
                Row(
                    (
                        key,
                        worn.person or "",
                        start if start == end else f"{start} \u2013 {end}",
                        worn.mic,
                        worn.stand,
                        *("+".join(found for leg in legs if (found := channels(at, each, leg))) for each in heard),
                        at.line(socket) if socket else "",
                        short[key],
                        spare,
                        Cell("", ("tick",)),
                    ),
                    block=number // _BLOCK,
                    keep=key,
                )
            )
    kept = [
        place
        for place, column in enumerate(columns)
        if column.id not in ("scenes", "element", "worn", "spare") or any(row.cells[place].text for row in rows)
    ]
    made = tuple(Row(tuple(row.cells[place] for place in kept), block=row.block, keep=row.keep) for row in rows)
    names = "; ".join(f"{head(row)} = {list_name(seen[0], row)}" for row in heard)
    return Table("packs", "Packs", tuple(columns[place] for place in kept), made, (f"{names}.",) if names else ())


def _heard(seen: Sequence[View], legs: Sequence[str]) -> list[List]:
    """Return the lists that hear a pack in any scene, in the order they are first met."""
    found: dict[str, List] = {}
    for view in seen:
        for row in view.show.lists:
            if any(channels(view, row, leg) for leg in legs):
                found.setdefault(list_id(row), row)
    return list(found.values())


def _scenes(seen: Sequence[View], packs: dict[str, Source]) -> Iterator[Table]:
    """Yield who wears each pack in each scene, ten scenes to a table; a change is marked with an arrow."""
    if len(seen) < 2 or not packs:
        return
    for start in range(0, len(seen), _MOST_SCENES):
        part = seen[start : start + _MOST_SCENES]
        columns = (
            Column("pack", "Pack", 1.2, "address", "strong"),
            *(Column(f"scene-{place}", _name(view), 1.6) for place, view in enumerate(part, 1)),
        )
        rows = []
        for number, key in enumerate(packs):
            cells: list[Cell] = []
            before = _wearer(seen[start - 1], key) if start else None
            for view in part:
                worn = _wearer(view, key)
                changed = before is not None and worn != before
                cells.append(Cell(f"\u2192 {worn}" if changed and worn else worn or "\u2013", ("changed",) if changed else ()))
                before = worn
            rows.append(Row((key, *cells), block=number // _BLOCK))
        note = part[0].say("\u2192 = other than the scene before; \u2013 = not worn.")
        yield Table(f"scenes-{start // _MOST_SCENES + 1}", "Scene by scene", columns, tuple(rows), (note,))


def _wearer(view: View, key: str) -> str:
    row = next((each for each in view.show.sources if each.id == key), None)
    return (row.person or row.name or row.id) if row is not None else ""


def _receivers(seen: Sequence[View], ears: dict[str, Feed]) -> Table | None:
    """Return the ear mixes: who wears the pack, where the mix is made, where its transmitter is plugged."""
    if not ears:
        return None
    columns = (
        Column("mix", "Ear mix", 2.6, size="strong"),
        Column("person", "Person", 2.2, size="strong"),
        Column("made", "Made on", 1.6, "address"),
        Column("socket", "Transmitter on", 1.8, "address", "strong"),
        Column("off", "Off head \u2713", 0.8, "tick"),
    )
    rows = []
    for number, (key, feed) in enumerate(ears.items()):
        view = next(each for each in seen if key in each.signals)
        for leg in feed.leg_ids():
            mix = view.setting.mixes.get(leg)
            ends = [route.hops[-1] for route in view.routes_of(leg) if route.to == key and route.hops]
            cells = (
                view.name(leg),
                feed.person,
                view.line(mix) if mix else "",
                ", ".join(view.line(end) for end in ends),
                Cell("", ("tick",)),
            )
            rows.append(Row(cells, block=number // 4, keep=pair_of(leg)))
    return Table("ears", "Ear mixes", columns, tuple(rows))
