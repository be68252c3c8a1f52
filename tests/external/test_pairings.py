"""Pairings: plugs against matchings and assignments of scipy and networkx."""

from __future__ import annotations

import random
from itertools import pairwise
from typing import Any

import networkx
import numpy
import pytest
from scipy.optimize import linear_sum_assignment
from scipy.sparse import csr_array
from scipy.sparse.csgraph import maximum_bipartite_matching

import patchloom
from patchloom.model.rig import Rig
from patchloom.model.show import Show
from patchloom.solve.counting.graph import smallest_cut

from .networks import rig_of, show_of

Allowed = list[list[int]]
"""For each source the sockets it may plug into, from 1."""


def documents(allowed: Allowed, sockets: int, **more: Any) -> tuple[Rig, Show]:
    """Return one box and one recorder of any order, and sources that may plug only where allowed."""
    rig = rig_of({("BOX", "REC"): max(sockets, len(allowed))}, {"BOX": sockets}, {"REC": len(allowed)})
    names = [f"s{number}" for number in range(1, len(allowed) + 1)]
    show = {
        "format": "show/1",
        "sources": [{"ids": names}],
        "plug": [
            {"sources": [name], "into": [f"BOX.mic[{number}]" for number in numbers]}
            for name, numbers in zip(names, allowed, strict=True)
        ],
        "lists": [{"position": "rec", "at": "REC.track", "wants": names}],
        **more,
    }
    return rig, patchloom.read_show(show, rig)


def matched(allowed: Allowed, sockets: int) -> int:
    """Return the size of a greatest matching."""
    table = numpy.zeros((len(allowed), sockets), dtype=int)
    for row, numbers in enumerate(allowed):
        table[row, [number - 1 for number in numbers]] = 1
    return int((maximum_bipartite_matching(csr_array(table), perm_type="column") >= 0).sum())


def test_published_matching() -> None:
    """Three sources on four sockets, all find one.  Source: example of scipy's maximum flow documentation (size 3)."""
    allowed = [[2, 4], [1, 3], [2, 3]]
    assert matched(allowed, 4) == 3
    rig, show = documents(allowed, 4)
    plugs = patchloom.solve(rig, show).settings[0].plugs
    assert all(plugs[f"s{row}"].number in numbers for row, numbers in enumerate(allowed, 1))


@pytest.mark.parametrize("seed", range(12))
def test_plugs_exist_exactly_where_a_matching_does(seed: int) -> None:
    """Random choices of sockets: solved where all can be matched, else short by what the matching leaves out.

    Source: Hall's theorem (from memory); matchings by scipy.
    """
    draw = random.Random(seed)
    sockets = 6
    allowed = [sorted(draw.sample(range(1, sockets + 1), draw.randint(1, 2))) for _ in range(draw.randint(4, 6))]
    size = matched(allowed, sockets)
    rig, show = documents(allowed, sockets)
    if size == len(allowed):
        assert patchloom.verify(rig, show, patchloom.solve(rig, show)) == ()
        return
    with pytest.raises(patchloom.Impossible) as proof:
        patchloom.solve(rig, show, explain=False)
    assert [fact.short for fact in proof.value.facts] == [len(allowed) - size]


@pytest.mark.parametrize("seed", range(4))
def test_the_same_number_of_choices_each_way_is_always_enough(seed: int) -> None:
    """Every source may take two sockets and every socket two sources: all find one.  Source: Hall's theorem, from memory."""
    order = list(range(1, 8))
    random.Random(seed).shuffle(order)
    allowed = [[order[row], order[(row + 1) % 7]] for row in range(7)]
    rig, show = documents(allowed, 7)
    assert len(set(patchloom.solve(rig, show).settings[0].plugs.values())) == 7


@pytest.mark.parametrize("seed", range(6))
def test_fewest_plugs_move(seed: int) -> None:
    """When choices change, as many plugs move as the cheapest assignment says (staying costs 0, moving 1), none more.

    Source: assignments by scipy.
    """
    draw = random.Random(seed)
    sockets, count = 7, 5
    rig, show = documents([list(range(1, sockets + 1))] * count, sockets)
    before = patchloom.solve(rig, show)
    was = [before.settings[0].plugs[f"s{row}"].number for row in range(1, count + 1)]
    while True:
        allowed = [sorted(draw.sample(range(1, sockets + 1), 3)) for _ in range(count)]
        if matched(allowed, sockets) == count:
            break
    cost = numpy.full((count, sockets), 100)
    for row, numbers in enumerate(allowed):
        for number in numbers:
            cost[row, number - 1] = int(number != was[row])
    rows, columns = linear_sum_assignment(cost)
    rig, show = documents(allowed, sockets)
    after = patchloom.solve(rig, show, previous=before)
    moved = sum(after.settings[0].plugs[f"s{row}"].number != was[row - 1] for row in range(1, count + 1))
    assert moved == cost[rows, columns].sum()


COST = [[4, 1, 3], [2, 0, 5], [3, 2, 2]]


