"""The example documents and their variants, and the counts the tests compare.

Comes in: the name of an example or a variant file.  Goes out: rig, show, patch and plain numbers.

A variant is a small change of an example: `rig` and `show` are JSON Merge Patches (RFC 7396); because
those replace lists whole, `rows` patches single rows found by id, `append` adds rows, `drop` takes
them away.  `expect` says the verdict and its numbers.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import patchloom
from patchloom.document.type_form import merge

__all__ = ["PACKAGE", "ROOT", "VARIANTS", "blocks", "example", "folder", "links_of", "solved", "through", "used", "variant"]

ROOT = Path(__file__).parents[2]
PACKAGE = Path(patchloom.__file__).parent
VARIANTS = sorted((Path(__file__).parent / "variants").glob("*.json"))


def folder(name: str) -> Path:
    """Return the folder that holds the two documents of an example, or of the demo."""
    return PACKAGE / "demo" if name == "demo" else ROOT / "docs" / "examples" / name


def example(name: str) -> tuple[Any, Any]:
    """Return the rig and the show of an example."""
    rig = patchloom.read_rig(folder(name) / "rig.json")
    return rig, patchloom.read_show(folder(name) / "show.json", rig)


@cache
def solved(name: str) -> tuple[Any, Any, Any]:
    """Return rig, show and patch of an example; solved once."""
    rig, show = example(name)
    return rig, show, patchloom.solve(rig, show)


def variant(path: Path) -> tuple[dict[str, Any], dict[str, Any], dict[str, Any]]:
    """Return the variant itself, and the rig and show documents it makes."""
    change = json.loads(path.read_text(encoding="utf-8"))
    made = {}
    for kind in ("rig", "show"):
        text = (folder(change["of"]) / f"{kind}.json").read_text(encoding="utf-8")
        document = json.loads(text)
        for field, rows in change.get("rows", {}).get(kind, {}).items():
            for key, row in rows.items():
                at = _place(document[field], key)
                document[field][at] = merge(document[field][at], row)
        for field, keys in change.get("drop", {}).get(kind, {}).items():
            for key in keys:
                del document[field][_place(document[field], key)]
        for field, rows in change.get("append", {}).get(kind, {}).items():
            document[field] = [*document[field], *rows]
        made[kind] = merge(document, change.get(kind, {}))
    return change, made["rig"], made["show"]


def _place(rows: list[dict[str, Any]], key: str) -> int:
    return next(at for at, row in enumerate(rows) if key in (row.get("id"), *row.get("ids", ()), row.get("position")))


def blocks(setting: Any, bank: str, taken: str = "", by: int = 8) -> int:
    """Return how many runs of a bank are fed (from one bank only, when it is named)."""
    runs = set()
    for row in setting.selections:
        if f"{row.into.device}.{row.into.bank}" == bank and taken in ("", f"{row.from_.device}.{row.from_.bank}"):
            runs |= {(slot.number - 1) // by for slot in row.into.slots()}
    return len(runs)


def used(setting: Any, bank: str) -> int:
    """Return how many slots of a bank routes pass or plugs sit in."""
    places = {hop for route in setting.routes for hop in route.hops} | set(setting.plugs.values())
    return len({place for place in places if f"{place.device}.{place.bank}" == bank})


def through(setting: Any, to: str, device: str) -> int:
    """Return how many legs of a list pass a device."""
    return sum(1 for route in setting.routes if route.to == to and any(hop.device == device for hop in route.hops))


def links_of(rig: Any, route: Any) -> list[str]:
    """Return the links a route takes, in order."""
    found = []
    for here, there in zip(route.hops, route.hops[1:], strict=False):
        ends = {f"{here.device}.{here.bank.removesuffix('.out')}", f"{there.device}.{there.bank.removesuffix('.in')}"}
        found += [link.id for link in rig.links if {end.partition("[")[0] for end in link.join} == ends]
    return found
