"""More kinds only rules see: clock lines, cables and shields, outputs and talk, names, spares.

Comes in: `ruled` of `faults_of_rules`.  Goes out: nothing; kinds are entered there.  Next: `faults`, for its page.
"""

from __future__ import annotations

from .bases import route, select
from .faults_of_rules import delays, ruled, source
from .planting import Data, of

__all__: list[str] = []


def clock_line(r: Data, **more: object) -> None:
    """Join the two desks by a clock line beside the link."""
    r["formats"]["wc"]["medium"] = ["coax-75"]
    r["links"].append({"id": "W", "join": ["MON.wc", "FOH.wc"], "format": "wc", **more})


def cables(r: Data, key: str, *rows: Data) -> None:
    """Say what a link runs over."""
    of(r["links"], key)["cables"] = list(rows)


def feed(h: Data, key: str, **more: object) -> None:
    """Say more of a feed."""
    of(h["feeds"], key).update(more)


def store(r: Data, h: Data, count: int = 9) -> None:
    """Place box and kick on the plan, and put cables of five metres into the store."""
    r["stock"] = [{"id": "c5", "kind": "cable", "length_m": 5, "count": count, "connectors": ["XLR-3F", "XLR-3M"]}]
    r["types"]["box"]["banks"]["mic"]["connector"] = "XLR-3"
    r["devices"]["BOX"]["place"] = {"at": [0, 0]}


# clock and links

ruled("a clock line is ended at both ends", "house", "clock-line-ended")(lambda r, h, s: clock_line(r, ended="both"))
ruled("a clock line is ended nowhere", "house", "clock-line-ended")(lambda r, h, s: clock_line(r, ended="none"))
ruled("a clock line runs over a microphone cable", "house", "length-within-medium")(
    lambda r, h, s: clock_line(r, ended="second", cables=[{"medium": "pair-110"}])
)
ruled("the next leader leaves too", "house", "fallback-reaches")(lambda r, h, s: r["devices"]["BOX"].update(leaves=True))


@ruled("the next leader's clock does not get to the box", "house", "fallback-reaches")
def _heir(r: Data, h: Data, s: Data) -> None:
    r["domains"]["main"]["fallback"] = ["FOH"]
    of(s["clock"], "main")["fallback"] = ["FOH"]


@ruled("a link at a rate with two framings says none", "house", "framing-unsaid")
def _framing(r: Data, h: Data, s: Data) -> None:
    r["formats"]["cat"].update(framings=["one", "two"], channels={"44100": 32, "48000": 16})


@ruled("clock comes over a packet network, and nobody is named to lead", "house", "election-pinned")
def _election(r: Data, h: Data, s: Data) -> None:
    r["formats"]["cat"]["packet_ms"] = 1
    r["domains"]["main"].pop("leader")


ruled("a box and a desk have one address", "house", "address-unique")(
    lambda r, h, s: [r["devices"][key].update(address="7") for key in ("BOX", "FOH")]
)


@ruled("a link is longer than its format goes", "house", "length-within-medium")
def _long(r: Data, h: Data, s: Data) -> None:
    r["formats"]["cat"]["most_m"] = 100
    cables(r, "K2", {"length_m": 120})


@ruled("a link is nearly as long as its format goes", "house", "length-within-medium")
def _care(r: Data, h: Data, s: Data) -> None:
    r["formats"]["cat"]["most_m"] = 100
    cables(r, "K2", {"length_m": 85})


ruled("both cables of a link run one way", "house", "redundancy-real")(
    lambda r, h, s: cables(r, "K2", {"route": "left"}, {"route": "left"})
)
ruled("recall may change outputs that never change", "acts", "recall-safe")(
    lambda r, h, s: r["devices"]["DESK"].update(recalls=["outputs"]) or r["types"]["desk"].update(role="desk")
)

# outputs and talk


@ruled("two mixes of one desk are in each other", "house", "feed-comes-back")
def _ring(r: Data, h: Data, s: Data) -> None:
    feed(h, "wedge", of=["ear"])
    feed(h, "ear", of=["wedge"])


ruled("a far end hears itself", "house", "n-minus-one")(
    lambda r, h, s: feed(h, "wedge", kind="n-1", excludes="vox1", of=["vox1", "kick"])
)


@ruled("an ear mix is led to another's pack", "house", "ear-path-complete")
def _pack(r: Data, h: Data, s: Data) -> None:
    feed(h, "ear", kind="ear", of=["kick"], person="singer")
    of(h["feeds"], "ear")["to"][0]["person"] = "drummer"


@ruled("the house should talk to monitors and has no microphone for it", "house", "talk-reaches")
def _talk(r: Data, h: Data, s: Data) -> None:
    source(h, "talk_mon", kind="talkback")
    h["talk"] = [{"from": "foh", "to": ["mon"]}]


@ruled("monitors should be heard in the ear mix", "house", "talk-reaches")
def _heard(r: Data, h: Data, s: Data) -> None:
    source(h, "talk_mon", kind="talkback")
    feed(h, "ear", of=["kick"])
    h["talk"] = [{"from": "talk_mon", "to": ["ear"]}]


