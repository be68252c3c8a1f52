"""Kinds of faults in signals: lists, selections, taps, links, plugs, mixes, routes, documents."""

from __future__ import annotations

from .bases import route, select
from .planting import Data, drop, fault, of, reroute, shared, take, unroute

# what a list gets

fault("a channel takes another source's slot", "house", "wrong-signal")(lambda r, h, s: take(s, "FOH.ch[1]", "FOH.a.in[9]"))
fault("a channel takes an empty slot", "house", "not-delivered")(lambda r, h, s: take(s, "FOH.ch[1]", "FOH.a.in[12]"))
fault("a channel takes nothing", "house", "not-delivered")(lambda r, h, s: drop(s, "FOH.ch[1]"))
fault("a fixed channel is missed", "house", "wrong-channel")(
    lambda r, h, s: (drop(s, "FOH.ch[15]"), take(s, "FOH.ch[14]", "FOH.a.in[7]"))
)
fault("an entry lands outside its run", "house", "outside-within")(
    lambda r, h, s: (drop(s, "FOH.ch[9]"), take(s, "FOH.ch[13]", "FOH.a.in[3]"))
)
fault("an entry lands one channel late", "house", "wrong-channel")(
    lambda r, h, s: (drop(s, "FOH.ch[7]"), take(s, "FOH.ch[8]", "FOH.b.in[1]"))
)
fault("a channel left empty is fed", "house", "gap-not-empty")(lambda r, h, s: take(s, "FOH.ch[6]", "FOH.a.in[12]"))
fault("the alternate input takes another source", "house", "alternate-wrong")(
    lambda r, h, s: take(s, "MON.ch[1]", "MON.intake[1]", alternate=True)
)
fault("the alternate input takes nothing", "house", "alternate-wrong")(lambda r, h, s: drop(s, "MON.ch[1]", True))
fault("a wish is dropped in silence", "house", "wish-unsaid")(lambda r, h, s: s.update(unmet=[]))
fault("a wish is called unmet and is carried", "house", "unmet-but-met")(lambda r, h, s: s.update(unmet=["foh: lap", "mon: lap"]))
fault("a must is given up as a wish", "house", "must-unmet")(lambda r, h, s: s.update(unmet=["mon: kick", "mon: lap"]))
fault("a list is longer than its bank", "house", "list-too-long")(
    lambda r, h, s: of(h["lists"], "foh")["wants"].append({"signal": "kick"})
)
fault("a list wants what is not in use", "acts", "want-absent")(
    lambda r, h, s: h["periods"][2].update(lists={"foh": [{"signal": "one"}, None, {"signal": "three"}]})
)


@fault("two channels are exchanged", "house", "wrong-channel")
def _(rig: Data, show: Data, s: Data) -> None:
    take(s, "FOH.ch[1]", "FOH.a.in[2]")
    take(s, "FOH.ch[5]", "FOH.a.in[1]")


@fault("the legs of a pair are swapped at a desk", "house", "legs-swapped")
def _(rig: Data, show: Data, s: Data) -> None:
    drop(s, "FOH.ch[3-4]")
    take(s, "FOH.ch[3]", "FOH.a.in[6]")
    take(s, "FOH.ch[4]", "FOH.a.in[5]")


@fault("the legs of a pair are swapped at the box", "house", "legs-swapped")
def _(rig: Data, show: Data, s: Data) -> None:
    s["plugs"].update({"oh.L": "BOX.mic[6]", "oh.R": "BOX.mic[5]"})


@fault("two sources are plugged in each other's sockets", "house", "route-disagrees")
def _(rig: Data, show: Data, s: Data) -> None:
    s["plugs"].update({"vox2": "BOX.mic[12]", "di": "BOX.mic[3]"})
    s["plugs"].update({"vox2": "BOX.mic[7]"})
    show["sources"][2]["phantom"] = show["sources"][4]["phantom"] = "no"
    s["phantom"][1]["because"] = ["oh.L", "oh.R"]


