"""Pieces of stock for every run: rounded up to a length there is, joined where none is long enough, and what is short.

Comes in: runs, the rig's stock.  Goes out: `Pulled` for each run, and `Line`s of the pull list.  Next: `sheet.py`.

A run that names its stock gets that row, or the shortest longer one of its kind; a stage cable gets the shortest of the rows
whose plug fits the socket.  The longest runs choose first.  Where no row is long enough, the longest are joined end to end.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

import attrs

from patchloom.model.rig import Stock
from patchloom_cable_list.runs import Run

__all__ = ["Line", "Pulled", "pulled", "totals"]


@attrs.frozen
class Pulled:
    """One run, and what is taken for it."""

    run: Run
    stock: Stock | None = None
    """Row it comes from; None where none fits or its length is unknown."""
    pieces: int = 0
    why: str = ""
    """What is worth saying about it: too short, joined, no such cable."""
    single: bool = False
    """Whether every way of the run is a cable of its own."""

    @property
    def joins(self) -> int:
        """Return how many joints the pieces of one way make."""
        ways = self.run.ways if self.single else 1
        return max(0, self.pieces // ways - 1)


@attrs.frozen
class Line:
    """One line of the pull list."""

    kind: str
    connectors: tuple[str, ...]
    length_m: float | None
    needed: int
    spare: int
    there: int | None
    """How many there are; None where the store did not say."""

    @property
    def total(self) -> int:
        """Return how many to pull."""
        return self.needed + self.spare

    @property
    def short(self) -> int | None:
        """Return how many are missing, spares included; None where nobody knows how many there are."""
        return None if self.there is None else max(0, self.total - self.there)


def pulled(runs: Sequence[Run], stock: Sequence[Stock]) -> tuple[Pulled, ...]:
    """Return what is taken for each run, in the order of the runs."""
    left = {row.id: row.count for row in stock}
    found: dict[int, Pulled] = {}
    order = sorted(range(len(runs)), key=lambda place: (not runs[place].stock, -(runs[place].length_m or 0.0), place))
    for place in order:
        found[place] = _pull(runs[place], stock, left)
        row = found[place].stock
        if row is not None:
            left[row.id] -= found[place].pieces
    return tuple(found[place] for place in range(len(runs)))


def _pull(run: Run, stock: Sequence[Stock], left: dict[str, int]) -> Pulled:
    named = next((row for row in stock if row.id == run.stock), None)
    if run.stock and named is None:
        return Pulled(run, why="the row of stock it names is not there")
    kin = _kin(run, named, stock)
    if not stock:
        return Pulled(run)
    if not kin:
        return Pulled(run, why="no stock stated for it")
    if run.length_m is None:
        return Pulled(run, named, 1 if named is not None else 0, "length not stated")
    length: float = run.length_m
    single = named is None and run.ways > 1
    ways = run.ways if single else 1
    enough = [row for row in kin if (row.length_m or 0.0) >= length]
    if named is not None and (named.length_m is None or named in enough):
        return Pulled(run, named, 1)
    if enough:
        ready = [row for row in enough if left[row.id] >= ways]
        return Pulled(run, (ready or enough)[0], ways, "the one named is too short" if named is not None else "", single)
    longest = kin[-1]
    if not longest.length_m:
        return Pulled(run, longest, ways, "length of the stock not stated", single)
    each = ceil(length / longest.length_m)
    return Pulled(run, longest, each * ways, "none is long enough: joined", single)


def _kin(run: Run, named: Stock | None, stock: Sequence[Stock]) -> list[Stock]:
    """Return the rows a run may be taken from, shortest first."""
    if named is not None:
        rows = [row for row in stock if row.kind == named.kind and row.connectors == named.connectors]
    elif run.connector:
        rows = [row for row in stock if row.length_m and _fits(row, run.connector)]
    else:
        rows = [row for row in stock if row.kind == run.kind and run.ways == 1]
    return sorted(rows, key=lambda row: (row.length_m or 0.0, row.id))


def _fits(row: Stock, connector: str) -> bool:
    """Return whether a cable's plug goes into a socket: one connector's name begins the other's; a multicore does not fit."""
    if len(row.connectors) != 2 or "multi" in row.kind.lower():
        return False
    return any(plug.startswith(connector) or connector.startswith(plug) for plug in row.connectors)


def totals(found: Sequence[Pulled], stock: Sequence[Stock], spares: int) -> tuple[Line, ...]:
    """Return the lines of the pull list: rows of stock that are needed, then what has no row, spares rounded up."""
    lines = []
    for row in stock:
        needed = sum(each.pieces for each in found if each.stock is not None and each.stock.id == row.id)
        if needed:
            lines.append(Line(row.kind, row.connectors, row.length_m, needed, _spare(needed, spares), row.count))
    other: dict[tuple[str, str, float | None], int] = {}
    for each in found:
        if each.stock is None or not each.pieces:
            key = (each.run.kind, each.run.connector, each.run.length_m)
            other[key] = other.get(key, 0) + each.run.ways
    for (kind, connector, length), needed in sorted(other.items(), key=lambda item: (item[0][0], item[0][1], item[0][2] or 0.0)):
        plugs = (connector, connector) if connector else ()
        lines.append(Line(kind, plugs, length, needed, _spare(needed, spares), None))
    return tuple(lines)


def _spare(needed: int, percent: int) -> int:
    return ceil(needed * percent / 100)
