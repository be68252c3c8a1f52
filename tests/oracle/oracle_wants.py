"""What a show asks, as rows for the model: a leg, the slots that will do, and for whom.

Comes in: `Tables`, a show.  Goes out: `Row`s, where legs may enter.  Next: `oracle_model.py`.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from oracle_tables import Node, Tables

from patchloom.model.show import Show

__all__ = ["Row", "entries", "rows"]

CHAIN = ["trim", "polarity", "filter", "delay", "insert", "processing", "mute", "fader"]


class Row(NamedTuple):
    """One leg wanted."""

    leg: str
    feed: bool
    slots: list[Node]
    owner: tuple[str, int]
    priority: int | None
    tap: str
    limit: str
    chosen: bool
    """Whether a feed's destination leaves a choice, so that no slot of it may serve twice."""

    def accepts(self, after: frozenset[str]) -> bool:
        """Return whether a copy taken after these may serve."""
        if not after:
            return True
        for bar, default in ((self.tap, self.feed), (self.limit, True)):
            if not bar:
                if not default:
                    return False
            elif any(word != bar and (bar not in CHAIN or word not in CHAIN[: CHAIN.index(bar)]) for word in after):
                return False
        return True


def entries(tables: Tables, show: Show) -> dict[str, list[Node]]:
    """Return the slots each leg may enter by."""
    found: dict[str, list[Node]] = {}
    for source in show.sources:
        for leg in source.leg_ids():
            texts: list[str] = []
            for name in (leg, source.id):
                texts = texts or [text for plug in show.plug if plug.source == name for text in plug.into]
            nodes = tables.places(texts or list(tables.rig.devices), "in")
            found[leg] = [node for node in nodes if tables.kind[node[:2]].socket == "in" and node not in tables.wire]
    for feed in show.feeds:
        desk = show.desk_of(feed.mixed_at)
        texts = [feed.from_] if feed.from_ else [f"{desk}.{bank}" for bank in tables.rig.type_of(desk).banks]
        nodes = [node for node in tables.places(texts, "") if tables.sums(node) and node not in tables.wire]
        for leg in feed.leg_ids():
            found[leg] = nodes
    return found


def rows(tables: Tables, show: Show) -> list[Row] | None:
    """Return every want as rows; None where a list does not fit into what it lands in."""
    found: list[Row] = []
    for item in show.lists:
        more = _list(tables, show, item)
        if more is None:
            return None
        found.extend(more)
    for feed in show.feeds:
        for entry, destination in enumerate(feed.to, 1):
            nodes = tables.places(destination.at, "out")
            legs = feed.leg_ids()
            chosen = len(nodes) != len(legs)
            for number, leg in enumerate(legs):
                mine = nodes if chosen else [nodes[number]]
                found.append(Row(leg, True, mine, (feed.id, entry), destination.priority, feed.tap, feed.tap, chosen))
    return found


def _list(tables: Tables, show: Show, item: Any) -> list[Row] | None:
    bank = item.at.partition("[")[0]
    nodes = tables.span(item.at)
    first, last = (nodes[0][2], nodes[-1][2]) if nodes else (1, 0)
    kind = tables.kind.get((nodes[0][0], nodes[0][1])) if nodes else None
    insist = kind is not None and kind.pairs
    by_odd = insist or item.pairs == "odd" or (item.pairs == "" and kind is not None and kind.does == "process")
    signals = show.signals()
    legs: list[tuple[str, ...]] = []
    for want in item.wants:
        if want is None:
            legs.append(())
        elif want.leg:
            legs.append((f"{want.signal}.{want.leg}",))
        else:
            every = signals[want.signal].leg_ids()
            legs.append(every[-1:] if want.fold == "right" else every[:1] if want.fold else every)
    laid = _lay(item.wants, legs, first, last, by_odd)
    if by_odd and not insist and any(slots and slots[-1] > last for slots in laid):
        laid = _lay(item.wants, legs, first, last, False)
    if any(slots and slots[-1] > last for want, slots in zip(item.wants, laid, strict=True) if want and want.priority is None):
        return None
    device, name = bank.split(".", 1)
    singly = all(tables.single((device, name, n)) for slots in laid for n in slots if n <= last)
    found = []
    for entry, (want, mine, slots) in enumerate(zip(item.wants, legs, laid, strict=True), 1):
        if want is None:
            continue
        window = set(tables.span(want.within)) if want.within else set(nodes)
        others = signals[want.alternate].leg_ids()[: len(mine)] if want.alternate else ()
        for leg, n in zip(mine, slots, strict=True):
            node = (device, name, n)
            if singly or want.channel is not None:
                here = [node] if node in window and n <= last else []
            else:
                here = [other for other in nodes if other in window]
            found.append(_row(show, item, want, entry, leg, here))
        for leg, n in zip(others, slots, strict=False):
            found.append(_row(show, item, want, entry, leg, [(device, f"{name}~", n)] if n <= last else []))
    return found


def _row(show: Show, item: Any, want: Any, entry: int, leg: str, slots: list[Node]) -> Row:
    feed = next((row for row in show.feeds if row.id == leg.partition(".")[0]), None)
    limit = feed.tap if feed is not None else ""
    return Row(leg, feed is not None, slots, (item.id, entry), want.priority, want.tap, limit, False)


def _lay(wants: Any, legs: list[tuple[str, ...]], first: int, last: int, by_odd: bool) -> list[list[int]]:
    """Return the slots of each entry, in order; of an empty place, none."""
    busy: set[int] = set()
    for want, mine in zip(wants, legs, strict=True):
        if want is not None and want.channel is not None:
            busy |= set(range(want.channel, want.channel + len(mine)))
    laid: list[list[int]] = []
    cursor = first
    for want, mine in zip(wants, legs, strict=True):
        if want is None:
            while cursor in busy:
                cursor += 1
            cursor += 1
            laid.append([])
        elif want.channel is not None:
            laid.append([want.channel + n for n in range(len(mine))])
            cursor = max(cursor, want.channel + len(mine))
        else:
            at = cursor
            if want.within:
                low, _, high = want.within.partition("[")[2].rstrip("]").partition("-")
                start, end = int(low or first), int(high or low or last)
                at = max(cursor, start)
                if at + len(mine) - 1 > end:
                    at = start
            while busy & {at + n for n in range(len(mine))} or (by_odd and len(mine) == 2 and at % 2 == 0):
                at += 1
            laid.append([at + n for n in range(len(mine))])
            busy |= set(laid[-1])
            if at >= cursor:
                cursor = at + len(mine)
    return laid
