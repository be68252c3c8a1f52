"""Columns of a layered diagram: which item stands in which column, in which order, how high.

Comes in: items with sizes, edges with the item of their label.  Goes out: a `Layout` of boxes and hops, or None
where the columns do not fit.  Next: `tracks.py` routes the hops, `diagram.py` draws.

Layered drawing after Sugiyama, Tagawa and Toda (1981): layers, barycentre sweeps, heights by isotonic regression
(pool adjacent violators).  Everything is ordered by the order given; no set is ever iterated.
"""

from __future__ import annotations

from collections import Counter

import attrs

from patchloom.drawing.scene import Box

__all__ = ["Hop", "Item", "Layout", "arrange", "spread", "too_wide"]

_GAP_NODE, _GAP_LABEL, _LANE = 5.0, 1.6, 2.6
_PORT = 2.8
_SWEEPS, _SETTLES, _STILL = 8, 16, 0.02
_GUTTER, _TRACK = 10.0, 1.3


@attrs.frozen
class Item:
    """A box to place: a node, or the label of an edge."""

    id: str
    wide: float
    high: float
    layer: int | None = None
    group: str = ""


@attrs.frozen(eq=False)
class Hop:
    """One piece of an edge between two neighbouring columns; each is made once, and is equal to itself only."""

    edge: str
    left: str
    right: str
    column: int


@attrs.frozen
class Layout:
    """Where everything stands."""

    boxes: dict[str, Box]
    lanes: tuple[tuple[str, Box], ...]
    hops: tuple[Hop, ...]
    ports: dict[Hop, tuple[float, float]]
    """Height of each hop's left and right end."""
    tracks: dict[Hop, int]
    """Which track of its gutter the hop turns on, from the left."""
    gutters: dict[int, tuple[float, float]]
    """Left and right side of the gutter after each column."""
    track_step: dict[int, float]


class _Columns:
    """Columns with their items in order, and the hops between them."""

    def __init__(self, items: list[Item], edges: list[tuple[str, str, Item]]) -> None:
        self.layer = _layers(items, edges)
        self.item = {item.id: item for item in items}
        self.lane_of: dict[str, str] = {}
        self.column: dict[str, int] = {item.id: 2 * self.layer[item.id] for item in items}
        self.hops: list[Hop] = []
        self.load: dict[int, float] = {}
        for start, end, label in edges:
            self._thread(start, end, label)
        count = max(self.column.values(), default=0) + 1
        self.order: list[list[str]] = [[] for _ in range(count)]
        for key, column in self.column.items():
            self.order[column].append(key)

    def _thread(self, start: str, end: str, label: Item) -> None:
        """Add the label, the lanes and the hops of one edge."""
        self.item[label.id] = label
        if self.layer[start] == self.layer[end]:
            column = 2 * self.layer[start] + 1
            self.column[label.id] = column
            self.load[column] = self.load.get(column, 0.0) + label.high
            self.hops += [Hop(label.id, key, label.id, column - 1) for key in dict.fromkeys((start, end))]
            return
        if self.layer[start] > self.layer[end]:
            start, end = end, start
        first, last = 2 * self.layer[start], 2 * self.layer[end]
        column = min(range(first + 1, last, 2), key=lambda c: (self.load.get(c, 0.0), c))
        self.load[column] = self.load.get(column, 0.0) + label.high
        before = start
        for step in range(first + 1, last + 1):
            key = end if step == last else label.id if step == column else f"lane {label.id} {step}"
            if key.startswith("lane "):
                self.item[key] = Item(key, 0.0, _LANE)
                self.lane_of[key] = label.id
            if key != end:
                self.column[key] = step
            self.hops.append(Hop(label.id, before, key, step - 1))
            before = key

    def neighbours(self) -> tuple[dict[str, list[str]], dict[str, list[str]]]:
        """Return the items joined to each item on its left, and on its right."""
        left: dict[str, list[str]] = {key: [] for key in self.column}
        right: dict[str, list[str]] = {key: [] for key in self.column}
        for hop in self.hops:
            right[hop.left].append(hop.right)
            left[hop.right].append(hop.left)
        return left, right


