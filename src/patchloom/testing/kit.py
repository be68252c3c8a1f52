"""Small generic types for drawn rigs: desks of four kinds, recorders, boxes; few banks, few rows, easy to read.

Comes in: a kind and sizes.  Goes out: frozen `Type`s, the same object for the same words.  Next: `strategies` draws rigs
of them, `faults` and the users' own tests read them.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from patchloom.errors import PatchloomError
from patchloom.library import formats
from patchloom.model.base import build
from patchloom.model.rig import Format, Type

__all__ = ["KINDS", "PORTS", "box_type", "desk_type", "format_of"]

KINDS = ("slots", "two-step", "block", "wired", "recorder")
"""How the channels of a device choose: one by one, out of an intake of blocks, in blocks, not at all; a recorder's one by one."""
PORTS = "abcdefgh"
"""Names of ports, in order."""

_PASS = ["audio", "clock", "control"]
_TAPS = {"in": [], "post": ["trim", "processing", "mute", "fader"]}


@cache
def format_of(name: str) -> Format:
    """Return a shipped format by name.

    Raises PatchloomError where it cannot join two devices of a drawn rig: it must run both ways and carry a clock.
    """
    shelf = formats()
    if name not in shelf:
        raise PatchloomError(f"there is no format {name!r} in the library; there are {', '.join(shelf)}")
    found: Format = build(Format, shelf[name], id=name)
    if found.one_way or not found.digital or not {"audio", "clock", "control"} <= {*found.pass_, "audio"}:
        raise PatchloomError(f"format {name!r} does not carry audio both ways, clock and control; take category-32 or the like")
    return found


@cache
def desk_type(kind: str, ports: int, channels: int, by: int, speaks: tuple[str, ...], wired: int = 0) -> Type:
    """Return a desk or recorder of a kind of `KINDS` with so many ports and channels; `by` is the size of its blocks.

    `wired` is how many channels of a wired desk hang on its first port.
    """
    names = PORTS[:ports]
    arriving = [f"{name}.in" for name in names]
    if kind == "recorder":
        return _recorder(names, channels, speaks, arriving)
    banks: dict[str, Any] = {
        "mic": {"slots": 8, "socket": "in", "preamp": "pre", "level": "any", "connector": "XLR-3"},
        "line": {"slots": 8, "socket": "out", "level": "line", "connector": "XLR-3"},
        "ch": {"slots": channels, "does": "process", "trim_db": [-18, 18], "taps": _TAPS},
        "mix": {"slots": 16, "does": "sum", "taps": {"post": _TAPS["post"]}, "of": ["ch"]},
    }
    step = by if kind in ("two-step", "block") else 1
    rows: list[dict[str, Any]] = [{"into": "line", "from": ["mix"]}]
    if kind == "two-step":
        banks["intake"] = {"slots": 64}
        rows += [{"into": "intake", "from": ["mic", *arriving], "by": by}, {"into": "ch", "from": ["intake"]}]
    elif kind == "wired" and wired:
        rows += [{"into": f"ch[1-{wired}]", "wired": f"a.in[1-{wired}]"}]
    else:
        rows += [{"into": "ch", "from": ["mic", *arriving], "by": step}]
    rows += [
        {"into": f"{name}.out", "from": ["mix", "mic", *(bank for bank in arriving if bank != f"{name}.in")], "by": step}
        for name in names
    ]
    return _type(f"desk-{kind}-{channels}", "desk", banks, names, rows, speaks, preamps={"pre": _preamp(1)})


def _recorder(names: str, channels: int, speaks: tuple[str, ...], arriving: list[str]) -> Type:
    banks = {"track": {"slots": channels, "ends": "record"}}
    rows = [{"into": "track", "from": arriving}] if arriving else []
    return _type(f"recorder-{channels}", "recorder", banks, names, rows, speaks, can_lead=False)


@cache
def box_type(size: int, ports: int, phantom_by: int, speaks: tuple[str, ...]) -> Type:
    """Return a stage box of so many inputs and half as many outputs; every port carries all inputs, the first all outputs."""
    names = ("main", "mirror")[:ports]
    banks = {
        "mic": {"slots": size, "socket": "in", "preamp": "pre", "level": "any", "connector": "XLR-3"},
        "out": {"slots": max(size // 2, 4), "socket": "out", "level": "line", "connector": "XLR-3"},
    }
    rows: list[dict[str, Any]] = [{"into": f"{name}.out", "wired": "mic"} for name in names]
    rows += [{"into": "out", "wired": "main.in"}]
    return _type(f"box-{size}", "box", banks, names, rows, speaks, preamps={"pre": _preamp(phantom_by)})


def _preamp(phantom_by: int) -> dict[str, Any]:
    return {"gain_db": [0, 60], "step_db": 1, "phantom_by": phantom_by, "owner_by": "device"}


def _type(
    key: str, role: str, banks: dict[str, Any], names: Any, rows: list[dict[str, Any]], speaks: tuple[str, ...], **more: Any
) -> Type:
    ports = {name: {"speaks": speaks, "pass": _PASS} for name in names}
    made: Type = build(Type, {"role": role, "banks": banks, "ports": ports, "select": rows, **more}, id=key)
    return made
