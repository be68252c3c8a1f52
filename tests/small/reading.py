"""Reads the small rigs and says whether a patch is one of the answers written down by hand.

Comes in: one JSON file of `cases/`, a patch.  Goes out: plain sentences, one per expectation not met.

An expectation lists hops from the slot a signal enters by to the slot it is wanted at, `>` between
them; `[*]` is any slot of a bank and `[5-8]` any of a run.  A list of such lines is a choice.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

__all__ = ["CASES", "documents", "load", "mismatches"]

HERE = Path(__file__).parent
CASES = sorted((HERE / "cases").glob("*.json"))
_HOP = re.compile(r"(?P<bank>[A-Za-z0-9_.-]+)\[(?P<first>\d+|\*)(?:-(?P<last>\d+))?\]\Z")


def load(path: Path) -> dict[str, Any]:
    """Return one case as it is written."""
    found: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return found


def documents(case: dict[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return the rig and show documents of a case, with the common parts its rig names put in."""
    parts = json.loads((HERE / "parts.json").read_text(encoding="utf-8"))
    rig = {"format": "rig/1", **case["rig"]}
    own = rig.get("types", {})
    named = [row if isinstance(row, str) else row["type"] for row in rig["devices"].values()]
    types = {name: parts["types"][name] for name in sorted(set(named)) if name not in own}
    ports = [port for kind in (*types.values(), *own.values()) for port in kind.get("ports", {}).values()]
    spoken = {name for port in ports for name in port["speaks"]}
    used = spoken | {link["format"] for link in rig["links"] if "format" in link}
    rig["types"] = {**types, **own}
    rig["formats"] = {name: parts["formats"][name] for name in sorted(used) if name in parts["formats"]}
    return rig, {"format": "show/1", **case["show"]}


def mismatches(case: dict[str, Any], setting: Any) -> Iterator[str]:
    """Yield one sentence per expectation the setting of a patch does not meet."""
    expect = case["expect"]
    yield from _routes(expect.get("routes", {}), setting)
    yield from _settings(expect, setting)
    yield from _plugs(expect, setting)
    yield from _clock(expect.get("clock", {}), setting)
    yield from _gains(expect.get("gains", {}), setting)
    for wish in expect.get("unmet", ()):
        if wish not in setting.unmet:
            yield f"{wish} should be unmet; unmet are {list(setting.unmet)}"


def _routes(wanted: dict[str, Any], setting: Any) -> Iterator[str]:
    for key, lines in wanted.items():
        leg, _, place = key.partition(" to ")
        found = [route.hops for route in setting.routes if route.leg == leg and route.to == place]
        allowed = [lines] if isinstance(lines, str) else lines
        if len(found) != 1:
            yield f"{key}: {len(found)} routes, wanted 1"
        elif not any(_fits(line, found[0]) for line in allowed):
            yield f"{key}: {' > '.join(map(str, found[0]))} is none of {allowed}"


def _fits(line: str, hops: Any) -> bool:
    patterns = [_HOP.match(part.strip()) for part in line.split(">")]
    return len(patterns) == len(hops) and all(_hop(pattern, hop) for pattern, hop in zip(patterns, hops, strict=False))


def _hop(pattern: re.Match[str] | None, hop: Any) -> bool:
    assert pattern is not None, "a hop is DEVICE.bank[number]"
    bank, first, last = pattern.group("bank", "first", "last")
    if bank != f"{hop.device}.{hop.bank}":
        return False
    return first == "*" or int(first) <= hop.number <= int(last or first)


def _settings(expect: dict[str, Any], setting: Any) -> Iterator[str]:
    fed = {}
    for row in setting.selections:
        for into, taken in zip(row.into.slots(), row.from_.slots(), strict=False):
            fed[str(into), row.alternate] = (str(taken), row.tap)
    for place, tap in expect.get("taps", {}).items():
        if fed.get((place, False), ("", ""))[1] != tap:
            yield f"{place} takes {fed.get((place, False))}, wanted the tap {tap}"
    for place in expect.get("alternates", ()):
        if (place, True) not in fed:
            yield f"{place} has nothing on its alternate input"
    for place in expect.get("empty", ()):
        if any(str(route.hops[-1]) == place for route in setting.routes):
            yield f"{place} should be empty"


def _plugs(expect: dict[str, Any], setting: Any) -> Iterator[str]:
    place = dict(setting.plugs.items())
    if "apart" in expect:
        rule = expect["apart"]
        one, other = ({(place[leg].number - 1) // rule["by"] for leg in rule[side]} for side in ("one", "other"))
        if one & other:
            yield f"{rule['one']} and {rule['other']} share a group of {rule['by']}"
    if "together" in expect:
        rule = expect["together"]
        if len({(place[leg].number - 1) // rule["by"] for leg in rule["legs"]}) != 1:
            yield f"{rule['legs']} are not in one run of {rule['by']}"
    for leg, on in expect.get("phantom", {}).items():
        if _phantom(setting, place[leg]) is not on:
            yield f"phantom at {leg} ({place[leg]}) should be {'on' if on else 'off'}"
    for text, on in expect.get("phantom_at", {}).items():
        if _phantom(setting, text) is not on:
            yield f"phantom at {text} should be {'on' if on else 'off'}"
    for text, position in expect.get("owners", {}).items():
        found = [row.owner for row in setting.owners if text in map(str, row.preamps.slots())]
        if found != [position]:
            yield f"{text} is owned by {found}, wanted {position}"


def _phantom(setting: Any, slot: Any) -> bool:
    return any(row.on and str(slot) in map(str, row.at.slots()) for row in setting.phantom)


def _clock(wanted: dict[str, Any], setting: Any) -> Iterator[str]:
    found = {row.id: row for row in setting.clock}
    for key, row in wanted.items():
        if found[key].leader != row["leader"]:
            yield f"{key} is led by {found[key].leader}, wanted {row['leader']}"
        followers = {follower.device: follower.link for follower in found[key].followers}
        if followers != row["followers"]:
            yield f"{key} is followed by {followers}, wanted {row['followers']}"


def _gains(wanted: dict[str, Any], setting: Any) -> Iterator[str]:
    for leg, row in wanted.items():
        found = [gain for gain in setting.gains if gain.leg == leg]
        if len(found) != 1 or found[0].gain_db != row["gain_db"] or dict(found[0].trims_db) != row["trims_db"]:
            yield f"{leg}: {[(gain.gain_db, dict(gain.trims_db)) for gain in found]}, wanted {row}"
