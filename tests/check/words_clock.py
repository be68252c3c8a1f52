"""Cases of the clock where planted faults do not reach: what lies just inside a limit, what is said beside.

Comes in: the right patches.  Goes out: cases entered in `words.CASES`.  Next: `test_words.py`.
"""

from __future__ import annotations

from .planting import Data
from .words import follower, leader, said

__all__: list[str] = []


@said("clock: nobody is next, though the rig names one")
def _(r: Data, h: Data, s: Data) -> None:
    leader(s)["fallback"] = []


@said("clock: two are next in another order")
def _(r: Data, h: Data, s: Data) -> None:
    r["domains"]["main"]["fallback"] = ["BOX", "FOH"]
    leader(s)["fallback"] = ["FOH", "BOX"]


@said("clock: who is next and not there tonight may be left out", "acts")
def _(r: Data, h: Data, s: Data) -> None:
    r["domains"]["main"]["fallback"] = ["REST"]
    for number, setting in enumerate(s["all"]):
        setting["clock"] = [{**setting["clock"][0], "fallback": [] if number == 2 else ["REST"]}]


@said("clock: the leader is not there")
def _(r: Data, h: Data, s: Data) -> None:
    leader(s)["leader"] = "GONE"


@said("clock: the first follower is not there, the next are")
def _(r: Data, h: Data, s: Data) -> None:
    leader(s)["followers"].insert(0, {**follower(s, "BOX"), "device": "GONE"})


@said("clock: the first follower is named twice, the next once")
def _(r: Data, h: Data, s: Data) -> None:
    leader(s)["followers"].insert(0, dict(follower(s, "BOX")))


@said("clock: nobody follows")
def _(r: Data, h: Data, s: Data) -> None:
    leader(s)["followers"] = []


@said("clock: one section of two follows nobody", "border")
def _(r: Data, h: Data, s: Data) -> None:
    leader(s, 1)["followers"] = []


@said("clock: a second section leads its own domain", "border")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["src"]["can_lead"] = True
    r["domains"]["truck"]["leader"] = "SRC"
    row = {"device": "TRUCK", "port": "wc", "link": "W2", "from": "SRC", "depth": 1}
    leader(s, 1).update(leader="SRC", followers=[row])


@said("clock: a second section leads, and the first of it does not follow", "border")
def _(r: Data, h: Data, s: Data) -> None:
    r["types"]["src"]["can_lead"] = True
    r["domains"]["truck"]["leader"] = "SRC"
    row = {"device": "TRUCK", "port": "wc", "link": "W2", "from": "SRC", "depth": 1}
    leader(s, 1).update(leader="SRC", followers=[row])
    leader(s)["followers"] = []


@said("clock: a device without clock is followed over a link that joins others")
def _(r: Data, h: Data, s: Data) -> None:
    follower(s, "BOX")["from"] = "AMP"


@said("clock: a link that passes none leads to a device without clock")
def _(r: Data, h: Data, s: Data) -> None:
    r["devices"]["HUB"] = {"type": "mon"}
    r["links"].append({"id": "K9", "join": ["HUB.a", "FOH.b"], "format": "cat", "pass_": ["audio"]})
    follower(s, "FOH").update(port="b", link="K9", **{"from": "HUB"})
