"""Whether a pack of types is what the library can work with: read, joined, and solved over.

Comes in: the path of a pack, or a function that returns it.  Goes out: sentences that say what is wrong and what to mend.
Next: `conformance.check_types`.

Every type is put into a rig; a source plugged into a desk, or into a box on a small desk, must be heard on a channel.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from patchloom.document import read
from patchloom.errors import DocumentError, Impossible, PatchloomError, Undecided
from patchloom.library import formats, load_pack, type_names
from patchloom.model.base import build, dump
from patchloom.model.rig import Rig
from patchloom.testing.asking import AskedSource, ask
from patchloom.testing.kit import desk_type

__all__ = ["judged"]


def judged(pack: Any) -> Iterator[str]:
    """Yield what is wrong with a pack."""
    try:
        path = pack() if callable(pack) else pack
        held = load_pack(path)
        again = load_pack(pack() if callable(pack) else pack)
    except DocumentError as wrong:
        yield from (f"{row.path}: {row.message} {row.hint}".rstrip() for row in wrong.complaints)
        return
    except Exception as wrong:  # whatever a stranger's function raises is a breach
        yield f"it raised {type(wrong).__name__}: {wrong}; return the path of a type file or of a folder of them"
        return
    if (held.types, held.formats) != (again.types, again.formats):
        yield "it gave something else the second time; return the same files always"
    if not held.types and not held.formats:
        yield "it holds no type and no format"
    for name in sorted(set(held.types) & set(type_names())):
        yield f"type {name}: the library has one of that name; choose another, or nobody can tell which is meant"
    for name in held.types:
        yield from (f"type {name}: {words}" for words in _type(name, held.types, held.formats))


def _type(name: str, types: dict[str, Any], own: dict[str, Any]) -> Iterator[str]:
    document = _rig(name, types, own)
    try:
        rig = build(Rig, read(document, "rig", name="a rig with it").data)
    except DocumentError as wrong:
        yield from (f"{row.path}: {row.message} {row.hint}".rstrip() for row in wrong.complaints[:5])
        return
    kind = rig.types.get(name)
    if kind is None:
        yield "it is not in the rig it was put into"
        return
    sizes = [bank for bank in kind.banks.values() if isinstance(bank.slots, int) and bank.slots < 1]
    yield from (f"bank {bank.id} has {bank.slots} slots; give at least 1, or leave it out" for bank in sizes)
    if kind.role not in ("desk", "box") or not kind.digital:
        return
    yield from _carries(_with_desk(rig, name) if kind.role == "box" else rig)


def _rig(name: str, types: dict[str, Any], own: dict[str, Any]) -> dict[str, Any]:
    """Return a rig document of one device, with all types of the pack for what is `like` another."""
    return {
        "format": "rig/1",
        "name": "trial",
        "rate": 48000,
        "types": dict(types),
        "formats": dict(own),
        "devices": {"D": {"type": name}},
    }


def _with_desk(rig: Rig, name: str) -> Rig:
    """Return the rig with a small desk joined to the first port that can be."""
    data = dump(rig)
    for port in rig.types[name].ports.values():
        for spoken in port.speaks:
            row = data.get("formats", {}).get(spoken) or formats().get(spoken)
            if row is None or "audio" not in row.get("pass", ["audio"]) or port.ways == "in" or row.get("one_way"):
                continue
            kind = dump(desk_type("slots", 1, 16, 8, (spoken,)), without=("id",))
            data.setdefault("types", {})["trial-desk"] = kind
            data.setdefault("formats", {})[spoken] = row
            data["devices"]["DESK"] = {"type": "trial-desk"}
            data["links"] = [{"id": "K", "join": [f"D.{port.id}", "DESK.a"], "format": spoken}]
            return build(Rig, read({**data, "format": "rig/1"}, "rig", name="a rig with it").data)  # type: ignore[no-any-return]
    return rig


def _carries(rig: Rig) -> Iterator[str]:
    """Yield why a source plugged into a device cannot be heard at a desk."""
    from patchloom.pipeline import solve

    try:
        show = ask(rig, [AskedSource(0, 0, 1, False, 0)], [], 1)
        if not show.lists:
            yield "nothing plugged into it comes to a channel; are its sockets, its select rows and its ports joined up?"
            return
        solve(rig, show, explain=False)
    except Impossible as proof:
        yield f"a source plugged into it cannot be patched: {proof.facts[0] if proof.facts else proof}"
    except Undecided as question:
        yield f"a source plugged into it is left undecided: {question}"
    except PatchloomError as wrong:
        yield str(wrong)
