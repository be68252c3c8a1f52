"""Kinds of faults in what rides along: clock, owners, gain, phantom, spares."""

from __future__ import annotations

from .planting import Data, drop, fault, of

# clock


def clock(s: Data, key: str = "main") -> Data:
    """Return the row of a clock domain."""
    return of(s["clock"], key)


fault("a clock domain in use is not set", "house", "clock-no-row")(lambda r, h, s: s.update(clock=[]))
fault("a clock domain is set that the rig lacks", "house", "clock-unknown-domain")(
    lambda r, h, s: s["clock"].append({"id": "video", "leader": "FOH"})
)
fault("a domain has no leader", "house", "clock-no-leader")(lambda r, h, s: clock(s).update(leader=""))
fault("a domain has two leaders", "house", "clock-two-leaders")(
    lambda r, h, s: s["clock"].append({"id": "main", "leader": "FOH"})
)
fault("a leader cannot lead", "house", "clock-cannot-lead")(lambda r, h, s: r["devices"]["MON"].update(can_lead=False))
fault("a leader is of another domain", "border", "clock-cannot-lead")(
    lambda r, h, s: (
        (r["domains"]["stage"].pop("leader") and clock(s, "stage").update(leader="TRUCK", followers=[]))
        or (drop(s, "STAGE.t.out[1-2]"), s.update(plugs={}, selections=[], routes=[]), h.update(lists=[]))
    )
)
fault("another device leads than the rig says", "house", "clock-leader-unlike")(
    lambda r, h, s: r["domains"]["main"].update(leader="FOH")
)
fault("the fallback is not the rig's", "house", "clock-fallback-unlike")(lambda r, h, s: clock(s).update(fallback=["FOH"]))
fault("the next leader cannot lead", "house", "clock-cannot-lead")(lambda r, h, s: r["types"]["box"].update(can_lead=False))
fault("the rate is not the rig's", "house", "clock-rate")(lambda r, h, s: clock(s).update(rate=44100))
fault("a follower's link does not join it", "house", "clock-not-joined")(
    lambda r, h, s: clock(s)["followers"][1].update(link="K1")
)
fault("a follower's link is not there", "house", "clock-not-joined")(lambda r, h, s: clock(s)["followers"][1].update(link="K9"))
fault("a follower's link is set to pass no clock", "house", "clock-not-passed")(
    lambda r, h, s: of(r["links"], "K2").update({"pass": ["audio"]})
)
fault("a follower's format carries no clock", "house", "clock-not-passed")(
    lambda r, h, s: (
        r["formats"].update(bare={"channels": {"48000": 16}})
        or r["types"]["foh"]["ports"]["a"].update(speaks=["bare"])
        or r["types"]["box"]["ports"]["mirror"].update(speaks=["bare"])
        or of(r["links"], "K2").update(format="bare")
    )
)
fault("a port gives no clock", "house", "clock-not-passed")(
    lambda r, h, s: r["types"]["box"]["ports"]["mirror"].update({"pass": {"in": [], "out": ["audio"]}})
)
fault("clock is taken against a one-way link", "border", "clock-not-passed")(
    lambda r, h, s: r["formats"]["wc"].update(one_way=True) or of(r["links"], "W1").update(join=["SRC.wcA", "STAGE.wc"])
)
fault("a section takes another section's clock", "border", "clock-wrong-domain")(
    lambda r, h, s: clock(s, "stage")["followers"][0].update(port="wcB", link="W2", **{"from": "TRUCK"})
)
fault("a device follows a device of another domain", "border", "clock-wrong-domain")(
    lambda r, h, s: (
        of(r["links"], "W1").update(join=["TRUCK.wc", "SRC.wcA"])
        or of(r["links"], "W2").update(join=["STAGE.wc", "SRC.wcB"])
        or clock(s, "stage")["followers"][0].update({"from": "TRUCK"})
        or clock(s, "truck")["followers"].clear()
        or r["devices"]["SRC"]["clocks"].update(B="stage")
        or r["links"].remove(of(r["links"], "T2"))
        or h.update(lists=[], sources=[])
        or s.update(selections=[], routes=[], plugs={})
    )
)
fault("a device takes its clock twice", "house", "clock-two-inputs")(
    lambda r, h, s: clock(s)["followers"].append({"device": "FOH", "port": "b", "link": "K3", "from": "MON", "depth": 1})
)
fault("a leader follows its own follower", "house", "clock-loop")(
    lambda r, h, s: clock(s)["followers"].append({"device": "MON", "port": "b", "link": "K3", "from": "FOH", "depth": 3})
)
fault("followers follow each other", "house", "clock-loop")(
    lambda r, h, s: (
        r["domains"].update(main={"rate": 48000})
        or clock(s).update(
            leader="BOX",
            fallback=[],
            followers=[
                {"device": "FOH", "port": "b", "link": "K3", "from": "MON", "depth": 1},
                {"device": "MON", "port": "b", "link": "K3", "from": "FOH", "depth": 2},
            ],
        )
    )
)
fault("a device in use has no clock", "house", "clock-missing")(lambda r, h, s: clock(s)["followers"].pop())
fault("the device others follow has no clock", "house", "clock-missing")(lambda r, h, s: clock(s)["followers"].pop(0))
fault("the hops from the leader are miscounted", "house", "clock-depth")(lambda r, h, s: clock(s)["followers"][1].update(depth=1))
fault("a device that is not there follows", "acts", "device-absent")(
    lambda r, h, s: s["all"][2].update(
        clock=[{"id": "main", "leader": "DESK", "followers": [{"device": "REST", "port": "x", "link": "X", "from": "DESK"}]}]
    )
)