@ruled("the talkback is in the house mix", "house", "talk-kept-out")
def _kept(r: Data, h: Data, s: Data) -> None:
    source(h, "talk_mon", tags=["talk"])
    feed(h, "pa", kind="pa", of=["kick", "talk_mon"])


@ruled("a track may be taken after the trim", "house", "record-order")
def _track(r: Data, h: Data, s: Data) -> None:
    r["types"]["foh"]["banks"]["ch"]["ends"] = "record"
    of(h["lists"], "foh")["wants"][0]["tap"] = "trim"


@ruled("two tracks write one file", "house", "record-order")
def _file(r: Data, h: Data, s: Data) -> None:
    r["types"]["foh"]["banks"]["ch"]["ends"] = "record"
    for key in ("kick", "vox1"):
        source(h, key, file_name="take")


@ruled("a recorder is full before the end", "house", "record-space")
def _full(r: Data, h: Data, s: Data) -> None:
    r["types"]["foh"]["banks"]["ch"]["ends"] = "record"
    r["devices"]["FOH"].update(space_gb=1, record_h=2)


@ruled("one side of a pair goes through an insert", "house", "insert-latency")
def _insert(r: Data, h: Data, s: Data) -> None:
    delays(r)
    h["inserts"] = [{"position": "foh", "channel": "FOH.ch[3]", "send": "FOH.line[3]", "return": "BOX.mic[12]"}]


# copper


@ruled("nothing in the store gets to the kick", "house", "reach")
def _far(r: Data, h: Data, s: Data) -> None:
    store(r, h)
    source(h, "kick", at=[30, 0])


@ruled("the cable named is shorter than the way", "house", "reach")
def _short(r: Data, h: Data, s: Data) -> None:
    r["devices"]["BOX"]["place"] = {"at": [0, 0]}
    source(h, "kick", at=[8, 0], cable_m=5)


@ruled("two links take the one cable there is", "house", "pull-list-within-stock")
def _pull(r: Data, h: Data, s: Data) -> None:
    store(r, h, count=1)
    for key in ("K1", "K2"):
        cables(r, key, {"length_m": 5, "stock": "c5"})


ruled("a shield is lifted where phantom returns", "copper", "shield-story")(
    lambda r, h, s: cables(r, "D", {"dc": "yes", "shield": "lifted-b"})
)
ruled("copper without a shield", "copper", "shield-story")(lambda r, h, s: cables(r, "I", {"dc": "yes", "shield": "none"}))

# names, spares, places

ruled("a list calls the kick by the name of a voice that is on another list", "house", "labels-agree")(
    lambda r, h, s: of(h["lists"], "mon")["wants"][1].update(name="di")
)
ruled("a list has a name of its own for the kick", "house", "labels-agree")(
    lambda r, h, s: of(h["lists"], "mon")["wants"][1].update(name="Bass drum")
)


@ruled("a pair draws more than the supply gives", "house", "phantom-current")
def _current(r: Data, h: Data, s: Data) -> None:
    r["types"]["box"]["preamps"]["pre"]["phantom_ma"] = 10
    source(h, "oh", phantom_ma=6)
    source(h, "di", phantom_ma=1)


ruled("nobody says whether the kick may have phantom", "house", "phantom-unresolved")(
    lambda r, h, s: of(h["sources"], "kick").pop("phantom")
)


@ruled("a spare is in the box of the voice it stands in for", "house", "spare-stands-apart")
def _apart(r: Data, h: Data, s: Data) -> None:
    source(h, "vox2", spare_of="vox1")
    of(h["plug"], "vox2", "source")["into"] = ["BOX.mic", "MON.talk"]


@ruled("a spare is wanted at another gain", "house", "spare-gain-matches")
def _unlike(r: Data, h: Data, s: Data) -> None:
    source(h, "kick", kind="mic", want_db={"mon": 24})
    source(h, "di", kind="mic", want_db={"mon": 30}, spare_of="kick")
    of(h["lists"], "mon")["wants"][1]["alternate"] = "di"
    s["selections"].append(select("MON.ch[2]", "MON.intake[7]", alternate=True))
    hops = "BOX.mic[7] > BOX.main.out[7] > MON.a.in[7] > MON.intake[7] > MON.ch[2]"
    s["routes"].append(route("di", "mon", 2, hops, True))
    of(s["gains"], "kick", "leg").update(interval_db=[0, 48], trims_db={"mon": 0})
    s["gains"].append({"leg": "di", "at": "BOX.mic[7]", "gain_db": 30, "interval_db": [6, 54], "trims_db": {"mon": 0}})


ruled("a radio has no spare", "house", "radio-spare")(lambda r, h, s: source(h, "kick", kind="radio"))


@ruled("the box stands on the fire way", "house", "walkway-kept-clear")
def _way(r: Data, h: Data, s: Data) -> None:
    r["devices"]["BOX"]["place"] = {"at": [2, 2]}
    h["stage"] = {"things": [{"kind": "walkway", "name": "Fire way", "at": [2, 3], "size": [2, 4]}]}
