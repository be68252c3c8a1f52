"""The whole question of placing and routing as one programme in whole numbers.

Comes in: fabric, plan, what every try begins with.  Goes out: `Draft`: the `Programme` and what its columns mean.
Next: `complete.py` has it solved, proves, or reads a blueprint out of it.

For each crowd: how many members enter by each cell of sockets (a *cell*: slots of a node alike in phantom group and in who
may use them).  For each crowd and target: a flow of all members from where they enter to where they have to arrive; the flow
takes a block only where the block is brought, and a slot of a node chosen slot by slot only where the crowd holds one.
Crowds of many lose which member is where once slots are chosen on the way: then the programme asks less than the show
does, so *none* is a proof and an answer may not be one.  With crowds of one, it asks all.  Where only whole blocks lead from
where a crowd may enter to a target, no flow is needed: it enters where one is brought that far.
"""

from __future__ import annotations

from patchloom.solve.whole.crowd import ONE, Place, Target, asked_exactly, stands_alone
from patchloom.solve.whole.flows import Cell, Flows, pairs_of, times

__all__ = ["Cell", "Draft"]


class Draft(Flows):
    """The whole programme, and what its columns mean."""

    def _make(self) -> None:
        super()._make()
        self._rows_of_cells()
        self._rows_of_slots()
        self._rows_of_blocks()
        self._rows_of_switches()
        self._rows_of_boxes()
        self._rows_of_pools()
        self._rows_of_leaks()

    def _rows_of_cells(self) -> None:
        users: dict[int, list[tuple[int, float]]] = {}
        pairs: dict[int, list[tuple[int, float]]] = {}
        for (number, cell), column in self.enters.items():
            users.setdefault(cell, []).append((column, float(self.crowds[number].size)))
            if self.crowds[number].size > 1:
                pairs.setdefault(cell, []).append((column, 1.0))
        for cell, terms in users.items():
            self.programme.row(terms, high=float(len(self.cells[cell].places)))
        for cell, terms in pairs.items():
            if len(terms) > 1:
                self.programme.row(terms, high=float(pairs_of(self.fabric, self.cells[cell])))

    def _covers(self) -> dict[int, list[int]]:
        """Return, for each node told apart, the copies that would take it."""
        found: dict[int, list[int]] = {}
        inside: dict[int, list[tuple[int, int]]] = {}
        for (segment, offset), node in self.lattice.at.items():
            inside.setdefault(segment, []).append((self.fabric.seg_first[segment] + offset, node))
        for copy in self.lattice.copies:
            kind = self.grain.kinds[copy.kind]
            run = self.fabric.runs[kind.runs[0]]
            for segment in run.segments if kind.apart else ():
                for number, node in inside.get(segment, ()):
                    if run.first <= number < run.first + run.length:
                        found.setdefault(node, []).append(copy.number)
        return found

    def _rows_of_slots(self) -> None:
        """Slots of a node: entered, chosen slot by slot, or taken whole by a block."""
        covers = self._covers()
        into: dict[int, dict[int, list[int]]] = {}
        for (number, _, there), column in self.holds.items():
            into.setdefault(there, {}).setdefault(number, []).append(column)
        for node in self.lattice.nodes:
            copies = covers.get(node.number, [])
            carried = into.get(node.number, {})
            if node.copy >= 0 or not node.images or not (carried or copies):
                continue
            segment, offset = node.images[0]
            whole = stands_alone(self.fabric, segment) and node.length == 1
            room = sum(1 for step in range(node.length) if whole or (segment, offset + step) not in self.reserved)
            terms = [(column, float(self.crowds[number].size)) for number, column in self._by_node.get(node.number, ())]
            wanted = False
            for number, columns in carried.items():
                crowd = self.crowds[number]
                exact = sum(1 for target in crowd.targets if target.how == ONE and self._is_at(target, node.images[0]))
                exact = 0 if whole else exact
                wanted = wanted or exact > 0
                extra = self.extra[number, node.number] = self.programme.column(float(min(room, crowd.count * times(crowd))))
                row = [(column, 1.0) for column in columns]
                self.programme.row([*row, (extra, -1.0)], high=float(exact * crowd.count))
                terms.append((extra, float(crowd.size)))
            if wanted:
                for copy in copies:
                    self.programme.row([(self.brought[copy], 1.0)], high=0.0)
            taken = [(self.brought[copy], float(room)) for copy in copies]
            self.programme.row([*terms, *taken], high=float(room))
            if len(copies) > 1:
                self.programme.row([(self.brought[copy], 1.0) for copy in copies], high=1.0)

    def _is_at(self, target: Target, image: Place) -> bool:
        segment, offset = target.where[0]
        return segment == image[0] and offset in (-1, image[1])

    def _rows_of_blocks(self) -> None:
        programme, lattice = self.programme, self.lattice
        by_kind: dict[int, list[int]] = {}
        for copy in lattice.copies:
            by_kind.setdefault(copy.kind, []).append(self.brought[copy.number])
            if copy.before >= 0:
                programme.row([(self.brought[copy.number], 1.0), (self.brought[copy.before], -1.0)], high=0.0)
        for kind, columns in by_kind.items():
            terms = [(column, 1.0) for column in columns]
            if self.more is not None and not self.grain.kinds[kind].apart:
                self.more[kind] = programme.column(float(len(columns)), price=1.0)
                terms.append((self.more[kind], -1.0))
            programme.row(terms, high=float(len(self.grain.kinds[kind].runs)))
        for (here, brings), users in self._lead.items():
            there = next(to for frm, to in lattice.copies[brings].arcs if frm == here)
            length = float(lattice.nodes[here].length)
            takers: dict[int, dict[int, tuple[int, float]]] = {}
            for number, which in users:
                crowd = self.crowds[number]
                column = self.flows[number, which, (here, there, brings)]
                takers.setdefault(crowd.targets[which].bank, {}).setdefault(number, (column, float(crowd.size)))
            for shares in takers.values():
                if len(shares) > 1:
                    programme.row([*shares.values(), (self.brought[brings], -length)], high=0.0)
        for (node, ends), entered in self._shares.items():
            if len(entered) > 1:
                terms = [term for enters in entered.values() for term in enters]
                length = float(lattice.nodes[node].length)
                programme.row([*terms, *((self.brought[end], -length) for end in ends)], high=0.0)

    def _rows_of_switches(self) -> None:
        """Who needs phantom and who must never have it do not share a switch."""
        sides: dict[Place, tuple[list[int], list[int]]] = {}
        for (number, cell), column in self.enters.items():
            group, phantom = self.cells[cell].group, self.crowds[number].phantom
            if group is not None and phantom:
                sides.setdefault(group, ([], []))[0 if phantom == "need" else 1].append(column)
        for group, (need, never) in sides.items():
            if not (need and never):
                continue
            by = float(self.plan.phantom_by(self.fabric.segment_of[group[0]][1]) or 1)
            on = self.programme.column(1.0)
            for column in need:
                self.programme.row([(column, 1.0), (on, -min(by, self.programme.high[column]))], high=0.0)
            for column in never:
                most = min(by, self.programme.high[column])
                self.programme.row([(column, 1.0), (on, most)], high=most)
            self.programme.row([*((column, 1.0) for column in need), (on, -by)], high=0.0)
            self.programme.row([*((column, 1.0) for column in never), (on, by)], high=by)

    def _rows_of_boxes(self) -> None:
        """All of a group that has to stand on one box do so."""
        boxes: dict[str, dict[str, int]] = {}
        for (number, cell), column in self.enters.items():
            crowd = self.crowds[number]
            if crowd.group:
                device = self.fabric.banks[self.fabric.seg_bank[self.cells[cell].places[0][0]]][0]
                box = boxes.setdefault(crowd.group, {})
                if device not in box:
                    box[device] = self.programme.column(1.0)
                most = self.programme.high[column]
                self.programme.row([(column, 1.0), (box[device], -most)], high=0.0)
        for box in boxes.values():
            self.programme.row([(column, 1.0) for column in box.values()], high=1.0)

    def _rows_of_pools(self) -> None:
        fabric = self.fabric
        chosen = {at for at in asked_exactly(self.plan) if not stands_alone(fabric, at[0]) and fabric.singles_into[at[0]]}
        for banks, most, count in fabric.pools:
            terms: list[tuple[int, float]] = []
            if count == "blocks":
                for copy in self.lattice.copies:
                    if fabric.runs[self.grain.kinds[copy.kind].runs[0]].bank in banks:
                        terms.append((self.brought[copy.number], 1.0))
                self.programme.row(terms, high=float(most))
                continue
            for node, users in self._by_node.items():
                often = self._often(node, banks)
                terms.extend((column, float(often * self.crowds[number].size)) for number, column in users if often)
            for (number, node), column in self.extra.items():
                often = self._often(node, banks)
                if often:
                    terms.append((column, float(often * self.crowds[number].size)))
            taken = sum(1 for segment, _ in chosen if fabric.seg_bank[segment] in banks)
            self.programme.row(terms or [(self.programme.column(0.0), 1.0)], high=float(most - taken))

    def _often(self, node: int, banks: frozenset[int]) -> int:
        """Return how many slots of a pool one slot of a node is: its own, and those the show fixes to take it."""
        segment = self.lattice.nodes[node].images[0][0]
        return sum(bank in banks for bank in (self.fabric.seg_bank[segment], *self.fabric.pooled.get(segment, ())))

    def _rows_of_leaks(self) -> None:
        """Who may not be somewhere at all is not dragged there by a block either."""
        for number, crowd in enumerate(self.crowds):
            if not crowd.strict:
                continue
            banned = set(crowd.strict)
            for copy in self.lattice.copies:
                for here, there in copy.arcs:
                    if self._passes(there, banned):
                        continue
                    root = self.root_of(here)
                    most = float(crowd.count)
                    terms = [(column, 1.0) for who, column in self._by_node.get(root, ()) if who == number]
                    terms += [(column, 1.0) for (who, _, to), column in self.holds.items() if who == number and to == root]
                    for column, _ in terms:
                        self.programme.row([(column, 1.0), (self.brought[copy.number], most)], high=most)