def _layers(items: list[Item], edges: list[tuple[str, str, Item]]) -> dict[str, int]:
    """Return each node's layer: as given, else one after its first neighbour upstream; layers without nodes closed up."""
    layer = {item.id: item.layer for item in items}
    for _ in items:
        for start, end, _label in edges:
            if layer[end] is None and layer[start] is not None:
                layer[end] = (layer[start] or 0) + 1
        if all(value is not None for value in layer.values()):
            break
        free = next(
            (
                item.id
                for item in items
                if layer[item.id] is None
                and not any(end == item.id and start != end and layer[start] is None for start, end, _ in edges)
            ),
            None,
        )
        free = free or next((item.id for item in items if layer[item.id] is None), None)
        if free is not None and not any(end == free and layer[start] is not None for start, end, _ in edges):
            layer[free] = 0
    used = sorted({value or 0 for value in layer.values()})
    return {key: used.index(value or 0) for key, value in layer.items()}


def arrange(items: list[Item], edges: list[tuple[str, str, Item]], area: Box) -> Layout | None:
    """Return the layout of items and edges inside an area, or None where it does not fit."""
    if not items:
        return Layout({}, (), (), {}, {}, {}, {})
    columns = _Columns(items, edges)
    high = _heights(columns)
    if not _roomy(columns, high, area):
        return None
    _sort(columns)
    top = _tops(columns, high, area)
    ports = _ports(columns, high, top)
    tracks = _tracks(columns.hops, ports)
    return _across(columns, high, top, ports, tracks, area)


def too_wide(items: list[Item], edges: list[tuple[str, str, Item]], wide: float) -> bool:
    """Return whether the columns of nodes and the gutters between them alone surely take more than a width."""
    if not items or not edges:
        return False
    layer = _layers(items, edges)
    most: dict[int, float] = {}
    for item in items:
        most[layer[item.id]] = max(most.get(layer[item.id], 0.0), item.wide)
    return sum(most.values()) + _GUTTER * 2 * max(most) > wide + 1e-6


def _roomy(columns: _Columns, high: dict[str, float], area: Box) -> bool:
    """Return whether columns of any order could stand in an area: no one too high, and together not too wide."""
    wide = sum([max([columns.item[key].wide for key in keys], default=0.0) for keys in columns.order])
    turning = len({hop.column for hop in columns.hops})
    if wide + _GUTTER * (len(columns.order) - 1) > area.wide and turning:
        return False
    return all(sum([high[key] for key in keys]) + sum(_gaps(columns, keys)) <= area.high for keys in columns.order)


def _gaps(columns: _Columns, keys: list[str]) -> list[float]:
    """Return the gap above each item of a column; the first has none."""
    return [
        0.0 if index == 0 else _GAP_LABEL if columns.column[key] % 2 or key in columns.lane_of else _GAP_NODE
        for index, key in enumerate(keys)
    ]


def _heights(columns: _Columns) -> dict[str, float]:
    """Return each item's height, enough for the ends of its edges."""
    left, right = columns.neighbours()
    return {
        key: max(item.high, _PORT * max(len(left[key]), len(right[key])) + 1.0) if key not in columns.lane_of else _LANE
        for key, item in columns.item.items()
        if key in columns.column
    }


def _sort(columns: _Columns) -> None:
    """Order the columns by barycentre sweeps, keeping the order with the fewest crossings."""
    left, right = columns.neighbours()
    best = ([list(keys) for keys in columns.order], _crossings(columns))
    rank = {key: index / len(keys) for keys in columns.order for index, key in enumerate(keys)}
    for sweep in range(_SWEEPS):
        if best[1] == 0:
            break
        backward = sweep % 2 == 1
        chain = range(len(columns.order) - 1, -1, -1) if backward else range(len(columns.order))
        near = right if backward else left
        for column in chain:
            keys = columns.order[column]
            if len(keys) > 1:
                mean = {
                    key: sum([rank[other] for other in near[key]]) / len(near[key]) if near[key] else rank[key] for key in keys
                }
                keys.sort(key=mean.__getitem__)
                rank.update({key: index / len(keys) for index, key in enumerate(keys)})
        count = _crossings(columns)
        if count < best[1]:
            best = ([list(keys) for keys in columns.order], count)
    columns.order = best[0]


def _crossings(columns: _Columns) -> int:
    """Return how many pairs of hops cross, between all neighbouring columns."""
    rank = {key: index for keys in columns.order for index, key in enumerate(keys)}
    count = 0
    by_column: dict[int, list[tuple[int, int]]] = {}
    for hop in columns.hops:
        by_column.setdefault(hop.column, []).append((rank[hop.left], rank[hop.right]))
    for pairs in by_column.values():
        for index, (a, b) in enumerate(pairs):
            count += sum((a - c) * (b - d) < 0 for c, d in pairs[index + 1 :])
    return count


