"""Hold the answer's bytes against hash seeds and the order of JSON keys, family by family.

    python tests/bench/shuffles.py                      # every family, small, 20 hash seeds and key orders
    python tests/bench/shuffles.py --family theatre --rounds 3

Comes in: families.  Goes out: a line each, and exit code 1 where two runs differ.  Next: a person.  Each run is a
process of its own with its own hash seed; the keys of both documents are shuffled by that seed too.  The digests of
the documents ignore the order of keys, so the whole patch must agree.
"""

from __future__ import annotations

import argparse
import hashlib
import os
import subprocess
import sys
from pathlib import Path
from random import Random
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

from families import FAMILIES, family
from mesh import Mesh, mesh

__all__ = ["SMALL", "differing", "shuffled"]

SMALL = {"three-desks": 20, "festival": 12, "orchestra": 40, "theatre": 20, "truck": 64}
"""Sources of the small size of each block family; campus and network are small meshes."""


def small(name: str) -> tuple[Any, Any]:
    """Return a family's documents in a small size."""
    if name in SMALL:
        return family(name, 1, SMALL[name])
    return mesh(1, Mesh(routers=6, boxes=6, sockets=16, desks=4) if name == "campus" else Mesh(8, 8, 24, 6, together=4))


def shuffled(value: Any, rng: Random) -> Any:
    """Return a document with the keys of every object in another order; lists keep theirs."""
    if isinstance(value, list):
        return [shuffled(row, rng) for row in value]
    if not isinstance(value, dict):
        return value
    keys = list(value)
    rng.shuffle(keys)
    return {key: shuffled(value[key], rng) for key in keys}


def answer(name: str, seed: int) -> str:
    """Return a digest of what is answered when the keys are shuffled by a seed (0: as they are)."""
    from patchloom import read_rig, read_show, solve, write
    from patchloom.errors import PatchloomError

    rng = Random(seed)
    documents = small(name)
    if seed:
        documents = (shuffled(documents[0], rng), shuffled(documents[1], rng))
    try:
        rig = read_rig(documents[0])
        text = write(solve(rig, read_show(documents[1], rig)))
    except PatchloomError as wrong:
        text = f"{type(wrong).__name__}: {wrong}"
    return hashlib.sha256(text.encode()).hexdigest()


def differing(name: str, rounds: int) -> list[int]:
    """Return the seeds whose bytes differ from those of seed 0."""
    found: list[str] = []
    for seed in range(rounds):
        env = {**os.environ, "PYTHONHASHSEED": str(seed)}
        code = [sys.executable, __file__, "--answer", name, str(seed)]
        found.append(subprocess.run(code, env=env, check=True, capture_output=True, text=True).stdout.strip())
    return [seed for seed, text in enumerate(found) if text != found[0]]


def main() -> int:
    """Print which families gave the same bytes every time."""
    parser = argparse.ArgumentParser(description="Same input, same bytes: hash seeds and the order of keys.")
    parser.add_argument("--family", action="append", choices=list(FAMILIES), help="only these")
    parser.add_argument("--rounds", type=int, default=20, help="hash seeds and key orders (20)")
    parser.add_argument("--answer", nargs=2, metavar=("FAMILY", "SEED"), help="print the digest of one answer, and stop")
    given = parser.parse_args()
    if given.answer:
        print(answer(given.answer[0], int(given.answer[1])))
        return 0
    bad = 0
    for name in given.family or FAMILIES:
        seeds = differing(name, given.rounds)
        bad += bool(seeds)
        print(f"{name:<12} {given.rounds} rounds: {'same bytes' if not seeds else f'DIFFERS with seeds {seeds}'}", flush=True)
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
