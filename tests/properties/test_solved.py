"""What `solve` promises of every rig that can be patched."""

from __future__ import annotations

import copy
from random import Random
from typing import Any

import attrs
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import patchloom
from patchloom.check.verify import verify
from patchloom.model.base import Table, dump
from patchloom.model.patch import Patch
from patchloom.model.rig import Device, Rig
from patchloom.testing.generate import Planted, generate
from patchloom.testing.strategies import planted
from tests.properties.test_planted import run_under

SLOW = settings(max_examples=25, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])


def solve(row: Planted, previous: Patch | None = None) -> Patch:
    """Return the answer to a planted pair."""
    return patchloom.solve(row.rig, row.show, previous=previous)


PAIRS = [*((seed, {}) for seed in range(16)), *((seed, {"desks": 3, "sources": 24}) for seed in range(80, 96))]
"""Seeds of the usual mix, and of middling size."""


@pytest.mark.parametrize(("seed", "size"), PAIRS)
def test_planted_rigs_are_solved_and_the_judge_agrees(seed: int, size: dict[str, int]) -> None:
    """A rig with a hidden patch is solved, and the answer contradicts neither rig nor show.

    Five hundred of them: `python -m patchloom.testing.generate --solve 500`.
    """
    row = generate(seed, **size)
    found = verify(row.rig, row.show, solve(row))
    assert [str(finding) for finding in found if finding.severity in ("stop", "safety")] == []


@SLOW
@given(planted(desks=2, sources=10))
def test_small_rigs_of_any_features_are_solved(row: Planted) -> None:
    """Whatever features are drawn together, what can be patched is patched."""
    assert solve(row).settings


@pytest.mark.parametrize("seed", range(30, 33))
def test_an_answer_reads_and_writes(seed: int) -> None:
    """An answer, written and read again, is the same object with the same digest."""
    patch = solve(generate(seed, desks=2, sources=12))
    again = patchloom.read_patch(patchloom.write(patch).encode())
    assert again == patch
    assert patchloom.digest(again) == patchloom.digest(patch)


@pytest.mark.parametrize("seed", range(40, 48))
def test_an_answer_is_its_own_next_answer(seed: int) -> None:
    """With its own answer as the patch it replaces, solve changes nothing."""
    row = generate(seed, desks=3, sources=14)
    first = solve(row)
    second = solve(row, first)
    assert second.settings == first.settings
    assert second.previous == patchloom.digest(first)


def test_answers_do_not_depend_on_the_hash_seed() -> None:
    """Five processes of different hash seeds give the same bytes."""
    program = (
        "import patchloom; from patchloom.testing.generate import generate\n"
        "for seed in (1, 2, 3, 4):\n"
        "    row = generate(seed, desks=3, sources=16); print(patchloom.digest(patchloom.solve(row.rig, row.show)))"
    )
    assert len({run_under(seed, program) for seed in range(5)}) == 1


def shuffled(value: Any, rng: Random) -> Any:
    """Return plain data with the keys of every object in another order."""
    if isinstance(value, dict):
        keys = list(value)
        rng.shuffle(keys)
        return {key: shuffled(value[key], rng) for key in keys}
    if isinstance(value, list):
        return [shuffled(item, rng) for item in value]
    return value


@pytest.mark.parametrize("seed", range(50, 54))
def test_answers_do_not_depend_on_the_order_of_keys(seed: int) -> None:
    """Documents with their keys shuffled have the same digest and get the same bytes for an answer."""
    row = generate(seed, desks=3, sources=14)
    rng = Random(seed)
    rig = patchloom.read_rig(shuffled(dump(row.rig), rng))
    show = patchloom.read_show(shuffled(dump(row.show), rng), rig)
    assert patchloom.digest(rig) == patchloom.digest(row.rig)
    assert patchloom.digest(show) == patchloom.digest(row.show)
    assert patchloom.write(patchloom.solve(rig, show)) == patchloom.write(solve(row))


@pytest.mark.parametrize("seed", [60, 61])
def test_input_is_not_altered(seed: int) -> None:
    """Neither parsed documents nor objects are changed by reading, solving, verifying and checking."""
    row = generate(seed, desks=2, sources=12)
    rig_data, show_data = dump(row.rig), dump(row.show)
    before = copy.deepcopy((rig_data, show_data))
    rig = patchloom.read_rig(rig_data)
    show = patchloom.read_show(show_data, rig)
    patch = patchloom.solve(rig, show)
    text = patchloom.write(patch)
    patchloom.verify(rig, show, patch)
    patchloom.check(rig, show, patch)
    patchloom.solve(rig, show, previous=patch)
    assert (rig_data, show_data) == before
    assert (dump(rig), dump(show)) == before
    assert patchloom.write(patch) == text


@pytest.mark.parametrize("seed", [70, 71, 72])
def test_a_device_that_is_joined_to_nothing_changes_no_route(seed: int) -> None:
    """One more box in the house, on no link, moves nothing."""
    row = generate(seed, desks=2, sources=12)
    kind = row.rig.devices["BOX1"].type
    more = Table({**row.rig.devices, "ZBOX": Device(id="ZBOX", type=kind, domain=row.rig.devices["BOX1"].domain)})
    rig: Rig = attrs.evolve(row.rig, devices=more)
    one, other = solve(row), patchloom.solve(rig, row.show)
    for before, after in zip(one.settings, other.settings, strict=True):
        assert (before.plugs, before.routes) == (after.plugs, after.routes)


@SLOW
@given(planted(desks=2, sources=8), st.data())
def test_asking_for_less_is_never_harder(row: Planted, data: st.DataObject) -> None:
    """With the last wants of a list gone, what could be patched still can."""
    number = data.draw(st.integers(0, len(row.show.lists) - 1)) if row.show.lists else None
    if number is None or row.show.periods:
        return
    lists = list(row.show.lists)
    lists[number] = attrs.evolve(lists[number], wants=lists[number].wants[: data.draw(st.integers(0, len(lists[number].wants)))])
    assert patchloom.solve(row.rig, attrs.evolve(row.show, lists=tuple(lists))).settings
