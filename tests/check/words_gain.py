"""Cases of gain where planted faults do not reach: what lies just inside a limit, what is said beside.

Comes in: the right patches.  Goes out: cases entered in `words.CASES`.  Next: `test_words.py`.
"""

from __future__ import annotations

from .planting import Data, of
from .words import said

__all__: list[str] = []


def smooth(r: Data) -> Data:
    """Return the box's preamp, its steps taken away."""
    found: Data = r["types"]["box"]["preamps"]["pre"]
    found.pop("step_db", None)
    return found


for _fixed, _gain in ((24, 24.05), (24, 24.06), (60, 60.05), (60, 60.06), (-6, -6.05), (-6, -6.06), (24, 23.95)):

    @said(f"gain: {_fixed} dB is fixed, {_gain} dB set")
    def _(r: Data, h: Data, s: Data, fixed: float = _fixed, gain: float = _gain) -> None:
        smooth(r)
        of(h["sources"], "kick")["gain_db"] = fixed
        s["gains"][0]["gain_db"] = gain


for _step, _gain in ((1, 24.001), (1, 24.002), (0.5, 24.5), (0.5, 24.25), (3, 24), (3, 25), (5, 24), (4, 24), (8, 26)):

    @said(f"gain: steps of {_step} dB, {_gain} dB set")
    def _(r: Data, h: Data, s: Data, step: float = _step, gain: float = _gain) -> None:
        smooth(r)["step_db"] = step
        of(h["sources"], "kick").pop("gain_db")
        s["gains"] = [{**s["gains"][0], "gain_db": gain}]
        of(h["sources"], "vox1").pop("want_db")


@said("gain: the show fixes one leg among others")
def _(r: Data, h: Data, s: Data) -> None:
    h["gain"] = {"fixed": [{"signal": "vox2", "gain_db": 3}, {"signal": "kick", "gain_db": 20}]}


for _over in (0.05, 0.06):

    @said(f"gain: {_over} dB into the headroom")
    def _(r: Data, h: Data, s: Data, over: float = _over) -> None:
        smooth(r)
        trims = {"foh": -2 - over, "mon": -6 - over}
        s["gains"][1].update(gain_db=36 + over, trims_db=trims)


for _said in ([16.05, 36.05], [15.95, 35.95], [16.06, 36], [16, 36.06], [16, 35.94], [15.94, 36], [16]):

    @said(f"gain: said to work from and to {_said}")
    def _(r: Data, h: Data, s: Data, row: tuple[float, ...] = tuple(_said)) -> None:
        s["gains"][1]["interval_db"] = list(row)


for _low, _high in ((16, 36), (20, 34), (20, 36), (16, 34)):

    @said(f"gain: a narrower preamp, said to work from {_low} to {_high}")
    def _(r: Data, h: Data, s: Data, row: tuple[float, float] = (_low, _high)) -> None:
        smooth(r)["gain_db"] = [20, 34]
        s["gains"][1].update(gain_db=30, trims_db={"foh": 4, "mon": 0}, interval_db=list(row))


@said("gain: a preamp without a stated range")
def _(r: Data, h: Data, s: Data) -> None:
    smooth(r).pop("gain_db")


@said("gain: a preamp without a stated range or full scale")
def _(r: Data, h: Data, s: Data) -> None:
    smooth(r).pop("gain_db")
    smooth(r).pop("full_scale_dbu")
    s["gains"][1]["interval_db"] = [16, 52]


@said("gain: set for one, another is there")
def _(r: Data, h: Data, s: Data) -> None:
    s["gains"].append({"leg": "di", "at": "BOX.mic[2]", "gain_db": 10})


@said("gain: a trim for who wants a gain and hears nothing")
def _(r: Data, h: Data, s: Data) -> None:
    of(h["sources"], "vox1")["want_db"]["truck"] = 20
    s["gains"][1]["trims_db"]["truck"] = -16


@said("gain: two trims are missing")
def _(r: Data, h: Data, s: Data) -> None:
    s["gains"][1]["trims_db"] = {}


for _desk, _trim in (
    ("mon", [-6, 24]),
    ("mon", [-5.95, 24]),
    ("mon", [-5.94, 24]),
    ("foh", [-18, -2]),
    ("foh", [-18, -2.05]),
    ("foh", [-18, -2.06]),
    ("mon", [-9, 24]),
    ("mon", [-8.95, 24]),
    ("mon", [-8.94, 24]),
    ("foh", [-18, 1]),
    ("foh", [-18, 0.95]),
    ("foh", [-18, 0.94]),
    ("mon", [-8, -4]),
    ("mon", [-7, -3]),
    ("mon", [-9, -5]),
    ("foh", [-4, 0]),
):

    @said(f"gain: {_desk} trims from {_trim[0]} to {_trim[1]}")
    def _(r: Data, h: Data, s: Data, desk: str = _desk, trim: tuple[float, ...] = tuple(_trim)) -> None:
        r["types"][desk]["banks"]["ch"]["trim_db"] = list(trim)
        s["gains"][1].pop("interval_db")