def spread(
    wanted: list[float], sizes: list[float], gaps: list[float], low: float, high: float, pulls: list[float] | None = None
) -> list[float]:
    """Return tops as near to the wanted tops as order, sizes, gaps and the two ends allow (least squares, by `pulls`).

    Isotonic regression by pooling adjacent violators, then clamped; len(wanted) steps, at most squared.
    """
    offsets, run = [], 0.0
    for index, size in enumerate(sizes):
        run += gaps[index]
        offsets.append(run)
        run += size
    pools: list[list[float]] = []  # mean, pull, how many
    for want, offset, pull in zip(wanted, offsets, pulls or [1.0] * len(wanted), strict=True):
        pools.append([want - offset, pull, 1])
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            value, weight, count = pools.pop()
            before = pools[-1]
            before[0] = (before[0] * before[1] + value * weight) / (before[1] + weight)
            before[1] += weight
            before[2] += count
    most = high - run
    flat = [min(max(value, low), max(low, most)) for value, _, count in pools for _ in range(int(count))]
    return [value + offset for value, offset in zip(flat, offsets, strict=True)]


def _tops(columns: _Columns, high: dict[str, float], area: Box) -> dict[str, float]:
    """Return each item's top: first stacked about the middle, then drawn towards the mean of its neighbours."""
    left, right = columns.neighbours()
    top: dict[str, float] = {}
    for keys in columns.order:
        gaps = _gaps(columns, keys)
        y = area.y0 + (area.high - sum(high[key] for key in keys) - sum(gaps)) / 2
        for key, gap in zip(keys, gaps, strict=True):
            y += gap
            top[key] = y
            y += high[key]
    about = [_about(columns, keys, high, left, right) for keys in columns.order]
    middle = {key: value + high[key] / 2 for key, value in top.items()}
    for sweep in range(_SETTLES):
        moved = 0.0
        for keys, near, sizes, gaps, pulls in about if sweep % 2 == 0 else reversed(about):
            wanted = [
                (sum([middle[other] for other in others]) / len(others) if others else middle[key]) - high[key] / 2
                for key, others in zip(keys, near, strict=True)
            ]
            if len(keys) == 1:
                tops = [min(max(wanted[0], area.y0), max(area.y0, area.y1 - sizes[0]))]
            else:
                tops = spread(wanted, sizes, gaps, area.y0, area.y1, pulls)
            for key, value in zip(keys, tops, strict=True):
                moved = max(moved, abs(value - top[key]))
                top[key] = value
                middle[key] = value + high[key] / 2
        if moved < _STILL:
            break
    return top


_About = tuple[list[str], list[list[str]], list[float], list[float], list[float]]


def _about(
    columns: _Columns, keys: list[str], high: dict[str, float], left: dict[str, list[str]], right: dict[str, list[str]]
) -> _About:
    """Return what settling a column asks again and again: keys, neighbours, sizes, gaps, pulls."""
    near = []
    for key in keys:
        others = [*left[key], *right[key]]
        if key in columns.lane_of:  # a line that passes runs on level where it can
            others = [other for other in others if other in columns.lane_of or columns.column[other] % 2] or others
        near.append(others)
    pulls = [4.0 if key in columns.lane_of else 1.0 for key in keys]
    return keys, near, [high[key] for key in keys], _gaps(columns, keys), pulls


def _ports(columns: _Columns, high: dict[str, float], top: dict[str, float]) -> dict[Hop, tuple[float, float]]:
    """Return the height of both ends of every hop: spread over a node's side, straight into a label where that can be."""
    middle = {key: top[key] + high[key] / 2 for key in top}
    ends: dict[tuple[Hop, str], float] = {}
    for side in ("left", "right"):
        there: dict[str, list[Hop]] = {}
        for hop in columns.hops:
            there.setdefault(getattr(hop, side), []).append(hop)
        other = "right" if side == "left" else "left"
        for key, mine in there.items():
            if len(mine) == 1:
                low, most = top[key] + 1.0, top[key] + high[key] - 1.0
                ends[mine[0], side] = min(max(middle[getattr(mine[0], other)], low), max(low, most))
                continue
            mine.sort(key=lambda hop: (middle[getattr(hop, other)], hop.edge))
            room = (top[key] + 1.0, top[key] + high[key] - 1.0)
            wanted = [middle[getattr(hop, other)] for hop in mine]
            gap = min(_PORT, (room[1] - room[0]) / len(mine))
            spots = spread(wanted, [0.0] * len(mine), [0.0] + [gap] * (len(mine) - 1), *room)
            ends.update({(hop, side): spot for hop, spot in zip(mine, spots, strict=True)})
    _straighten(columns, high, top, ends)
    return {hop: (ends[hop, "left"], ends[hop, "right"]) for hop in columns.hops}


