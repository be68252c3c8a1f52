"""What a type refers to: banks, ports, preamps, taps and clock sections it names must be its own.

Comes in: one expanded type.  Goes out: complaints.  Next: `rig_refs.py`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from patchloom.document.complaints import Complaints, Path, near

__all__ = ["check_type"]

_RUN = re.compile(r"(?P<bank>[A-Za-z][A-Za-z0-9_-]*(?:\.(?:in|out))?)(?:\[(?P<first>[0-9]{1,6})(?:-(?P<last>[0-9]{1,6}))?\])?\Z")


def check_type(name: str, row: dict[str, Any], formats: list[str] | None, complaints: Complaints) -> None:
    """Complain about everything inside a type that points nowhere or cannot be; formats of None are not known yet."""
    here: Path = ("types", name)
    banks, ports = row.get("banks", {}), row.get("ports", {})
    for both in banks:
        with complaints.shield():
            if both in ports:
                complaints.about(
                    (*here, "ports", both),
                    "duplicate-id",
                    f'"{both}" is a bank and a port of one type',
                    value=both,
                    key=True,
                    hint="An address could not tell them apart; rename one.",
                )
    sections = row.get("clocks") or ["main"]
    for table, members in (("banks", banks), ("ports", ports)):
        with complaints.shield():
            for key, member in members.items():
                if member.get("clock") and member["clock"] not in sections:
                    complaints.about(
                        (*here, table, key, "clock"),
                        "dangling",
                        f'there is no clock section "{member["clock"]}"',
                        hint=near(member["clock"], sections) or f"There is {', '.join(sections)}.",
                    )
    for key, bank in banks.items():
        with complaints.shield():
            _bank((*here, "banks", key), bank, row, complaints)
    for key, port in ports.items():
        with complaints.shield():
            for number, spoken in enumerate(port.get("speaks", [])):
                if formats is not None and spoken not in formats:
                    complaints.about(
                        (*here, "ports", key, "speaks", number),
                        "dangling",
                        f'there is no format "{spoken}"',
                        value=spoken,
                        hint=near(spoken, formats) or "Write it under formats, or take one of the library's.",
                    )
    for number, select in enumerate(row.get("select", [])):
        with complaints.shield():
            _select((*here, "select", number), select, row, complaints)
    for number, limit in enumerate(row.get("limits", [])):
        with complaints.shield():
            for place, bank in enumerate(limit.get("of", [])):
                _run(bank, (*here, "limits", number, "of", place), row, complaints)


def _bank(here: Path, bank: dict[str, Any], row: dict[str, Any], complaints: Complaints) -> None:
    preamps = row.get("preamps", {})
    if bank.get("preamp") and bank["preamp"] not in preamps:
        complaints.about(
            (*here, "preamp"),
            "dangling",
            f'there is no preamp "{bank["preamp"]}" in this type',
            hint=near(bank["preamp"], preamps),
        )
    for number, other in enumerate(bank.get("of", [])):
        if other not in row.get("banks", {}):
            complaints.about(
                (*here, "of", number),
                "dangling",
                f'there is no bank "{other}" in this type',
                value=other,
                hint=near(other, row.get("banks", {})),
            )
    for field in ("trim_db",):
        _ordered_pair((*here, field), bank.get(field), complaints)


def _ordered_pair(path: Path, pair: Any, complaints: Complaints) -> None:
    if isinstance(pair, list) and len(pair) == 2 and pair[0] > pair[1]:
        complaints.about(path, "value", f"[{pair[0]}, {pair[1]}] runs backward", hint="Write [lowest, highest].")


def _select(here: Path, select: dict[str, Any], row: dict[str, Any], complaints: Complaints) -> None:
    """Complain about one select row."""
    into, by = select.get("into", ""), select.get("by", 1)
    if "wired" in select and "from" in select:
        complaints.about(
            (*here, "wired"), "conflict", "the row is wired and has a choice from as well", hint="Keep one of them.", key=True
        )
    if "wired" in select and by != 1:
        complaints.about((*here, "by"), "conflict", "a wired row goes slot by slot", hint='Take "by" away.', key=True)
    side, _ = _run(into, (*here, "into"), row, complaints, "is fed")
    if side in ("socket-in", "port-in"):
        where = "signal comes in there from outside"
        complaints.about(
            (*here, "into"),
            "direction",
            f'"{into}" cannot be fed from inside: {where}',
            value=into,
            hint=f'Did you mean "{into.replace(".in", ".out")}"?' if side == "port-in" else "",
        )
    feeders = [((*here, "wired"), select["wired"])] if "wired" in select else []
    feeders += [((*here, "from", number), source) for number, source in enumerate(select.get("from", []))]
    taps: list[str] = []
    for path, source in feeders:
        _, bank = _run(source, path, row, complaints, "gives")
        taps.extend((bank or {}).get("taps", {}))
    for number, tap in enumerate(select.get("taps", [])):
        if tap not in taps:
            complaints.about(
                (*here, "taps", number), "dangling", f'no bank it takes from has a tap "{tap}"', value=tap, hint=near(tap, taps)
            )


def _run(text: Any, path: Path, row: dict[str, Any], complaints: Complaints, does: str = "") -> tuple[str, dict[str, Any] | None]:
    """Return what kind of place a bank, port side or run of a type is, and the bank; complain when it is none."""
    banks, ports = row.get("banks", {}), row.get("ports", {})
    found = _RUN.match(text) if isinstance(text, str) else None
    if found is None:
        complaints.about(
            path,
            "address",
            f'"{text}" is no bank or run of a type',
            value=text,
            hint="Write bank, bank[first-last], port.in or port.out.",
        )
        return "", None
    bank, first, last = found.group("bank", "first", "last")
    port, _, way = bank.partition(".")
    low, high = int(first or 1), int(last or first or 1)
    if low < 1 or high < low:
        complaints.about(path, "address", f'"{text}" is no run of slots; slots count from 1, the lower first', value=text)
        return "", None
    if not way and bank in banks:
        member = banks[bank]
        most = _largest(member.get("slots"))
        if most is not None and high > most:
            complaints.about(path, "out-of-range", f'"{text}" goes past the {most} slots of "{bank}"', value=text)
        return (f"socket-{member['socket']}" if member.get("socket") else "bank"), member
    if way and port in ports:
        return _side(text, port, way, high, ports[port], path, complaints), None
    options = [*banks, *(f"{key}.{side}" for key in ports for side in ("in", "out"))]
    if not way and port in ports:
        hint = f'A port has two sides: write "{port}.in" or "{port}.out".'
    else:
        hint = near(bank, options) or f"There is {', '.join(options) or 'no bank at all'}."
    complaints.about(path, "dangling", f'there is no bank or port "{bank}" in this type', value=text, hint=hint)
    return "", None


def _side(text: str, port: str, way: str, high: int, member: dict[str, Any], path: Path, complaints: Complaints) -> str:
    if member.get("ways", "both") not in ("both", way):
        complaints.about(
            path,
            "direction",
            f'the port "{port}" goes {member["ways"]} only',
            value=text,
            hint=f'Write "{port}.{member["ways"]}".',
        )
        return ""
    size = member.get("slots")
    if isinstance(size, Mapping) and ("in" in size or "out" in size):
        size = size.get(way)
    most = _largest(size)
    if most is not None and high > most:
        complaints.about(path, "out-of-range", f'"{text}" goes past the {most} slots of "{port}.{way}"', value=text)
    return f"port-{way}"


def _largest(size: Any) -> int | None:
    """Return the largest number in a size; None when nothing is said."""
    if isinstance(size, Mapping):
        return max((number for number in size.values() if isinstance(number, int)), default=None)
    return size if isinstance(size, int) else None
