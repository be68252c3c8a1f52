"""Cases of phantom where planted faults do not reach: what lies just inside a limit, what is said beside.

Comes in: the right patches.  Goes out: cases entered in `words.CASES`.  Next: `test_words.py`.
"""

from __future__ import annotations

from .planting import Data, of
from .words import said

__all__: list[str] = []


for _text in ("BOX", "BOX.mic", "BOX.gone[1-4]", "GONE.mic[1-4]", "BOX.line[1-4]"):

    @said(f"phantom: {_text} is switched on")
    def _(r: Data, h: Data, s: Data, text: str = _text) -> None:
        s["phantom"].append({"at": text, "on": True})


@said("phantom: a group longer than the bank ends with it")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["box"]["banks"]["mic"]["slots"] = 14
    s["owners"][0]["preamps"] = "BOX.mic[1-14]"
    s["phantom"].append({"at": "BOX.mic[13-14]"})


@said("phantom: a group longer than the bank is cut too short")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["box"]["banks"]["mic"]["slots"] = 15
    s["owners"][0]["preamps"] = "BOX.mic[1-15]"
    s["phantom"].append({"at": "BOX.mic[13-14]"})


@said("phantom: two that must never see it share with one that needs it")
def _(r: Data, h: Data, s: Data) -> None:
    for key in ("oh", "di"):
        of(h["sources"], key)["phantom"] = "never" if key == "oh" else "need"


@said("phantom: two unknown needs see it in silence")
def _(r: Data, h: Data, s: Data) -> None:
    of(h["sources"], "oh")["phantom"] = "unknown"
    s["phantom"][1]["because"] = ["di"]


@said("phantom: two switches are not written down")
def _(r: Data, h: Data, s: Data) -> None:
    s["phantom"] = s["phantom"][1:2]


for _word in ("battery", "mains", "phantom"):

    @said(f"phantom: needed, off, and powered by {_word}")
    def _(r: Data, h: Data, s: Data, word: str = _word) -> None:
        for key in ("oh", "di"):
            of(h["sources"], key)["powered_by"] = word
        s["phantom"][1] = {"at": "BOX.mic[5-8]"}


# copper


def cables(r: Data, number: int, *dc: str) -> None:
    """Say of the cables of a link whether they pass direct current; an empty word is unknown."""
    r["links"][number]["cables"] = [{"dc": word} if word else {} for word in dc]


@said("phantom: may reach what must never see it", "copper")
def _(r: Data, h: Data, s: Data) -> None:
    cables(r, 0, "")
    s["phantom"][4] = {"at": "MON.mic[2]", "on": True}


@said("phantom: may come from two", "copper")
def _(r: Data, h: Data, s: Data) -> None:
    cables(r, 0, "")
    r["types"]["split"]["select"][1].pop("dc")
    s["phantom"][0] = {"at": "FOH.mic[1]", "on": True, "because": ["di"]}


@said("phantom: comes from one and may from another", "copper")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["split"]["select"][1].pop("dc")
    s["phantom"][0] = {"at": "FOH.mic[1]", "on": True, "because": ["di"]}


@said("phantom: on behind a transformer for nobody", "copper")
def _(r: Data, h: Data, s: Data) -> None:
    s["phantom"][2] = {"at": "FOH.mic[3]", "on": True}


@said("phantom: on behind a transformer for another", "copper")
def _(r: Data, h: Data, s: Data) -> None:
    s["phantom"][2] = {"at": "FOH.mic[3]", "on": True, "because": ["di"]}


@said("phantom: off, and nothing could come", "copper")
def _(r: Data, h: Data, s: Data) -> None:
    cables(r, 0, "no")
    s["phantom"][3] = {"at": "MON.mic[1]"}


@said("phantom: off, not written down", "copper")
def _(r: Data, h: Data, s: Data) -> None:
    del s["phantom"][3]


@said("phantom: a split's own supply is switched off", "copper")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["split"]["banks"]["in"]["phantom_supply"] = True
    s["phantom"] += [{"at": f"SPLIT.in[{number}]"} for number in range(1, 4)]


@said("phantom: a split's own supply is switched on for one", "copper")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["split"]["banks"]["in"]["phantom_supply"] = True
    s["phantom"][3] = {"at": "MON.mic[1]"}
    s["phantom"] += [{"at": f"SPLIT.in[{number}]", "on": number == 1} for number in range(1, 4)]


@said("phantom: the last socket of a split", "copper")
def _(r: Data, h: Data, s: Data) -> None:
    h["sources"].append({"id": "last", "phantom": "need"})
    h["plug"].append({"source": "last", "into": ["SPLIT.in"]})
    s["plugs"]["last"] = "SPLIT.in[4]"
    s["phantom"].append({"at": "MON.mic[4]", "on": True, "because": ["last"]})


@said("phantom: whether a split's row passes is unknown", "copper")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["split"]["select"][0].pop("dc")


@said("phantom: a link is named from the desk", "copper")
def _(r: Data, h: Data, s: Data) -> None:
    r["links"][0]["join"].reverse()


@said("phantom: a link joins runs", "copper")
def _(r: Data, h: Data, s: Data) -> None:
    r["links"][0]["join"] = ["SPLIT.direct[1-4]", "MON.mic[1-4]"]


@said("phantom: a link joins shorter runs", "copper")
def _(r: Data, h: Data, s: Data) -> None:
    r["links"][0]["join"] = ["SPLIT.direct[2-4]", "MON.mic[2-4]"]


for _words in ((), ("no", ""), ("no", "yes"), ("no", "no"), ("", "yes"), ("", "")):

    @said(f"phantom: cables that pass {', '.join(_word or 'who knows' for _word in _words) or 'who knows, none named'}", "copper")
    def _(r: Data, h: Data, s: Data, dc: tuple[str, ...] = _words) -> None:
        cables(r, 0, *dc)