def test_published_assignment_by_length() -> None:
    """Three sources, three one-channel ways of unequal length: the links passed are the cheapest assignment's.

    Source: example of scipy's linear assignment documentation (cost 5, columns 1, 0, 2).
    """
    rows, columns = linear_sum_assignment(numpy.array(COST))
    assert list(columns) == [1, 0, 2]
    assert numpy.array(COST)[rows, columns].sum() == 5
    edges = {(f"C{column}", "REC"): 1 for column in range(3)}
    plug = []
    for row in range(3):
        starts = []
        for column in range(3):
            chain = [f"B{row}{column}x{step}" for step in range(COST[row][column] + 1)] + [f"C{column}"]
            edges.update(dict.fromkeys(pairwise(chain), 1))
            starts.append(f"{chain[0]}.mic")
        plug.append({"sources": [f"s{row}"], "into": starts})
    firsts = {place.removesuffix(".mic"): 1 for row in plug for place in row["into"]}
    rig = rig_of(edges, firsts, {"REC": 3}, one_way=True)
    show = patchloom.read_show(
        {
            "format": "show/1",
            "sources": [{"ids": ["s0", "s1", "s2"]}],
            "plug": plug,
            "lists": [{"position": "rec", "at": "REC.track", "wants": ["s0", "s1", "s2"]}],
        },
        rig,
    )
    patch = patchloom.solve(rig, show)
    (wish,) = [row for row in patch.wishes if row.wish == "links passed"]
    assert wish.value == 5 + 2 * 3
    taken = [patch.settings[0].plugs[f"s{row}"].device for row in range(3)]
    assert taken == ["B01x0", "B10x0", "B22x0"]


CLRS = {("s", "a"): 16, ("s", "c"): 13, ("a", "c"): 10, ("a", "b"): 12, ("c", "a"): 4, ("c", "d"): 14, ("b", "c"): 9,
        ("b", "t"): 20, ("d", "b"): 7, ("d", "t"): 4}  # fmt: skip


def test_published_flow() -> None:
    """23 signals pass, 24 do not.  Source: textbook on algorithms 26.1, by scipy's maximum flow documentation."""
    for asked in (23, 24):
        rig = rig_of(CLRS, {"s": asked}, {"t": asked}, one_way=True)
        show = show_of(rig, [(f"x{number}", "s", ["t"]) for number in range(asked)])
        if asked == 23:
            assert patchloom.verify(rig, show, patchloom.solve(rig, show)) == ()
        else:
            with pytest.raises(patchloom.Impossible) as proof:
                patchloom.solve(rig, show, explain=False)
            assert [(fact.there, fact.short) for fact in proof.value.facts] == [(23, 1)]


SMALL = {("x", "a"): 3, ("x", "b"): 1, ("a", "c"): 3, ("b", "c"): 5, ("b", "d"): 4, ("d", "e"): 2, ("c", "y"): 2, ("e", "y"): 3}


def test_published_flow_of_three() -> None:
    """3 pass from x to y, and not 4.  Source: example of networkx' maximum flow documentation (3.0)."""
    for asked in (3, 4):
        rig = rig_of(SMALL, {"x": asked}, {"y": asked}, one_way=True)
        show = show_of(rig, [(f"s{number}", "x", ["y"]) for number in range(asked)])
        if asked == 3:
            assert patchloom.verify(rig, show, patchloom.solve(rig, show)) == ()
        else:
            with pytest.raises(patchloom.Impossible, match="1 short"):
                patchloom.solve(rig, show, explain=False)


@pytest.mark.parametrize("seed", range(8))
def test_smallest_cut_is_the_flow(seed: int) -> None:
    """The cut the solver proves with weighs what another program's flow does.  Source: max-flow min-cut; flows by networkx."""
    draw = random.Random(seed)
    nodes = list(range(8))
    capacity = {node: draw.randint(1, 4) for node in nodes}
    ways = [(one, other) for one in nodes for other in nodes if one != other and draw.random() < 0.3]
    value, cut = smallest_cut(capacity, ways, {(0, 1): 9}, [6, 7])
    graph = networkx.DiGraph()
    for node, most in capacity.items():
        graph.add_edge(f"{node}in", f"{node}out", capacity=most)
    graph.add_edges_from((f"{one}out", f"{other}in") for one, other in ways)
    graph.add_edge("source", "two", capacity=9)
    graph.add_edges_from([("two", "0in"), ("two", "1in"), ("6out", "sink"), ("7out", "sink")])
    expected = networkx.maximum_flow_value(graph, "source", "sink")
    assert value == expected
    assert sum(capacity[node] for node in cut) >= value
    if value < 9:
        assert sum(capacity[node] for node in cut) == value


@pytest.mark.parametrize("seed", range(5))
def test_links_passed_lie_between_bound_and_cheapest_flow(seed: int) -> None:
    """All ways full: what is passed is no less than the cheapest flow, the bound no more, and equal where proven.

    Source: cheapest flows by networkx.
    """
    draw = random.Random(seed)
    nodes = [f"n{number}" for number in range(7)]
    edges = {(one, other): draw.randint(1, 2) for one in nodes for other in nodes if one < other and draw.random() < 0.55}
    graph = networkx.DiGraph()
    for (one, other), size in edges.items():
        graph.add_edge(one, other, capacity=size, weight=1)
        graph.add_edge(other, one, capacity=size, weight=1)
    if "n0" not in graph or "n6" not in graph or not networkx.has_path(graph, "n0", "n6"):
        pytest.fail("choose another seed: the two ends are not joined")
    flow = networkx.max_flow_min_cost(graph, "n0", "n6")
    cheapest = networkx.cost_of_flow(graph, flow)
    count = sum(flow["n0"].values()) - sum(row.get("n0", 0) for row in flow.values())
    rig = rig_of(edges, {"n0": count}, {"n6": count})
    patch = patchloom.solve(rig, show_of(rig, [(f"s{number}", "n0", ["n6"]) for number in range(count)]))
    (wish,) = [row for row in patch.wishes if row.wish == "links passed"]
    assert wish.bound <= cheapest <= wish.value
    assert wish.value == cheapest or not wish.proven
