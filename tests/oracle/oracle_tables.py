"""A rig as flat tables of slots: what feeds what, read a third time by code of its own.

Comes in: a rig.  Goes out: `Tables`: every slot with the wire into it or the choices for it, pools, phantom copper.
Next: `oracle_model.py` makes variables of them.

Places are plain tuples (device, bank, number); the alternate input of a channel has a bank name with `~` at its end.
"""

from __future__ import annotations

from collections import defaultdict
from typing import Any

from patchloom.model.base import at_rate
from patchloom.model.rig import Rig

__all__ = ["Node", "Tables"]

Node = tuple[str, str, int]


class Tables:
    """What feeds each slot of a rig."""

    def __init__(self, rig: Rig) -> None:
        self.rig = rig
        self.length: dict[tuple[str, str], int] = {}
        self.kind: dict[tuple[str, str], Any] = {}
        self.section: dict[tuple[str, str], Any] = {}
        self.far: dict[tuple[str, str], tuple[str, str, int, int]] = {}
        """Port to the port joined to it, and channels out and in."""
        self.wire: dict[Node, tuple[Node, frozenset[str] | None]] = {}
        self.choice: list[tuple[list[Node], dict[Node, Node], str, frozenset[str]]] = []
        """Covered slots, slot to slot taken, tap, what a copy comes after."""
        self.picked: set[Node] = set()
        self.lead: dict[Node, list[tuple[Node, bool]]] = defaultdict(list)
        """Copper onward, and whether direct current surely passes."""
        for link in rig.links:
            if link.format:
                self._port_link(link)
        for device in rig.devices:
            self._banks(device)
        for (device, port), (other, there, out, _) in self.far.items():
            for n in range(1, out + 1):
                if n <= self.length.get((device, f"{port}.out"), 0) and n <= self.length.get((other, f"{there}.in"), 0):
                    self.wire[other, f"{there}.in", n] = ((device, f"{port}.out", n), frozenset())
        for link in rig.links:
            if not link.format:
                self._loom(link)
        for device in rig.devices:
            for row in rig.type_of(device).select:
                for text in [row.wired] if row.wired else row.from_:
                    self._row(device, row, text)

    def _port_link(self, link: Any) -> None:
        (d1, p1), (d2, p2) = (text.split(".") for text in link.join)
        self.far[d1, p1] = (d2, p2, self._flow(link, d1, p1, d2, p2, True), self._flow(link, d2, p2, d1, p1, False))
        self.far[d2, p2] = (d1, p1, self.far[d1, p1][3], self.far[d1, p1][2])

    def _flow(self, link: Any, d1: str, p1: str, d2: str, p2: str, forward: bool) -> int:
        out, into = self.rig.type_of(d1).ports[p1], self.rig.type_of(d2).ports[p2]
        fmt = self.rig.formats[link.format]
        here, there = self.rig.domain_of(d1, out.clock), self.rig.domain_of(d2, into.clock)
        words = link.pass_ is None or "audio" in link.pass_
        spoken = link.format in out.speaks and link.format in into.speaks
        if not words or not spoken or (fmt.digital and here != there):
            return 0
        if not out.passes("out", "audio", fmt) or not into.passes("in", "audio", fmt):
            return 0
        both = fmt.each_way(here.hertz)
        if both is None:
            return 0
        if out.end or into.end:
            forward = out.end == "first" or into.end == "second"
        sizes = [both[0] if forward else both[1]]
        for device, port, side in ((d1, out, "out"), (d2, into, "in")):
            own = self._says(device, port, side)
            sizes += [] if own is None else [own]
        return min(sizes)

    def _says(self, device: str, port: Any, side: str) -> int | None:
        size = port.slots
        if isinstance(size, dict) and set(size) & {"in", "out"}:
            size = size.get(side)
        if size is None:
            return None
        return at_rate(size, self.rig.domain_of(device, port.clock).hertz) or 0

    def _banks(self, device: str) -> None:
        kind = self.rig.type_of(device)
        for name, bank in kind.banks.items():
            domain = self.rig.domain_of(device, bank.clock)
            self.kind[device, name], self.section[device, name] = bank, domain
            self.length[device, name] = at_rate(bank.slots, domain.hertz) or 0
        for name, port in kind.ports.items():
            for side in ("in", "out"):
                self.section[device, f"{name}.{side}"] = self.rig.domain_of(device, port.clock)
                joined = self.far.get((device, name))
                own = self._says(device, port, side)
                carried = 0 if joined is None else joined[2] if side == "out" else joined[3]
                self.length[device, f"{name}.{side}"] = 0 if joined is None else carried if own is None else own

    def _loom(self, link: Any) -> None:
        runs = [self.span(text) for text in link.join]
        if getattr(self.kind[runs[0][0][:2]], "socket", None) != "out":
            runs.reverse()
        words = {cable.dc or "unknown" for cable in link.cables}
        for one, other in zip(*runs, strict=False):
            self.wire[other] = (one, frozenset())
            self.lead[one].append((other, "yes" in words))

    def span(self, text: str) -> list[Node]:
        """Return the slots of `DEVICE.bank` or `DEVICE.bank[a-b]` that are there."""
        head, _, run = text.partition("[")
        device, _, bank = head.partition(".")
        size = self.length.get((device, bank), 0)
        low, _, high = run.rstrip("]").partition("-")
        return [(device, bank, n) for n in range(int(low or 1), min(int(high or low or size), size) + 1)]

    def open_end(self, node: Node) -> bool:
        """Return whether a run may start at a slot: a port's slot only where its link carries it."""
        port, dot, side = node[1].partition(".")
        if not dot:
            return True
        return node[2] <= self.far[node[0], port][2 if side == "out" else 3]

    def _row(self, device: str, row: Any, text: str) -> None:
        into, source = self.span(f"{device}.{row.into}"), self.span(f"{device}.{text}")
        if not into or not source:
            return
        if not row.converts and self.section[into[0][:2]] != self.section[source[0][:2]]:
            return
        bank = self.kind.get(source[0][:2])
        taps: dict[str, frozenset[str]] = {"": frozenset()}
        if bank is not None and bank.does != "carry":
            named = {name: frozenset(steps) for name, steps in bank.taps.items() if not row.taps or name in row.taps}
            taps = named or ({} if bank.does == "process" else taps)
        if row.wired:
            order = sorted(taps.values(), key=len, reverse=bank is not None and bank.does == "process")
            for one, other in zip(source, into, strict=False):
                self.wire[other] = (one, order[0] if order else None)
                if not self.rig.type_of(device).digital:
                    self.lead[one].append((other, row.dc == "yes"))
            return
        if row.by == 1 and not row.alternate:
            self.picked.update(into)
        for a in range(0, len(into), row.by):
            for b in range(0, len(source), row.by):
                run, taken = into[a : a + row.by], source[b : b + row.by]
                if not self.open_end(run[0]) or not self.open_end(taken[0]):
                    continue
                if row.alternate:
                    run = [(d, f"{name}~", n) for d, name, n in run]
                for tap, after in taps.items():
                    self.choice.append((run, dict(zip(run, taken, strict=False)), tap, after))

    def single(self, node: Node) -> bool:
        """Return whether somebody chooses for this slot alone, here or where its wire begins."""
        for _ in range(99):
            if node not in self.wire:
                break
            node = self.wire[node][0]
        return node in self.picked

    def sums(self, node: Node) -> bool:
        """Return whether a slot mixes."""
        bank = self.kind.get(node[:2])
        return bank is not None and bank.does == "sum"

    def places(self, texts: Any, socket: str) -> list[Node]:
        """Return the slots that addresses name; a whole device: its general sockets."""
        found: dict[Node, None] = {}
        for text in texts:
            if "." in text:
                found.update(dict.fromkeys(self.span(text)))
            else:
                for name, bank in self.rig.type_of(text).banks.items():
                    if bank.socket == socket and not bank.only_for:
                        found.update(dict.fromkeys(self.span(f"{text}.{name}")))
        return list(found)

    def switch(self, node: Node) -> Node | None:
        """Return the first socket of the phantom group a socket is in; None where it has no switch."""
        bank = self.kind.get(node[:2])
        preamp = self.rig.type_of(node[0]).preamps.get(bank.preamp) if bank is not None and bank.preamp else None
        if preamp is None or not preamp.phantom_by:
            return None
        return (node[0], node[1], node[2] - (node[2] - 1) % preamp.phantom_by)

    def powers(self, node: Node) -> list[Node]:
        """Return the phantom switches whose current surely comes to a socket."""
        bank = self.kind.get(node[:2])
        if bank is not None and bank.preamp:
            group = self.switch(node)
            return [group] if group is not None else []
        found: list[Node] = []
        for there, sure in self.lead.get(node, ()):
            found += [group for group in self.powers(there) if sure and group not in found]
        return found
