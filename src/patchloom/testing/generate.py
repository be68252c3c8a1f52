"""Rigs and shows that can be patched, because a patch was drawn first and its wants asked for afterwards.

Comes in: a seed, perhaps how many desks and sources and which features.  Goes out: a `Planted` rig, show and hidden
patch.  Next: whoever tries a solver, a judge or a paper on them.

The same seed gives the same documents, byte for byte.  Every intake and every link has one block to spare.

`python -m patchloom.testing.generate --count 500 --histogram` says what 500 of them have;
`--solve 500` solves and verifies them and prints how many, how long, and which were not; `--tight --solve 500` does
so with the hard rigs of `tight`.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable
from random import Random
from typing import NamedTuple

from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show
from patchloom.testing.carry import carry
from patchloom.testing.lists import draw_list
from patchloom.testing.parts import build_rig
from patchloom.testing.plan import FEATURES, Plan, draw
from patchloom.testing.settle import settle
from patchloom.testing.show import ask
from patchloom.testing.sources import plant_feeds, plant_sources

__all__ = ["FEATURES", "Planted", "generate"]

_RARE = {"converter": 0.42, "double-rate": 0.4, "one-way": 0.5}
_LARGE = 0.62
"""Share of rigs with three desks and 32 sources or more."""


class Planted(NamedTuple):
    """A rig and a show that can be patched, the patch that proves it, and what they have."""

    rig: Rig
    show: Show
    patch: Patch
    features: tuple[str, ...]


def generate(
    seed: int, *, desks: int | None = None, sources: int | None = None, features: Iterable[str] | None = None
) -> Planted:
    """Return a planted rig, show and hidden patch.

    `desks` (1 to 8) and `sources` (1 and up) are drawn when absent; `features` names what may be used (see `FEATURES`),
    nothing else then; absent draws a mix.  Raises ValueError for a feature that is not known.
    """
    rng = Random(seed)
    large = rng.random() < _LARGE
    drawn_desks = rng.choice((3, 3, 3, 4, 4, 5) if large else (1, 1, 2, 2, 3))
    drawn_sources = rng.randrange(32, 73) if large else rng.randrange(4, 32)
    on = _features(rng, features)
    plan = Plan(rng, on, rng.choice((8, 8, 8, 4)))
    draw(plan, max(1, min(8, desks or drawn_desks)), max(1, sources or drawn_sources))
    plant_sources(plan, max(1, sources or drawn_sources))
    plant_feeds(plan)
    carry(plan)
    lists = [drawn for drawn in (draw_list(plan, node) for node in plan.nodes.values()) if drawn is not None]
    rig = build_rig(plan)
    asked = ask(plan, rig, lists)
    patch = settle(plan, rig, asked, lists)
    return Planted(rig, asked.show, patch, tuple(name for name in FEATURES if name in plan.seen))


def _features(rng: Random, features: Iterable[str] | None) -> frozenset[str]:
    if features is not None:
        chosen = frozenset(features)
        unknown = sorted(chosen - set(FEATURES))
        if unknown:
            raise ValueError(f"no such feature: {', '.join(unknown)}; there are {', '.join(FEATURES)}")
        return chosen
    return frozenset(name for name in FEATURES if rng.random() < _RARE.get(name, 0.6))


def _histogram(count: int, first: int) -> str:
    tally = dict.fromkeys(FEATURES, 0)
    large = 0
    for seed in range(first, first + count):
        planted = generate(seed)
        for name in planted.features:
            tally[name] += 1
        desks = sum(kind.role == "desk" for kind in (planted.rig.type_of(key) for key in planted.rig.devices))
        large += desks >= 3 and len(planted.show.sources) >= 32
    width = max(map(len, FEATURES))
    lines = [f"{name:<{width}} {number:>5}" for name, number in tally.items()]
    return "\n".join(
        (f"{count} rigs, seeds {first} to {first + count - 1}", *lines, f"{'3 desks, 32 sources':<{width}} {large:>5}")
    )


def main(arguments: list[str] | None = None) -> int:
    """Print a histogram of features, or solve so many planted rigs; return 0 when all is well."""
    parser = argparse.ArgumentParser(
        prog="python -m patchloom.testing.generate", description="Rigs and shows that can be patched."
    )
    parser.add_argument("--count", type=int, default=500, help="how many for the histogram (500)")
    parser.add_argument("--first", type=int, default=0, help="the first seed (0)")
    parser.add_argument("--histogram", action="store_true", help="print how many have each feature")
    parser.add_argument("--solve", type=int, default=0, metavar="N", help="solve and verify N of them")
    parser.add_argument("--tight", action="store_true", help="hard rigs: scarce blocks, free sockets, phantom groups")
    parser.add_argument("--most", type=int, default=128, help="sockets a hard rig may have (128)")
    parser.add_argument("--seconds", type=float, default=60.0, help="limit of one hard rig (60)")
    given = parser.parse_args(arguments)
    if given.tight:
        from patchloom.testing.trial import run_tight

        return run_tight(given.first, given.solve or given.count, given.most, given.seconds)
    if given.solve:
        from patchloom.testing.trial import run

        return run(given.first, given.solve)
    print(_histogram(given.count, given.first))
    return 0


if __name__ == "__main__":
    sys.exit(main())