@fault("a pair starts on an even slot of a pair-locked bank", "house", "wrong-channel")
def _(rig: Data, show: Data, s: Data) -> None:
    rig["types"]["foh"]["banks"]["ch"]["pairs"] = True
    drop(s, "FOH.ch[3-4]")
    take(s, "FOH.ch[2-3]", "FOH.a.in[5-6]")


@fault("an order that is not kept is not noted", "house", "order-unsaid")
def _(rig: Data, show: Data, s: Data) -> None:
    show["lists"].append(
        {"id": "tape", "position": "tape", "at": "MON.intake", "wants": [{"signal": "vox1"}, {"signal": "kick"}]}
    )
    for entry, leg, number in ((1, "vox1", 2), (2, "kick", 1)):
        s["routes"].append(
            route(leg, "tape", entry, f"BOX.mic[{number}] > BOX.main.out[{number}] > MON.a.in[{number}] > MON.intake[{number}]")
        )


# selections and the rows that allow them


@fault("a block starts one slot late", "house", "select-misaligned")
def _(rig: Data, show: Data, s: Data) -> None:
    take(s, "MON.intake[1-8]", "MON.a.in[2-9]")


fault("a block lands one slot late", "house", "select-misaligned")(
    lambda r, h, s: (
        drop(s, "MON.intake[9-16]"),
        take(s, "MON.intake[8-15]", "MON.b.in[1-8]"),
        h.update(fixed=[]),
        drop(s, "MON.intake[1-8]"),
        take(s, "MON.intake[1-8]", "MON.a.in[1-8]"),
    )
)
fault("half a block is chosen", "house", "select-length")(
    lambda r, h, s: (drop(s, "MON.intake[9-16]"), take(s, "MON.intake[9-12]", "MON.b.in[1-4]"))
)
fault("two blocks are chosen as one", "house", "select-length")(
    lambda r, h, s: (drop(s, "MON.intake[9-16]"), drop(s, "MON.intake[1-8]"), take(s, "MON.intake[1-16]", "MON.a.in[1-16]"))
)
fault("another block is chosen", "house", "route-disagrees")(lambda r, h, s: take(s, "MON.intake[9-16]", "MON.a.in[9-16]"))
fault("the runs of a choice differ in length", "house", "select-length")(lambda r, h, s: take(s, "FOH.ch[3-4]", "FOH.a.in[5-7]"))
fault("a channel takes what no row lets it", "house", "no-select-row")(lambda r, h, s: take(s, "MON.ch[2]", "MON.a.in[1]"))
fault("an alternate input takes what only the main may", "house", "no-select-row")(
    lambda r, h, s: take(s, "MON.ch[1]", "MON.talk[1]", alternate=True)
)
fault("a channel takes a slot of another device", "house", "no-select-row")(lambda r, h, s: take(s, "FOH.ch[1]", "BOX.mic[1]"))
fault("a slot beyond the bank is fed", "house", "out-of-range")(lambda r, h, s: take(s, "FOH.ch[17]", "FOH.a.in[1]"))
fault("a slot beyond the bank is taken", "house", "out-of-range")(lambda r, h, s: take(s, "FOH.line[3]", "FOH.mix[5]", "post"))
fault("a bank is named that the device lacks", "house", "no-such-place")(
    lambda r, h, s: take(s, "FOH.aux[1]", "FOH.mix[1]", "post")
)
fault("a choice is set on a device that is not there", "acts", "device-absent")(
    lambda r, h, s: (
        h["periods"][0].update(without_devices=["REST"]) or s["selections"].append(select("REST.ch[1]", "REST.mic[1]"))
    )
)
fault("a fixed choice is not set", "house", "fixed-ignored")(
    lambda r, h, s: h["fixed"].append({"into": "FOH.ch[1]", "from": "FOH.a.in[8]"})
)
fault("a slot is chosen twice", "house", "one-feeder")(lambda r, h, s: s["selections"].append(select("FOH.ch[1]", "FOH.a.in[9]")))
fault("two blocks claim one place", "house", "one-feeder")(
    lambda r, h, s: s["selections"].append(select("MON.intake[9-16]", "MON.a.in[9-16]"))
)
fault("two wired rows write one slot", "house", "one-feeder")(
    lambda r, h, s: r["types"]["box"]["select"].append({"into": "main.out[16]", "wired": "mic[15]"})
)
fault("more of a shared pool is used than there is", "house", "limit-exceeded")(
    lambda r, h, s: r["types"]["mon"]["limits"][0].update(most=3)
)


