"""Cases of owners where planted faults do not reach: what lies just inside a limit, what is said beside.

Comes in: the right patches.  Goes out: cases entered in `words.CASES`.  Next: `test_words.py`.
"""

from __future__ import annotations

from .planting import Data
from .words import said

__all__: list[str] = []


def pre(r: Data) -> Data:
    """Return the box's preamp."""
    found: Data = r["types"]["box"]["preamps"]["pre"]
    return found


def halves(s: Data, at: int, **row: object) -> None:
    """Split the one ownership in two; the second half gets `row`."""
    right = s["owners"][0]
    first, second = {**right, "preamps": f"BOX.mic[1-{at}]"}, {**right, "preamps": f"BOX.mic[{at + 1}-16]", **row}
    s["owners"] = [first, second]


NOBODY = {"owner": "", "door": "", "path": []}


@said("owner: a row without preamps stands before the right one")
def _(r: Data, h: Data, s: Data) -> None:
    s["owners"].insert(0, {"preamps": "BOX.line[1]"})


for _text in ("BOX", "BOX.mic", "BOX.mic[1-17]", "BOX.gone[1]", "GONE.mic[1]"):

    @said(f"owner: {_text} is owned")
    def _(r: Data, h: Data, s: Data, text: str = _text) -> None:
        s["owners"].append({**s["owners"][0], "preamps": text})


@said("owner: one socket is also nobody's")
def _(r: Data, h: Data, s: Data) -> None:
    s["owners"].append({**NOBODY, "preamps": "BOX.mic[1-2]"})


@said("owner: nobody's socket is also somebody's")
def _(r: Data, h: Data, s: Data) -> None:
    s["owners"].insert(0, {**NOBODY, "preamps": "BOX.mic[1]"})


@said("owner: two runs are also another's")
def _(r: Data, h: Data, s: Data) -> None:
    s["owners"] += [{**s["owners"][0], "preamps": f"BOX.mic[{run}]", "owner": "foh"} for run in ("1-2", "3-4")]


@said("owner: two first runs are also one other's")
def _(r: Data, h: Data, s: Data) -> None:
    halves(s, 8)
    s["owners"].append({**s["owners"][0], "preamps": "BOX.mic[1-16]", "owner": "foh"})


@said("owner: two runs overlap by one socket")
def _(r: Data, h: Data, s: Data) -> None:
    halves(s, 7, owner="foh")
    s["owners"][0]["preamps"] = "BOX.mic[1-8]"


@said("owner: nobody's, and no door for hands")
def _(r: Data, h: Data, s: Data) -> None:
    pre(r)["doors"] = ["port", "network"]
    s["owners"] = [{**NOBODY, "preamps": "BOX.mic[1-16]"}]


@said("owner: no door is named")
def _(r: Data, h: Data, s: Data) -> None:
    s["owners"][0]["door"] = ""


@said("owner: by network, which it has")
def _(r: Data, h: Data, s: Data) -> None:
    pre(r)["doors"] = ["local", "network"]
    s["owners"][0]["door"] = "network"


@said("owner: a door that is none, though the preamp names it")
def _(r: Data, h: Data, s: Data) -> None:
    pre(r)["doors"] = ["local", "radio"]
    s["owners"][0]["door"] = "radio"


@said("owner: the position's desk is not in the rig")
def _(r: Data, h: Data, s: Data) -> None:
    h["positions"] = {"mon": {"desk": "GONE"}}


for _kind, _path in (("start", ["FOH", "K2", "BOX"]), ("link", ["MON", "K2", "BOX"]), ("even", ["MON", "BOX"])):

    @said(f"owner: two runs share one wrong way ({_kind})")
    def _(r: Data, h: Data, s: Data, path: tuple[str, ...] = tuple(_path)) -> None:
        halves(s, 8, path=list(path))
        s["owners"][0]["path"] = list(path)


@said("owner: two runs share one way that carries nothing")
def _(r: Data, h: Data, s: Data) -> None:
    r["formats"]["cat"]["pass"] = ["audio", "clock"]
    r["formats"]["cat"]["pass_"] = r["formats"]["cat"].pop("pass")
    halves(s, 8)


@said("owner: the link is named from the desk")
def _(r: Data, h: Data, s: Data) -> None:
    r["links"][0]["join"].reverse()


@said("owner: the desk controls by role what is of another name")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["box"]["role"] = "converter"
    r["types"]["mon"]["controls"] = ["converter"]


@said("owner: the desk controls two kinds, and not this one")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["mon"]["controls"] = ["split", "recorder"]


for _by, _at in (("socket", 7), ("port", 8), ("group", 8), ("group", 4), ("group", 7), ("device", 8)):

    @said(f"owner: by {_by}, split after {_at}")
    def _(r: Data, h: Data, s: Data, by: str = _by, at: int = _at) -> None:
        pre(r)["owner_by"] = by
        h["owners"] = []
        halves(s, at, **NOBODY)


@said("owner: by group of eight where phantom has no group")
def _(r: Data, h: Data, s: Data) -> None:
    pre(r).update(owner_by="group", phantom_by=None)
    h["owners"], s["phantom"] = [], []
    halves(s, 8, **NOBODY)


@said("owner: two runs are nobody's, and the show names one")
def _(r: Data, h: Data, s: Data) -> None:
    halves(s, 8, **NOBODY)
    s["owners"][0].update(NOBODY)
