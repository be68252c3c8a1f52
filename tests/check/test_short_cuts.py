"""What is judged for many at once is judged as it would be one by one."""

from __future__ import annotations

from importlib import import_module
from random import Random

import attrs
import pytest

from patchloom.check.verify import verify
from patchloom.finding import Finding
from patchloom.model.patch import Patch, Setting
from patchloom.testing.generate import Planted, generate

ROUTES, WANTS = import_module("patchloom.check.routes"), import_module("patchloom.check.wants")


def spoiled(setting: Setting, rng: Random) -> Setting:
    """Return a setting with a route led elsewhere, a choice gone, a choice that takes what another one takes."""
    routes, chosen = list(setting.routes), list(setting.selections)
    if len(routes) > 1:
        one, other = rng.sample(range(len(routes)), 2)
        routes[one] = attrs.evolve(routes[one], hops=routes[other].hops)
    if len(chosen) > 1:
        one, other = rng.sample(range(len(chosen)), 2)
        chosen[one] = attrs.evolve(chosen[one], from_=chosen[other].from_)
        del chosen[rng.randrange(len(chosen))]
    return attrs.evolve(setting, routes=tuple(routes), selections=tuple(chosen))


def judged(made: Planted, patch: Patch) -> tuple[Finding, ...]:
    return verify(made.rig, made.show, patch, digests=(patch.rig, patch.show))


@pytest.mark.parametrize("seed", range(12))
def test_short_cuts_find_the_same(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Routes along the same banks followed together or alone, lists found in order at a glance or not: every word is the same."""
    made = generate(seed)
    rng = Random(seed)
    worse = attrs.evolve(made.patch, settings=tuple(spoiled(row, rng) for row in made.patch.settings))
    monkeypatch.setattr(ROUTES, "_FEW", 0)
    quick = judged(made, made.patch), judged(made, worse)
    monkeypatch.setattr(ROUTES, "_FEW", 1 << 30)
    monkeypatch.setattr(WANTS, "_in_order", lambda *_: False)
    assert (judged(made, made.patch), judged(made, worse)) == quick
    assert quick[1]