@fault("a plug stands where a cable is", "house", "one-feeder")
def _(rig: Data, show: Data, s: Data) -> None:
    show["sources"].append({"id": "extra", "phantom": "no"})
    s["plugs"]["extra"] = "AMP.in[1]"


@fault("slots feed each other in a circle", "house", "signal-loop")
def _(rig: Data, show: Data, s: Data) -> None:
    drop(s, "FOH.b.out[1-2]")
    take(s, "FOH.b.out[1]", "FOH.ch[7]", "in")
    take(s, "FOH.b.out[2]", "FOH.mix[2]", "post")
    take(s, "MON.out[1]", "MON.ch[16]", "in")
    take(s, "MON.ch[16]", "MON.intake[9]")


# taps


@fault("a source is handed on after the fader", "house", "tap-not-raw")
def _(rig: Data, show: Data, s: Data) -> None:
    shared(rig, show, s)
    take(s, "MON.out[1]", "MON.ch[16]", "post")


@fault("a source is handed on after more than its want allows", "house", "tap-not-raw")
def _(rig: Data, show: Data, s: Data) -> None:
    shared(rig, show, s)
    of(show["lists"], "foh")["wants"][4]["tap"] = "filter"
    take(s, "MON.out[1]", "MON.ch[16]", "post")


@fault("a feed is taken after more than it allows", "house", "tap-not-allowed")
def _(rig: Data, show: Data, s: Data) -> None:
    of(show["feeds"], "wedge")["tap"] = "processing"


fault("a tap is named that the bank lacks", "house", "tap-unknown")(
    lambda r, h, s: take(s, "FOH.line[1-2]", "FOH.mix[1-2]", "side")
)
fault("a tap is named that the row does not offer", "house", "tap-unknown")(
    lambda r, h, s: r["types"]["foh"]["select"][1].update(taps=["pre"])
)
fault("no tap is named where there are several", "house", "tap-unknown")(lambda r, h, s: take(s, "FOH.line[1-2]", "FOH.mix[1-2]"))


@fault("a channel that hands nothing on is taken", "house", "tap-unknown")
def _(rig: Data, show: Data, s: Data) -> None:
    shared(rig, show, s)
    rig["types"]["mon"]["banks"]["ch"].pop("taps")
    take(s, "MON.out[1]", "MON.ch[16]")


# links, directions, rates

fault("a link is over-full at this rate", "house", "link-capacity")(
    lambda r, h, s: r["formats"]["eight"].update(channels={"48000": [8, 1]})
)
fault("a port is smaller than what is sent", "house", "link-capacity")(
    lambda r, h, s: (
        r["types"]["foh"]["ports"]["b"].update(slots={"in": 8, "out": 8})
        or r["types"]["mon"]["ports"]["b"].update(slots={"in": 1, "out": 8})
        or (drop(s, "MON.intake[9-16]"), take(s, "MON.intake[9]", "MON.b.in[1]"))
    )
)
fault("a return is sent up a one-way link", "house", "link-direction")(lambda r, h, s: of(r["links"], "K3").update(format="one"))
fault("a port passes no audio this way", "house", "link-direction")(
    lambda r, h, s: r["types"]["foh"]["ports"]["b"].update({"pass": {"in": ["audio", "clock"], "out": ["clock"]}})
)
fault("a link is set to pass no audio", "border", "link-direction")(
    lambda r, h, s: of(r["links"], "T1").update({"pass": ["clock"]})
)
fault("an end does not speak the link's format", "border", "link-direction")(
    lambda r, h, s: r["types"]["truck"]["ports"]["r"].update(speaks=["wc"])
)
fault("a link's format does not work at this rate", "house", "rate-unsupported")(
    lambda r, h, s: r["formats"]["eight"].update(channels={"44100": 8})
)
fault("a bank does not work at this rate", "house", "rate-unsupported")(
    lambda r, h, s: r["types"]["foh"]["banks"]["ch"].update(slots={"96000": 16})
)
fault("a link is not joined", "border", "link-absent")(lambda r, h, s: r["links"].remove(of(r["links"], "T2")))
fault("a link on the way is not joined", "border", "link-absent")(lambda r, h, s: r["links"].remove(of(r["links"], "T1")))
fault("the ends of a link are framed differently", "border", "framing-mismatch")(
    lambda r, h, s: of(r["links"], "T1").update(framing=["interleaved", "native"])
)
fault("a link is framed as an end cannot", "border", "framing-mismatch")(
    lambda r, h, s: of(r["links"], "T1").update(framing=["other", "other"])
)
fault("two domains meet inside a device that does not convert", "border", "converts-missing")(
    lambda r, h, s: r["types"]["src"]["select"][0].pop("converts")
)


