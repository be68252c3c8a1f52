"""Three stages of boxes and bundles of lines: the solver against the theorems of Clos, Slepian and Duguid, and Koenig."""

from __future__ import annotations

import random

import pytest

import patchloom
from patchloom.library.switching import always_free, bundles_needed, crosspoints, free_by_moving
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

from .networks import rig_of, show_of

Sent = list[tuple[str, str, list[str]]]


def stages(lines: int, middles: int, outer: int) -> Rig:
    """Return three stages: outer boxes A of so many inputs, middle boxes M, outer boxes B; one line from each to each."""
    edges = {}
    for box in range(1, outer + 1):
        for middle in range(1, middles + 1):
            edges[f"A{box}", f"M{middle}"] = edges[f"M{middle}", f"B{box}"] = 1
    boxes = range(1, outer + 1)
    return rig_of(edges, {f"A{box}": lines for box in boxes}, {f"B{box}": lines for box in boxes}, one_way=True)


def solved(rig: Rig, show: Show, previous: Patch | None = None) -> Patch:
    """Return a patch the judge has nothing against."""
    patch = patchloom.solve(rig, show, previous=previous)
    assert patchloom.verify(rig, show, patch) == ()
    return patch


def middles(patch: Patch) -> dict[str, str]:
    """Return the middle box each signal passes."""
    return {route.leg: next(hop.device for hop in route.hops if hop.device[0] == "M") for route in patch.settings[0].routes}


def shuffled(lines: int, outer: int, seed: int) -> Sent:
    """Return a pairing of every input with an output, at random."""
    starts = [f"A{box}" for box in range(1, outer + 1) for _ in range(lines)]
    ends = [f"B{box}" for box in range(1, outer + 1) for _ in range(lines)]
    random.Random(seed).shuffle(ends)
    return [(f"s{number}", start, [end]) for number, (start, end) in enumerate(zip(starts, ends, strict=True))]


@pytest.mark.parametrize(("lines", "middle", "outer"), [(2, 2, 2), (3, 3, 4), (4, 4, 3)])
@pytest.mark.parametrize("seed", [1, 2])
def test_every_pairing_is_routed_over_as_many_middles_as_lines(lines: int, middle: int, outer: int, seed: int) -> None:
    """m = n middle boxes carry every pairing.  Source: Slepian-Duguid (textbook on interconnection networks, (3,3,4))."""
    assert free_by_moving(lines, middle)
    rig = stages(lines, middle, outer)
    solved(rig, show_of(rig, shuffled(lines, outer, seed)))


@pytest.mark.parametrize(("lines", "outer"), [(2, 2), (3, 2)])
def test_one_middle_box_less_is_impossible(lines: int, outer: int) -> None:
    """With m = n - 1 a full pairing is impossible, and short by as many as the middle box would carry.  Source: same."""
    assert not free_by_moving(lines, lines - 1)
    rig = stages(lines, lines - 1, outer)
    with pytest.raises(patchloom.Impossible) as proof:
        patchloom.solve(rig, show_of(rig, shuffled(lines, outer, 1)), explain=False)
    assert {fact.short for fact in proof.value.facts} <= {1, outer}


def joined_before(middle: int) -> tuple[Rig, Patch]:
    """Return two stages in the state that blocks: one pair over M1, one over M2, so that the last pair finds none of both."""
    rig = stages(2, middle, 2)
    forced = {
        "format": "show/1",
        "sources": [{"ids": ["old1"]}, {"ids": ["old2"]}],
        "plug": [{"sources": ["old1"], "into": "A1.mic[1]"}, {"sources": ["old2"], "into": "A2.mic[1]"}],
        "lists": [
            {"position": "rec-B1", "at": "B1.track", "wants": ["old1"]},
            {"position": "rec-B2", "at": "B2.track", "wants": ["old2"]},
        ],
        "routing": [
            {"id": "one", "rule": "require", "signals": ["old1"], "at": ["M1"]},
            {"id": "two", "rule": "require", "signals": ["old2"], "at": ["M2"]},
        ],
    }
    patch = solved(rig, patchloom.read_show(forced, rig))
    assert middles(patch) == {"old1": "M1", "old2": "M2"}
    return rig, patch


MORE: Sent = [("old1", "A1", ["B1"]), ("old2", "A2", ["B2"]), ("new", "A1", ["B2"])]