def _straighten(columns: _Columns, high: dict[str, float], top: dict[str, float], ends: dict[tuple[Hop, str], float]) -> None:
    """Move the single end at a label's side to the height of the node's end, where that lies on the label."""
    count = {side: Counter([getattr(hop, side) for hop in columns.hops]) for side in ("left", "right")}
    for hop in columns.hops:
        for side, other in (("left", "right"), ("right", "left")):
            key = getattr(hop, side)
            if columns.column[key] % 2 and key not in columns.lane_of and count[side][key] == 1:
                ends[hop, side] = min(max(ends[hop, other], top[key] + 1.0), top[key] + high[key] - 1.0)
        if hop.left in columns.lane_of:
            ends[hop, "left"] = top[hop.left] + _LANE / 2
        if hop.right in columns.lane_of:
            ends[hop, "right"] = top[hop.right] + _LANE / 2


def _tracks(hops: list[Hop], ports: dict[Hop, tuple[float, float]]) -> dict[Hop, int]:
    """Return the track of every hop that turns; hops whose lines would touch get different ones, in an order without
    needless crossings: those that fall, the lowest first, then those that rise, the highest first."""
    tracks: dict[Hop, int] = {}
    for column in sorted({hop.column for hop in hops}):
        bent = [hop for hop in hops if hop.column == column and abs(ports[hop][0] - ports[hop][1]) > 0.05]
        bent.sort(key=lambda hop: (0, -ports[hop][0]) if ports[hop][1] > ports[hop][0] else (1, ports[hop][0]))
        done: list[Hop] = []
        while bent:
            ready = next((hop for hop in bent if not any(_before(other, hop, ports) for other in bent if other != hop)), bent[0])
            bent.remove(ready)
            tracks[ready] = max((tracks[other] + 1 for other in done if _touch(other, ready, ports)), default=0)
            done.append(ready)
    return tracks


def _before(one: Hop, two: Hop, ports: dict[Hop, tuple[float, float]]) -> bool:
    """Return whether `one` must turn left of `two`: its left end runs at the height of the other's right end."""
    return abs(ports[one][0] - ports[two][1]) < 0.8


def _touch(one: Hop, two: Hop, ports: dict[Hop, tuple[float, float]]) -> bool:
    a, b = sorted(ports[one])
    c, d = sorted(ports[two])
    return (a < d + 1.0 and c < b + 1.0) or _before(one, two, ports) or _before(two, one, ports)


def _across(
    columns: _Columns,
    high: dict[str, float],
    top: dict[str, float],
    ports: dict[Hop, tuple[float, float]],
    tracks: dict[Hop, int],
    area: Box,
) -> Layout | None:
    """Return the layout with the columns set side by side, room left over given to the gutters."""
    wide = [max((columns.item[key].wide for key in keys), default=0.0) for keys in columns.order]
    count = [max((track + 1 for hop, track in tracks.items() if hop.column == column), default=0) for column in range(len(wide))]
    need = [_GUTTER + _TRACK * number for number in count[:-1]]
    spare = area.wide - sum(wide) - sum(need)
    if spare < 0:
        return None
    more = min(spare / max(1, len(need)), 8.0)
    x = area.x0 + (spare - more * len(need)) / 2
    boxes: dict[str, Box] = {}
    lanes, gutters, steps = [], {}, {}
    for column, keys in enumerate(columns.order):
        for key in keys:
            mine = columns.item[key].wide or wide[column]
            left = x + (wide[column] - mine) / 2
            box = Box(left, top[key], left + mine, top[key] + high[key])
            if key in columns.lane_of:
                lanes.append((columns.lane_of[key], box))
            boxes[key] = box
        x += wide[column]
        if column < len(need):
            gutters[column] = (x, x + need[column] + more)
            steps[column] = _TRACK
            x += need[column] + more
    return Layout(boxes, tuple(lanes), tuple(columns.hops), ports, tracks, gutters, steps)
