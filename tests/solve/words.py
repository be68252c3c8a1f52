"""Clock, owners, gains and phantom as the solver sets them, word for word, on rigs of a few lines.

Comes in: small rigs and shows as plain data.  Goes out: `CASES`, each a name and a function that returns text.
Next: `test_words.py` holds them against `words.txt`; `tests/mutation` asks them whether a changed line is noticed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from patchloom.finding import Fact
from patchloom.model.base import build, dump
from patchloom.model.rig import Rig

__all__ = ["CASES", "PRE", "WAYS", "Data", "case", "house", "lines", "rig"]

Data = dict[str, Any]
CASES: dict[str, Callable[[], str]] = {}
"""Name to the function that returns what is set, and what is said against it."""


def case(make: Callable[[], str]) -> Callable[[], str]:
    """Enter a function by its docstring."""
    assert make.__doc__
    assert make.__doc__ not in CASES
    CASES[make.__doc__] = make
    return make


def lines(rows: Iterable[Any], facts: Iterable[Fact]) -> str:
    """Return what is set and the facts, a line each."""
    kept = [f"  {dump(row)}" for row in rows]
    kept += [
        f"  against: {fact.limit}: {fact.text} {fact.asked} asked, {fact.there} there, {fact.short} short {list(fact.members)}"
        for fact in facts
    ]
    return "\n".join(kept)


WAYS = {"speaks": ["line"]}


def rig(devices: Data, links: list[Data], types: Data | None = None, **more: Any) -> Rig:
    """Return a rig; devices without a type of their own have six ports and nothing else."""
    plain = {"role": "box", "ports": {f"p{number}": dict(WAYS) for number in range(1, 7)}}
    return build(
        Rig,
        {
            "domains": {"main": {"rate": 48000}},
            "formats": {
                "line": {"channels": {"48000": 8}, "pass": ["audio", "clock", "control"]},
                "there": {"channels": {"48000": 8}, "pass": ["audio", "clock", "control"], "one_way": True},
                "mute": {"channels": {"48000": 8}},
                "tick": {"channels": {"48000": 0}, "pass": ["clock"]},
                "wire": {"channels": {"48000": 8}, "digital": False},
                "rein": {"channels": {"48000": 0}, "pass": ["control"]},
            },
            "types": {"box": plain, **(types or {})},
            "devices": {key: {"type": "box", **row} for key, row in devices.items()},
            "links": [{"id": f"K{number}", "format": "line", **row} for number, row in enumerate(links, 1)],
            **more,
        },
    )


PRE = {"gain_db": [-6, 60], "phantom_by": 4}


def house(preamp: Data | None = None, links: list[Data] | None = None, types: Data | None = None, **more: Any) -> Rig:
    """Return two desks and a box of two banks, joined to both."""
    box = {
        "role": "box",
        "banks": {
            "mic": {"slots": 8, "socket": "in", "preamp": "pre"},
            "more": {"slots": 8, "socket": "in", "preamp": "pre"},
            "line": {"slots": 8, "socket": "in"},
        },
        "ports": {"p1": dict(WAYS), "p2": dict(WAYS), "p3": dict(WAYS)},
        "preamps": {"pre": {**PRE, **(preamp or {})}},
    }
    desk = {"role": "desk", "banks": {"ch": {"slots": 8, "does": "process"}}, "ports": {f"p{n}": dict(WAYS) for n in (1, 2, 3)}}
    own = {
        **desk,
        "banks": {**desk["banks"], "mic": {"slots": 4, "socket": "in", "preamp": "own"}},
        "preamps": {"own": dict(PRE)},
    }
    kinds = {
        "stage": box,
        "desk": desk,
        "own": own,
        "switch": {"role": "network", "passes_control": True, "ports": dict(box["ports"])},
    }
    joins = [{"join": ["BOX.p1", "FOH.p1"]}, {"join": ["BOX.p2", "MON.p1"]}] if links is None else links
    devices = {"BOX": {"type": "stage"}, "FOH": {"type": "desk"}, "MON": {"type": "own"}, "NET": {"type": "switch"}}
    return rig(devices, joins, {**kinds, **(types or {})}, **more)
