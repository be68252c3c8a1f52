"""Cases of phantom, each by its docstring.

Comes in: rigs of `words`.  Goes out: cases entered in `words.CASES`.  Next: `test_words.py`.
"""

from __future__ import annotations

from patchloom.address import slot
from patchloom.model.base import build
from patchloom.model.show import Show
from patchloom.solve.phantom import phantom_sets

from .words import Data, case, house, lines

__all__: list[str] = []


def phantom(plugs: dict[str, str], sources: Data, by: int | None = 4, on: dict[str, list[str]] | None = None) -> str:
    """Return the phantom switches for what is plugged, by leg to socket."""
    show = build(Show, {"sources": [{"id": key, **row} for key, row in sources.items()]})
    leads = {slot(at): [slot(other) for other in others] for at, others in (on or {}).items()}
    return lines(*phantom_sets(house({"phantom_by": by}), show, {leg: slot(at) for leg, at in plugs.items()}, leads))


NEED, NEVER, NO, UNKNOWN = ({"phantom": word} for word in ("need", "never", "no", "unknown"))


@case
def _phantom_each() -> str:
    """phantom: on for who needs it, off for the rest, each with its reason"""
    plugs = {"a": "BOX.mic[1]", "b": "BOX.mic[2]", "c": "BOX.mic[3]", "d": "BOX.mic[4]"}
    return phantom(plugs, {"a": NEED, "b": NEVER, "c": NO, "d": UNKNOWN}, 1)


@case
def _phantom_groups() -> str:
    """phantom: groups of four, the first and the second"""
    plugs = {"a": "BOX.mic[4]", "b": "BOX.mic[5]", "c": "BOX.mic[8]", "d": "BOX.more[1]", "e": "BOX.mic[1]"}
    return phantom(plugs, {"a": NEED, "b": NO, "c": UNKNOWN, "d": NEVER, "e": UNKNOWN})


@case
def _phantom_clash() -> str:
    """phantom: need and never behind one switch are refused; other switches are still set"""
    return phantom({"a": "BOX.mic[1]", "b": "BOX.mic[2]", "c": "BOX.mic[5]"}, {"a": NEED, "b": NEVER, "c": NEED})


@case
def _phantom_powered() -> str:
    """phantom: what has a battery or mains of its own needs none"""
    sources = {key: {**NEED, "powered_by": word} for key, word in zip("abcd", ("battery", "mains", "phantom", ""), strict=True)}
    return phantom({key: f"BOX.mic[{number}]" for number, key in enumerate("abcd", 1)}, sources, 1)


@case
def _phantom_nowhere() -> str:
    """phantom: no switch where there is no preamp, or it has no phantom; the socket after it has one"""
    plugs = {"a": "BOX.line[1]", "b": "BOX.gone[1]", "c": "BOX.mic[1]"}
    none = phantom({"a": "BOX.mic[1]"}, {"a": NEED}, None)
    return phantom(plugs, {"a": NEED, "b": NEED, "c": NEED}, 8) + f"\n  none: {none}."


@case
def _phantom_onward() -> str:
    """phantom: a split's copper leads on to two preamps, and one feeds each; not the one somebody must not see"""
    plugs = {"a": "BOX.line[1]", "b": "BOX.line[2]"}
    on = {"BOX.line[1]": ["BOX.mic[1]", "MON.mic[1]"], "BOX.line[2]": ["BOX.mic[2]", "MON.mic[2]"]}
    return "\n".join(phantom(plugs, {"a": NEED, "b": other}, 1, on) for other in (NEED, NO, NEVER))


@case
def _phantom_half_supplied() -> str:
    """phantom: what a group of another feeds already is not fed again"""
    plugs = {"a": "BOX.line[1]", "b": "MON.mic[2]"}
    return phantom(plugs, {"a": NEED, "b": NEED}, 1, {"BOX.line[1]": ["BOX.mic[1]", "MON.mic[1]"]})


@case
def _phantom_in_order() -> str:
    """phantom: who needs it and who must not see it are told by socket"""
    plugs = {"a": "BOX.mic[4]", "b": "BOX.mic[3]", "c": "BOX.mic[2]", "d": "BOX.mic[1]", "e": "BOX.mic[6]", "f": "BOX.mic[5]"}
    return phantom(plugs, {"a": NEED, "b": NEED, "c": NEVER, "d": NEVER, "e": NEED, "f": NEED})


@case
def _phantom_no_choice() -> str:
    """phantom: where every choice leaves one without or feeds one twice, that is said"""
    plugs = {"a": "BOX.line[1]", "b": "MON.mic[2]", "c": "BOX.mic[2]"}
    return phantom(plugs, {"a": NEED, "b": NEED, "c": NEED}, 4, {"BOX.line[1]": ["BOX.mic[1]", "MON.mic[1]"]})


@case
def _phantom_chain() -> str:
    """phantom: what one choice rules out is followed to the end"""
    plugs = {f"s{number}": f"BOX.line[{number}]" for number in range(1, 4)}
    on = {
        "BOX.line[1]": ["BOX.mic[1]", "BOX.more[1]"],
        "BOX.line[2]": ["BOX.more[2]", "MON.mic[1]"],
        "BOX.line[3]": ["MON.mic[2]", "BOX.mic[5]"],
    }
    needs = dict.fromkeys(plugs, NEED)
    texts = [phantom(plugs, needs, 4, on), phantom({**plugs, "d": "BOX.mic[2]"}, {**needs, "d": NEED}, 4, on)]
    return "\n".join([*texts, phantom({**plugs, "d": "BOX.mic[2]"}, {**needs, "d": NEVER}, 4, on)])