@fault("a chain of clock ends at a device without", "house", "clock-broken")
def _(rig: Data, show: Data, s: Data) -> None:
    rig["types"]["hub"] = {"ports": {"p": {"speaks": ["wc"], "slots": 0, "pass": ["clock"]}}}
    rig["devices"]["HUB"] = {"type": "hub"}
    rig["links"].append({"id": "H", "join": ["HUB.p", "FOH.wc"], "format": "wc"})
    clock(s)["followers"][1].update({"port": "wc", "link": "H", "from": "HUB", "depth": 1})


# owners


def owner(s: Data) -> Data:
    """Return the first ownership."""
    return s["owners"][0]  # type: ignore[no-any-return]


fault("an owner is no position", "house", "owner-unknown")(lambda r, h, s: owner(s).update(owner="nobody") or h.update(owners=[]))
fault("sockets without preamps are owned", "house", "owner-no-preamp")(
    lambda r, h, s: s["owners"].append({"preamps": "BOX.line[1-2]", "owner": "mon", "door": "port", "path": ["MON", "K1", "BOX"]})
)
fault("a preamp has two owners", "house", "owner-two")(
    lambda r, h, s: s["owners"].append({"preamps": "BOX.mic[1-4]", "owner": "foh", "door": "port", "path": ["FOH", "K2", "BOX"]})
)
fault("a box that takes one owner has two", "house", "owner-finer")(
    lambda r, h, s: (
        h.update(owners=[])
        or owner(s).update(preamps="BOX.mic[1-8]")
        or s["owners"].append({"preamps": "BOX.mic[9-16]", "owner": "", "door": "local"})
    )
)
fault("a group that takes one owner has two", "house", "owner-finer")(
    lambda r, h, s: (
        h.update(owners=[])
        or r["types"]["box"]["preamps"]["pre"].update(owner_by="group")
        or owner(s).update(preamps="BOX.mic[1-6]")
        or s["owners"].append({"preamps": "BOX.mic[7-16]", "owner": "", "door": "local"})
    )
)
fault("another position owns than the show says", "house", "owner-unlike-show")(
    lambda r, h, s: h["owners"][0].update(owner="foh")
)
fault("a preamp is owned through a door it lacks", "house", "owner-door")(lambda r, h, s: owner(s).update(door="network"))
fault("a preamp far away is owned by hand", "house", "owner-door")(lambda r, h, s: owner(s).update(door="local", path=["MON"]))
fault("the path of control names a link that joins other devices", "house", "owner-path")(
    lambda r, h, s: owner(s).update(path=["MON", "K2", "BOX"])
)
fault("the path of control starts elsewhere", "house", "owner-path")(lambda r, h, s: owner(s).update(path=["FOH", "K2", "BOX"]))
fault("the path of control is empty", "house", "owner-path")(lambda r, h, s: owner(s).update(path=[]))
fault("an owner sits behind a format without control", "house", "owner-unreachable")(
    lambda r, h, s: r["formats"]["cat"].update({"pass": ["audio", "clock"]})
)
fault("an owner sits at a mirror port", "house", "owner-unreachable")(
    lambda r, h, s: h.update(owners=[]) or owner(s).update(owner="foh", path=["FOH", "K2", "BOX"])
)
fault("an owner sits behind a desk that hands no control on", "house", "owner-unreachable")(
    lambda r, h, s: (
        h.update(owners=[])
        or r["formats"]["eight"].update({"pass": ["audio", "clock", "control"]})
        or owner(s).update(owner="foh", path=["FOH", "K3", "MON", "K1", "BOX"])
    )
)
fault("an owner has no desk", "house", "owner-unreachable")(
    lambda r, h, s: h.update(owners=[], positions={"stage": {}}) or owner(s).update(owner="stage")
)
fault("a desk does not control such boxes", "house", "owner-cannot-control")(
    lambda r, h, s: r["types"]["mon"].update(controls=["split"])
)
fault("a device that is no desk owns preamps elsewhere", "house", "owner-cannot-control")(
    lambda r, h, s: r["types"]["mon"].update(role="recorder")
)
fault("preamps in use have no owner", "house", "owner-missing")(lambda r, h, s: s.update(owners=[]))
fault("preamps without a local door are left to local hands", "house", "owner-missing")(
    lambda r, h, s: (
        h.update(owners=[])
        or r["types"]["box"]["preamps"]["pre"].update(doors=["port"])
        or owner(s).update(owner="", door="local", path=[])
    )
)

