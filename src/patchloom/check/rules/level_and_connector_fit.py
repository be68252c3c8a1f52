"""What is plugged in gives a level or comes on a connector that the socket is not made for.

What it says: the level of each source held against its socket, of each cabled output against the input it feeds, and the
connectors of both against each other, where both are given.  Loudspeaker level into anything but a loudspeaker line is
a matter of `safety`; an unbalanced source on more than 8 m of cable is a warning.
Why: blown inputs, hum, or no signal; an amplifier's output carries enough to burn what it is plugged into (common
practice, no source).
When it is no fault: a pad, a DI or an adaptor stands between: have the adaptor in `rig.stock` with its two connectors, and
say the level that comes out of the DI; an input with a pad of 20 dB or more takes line level.
What data it needs: `sources.level`, the socket bank's `level`; absent: not checked.  `connector` is looked at where source
and socket both say one; `balanced` and `cable_m` where both are given.
What to do: take another socket, or put a DI, a pad or an adaptor on the pull list.  Work on amplifier outputs is for competent
people, with the amplifier off.
Source: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.address import Slot
from patchloom.check.look import Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Bank, Rig
from patchloom.model.show import Show, Source

__all__ = ["level_and_connector_fit"]

_TAKES = {
    "mic": ("mic",),
    "line": ("line",),
    "instrument": ("instrument", "line"),
    "digital": ("digital",),
    "speaker": ("speaker",),
    "any": ("mic", "line", "instrument"),
}
_WHY = {
    ("line", "mic"): "it is too loud for it: a pad is needed",
    ("mic", "line"): "it is too soft for it: a mic amplifier is needed",
    ("instrument", "mic"): "its impedance is wrong: a DI is needed",
    ("instrument", "line"): "it is too soft for it: a DI is needed",
}
_PAD_DB = 20
_LONG_M = 8
"""Metres from which an unbalanced line hums (common practice, no source)."""


def level_and_connector_fit(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each plug and each cabled output whose level or connector does not fit."""
    tally = Tally("level-and-connector-fit", show, patch)
    for look in looks(rig, show, patch):
        for leg, place in look.setting.plugs.items():
            source, bank = look.sources.get(leg), look.ground.bank(place.device, place.bank)
            if source is not None and bank is not None:
                tally.seen += 1
                _level(tally, look, (leg, source.level), place, bank)
                _unbalanced(tally, look, leg, source, place)
                _connector(tally, look, (leg, source.connector), place, bank.connector)
        _cabled(tally, look)
    yield from tally.told("nothing is plugged in")


def _level(tally: Tally, look: Look, what: tuple[str, str], place: Slot, bank: Bank) -> None:
    name, level = what
    if level == "speaker" and bank.level != "speaker":
        told = f"{name} gives loudspeaker level into {look.ground.say(place)}, which is no loudspeaker line."
        tally.found(look.period, told, name, place, severity="safety", todo="Switch the amplifier off and take the line out.")
    elif not level:
        tally.lacks("sources.level", "what level some sources give is not said", name)
    elif not bank.level:
        tally.lacks("types.banks.level", "what level some sockets take is not said", f"{place.device}.{place.bank}")
    elif level not in _TAKES.get(bank.level, (level,)) and not _padded(look, place, level, bank.level):
        why = _WHY.get((level, bank.level), "the two do not fit")
        takes = f"any of {', '.join(_TAKES['any'])}" if bank.level == "any" else bank.level
        told = f"{name} gives {level} level into {look.ground.say(place)}, which takes {takes}; {why}."
        tally.found(look.period, told, name, place)


def _padded(look: Look, place: Slot, level: str, takes: str) -> bool:
    preamp = look.ground.preamp(place.device, place.bank)
    return (level, takes) == ("line", "mic") and preamp is not None and (preamp.pad_db or 0) >= _PAD_DB


def _unbalanced(tally: Tally, look: Look, leg: str, source: Source, place: Slot) -> None:
    if source.balanced == "no" and source.cable_m is not None and source.cable_m > _LONG_M:
        told = f"{leg} is unbalanced and comes over {source.cable_m:g} m into {look.ground.say(place)}."
        numbers = (("m", source.cable_m), ("most m", _LONG_M))
        todo = "Put a DI at the source."
        tally.found(look.period, told, leg, place, numbers=numbers, severity="warn", todo=todo)


def _connector(tally: Tally, look: Look, what: tuple[str, str], place: Slot, there: str) -> None:
    name, here = what
    if not here or not there or _alike(here, there):
        return
    ends = {here.casefold(), there.casefold()}
    if any({end.casefold() for end in row.connectors} == ends for row in look.rig.stock):
        return
    told = f"{name} comes on {here} and {look.ground.say(place)} is {there}; no adaptor between the two is in stock."
    tally.found(look.period, told, name, place)


def _alike(here: str, there: str) -> bool:
    one, two = here.casefold(), there.casefold()
    return one in two or two in one


def _cabled(tally: Tally, look: Look) -> None:
    """Look at links between runs of sockets that something comes over."""
    for link_id, ends in look.ground.ends.items():
        if look.ground.links[link_id].format:
            continue
        sender = look.ground.sends(look.ground.links[link_id])
        here, there = ends[sender], ends[1 - sender]
        out, into = look.ground.bank(here.device, here.name), look.ground.bank(there.device, there.name)
        place = Slot(there.device, there.name, there.first)
        if out is None or into is None or not look.leg(place):
            continue
        tally.seen += 1
        if out.level and out.level not in ("any", "mic") and into.level:
            _level(tally, look, (f"{here.device}.{here.name}", out.level), place, into)
        if not look.ground.links[link_id].cables:
            _connector(tally, look, (f"{here.device}.{here.name}", out.connector), place, into.connector)
