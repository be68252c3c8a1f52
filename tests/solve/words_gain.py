"""Cases of gains, each by its docstring.

Comes in: rigs of `words`.  Goes out: cases entered in `words.CASES`.  Next: `test_words.py`.
"""

from __future__ import annotations

from typing import Any

from patchloom.address import Slot
from patchloom.model.base import build
from patchloom.model.rig import Bank
from patchloom.model.show import Show
from patchloom.solve.gain import gains, suits

from .words import Data, case, house, lines

__all__: list[str] = []


MIC = Slot("BOX", "mic", 1)
WIDE, NARROW, BARE = ({"trim_db": [-18, 18]}, {"trim_db": [-4, 2]}, {})


def gain(want: Data, heard: list[tuple[str, Data]], preamp: Data | None = None, gain: Data | None = None, **source: Any) -> str:
    """Return the gain of one voice, heard by positions in banks with these trims."""
    made = house({"step_db": None, "full_scale_dbu": 22, **(preamp or {})})
    show = build(Show, {"sources": [{"id": "vox", "want_db": want, **source}], "gain": gain or {}})
    ends = [(position, build(Bank, {"slots": 8, **bank}, id="ch")) for position, bank in heard]
    rows, facts = gains(made, show, {("vox", MIC): ends})
    good = suits("vox", MIC, show.sources[0], made.types["stage"].preamps["pre"], ends, show)
    assert good is not bool(facts)
    return lines(rows, facts)


BOTH = [("foh", WIDE), ("mon", WIDE)]


@case
def _one_wants() -> str:
    """gain: one position: as much as its trim and the margin leave"""
    return "\n".join(gain({"foh": 30}, [("foh", bank)]) for bank in (WIDE, NARROW, BARE))


@case
def _two_want() -> str:
    """gain: two positions: the highest that leaves both their margin, else the highest at all"""
    return "\n".join(gain({"foh": 30, "mon": far}, BOTH) for far in (30, 0, 1, -5, -6, 66))


@case
def _too_far() -> str:
    """gain: more apart than both trims together is refused, a decibel inside is not"""
    return "\n".join(gain({"foh": 50, "mon": far}, BOTH) for far in (14, 13, 13.5))


@case
def _headroom() -> str:
    """gain: peak and reserve cap it, and contradict a loud want"""
    texts = [gain({"foh": 20}, [("foh", WIDE)], peak_dbu=peak) for peak in (-20, 0, 14, 15)]
    return "\n".join([*texts, gain({"foh": 20}, [("foh", WIDE)], gain={"reserve_db": 12}, peak_dbu=0)])


@case
def _headroom_alone() -> str:
    """gain: without anybody's want, headroom alone sets it; without full scale nothing does"""
    return "\n".join(
        [
            gain({}, BOTH, peak_dbu=0),
            gain({}, BOTH, {"full_scale_dbu": None}, peak_dbu=0),
            gain({}, BOTH),
            gain({}, BOTH, {"gain_db": [-6, 10]}, peak_dbu=0),
            gain({}, BOTH, {"gain_db": [20, 60]}, peak_dbu=0),
            gain({}, BOTH, {"gain_db": [16, 60]}, peak_dbu=0),
        ]
    )


@case
def _range() -> str:
    """gain: the preamp's own range bounds it on both sides, and is named"""
    return "\n".join(
        [
            gain({"foh": 90}, [("foh", WIDE)]),
            gain({"foh": -30}, [("foh", WIDE)]),
            gain({"foh": 78}, [("foh", WIDE)]),
            gain({"foh": 79}, [("foh", WIDE)]),
            gain({"foh": 79}, [("foh", WIDE)], {"gain_db": None}),
            gain({"foh": -25}, [("foh", WIDE)], {"gain_db": None}),
        ]
    )


@case
def _steps() -> str:
    """gain: in steps from the bottom of the range, downwards, and refused where none fits"""
    return "\n".join(
        [
            gain({"foh": 30}, [("foh", WIDE)], {"step_db": 2.5}),
            gain({"foh": 30, "mon": -2}, BOTH, {"step_db": 5}),
            gain({"foh": 31, "mon": -5}, BOTH, {"step_db": 5}),
            gain({"foh": 30, "mon": -4}, BOTH, {"step_db": 3}),
            gain({"foh": 30}, [("foh", BARE)], {"step_db": 0.1}),
            gain({"foh": 30.05}, [("foh", BARE)], {"step_db": 0.1}),
            gain({}, BOTH, {"step_db": 5, "gain_db": [13, 60]}, peak_dbu=1),
            gain({"foh": 45}, [("foh", WIDE)], {"step_db": 5, "gain_db": None}),
        ]
    )