# gain


def gain(s: Data, leg: str) -> Data:
    """Return the gain of a leg."""
    return of(s["gains"], leg, "leg")


fault("a gain is above the preamp's range", "house", "gain-range")(
    lambda r, h, s: h["sources"][0].update(gain_db=61) or gain(s, "kick").update(gain_db=61)
)
fault("a gain is below the preamp's range", "house", "gain-range")(
    lambda r, h, s: h["sources"][0].update(gain_db=-7) or gain(s, "kick").update(gain_db=-7)
)
fault("a gain is off the step", "house", "gain-step")(
    lambda r, h, s: h["sources"][0].update(gain_db=24.5) or gain(s, "kick").update(gain_db=24.5)
)
fault("a gain eats the headroom", "house", "gain-headroom")(
    lambda r, h, s: gain(s, "vox1").update(gain_db=37, trims_db={"foh": -3, "mon": -7})
)
fault("a fixed gain is not set", "house", "gain-fixed")(lambda r, h, s: gain(s, "kick").update(gain_db=23))
fault("a trim is not what is wanted less the gain", "house", "gain-trim")(
    lambda r, h, s: gain(s, "vox1")["trims_db"].update(mon=-5)
)
fault("a trim is missing", "house", "gain-trim")(lambda r, h, s: gain(s, "vox1")["trims_db"].pop("mon"))
fault("a trim is given to somebody who does not hear it", "house", "gain-trim")(
    lambda r, h, s: gain(s, "vox1")["trims_db"].update(truck=3)
)
fault("a trim is outside its range", "house", "gain-trim-range")(
    lambda r, h, s: r["types"]["mon"]["banks"]["ch"].update(trim_db=[-4, 24])
)
fault("a trim is relied on that is not stated", "house", "gain-trim-range")(
    lambda r, h, s: r["types"]["mon"]["banks"]["ch"].pop("trim_db")
)
fault("the margin is said to be kept and is not", "house", "gain-margin")(
    lambda r, h, s: r["types"]["mon"]["banks"]["ch"].update(trim_db=[-8, 24])
)
fault("a gain that can be said is not", "house", "gain-missing")(lambda r, h, s: s["gains"].pop())
fault("the range of workable gain is misstated", "house", "gain-interval")(
    lambda r, h, s: gain(s, "vox1").update(interval_db=[12, 36])
)
fault("a fixed gain is not said", "house", "gain-missing")(lambda r, h, s: s["gains"].pop(0))
fault("a gain is set at an empty socket", "house", "gain-place")(
    lambda r, h, s: s["gains"].append({"leg": "di", "at": "BOX.mic[12]", "gain_db": 10})
)