@fault("a link crosses two domains", "border", "rate-crossing")
def _(rig: Data, show: Data, s: Data) -> None:
    rig["links"] = [{"id": "T2", "join": ["STAGE.t", "TRUCK.r"], "format": "serial"}]
    s["clock"][0]["followers"] = s["clock"][1]["followers"] = []
    for row in s["routes"]:
        row["hops"] = [hop for hop in row["hops"] if not hop.startswith("SRC")]


# plugs

fault("something is plugged that is no source", "house", "plug-unknown")(lambda r, h, s: s["plugs"].update(ghost="BOX.mic[13]"))
fault("a source of another act stays plugged", "acts", "plug-unknown")(
    lambda r, h, s: s["all"][2]["plugs"].update(one="DESK.mic[4]")
)
fault("a source is plugged into a slot inside a desk", "house", "plug-no-socket")(
    lambda r, h, s: s["plugs"].update(vox2="MON.intake[4]")
)
fault("a source is plugged into an output", "house", "plug-no-socket")(lambda r, h, s: s["plugs"].update(vox2="BOX.line[8]"))
fault("a source is plugged beyond the last socket", "house", "plug-no-socket")(
    lambda r, h, s: s["plugs"].update(vox2="BOX.mic[17]")
)
fault("a source is plugged into a device that is not there", "house", "device-absent")(
    lambda r, h, s: s["plugs"].update(vox2="BOX2.mic[1]")
)
fault("a source is plugged where the show does not let it", "house", "plug-not-allowed")(
    lambda r, h, s: of(h["plug"], "vox2", "source").update(into=["BOX.mic[10-16]"])
)
fault("a fixed socket is missed", "house", "plug-not-allowed")(
    lambda r, h, s: of(h["plug"], "kick", "source").update(into=["BOX.mic[4]"])
)
fault("a socket for one purpose is used without being named", "house", "plug-not-allowed")(
    lambda r, h, s: h["plug"].remove(of(h["plug"], "talk_mon", "source"))
)
fault("two sources share a socket", "house", "plug-shared")(lambda r, h, s: s["plugs"].update(vox2="BOX.mic[2]"))
fault("a wanted source is plugged nowhere", "house", "plug-missing")(lambda r, h, s: s["plugs"].pop("vox2"))
fault("a scene moves a plug", "acts", "plug-moved-in-scene")(lambda r, h, s: s["all"][1]["plugs"].update(two="DESK.mic[3]"))

# mixes and feeds

