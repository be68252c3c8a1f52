"""Where signals can be, and how they get from one to the next: nodes and arcs of the exact programme.

Comes in: a `Grain`.  Goes out: a `Lattice`.  Next: `programme.py` makes columns and rows of it.

A node is a stretch of slots with everything wires lead it to.  A stretch that signals enter by, or that is chosen slot by
slot, is a node once.  What a block brings is a node for every block that could be brought to a kind of run (a *copy*): equal
runs are never numbered.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from patchloom.solve.fabric import Fabric
from patchloom.solve.whole.grain import Grain

__all__ = ["Copy", "Lattice", "Node", "TooWide"]

MOST = 6000
"""Nodes at most; beyond, the programme is not made."""


class TooWide(Exception):
    """There are more ways than the programme can hold."""


class Node(NamedTuple):
    """A stretch: number, length, its images (segment, offset of its first slot), the copy it came by (-1: none)."""

    number: int
    length: int
    images: tuple[tuple[int, int], ...]
    copy: int


class Copy(NamedTuple):
    """A block that could be brought to a kind of run: which, from which source run of which copy, by which row."""

    number: int
    kind: int
    row: int
    source: int
    before: int
    """The copy the source run is in; -1 for runs of the rig itself."""
    arcs: tuple[tuple[int, int], ...]
    """From node, to node, for each stretch of it."""


class Lattice:
    """Nodes and arcs; see the module's docstring."""

    def __init__(self, grain: Grain, uses: Callable[[int], frozenset[int]]) -> None:
        self.grain = grain
        self.uses = uses
        """Segment signals enter by to the segments on their ways; -1 to those on any way."""
        self.fabric: Fabric = grain.fabric
        self.nodes: list[Node] = []
        self.copies: list[Copy] = []
        self.at: dict[tuple[int, int], int] = {}
        """(segment, offset of a stretch) to its node, for stretches that are a node once."""
        self.on_ways: dict[int, frozenset[int]] = {}
        """Node to the segments on the ways of what it may hold."""
        self.singles_into: dict[int, list[int]] = {}
        """Node chosen slot by slot to the rows that feed it."""
        self.hubs: dict[int, tuple[int, list[int]]] = {}
        """Row that chooses slot by slot to its hub, a node without slots, and the nodes it feeds."""
        self._homes()
        for node, rows in self.singles_into.items():
            for row in rows:
                if row not in self.hubs:
                    hub = Node(len(self.nodes), 0, (), -1)
                    self.nodes.append(hub)
                    self.hubs[row] = (hub.number, [])
                self.hubs[row][1].append(node)
        self._bring()

    def _homes(self) -> None:
        fabric, grain = self.fabric, self.grain
        for bank in range(len(fabric.banks)):
            for first, length in grain.stretches(bank):
                segment = fabric.segment_of[bank][first]
                if fabric.fed_by[segment] is not None:
                    continue
                singles = [row for row in fabric.singles_into[segment] if not fabric.rows[row].alternate]
                told = any(
                    grain.kinds[grain.kind_of[run]].apart for _, run in fabric.blocks_into[segment] if run in grain.kind_of
                )
                if not (segment in grain.entered or singles or told):
                    continue
                offset = first - fabric.seg_first[segment]
                node = self._node(segment, offset, length, -1)
                self.at[segment, offset] = node.number
                self.on_ways[node.number] = self.uses(-1 if singles or told else segment)
                if singles:
                    self.singles_into[node.number] = singles

    def _node(self, segment: int, offset: int, length: int, copy: int) -> Node:
        if len(self.nodes) >= MOST:
            raise TooWide
        images = tuple((at, offset) for at in self.grain.tree(segment))
        node = Node(len(self.nodes), length, images, copy)
        self.nodes.append(node)
        return node

    def _bring(self) -> None:
        """Make every copy there could be, those of copies too; a copy never comes to a kind it has been brought to before."""
        todo: list[tuple[int, frozenset[int], list[Node]]] = [(-1, frozenset(), list(self.nodes))]
        while todo:
            before, seen, nodes = todo.pop(0)
            for (row, source), parts in self._instances(nodes).items():
                if self.fabric.rows[row].alternate:
                    continue
                for kind in self._kinds_of(row):
                    only = self.grain.kinds[kind].only
                    if kind in seen or only not in (-1, source) or not self._useful(kind, parts):
                        continue
                    copy, made = self._copy(kind, row, source, before, parts)
                    if made:
                        todo.append((copy, seen | {kind}, made))

    def _instances(self, nodes: list[Node]) -> dict[tuple[int, int], list[tuple[int, Node]]]:
        """Return (row, source run) to its stretches, each with how far into the run it begins."""
        found: dict[tuple[int, int], list[tuple[int, Node]]] = {}
        fabric = self.fabric
        for node in nodes:
            for segment, offset in node.images:
                for row, source in fabric.blocks_from[segment]:
                    along = fabric.seg_first[segment] + offset - fabric.runs[source].first
                    if 0 <= along < fabric.runs[source].length:
                        found.setdefault((row, source), []).append((along, node))
        return found

    def _useful(self, kind: int, parts: list[tuple[int, Node]]) -> bool:
        """Return whether anything a block may hold could get where it is wanted by coming to a kind of run."""
        run = self.fabric.runs[self.grain.kinds[kind].runs[0]]
        there = {at for segment in run.segments for at in self.grain.tree(segment)}
        return any(not there.isdisjoint(self.on_ways[node.number]) for _, node in parts)

    def _kinds_of(self, row: int) -> list[int]:
        return list(dict.fromkeys(self.grain.kind_of[run] for run in self.fabric.rows[row].into_runs))

    def _copy(self, kind: int, row: int, source: int, before: int, parts: list[tuple[int, Node]]) -> tuple[int, list[Node]]:
        fabric, number = self.fabric, len(self.copies)
        run = fabric.runs[self.grain.kinds[kind].runs[0]]
        apart = self.grain.kinds[kind].apart
        arcs, made = [], []
        for along, node in parts:
            if along >= run.length:
                continue
            segment = fabric.segment_of[run.bank][run.first + along]
            offset = run.first + along - fabric.seg_first[segment]
            if apart:
                there = self.at.get((segment, offset))
                if there is not None and there != node.number:
                    arcs.append((node.number, there))
                continue
            new = self._node(segment, offset, node.length, number)
            self.on_ways[new.number] = self.on_ways[node.number]
            made.append(new)
            arcs.append((node.number, new.number))
        if arcs:
            self.copies.append(Copy(number, kind, row, source, before, tuple(arcs)))
        return number, made
