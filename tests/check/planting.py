"""How a fault is planted: a named kind, the right patch it goes into, the checks that must speak.

Comes in: the right patches of `bases`.  Goes out: `FAULTS`, in the order entered, and `planted`, a base spoiled.  Next:
`faults_carried`, `faults_riding` enter kinds; `faults` has them all.
A fault names the checks that must speak, each once, and nothing else of severity stop, safety or warn may.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any, NamedTuple

from patchloom.model.base import build
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

from .bases import BASES, route, select

__all__ = ["FAULTS", "Data", "Fault", "Spoil", "drop", "fault", "of", "planted", "reroute", "shared", "take", "unroute"]

Data = dict[str, Any]
Spoil = Callable[[Data, Data, Data], Any]


class Fault(NamedTuple):
    """A kind of fault: its name, the base it is planted in, how, and the checks that must speak."""

    kind: str
    base: str
    spoil: Spoil
    found: tuple[str, ...]


FAULTS: list[Fault] = []


@cache
def planted(base: str, spoil: Spoil) -> tuple[tuple[Rig, Show, Patch], list[Any]]:
    """Return rig, show and patch of a base once it is spoiled, and the routing rules that come with it; made once."""
    rig, show, patch = BASES[base]()
    patch.update(rig="sha256:rig", show="sha256:show")
    setting = patch["settings"][0]
    rules: list[Any] = []
    setting["all"], setting["patch"], setting["rules"] = patch["settings"], patch, rules
    spoil(rig, show, setting)
    for key in ("all", "patch", "rules"):
        setting.pop(key)
    return (build(Rig, rig), build(Show, show), build(Patch, patch)), rules


def fault(kind: str, base: str, *found: str) -> Callable[[Spoil], Spoil]:
    """Enter a function `(rig, show, setting)` that plants a fault."""

    def enter(spoil: Spoil) -> Spoil:
        FAULTS.append(Fault(kind, base, spoil, found))
        return spoil

    return enter


def take(s: Data, into: str, from_: str, tap: str = "", alternate: bool = False) -> None:
    """Set the choice of a run anew: other source, other tap."""
    drop(s, into, alternate)
    s["selections"].append(select(into, from_, tap, alternate))


def drop(s: Data, into: str, alternate: bool = False) -> None:
    """Take the choice of a run away."""
    s["selections"] = [row for row in s["selections"] if row["into"] != into or row.get("alternate", False) != alternate]


def reroute(s: Data, leg: str, to: str, hops: str) -> None:
    """Give a leg's route other hops."""
    entry = next(row["entry"] for row in s["routes"] if row["leg"] == leg and row["to"] == to)
    s["routes"] = [row for row in s["routes"] if (row["leg"], row["to"]) != (leg, to)] + [route(leg, to, entry, hops)]


def unroute(s: Data, leg: str, to: str) -> None:
    """Take a leg's route away."""
    s["routes"] = [row for row in s["routes"] if (row["leg"], row["to"]) != (leg, to)]


def of(rows: list[Data], key: str, name: str = "id") -> Data:
    """Return the row with an id."""
    return next(row for row in rows if row[name] == key)


def shared(rig: Data, show: Data, s: Data) -> None:
    """Hand talk_mon on through a channel, still raw."""
    take(s, "MON.ch[16]", "MON.talk[1]")
    take(s, "MON.out[1]", "MON.ch[16]", "in")
    reroute(s, "talk_mon", "foh", "MON.talk[1] > MON.ch[16] > MON.out[1] > MON.b.out[1] > FOH.b.in[1] > FOH.ch[7]")