fault("something is mixed that is no feed", "house", "mix-unknown")(lambda r, h, s: s["mixes"].update(ghost="MON.mix[8]"))
fault("a feed is mixed on what is no mix", "house", "mix-not-sum")(lambda r, h, s: s["mixes"].update(wedge="MON.out[8]"))
fault("a feed is mixed at another desk", "house", "mix-elsewhere")(lambda r, h, s: s["mixes"].update(wedge="FOH.mix[3]"))
fault("a feed is mixed outside the run it names", "house", "mix-elsewhere")(
    lambda r, h, s: s["mixes"].update({"ear.L": "MON.mix[2]"})
)
fault("two feeds share a mix", "house", "mix-shared")(lambda r, h, s: s["mixes"].update(wedge="MON.mix[3]"))
fault("a feed is mixed nowhere", "house", "mix-missing")(lambda r, h, s: s["mixes"].pop("wedge"))
fault("a feed's way home is cut", "house", "route-disagrees")(lambda r, h, s: drop(s, "MON.a.out[1]"))
fault("a feed's way home is cut and its route forgotten", "house", "feed-not-delivered")(
    lambda r, h, s: (drop(s, "MON.a.out[1]"), unroute(s, "wedge", "wedge"))
)


@fault("a feed is led to another socket", "house", "feed-wrong-place")
def _(rig: Data, show: Data, s: Data) -> None:
    drop(s, "MON.a.out[1]")
    take(s, "MON.a.out[2]", "MON.mix[1]", "post")
    reroute(s, "wedge", "wedge", "MON.mix[1] > MON.a.out[2] > BOX.main.in[2] > BOX.line[2]")


@fault("a destination gets another feed", "house", "wrong-signal")
def _(rig: Data, show: Data, s: Data) -> None:
    take(s, "MON.a.out[1]", "MON.mix[3]", "post")
    unroute(s, "wedge", "wedge")


@fault("the legs of a feed are swapped", "house", "legs-swapped")
def _(rig: Data, show: Data, s: Data) -> None:
    drop(s, "FOH.line[1-2]")
    take(s, "FOH.line[1]", "FOH.mix[2]", "post")
    take(s, "FOH.line[2]", "FOH.mix[1]", "post")


@fault("the legs of a feed arrive out of order in a choice", "house", "legs-swapped")
def _(rig: Data, show: Data, s: Data) -> None:
    drop(s, "MON.a.out[3-4]")
    take(s, "MON.a.out[4]", "MON.mix[3]", "post")
    take(s, "MON.a.out[3]", "MON.mix[4]", "post")
    reroute(s, "ear.L", "ear", "MON.mix[3] > MON.a.out[4] > BOX.main.in[4] > BOX.line[4]")
    reroute(s, "ear.R", "ear", "MON.mix[4] > MON.a.out[3] > BOX.main.in[3] > BOX.line[3]")


# routes and documents

fault("a route names a hop that is not taken", "house", "route-disagrees")(
    lambda r, h, s: of(s["routes"], "kick", "leg")["hops"].__setitem__(1, "BOX.mirror.out[2]")
)
fault("a route starts where nothing is plugged", "house", "route-disagrees")(
    lambda r, h, s: of(s["routes"], "kick", "leg")["hops"].__setitem__(0, "BOX.mic[4]")
)
fault("a route speaks of no list", "house", "route-unknown")(
    lambda r, h, s: s["routes"].append(route("kick", "nobody", 1, "BOX.mic[1]"))
)
fault("a route speaks of no entry", "house", "route-unknown")(
    lambda r, h, s: s["routes"].append(route("kick", "foh", 4, "BOX.mic[1]"))
)
fault("a route brings another signal than its entry", "house", "route-unknown")(
    lambda r, h, s: s["routes"].append(route("kick", "foh", 3, "BOX.mic[1]"))
)
fault("a route leaves the rig", "house", "route-unknown")(
    lambda r, h, s: s["routes"].append(route("kick", "foh", 1, "BOX.mic[1] > BOX.aux.out[1] > FOH.ch[1]"))
)
fault("a delivered leg has no route", "house", "route-missing")(lambda r, h, s: unroute(s, "kick", "foh"))
fault("the patch is another rig's", "house", "digest-mismatch")(lambda r, h, s: s["patch"].update(rig="sha256:0"))
fault("the patch is another show's", "house", "digest-mismatch")(lambda r, h, s: s["patch"].update(show="sha256:0"))
fault("a period is missing", "acts", "period-missing")(lambda r, h, s: s["all"].pop())
fault("a period is set that is not in the show", "acts", "period-unknown")(lambda r, h, s: s["all"].append({"period": "third"}))
