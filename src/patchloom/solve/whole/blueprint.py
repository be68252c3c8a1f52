"""What an answered programme says to do: which leg enters where, and which run takes which.

Comes in: a `Draft` and the values of its columns.  Goes out: a `Blueprint`.  Next: `complete.py` has the search carry
everything over exactly these blocks.

Members of a crowd are alike, so they are dealt out in the order of the show over places in the order of addresses; copies
become runs in order too, where each was before if a hint says so.
"""

from __future__ import annotations

from typing import NamedTuple

from patchloom.solve.whole.crowd import Place
from patchloom.solve.whole.programme import Cell, Draft

__all__ = ["Blueprint", "copies_at", "read", "ways"]


class Blueprint(NamedTuple):
    """Leg to the place it enters by; run to the source run it takes."""

    places: dict[str, Place]
    runs: dict[int, int]


def read(draft: Draft, values: list[int], hint_run: dict[int, int]) -> Blueprint:
    """Return the blueprint of an answer."""
    return Blueprint(_deal(draft, values), _runs(draft, values, hint_run))


def copies_at(draft: Draft, values: list[int], hint_run: dict[int, int]) -> dict[int, int]:
    """Return for each copy that is brought the run it came to."""
    run_of: dict[int, int] = {}
    _runs(draft, values, hint_run, run_of)
    return run_of


def ways(draft: Draft, values: list[int], hint_run: dict[int, int]) -> dict[str, dict[int, int]]:
    """Return for each leg, counted by itself, the segments of its ways, each with a bit for every slot that is on them."""
    run_of: dict[int, int] = {}
    _runs(draft, values, hint_run, run_of)
    found: dict[str, dict[int, int]] = {}
    for (number, cell), column in draft.enters.items():
        if values[column]:
            for leg in draft.crowds[number].legs[0]:
                _mark(draft, found.setdefault(leg, {}), draft.cells[cell].node, run_of)
    for number, _, (_, there, _) in draft.ways_taken(values):
        for leg in draft.crowds[number].legs[0]:
            _mark(draft, found.setdefault(leg, {}), there, run_of)
    return found


def _mark(draft: Draft, marks: dict[int, int], number: int, run_of: dict[int, int]) -> None:
    """Set the bits of a node, where the run it came by has come to."""
    node = draft.lattice.nodes[number]
    run = run_of.get(node.copy) if node.copy >= 0 else None
    moved: dict[int, int] = {}
    if run is not None:
        first = draft.grain.kinds[draft.lattice.copies[node.copy].kind].runs[0]
        for mine, other in zip(draft.fabric.runs[first].segments, draft.fabric.runs[run].segments, strict=True):
            moved.update(zip(draft.grain.tree(mine), draft.grain.tree(other), strict=True))
    for segment, offset in node.images:
        at = moved.get(segment, segment)
        marks[at] = marks.get(at, 0) | ((1 << node.length) - 1) << offset


def _deal(draft: Draft, values: list[int]) -> dict[str, Place]:
    places: dict[str, Place] = {}
    free = [list(cell.places) for cell in draft.cells]
    waiting = [list(crowd.legs) for crowd in draft.crowds]
    hints = draft.plan.hints
    for wide in (True, False):
        for (number, cell), column in draft.enters.items():
            crowd = draft.crowds[number]
            if (crowd.size > 1) is not wide:
                continue
            for _ in range(values[column]):
                legs = _next(waiting[number], draft.cells[cell], hints)
                spot = _spot(draft, free[cell], crowd.size, [hints.get(leg) for leg in legs])
                for leg, place in zip(legs, spot, strict=True):
                    places[leg] = place
                    free[cell].remove(place)
    return places


def _next(waiting: list[tuple[str, ...]], cell: Cell, hints: dict[str, Place]) -> tuple[str, ...]:
    """Return the member to enter by a cell: one that was there before, else the first."""
    found = next((legs for legs in waiting if hints.get(legs[0]) in cell.places), waiting[0])
    waiting.remove(found)
    return found


def _spot(draft: Draft, free: list[Place], size: int, wished: list[Place | None]) -> list[Place]:
    if all(place in free for place in wished):
        return [place for place in wished if place is not None]
    if size == 1:
        return free[:1]
    fabric = draft.fabric
    for segment, offset in free:
        spot = [(segment, offset + step) for step in range(size)]
        if (fabric.seg_first[segment] + offset) % 2 and all(place in free for place in spot):
            return spot
    return free[:size]


def _runs(draft: Draft, values: list[int], hint_run: dict[int, int], run_of: dict[int, int] | None = None) -> dict[int, int]:
    grain, copies = draft.grain, draft.lattice.copies
    runs: dict[int, int] = {}
    run_of = {} if run_of is None else run_of
    free = [list(kind.runs) for kind in grain.kinds]
    for copy in copies:
        if not values[draft.brought[copy.number]]:
            continue
        source = copy.source
        if copy.before >= 0:
            if copy.before not in run_of:
                continue
            source = _shifted(draft, source, copies[copy.before].kind, run_of[copy.before])
        mine = free[copy.kind]
        run = next((run for run in mine if hint_run.get(run) == source), None)
        if run is None:
            run = next((run for run in mine if run not in hint_run), mine[0])
        mine.remove(run)
        runs[run] = source
        run_of[copy.number] = run
        for other in mine[: values[draft.brought[copy.number]] - 1] if copy.before < 0 else ():
            mine.remove(other)
            runs[other] = source
    return runs


def _shifted(draft: Draft, source: int, kind: int, run: int) -> int:
    """Return the source run that lies behind a run as `source` lies behind the first run of its kind."""
    fabric, grain = draft.fabric, draft.grain
    first = grain.kinds[kind].runs[0]
    if run == first:
        return source
    for mine, other in zip(fabric.runs[first].segments, fabric.runs[run].segments, strict=True):
        for here, there in zip(grain.tree(mine), grain.tree(other), strict=True):
            for row, leaving in fabric.blocks_from[here]:
                if leaving == source:
                    along = fabric.seg_first[here] - fabric.runs[source].first
                    for row_there, found in fabric.blocks_from[there]:
                        if row_there == row and fabric.seg_first[there] - fabric.runs[found].first == along:
                            return found
    raise AssertionError("runs of one kind lead to the same places")
