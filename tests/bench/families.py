"""Seeded families of rigs and shows, each of the kind a working day has; as plain documents.

Comes in: a family's name and a seed.  Goes out: (rig, show), two dicts `read_rig` and `read_show` take.  Next: `bench`.

    python tests/bench/families.py campus 1 DIR     # writes DIR/rig.json and DIR/show.json
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from mesh import Document, Mesh, mesh

__all__ = ["FAMILIES", "MESHES", "campus", "mesh_load", "network"]

Pair = tuple[Document, Document]


def campus(seed: int) -> Pair:
    """Return 512 sources, 8 positions, 40 devices, about 2,100 wants, four fifths of every link used."""
    return mesh(seed, Mesh(routers=16, boxes=16, sockets=32, desks=8))


def network(seed: int) -> Pair:
    """Return 2,000 sources, 20 positions, 60 devices, 20 to 21 thousand wants."""
    return mesh(seed, Mesh(routers=20, boxes=20, sockets=100, desks=20, share=0.51, together=4))


MESHES = {
    2500: Mesh(routers=10, boxes=10, sockets=50, desks=10, together=2),
    5000: Mesh(routers=12, boxes=14, sockets=60, desks=12, together=2),
    10000: Mesh(routers=16, boxes=20, sockets=63, desks=16, together=2),
    20000: Mesh(routers=20, boxes=20, sockets=100, desks=20, together=4),
    40000: Mesh(routers=28, boxes=28, sockets=102, desks=28, together=4),
}
"""One family in five sizes, by about how many wants."""


def mesh_load(seed: int, wants: int, load: float) -> Pair:
    """Return a mesh of about so many wants (a key of `MESHES`), each link used to `load` of its channels."""
    return mesh(seed, MESHES[wants], load)


FAMILIES: dict[str, Callable[[int], Pair]] = {
    "campus": campus,
    "network": network,
}


def main(arguments: list[str]) -> int:
    """Write one family's documents."""
    if len(arguments) != 3 or arguments[0] not in FAMILIES:
        print(f"families.py FAMILY SEED FOLDER; families: {', '.join(FAMILIES)}")
        return 2
    folder = Path(arguments[2])
    folder.mkdir(parents=True, exist_ok=True)
    for name, document in zip(("rig", "show"), FAMILIES[arguments[0]](int(arguments[1])), strict=True):
        (folder / f"{name}.json").write_text(json.dumps(document, indent=1) + "\n", encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
