"""Planted rigs are what they say: patchable, readable, the same every time, and varied."""

from __future__ import annotations

import os
import subprocess
import sys

import attrs
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import patchloom
from patchloom.check.verify import verify
from patchloom.model.patch import Patch, Selection
from patchloom.testing.generate import FEATURES, Planted, generate, main
from patchloom.testing.strategies import planted

SLOW = settings(max_examples=30, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])


@pytest.mark.parametrize("seed", range(24))
def test_every_hidden_patch_is_right(seed: int) -> None:
    """The judge, which knows nothing of how a patch was planted, has nothing to say about it."""
    row = generate(seed)
    assert verify(row.rig, row.show, row.patch) == ()


@SLOW
@given(planted())
def test_hidden_patches_of_any_features_are_right(row: Planted) -> None:
    """Whatever features are drawn together, the hidden patch stands."""
    assert verify(row.rig, row.show, row.patch) == ()


@pytest.mark.parametrize("feature", FEATURES)
def test_every_feature_alone(feature: str) -> None:
    """A rig may have one feature and no other; what it says it has is that or what every rig has."""
    row = generate(11, desks=3, sources=12, features=(feature,))
    assert verify(row.rig, row.show, row.patch) == ()
    assert set(row.features) <= {feature, "box-8", "phantom-1", "slots", "fixed-plugs", "formats", "record-lists"}


def test_features_nobody_knows_are_refused() -> None:
    """A feature that is not known is named, with those there are."""
    with pytest.raises(ValueError, match=r"no such feature: lasers; there are box-8"):
        generate(1, features=("lasers",))


def test_the_mix_has_everything() -> None:
    """Among eighty rigs each feature occurs in a fifth at least, and half are large."""
    rows = [generate(seed) for seed in range(80)]
    rare = {name: count for name in FEATURES if (count := sum(name in row.features for row in rows)) < 16}
    assert not rare
    desks = [sum(row.rig.type_of(key).role == "desk" for key in row.rig.devices) for row in rows]
    assert sum(number >= 3 and len(row.show.sources) >= 32 for number, row in zip(desks, rows, strict=True)) >= 40


def test_the_histogram_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    """The command prints how many rigs have each feature."""
    assert main(["--count", "3", "--first", "5"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "3 rigs, seeds 5 to 7"
    assert [line.split()[0] for line in lines[1:-1]] == list(FEATURES)


def test_a_trial_prints_figures(capsys: pytest.CaptureFixture[str]) -> None:
    """The command solves rigs and prints how many and how long."""
    assert main(["--solve", "2"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "solved and verified 2 of 2, seeds 0 to 1"
    assert lines[1].startswith("seconds: p50 ")


def test_sizes_asked_for_are_kept() -> None:
    """So many desks and sources as were asked for are there, talkback and second acts aside."""
    row = generate(5, desks=4, sources=20, features=("slots", "box-16"))
    assert sum(row.rig.type_of(key).role == "desk" for key in row.rig.devices) == 4
    assert len(row.show.sources) == 20


@pytest.mark.parametrize("seed", range(100, 112))
def test_planted_documents_read_and_write(seed: int) -> None:
    """Written and read again, cross checks included, each document is the same object with the same digest and bytes."""
    row = generate(seed)
    rig = patchloom.read_rig(patchloom.write(row.rig).encode())
    show = patchloom.read_show(patchloom.write(row.show).encode(), rig)
    patch = patchloom.read_patch(patchloom.write(row.patch).encode())
    assert (rig, show, patch) == (row.rig, row.show, row.patch)
    for one, other in zip((rig, show, patch), row[:3], strict=True):
        assert patchloom.digest(one) == patchloom.digest(other)
        assert patchloom.write(one) == patchloom.write(other)


def test_the_same_seed_gives_the_same_documents_under_any_hash_seed() -> None:
    """Five processes of different hash seeds write the same bytes."""
    program = (
        "import patchloom; from patchloom.testing.generate import generate\n"
        "print(*(patchloom.digest(item) for seed in range(6) for item in generate(seed)[:3]))"
    )
    assert len({run_under(seed, program) for seed in range(5)}) == 1


def run_under(seed: int, program: str) -> str:
    """Return what a program prints in a process of its own under a hash seed."""
    surroundings = {**os.environ, "PYTHONHASHSEED": str(seed), "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    return subprocess.run([sys.executable, "-c", program], env=surroundings, capture_output=True, text=True, check=True).stdout


@SLOW
@given(planted(desks=2, sources=8), st.data())
def test_a_hidden_patch_with_a_choice_missing_is_wrong(row: Planted, data: st.DataObject) -> None:
    """Taking away a choice that a delivery goes over is never let pass."""
    setting = row.patch.settings[0]
    passed = {hop for route in setting.routes for hop in route.hops}
    used = [choice for choice in setting.selections if passed.intersection(choice.into.slots())]
    if not used:
        return
    gone = data.draw(st.sampled_from(used))
    found = verify(row.rig, row.show, without(row.patch, gone))
    assert any(finding.severity == "stop" for finding in found)


def without(patch: Patch, gone: Selection) -> Patch:
    """Return a patch without one choice of its first period."""
    first = patch.settings[0]
    kept = attrs.evolve(first, selections=tuple(choice for choice in first.selections if choice != gone))
    return attrs.evolve(patch, settings=(kept, *patch.settings[1:]))