@case
def _margin() -> str:
    """gain: the margin is half the trim at most, and given up before the want is"""
    return "\n".join(
        [
            gain({"foh": 30}, [("foh", NARROW)], gain={"margin_db": 10}),
            gain({"foh": 30, "mon": 27}, [("foh", NARROW), ("mon", NARROW)], gain={"margin_db": 2}),
            gain({"foh": 30, "mon": 28}, [("foh", NARROW), ("mon", NARROW)], gain={"margin_db": 2}),
            gain({"foh": 30, "mon": 28}, [("foh", NARROW), ("mon", NARROW)], {"step_db": 4}, gain={"margin_db": 2}),
            gain({"foh": 30}, [("foh", WIDE)], gain={"margin_db": 0}),
        ]
    )


@case
def _fixed() -> str:
    """gain: fixed by the source or the show, inside and outside what works"""
    row = {"fixed": [{"signal": "kick", "gain_db": 1}, {"signal": "vox", "gain_db": 33}]}
    return "\n".join(
        [
            gain({"foh": 30}, [("foh", WIDE)], gain_db=33),
            gain({"foh": 30}, [("foh", WIDE)], gain_db=12),
            gain({"foh": 30}, [("foh", WIDE)], gain_db=48),
            gain({"foh": 30}, [("foh", WIDE)], gain_db=15),
            gain({"foh": 30}, [("foh", WIDE)], gain_db=45),
            gain({"foh": 30}, [("foh", WIDE)], gain_db=11),
            gain({"foh": 30}, [("foh", WIDE)], gain_db=49),
            gain({"foh": 30}, [("foh", WIDE)], gain_db=61),
            gain({"foh": 30}, [("foh", WIDE)], gain_db=-7),
            gain({"foh": 30}, [("foh", WIDE)], gain=row, gain_db=20),
            gain({}, BOTH, gain_db=12),
            gain({}, BOTH, gain_db=17, peak_dbu=0),
        ]
    )


@case
def _twice_heard() -> str:
    """gain: a position that hears it in two banks needs the narrower; one that wants nothing does not count"""
    return "\n".join(
        [
            gain({"foh": 30}, [("foh", WIDE), ("foh", NARROW), ("foh", WIDE), ("rec", BARE)]),
            gain({"foh": 30, "rec": 10}, [("foh", WIDE)]),
        ]
    )


@case
def _several_gains() -> str:
    """gain: by socket, legs of a pair each, what fails beside what is set"""
    made = house({"full_scale_dbu": 22})
    rows = [
        {"id": "keys", "legs": ["L", "R"], "want_db": {"foh": 20}},
        {"id": "vox", "want_db": {"foh": 30, "mon": -60}},
        {"id": "a", "want_db": {"foh": 3}},
    ]
    show = build(Show, {"sources": rows, "gain": {"fixed": [{"signal": "keys.R", "gain_db": 25}]}})
    bank = build(Bank, {"slots": 8, **WIDE}, id="ch")
    places = {("vox", Slot("BOX", "mic", 3)): ["foh", "mon"], ("keys.R", Slot("BOX", "mic", 2)): ["foh"],
              ("keys.L", Slot("BOX", "mic", 1)): ["foh"], ("a", Slot("BOX", "more", 1)): ["foh"]}  # fmt: skip
    return lines(*gains(made, show, {key: [(name, bank) for name in names] for key, names in places.items()}))


@case
def _who_is_named() -> str:
    """gain: between equal bounds the first one found is named: range, headroom, then the lists in order"""
    return "\n".join(
        [
            gain({"foh": 35}, [("foh", WIDE)], {"gain_db": [-6, 16]}, peak_dbu=0),
            gain({"foh": 12, "mon": -30}, BOTH),
            gain({"foh": 12, "mon": 42, "rec": 90}, [*BOTH, ("rec", WIDE)]),
            gain({"foh": 42, "mon": 42, "rec": -30}, [*BOTH, ("rec", WIDE)]),
            gain({"foh": 42, "mon": 90}, BOTH),
        ]
    )


@case
def _fine_figures() -> str:
    """gain: trims are told to a millionth of a decibel"""
    return gain({"foh": 30}, [("foh", WIDE)], gain_db=33.00000012) + "\n" + gain({"foh": 30}, [("foh", BARE)], {"step_db": 1 / 3})


@case
def _two_on_one() -> str:
    """gain: two legs on one socket are told by leg"""
    made = house({"full_scale_dbu": 22})
    show = build(Show, {"sources": [{"id": name, "want_db": {"foh": 20}} for name in "ba"]})
    ends = [("foh", build(Bank, {"slots": 8, **WIDE}, id="ch"))]
    return lines(*gains(made, show, {(name, MIC): ends for name in "ba"}))