# phantom

fault("a group that is needed is off", "house", "phantom-need-off")(lambda r, h, s: s["phantom"][1].update(on=False))
fault("a group is on for a source that must not see it", "house", "phantom-never-on")(
    lambda r, h, s: s["phantom"][2].update(on=True)
)
fault("a group holds need and never", "house", "phantom-clash")(lambda r, h, s: of(h["sources"], "di").update(phantom="never"))
fault("half a group is switched", "house", "phantom-group")(lambda r, h, s: s["phantom"][1].update(at="BOX.mic[5-6]"))
fault("phantom is set where the preamp has none", "house", "phantom-no-switch")(
    lambda r, h, s: r["types"]["box"]["preamps"]["pre"].pop("phantom_by")
)
fault("a source that needs phantom stands where there is none", "acts", "phantom-need-off")(
    lambda r, h, s: of(h["sources"], "three").update(phantom="need")
)
fault("phantom is supplied through an isolated output", "copper", "phantom-isolated")(
    lambda r, h, s: s["phantom"][0].update(on=True) or s["phantom"][3].update(on=False)
)
fault("phantom is also on at an isolated output", "copper", "phantom-isolated")(
    lambda r, h, s: s["phantom"][0].update(on=True, because=["di"])
)
fault("two desks feed phantom into one source", "copper", "phantom-two-suppliers")(
    lambda r, h, s: r["types"]["split"]["select"][1].update(dc="yes") or s["phantom"][0].update(on=True)
)
fault("a split that supplies and a desk both feed phantom", "copper", "phantom-two-suppliers", "phantom-never-on")(
    lambda r, h, s: r["types"]["split"]["banks"]["in"].update(phantom_supply=True)
)
fault("whether a cable passes direct current is unknown", "copper", "phantom-dc-unknown")(
    lambda r, h, s: of(r["links"], "D").pop("cables")
)
fault("a cable breaks the direct current", "copper", "phantom-isolated")(
    lambda r, h, s: of(r["links"], "D").update(cables=[{"dc": "no"}])
)
fault("phantom reaches a source that must not see it through a split", "copper", "phantom-never-on")(
    lambda r, h, s: s["phantom"][4].update(on=True)
)

fault("a switch with something plugged is not written down", "house", "phantom-unsaid")(lambda r, h, s: s["phantom"].pop(0))
fault("a source of unknown need sees phantom in silence", "house", "phantom-unsaid")(
    lambda r, h, s: of(h["sources"], "di").update(phantom="unknown")
)

# spares

fault("a spare is in use", "house", "spare-not-free")(lambda r, h, s: s.update(spares=["BOX.mic[1]"]))
fault("a spare is where none was asked for", "house", "spare-not-free")(lambda r, h, s: s.update(spares=["MON.talk[1]"]))
fault("a spare would not reach whom it should", "house", "spare-not-reaching")(lambda r, h, s: s.update(spares=["BOX.mic[12]"]))