@pytest.mark.parametrize(("middle", "moved"), [(2, 1), (3, 0)])
def test_a_new_pair_moves_others_only_below_the_strict_number(middle: int, moved: int) -> None:
    """n = 2: with 3 middle boxes nothing moves, with 2 one line must.  Source: C. Clos 1953; blocking state by hand."""
    assert always_free(2, middle, 2) is (moved == 0)
    rig, before = joined_before(middle)
    after = solved(rig, show_of(rig, MORE), before)
    old, new = middles(before), middles(after)
    assert sum(old[leg] != new[leg] for leg in old) == moved


@pytest.mark.parametrize(
    ("lines", "middle", "outer", "free"),
    [(2, 2, 2, False), (2, 3, 2, True), (2, 3, 3, True), (3, 4, 2, False), (3, 5, 2, True), (5, 9, 3, True), (24, 48, 72, True)],
)
def test_strict_number_of_middle_boxes(lines: int, middle: int, outer: int, free: bool) -> None:
    """2n - 1.  Source: C. Clos 1953; small cases confirmed by trying all states, (48,24,72) by a textbook, p. 142."""
    assert always_free(lines, middle, outer) is free


def test_one_outer_box_needs_no_more_than_its_lines() -> None:
    """With r = 1 n middle boxes suffice.  Source: published machine proof of the theorem."""
    assert always_free(3, 3, 1)
    assert not always_free(3, 3, 2)


def test_textbook_stages() -> None:
    """(m, n, r) = (3, 3, 4) is free by moving only, (5, 3, 4) always.  Source: textbook on interconnection networks 6.3."""
    assert free_by_moving(3, 3)
    assert not always_free(3, 3, 4)
    assert always_free(3, 5, 4)


@pytest.mark.parametrize(("root", "points"), [(2, 36), (3, 135), (4, 336), (5, 675), (6, 1188), (7, 1911), (8, 2880), (10, 5700)])
def test_crosspoints_of_strict_stages(root: int, points: int) -> None:
    """6 N^1.5 - 3 N for n = r, m = 2n - 1.  Source: C. Clos 1953; by arithmetic."""
    assert crosspoints(root, 2 * root - 1, root) == points == 6 * root**3 - 3 * root**2


def test_stages_pay_from_36_lines() -> None:
    """Up to 25 lines one square matrix has no more crosspoints, from 36 on it has.  Source: C. Clos 1953, from memory."""
    pays = [root for root in range(2, 11) if crosspoints(root, 2 * root - 1, root) < (root * root) ** 2]
    assert pays == [6, 7, 8, 9, 10]


@pytest.mark.parametrize("seed", range(6))
def test_as_many_bundles_as_the_busiest_box_has_lines(seed: int) -> None:
    """Any lines between boxes go over as many bundles as the busiest box has lines, and not over one less.

    Source: Koenig's line colouring theorem for bipartite multigraphs (textbook on algorithms 9.25).
    """
    draw = random.Random(seed)
    boxes = 3
    pairs = [(f"A{draw.randint(1, boxes)}", f"B{draw.randint(1, boxes)}") for _ in range(7)]
    most = bundles_needed(pairs)
    sent = [(f"s{number}", start, [end]) for number, (start, end) in enumerate(pairs)]
    for bundles in (most, most - 1):
        edges = {}
        for box in range(1, boxes + 1):
            for middle in range(1, bundles + 1):
                edges[f"A{box}", f"M{middle}"] = edges[f"M{middle}", f"B{box}"] = 1
        counted = {f"{side}{box}": 7 for box in range(1, boxes + 1) for side in "AB"}
        rig = rig_of(
            edges, {key: 7 for key in counted if key[0] == "A"}, {key: 7 for key in counted if key[0] == "B"}, one_way=True
        )
        if bundles == most:
            used = middles(solved(rig, show_of(rig, sent)))
            assert len({(start, used[name]) for name, start, _ in sent}) == len(pairs)
        else:
            with pytest.raises(patchloom.Impossible):
                patchloom.solve(rig, show_of(rig, sent), explain=False)


def test_no_lines_need_no_bundle() -> None:
    """Nothing to join, nothing to lay.  Source: our own rule."""
    assert bundles_needed([]) == 0
