"""Cases of owners, each by its docstring.

Comes in: rigs of `words`.  Goes out: cases entered in `words.CASES`.  Next: `test_words.py`.
"""

from __future__ import annotations

from typing import Any

import attrs

from patchloom.address import slot
from patchloom.model.base import Table, build
from patchloom.model.rig import Rig
from patchloom.model.show import Show
from patchloom.solve.owner import ownerships

from .words import WAYS, Data, case, house, lines

__all__: list[str] = []


def owners(made: Rig, used: dict[str, str], wants: Data | None = None, owned: list[Data] | None = None, **more: Any) -> str:
    """Return the owners of sockets in use, by socket to the leg plugged there."""
    lists = wants if wants is not None else {"foh": ["vox", "kick"], "mon": ["vox"]}
    rows = [
        {
            "id": key,
            "position": key,
            "at": f"{key.upper()}.ch",
            "wants": [None if name is None else {"signal": name} for name in names],
        }
        for key, names in lists.items()
    ]
    show = build(Show, {"lists": rows, "owners": owned or [], **more})
    legs = {slot(at): leg for at, leg in used.items()}
    return lines(*ownerships(made, show, list(legs), legs))


TWO = {"BOX.mic[1]": "vox", "BOX.mic[2]": "kick"}


@case
def _most_wants() -> str:
    """owner: who hears most of them owns them, the first list between equals"""
    return owners(house(), TWO) + "\n" + owners(house(), {"BOX.mic[1]": "vox"})


@case
def _later_hears_more() -> str:
    """owner: a later list that hears more owns them"""
    return owners(house(), {**TWO, "BOX.mic[3]": "keys.L"}, {"foh": [None, "vox"], "mon": ["vox", None, "kick", "keys"]})


@case
def _declared() -> str:
    """owner: who the show names owns them, by whatever address"""
    return "\n".join(
        owners(house(), TWO, owned=[{"preamps": [text], "owner": "mon"}]) for text in ("BOX", "BOX.mic[2]", "BOX.more")
    )


@case
def _declared_two() -> str:
    """owner: two names for what takes one are refused"""
    rows = [{"preamps": ["BOX.mic[1]"], "owner": "mon"}, {"preamps": ["BOX.mic[2]"], "owner": "foh"}]
    return owners(house(), TWO, owned=rows)


@case
def _fine() -> str:
    """owner: by device, port, group and socket"""
    used = {"BOX.mic[1]": "vox", "BOX.mic[4]": "kick", "BOX.mic[5]": "keys", "BOX.more[2]": "gtr"}
    wants = {"foh": ["vox", "gtr"], "mon": ["kick", "keys"]}
    return "\n".join(owners(house({"owner_by": fine}), used, wants) for fine in ("device", "port", "group", "socket"))


@case
def _group_of_eight() -> str:
    """owner: a group without a phantom group is eight sockets"""
    used = {"BOX.mic[1]": "vox", "BOX.mic[8]": "kick"}
    return owners(house({"owner_by": "group", "phantom_by": None}), used, {"foh": ["vox"], "mon": ["kick"]})


@case
def _group_edges() -> str:
    """owner: groups of four end at the fourth socket and begin at the fifth"""
    used = {f"BOX.mic[{number}]": name for number, name in ((4, "a"), (5, "b"), (8, "c"))}
    return owners(house({"owner_by": "group"}), used, {"foh": ["a"], "mon": ["b", "c"]})


@case
def _nothing_used() -> str:
    """owner: no preamp in use, no owner; a line socket has none, the preamp after it has"""
    none = owners(house(), {"BOX.line[1]": "vox", "BOX.nowhere[1]": "kick"})
    return f"  none: {none}.\n" + owners(house(), {"BOX.line[1]": "a", "BOX.more[1]": "vox"})


@case
def _own_preamps() -> str:
    """owner: a desk owns its own preamps, though another hears more of them"""
    used = {"MON.mic[1]": "kick", "MON.mic[2]": "vox"}
    return owners(house(), used) + "\n" + owners(house(), used, owned=[{"preamps": ["MON.mic"], "owner": "foh"}])


@case
def _doors() -> str:
    """owner: the door is local at home, port one hop away, network farther, where the preamp has one"""
    far = [{"join": ["FOH.p1", "NET.p1"]}, {"join": ["NET.p2", "BOX.p1"]}]
    texts = []
    for doors in (["local", "port"], ["local", "port", "network"]):
        texts += [
            owners(house({"doors": doors}), TWO),
            owners(house({"doors": doors}, far), TWO, owned=[{"preamps": ["BOX"], "owner": "foh"}]),
        ]
    return "\n".join(texts)


@case
def _no_control() -> str:
    """owner: a way that carries no control is named, with its link"""
    mute = [{"join": ["BOX.p1", "FOH.p1"], "pass_": ["audio"]}, {"join": ["FOH.p2", "BOX.p2"], "format": "mute"}]
    return owners(house(links=mute), TWO, owned=[{"preamps": ["BOX.mic"], "owner": "foh"}])


@case
def _no_way() -> str:
    """owner: where nothing joins them, that is said; a position without a desk is told from it"""
    rows = [{"preamps": ["BOX.mic"], "owner": "foh"}]
    return (
        owners(house(links=[]), TWO, owned=rows)
        + "\n"
        + owners(house(), TWO, owned=[{"preamps": ["BOX"], "owner": "rec"}], positions={"rec": {}})
    )


@case
def _nobody() -> str:
    """owner: where nobody reaches it nobody owns it, and it is set at the box"""
    return owners(house(links=[]), TWO)


@case
def _through_a_desk() -> str:
    """owner: a desk hands no control on, a switch does, and the shortest way is taken"""
    by_desk = [{"join": ["FOH.p1", "MON.p1"]}, {"join": ["MON.p2", "BOX.p1"]}]
    both = [{"join": ["FOH.p1", "NET.p1"]}, {"join": ["NET.p2", "BOX.p1"]}, {"join": ["FOH.p2", "BOX.p2"]}]
    rows = [{"preamps": ["BOX"], "owner": "foh"}]
    return owners(house(links=by_desk), TWO, owned=rows) + "\n" + owners(house(links=both), TWO, owned=rows)


@case
def _port_without() -> str:
    """owner: a port that passes no control in, or out, shuts the way; the other direction does not help"""
    texts = []
    for way in ({"in": ["control"], "out": ["audio"]}, {"in": ["audio"], "out": ["control"]}):
        desk = {"role": "desk", "banks": {"ch": {"slots": 8, "does": "process"}}, "ports": {"p1": {**WAYS, "pass_": way}}}
        texts.append(owners(house(types={"desk": desk}, links=[{"join": ["BOX.p1", "FOH.p1"]}]), TWO))
    return "\n".join(texts)


@case
def _control_links() -> str:
    """owner: an analogue link, one set to audio, one to a run of sockets carry no control; those set to control do"""
    links = [
        {"join": ["BOX.line[1]", "FOH.ch[1]"], "format": ""},
        {"join": ["BOX.p1", "FOH.p1"], "pass_": ["audio"]},
        {"join": ["BOX.x[1]", "FOH.p2"]},
        {"join": ["FOH.p3", "BOX.y[1]"]},
        {"join": ["BOX.p3", "FOH.p3"], "pass_": ["control"]},
    ]
    return owners(house(links=links), TWO)


@case
def _controls() -> str:
    """owner: a desk that names what it controls, by role or type, and what is no desk"""
    texts = []
    for said in ({"controls": ["box"]}, {"controls": ["stage"]}, {"controls": ["split"]}, {"role": "recorder"}):
        desk = {"role": "desk", "banks": {"ch": {"slots": 8, "does": "process"}}, "ports": {"p1": dict(WAYS)}, **said}
        texts.append(owners(house(types={"desk": desk}, links=[{"join": ["BOX.p1", "FOH.p1"]}]), TWO))
    return "\n".join(texts)


@case
def _owner_of_feeds() -> str:
    """owner: who only mixes or is only named may own as well; lists come first"""
    feeds = [{"id": "pa", "mixed_at": "mon"}]
    positions = {"foh": {"desk": "FOH"}, "mon": {"desk": "MON"}}
    mixed = owners(house(links=[{"join": ["BOX.p2", "MON.p1"]}]), TWO, {"foh": ["vox"]}, feeds=feeds, positions=positions)
    row = [{"preamps": ["BOX"], "owner": "mon"}]
    return (
        mixed
        + "\n"
        + owners(house(), TWO, {"foh": ["vox"]}, row, positions=positions)
        + "\n"
        + owners(house(), TWO, {"foh": ["x"]}, feeds=feeds, positions=positions)
    )


@case
def _two_devices() -> str:
    """owner: two devices that take one owner each have one each"""
    return owners(house(), {"BOX.mic[1]": "vox", "MON.mic[1]": "kick"}, {"foh": ["vox", "kick"], "mon": ["keys"]})


@case
def _home_first() -> str:
    """owner: a desk owns its own preamps though another that reaches them hears more"""
    joined = [{"join": ["FOH.p1", "MON.p1"]}, {"join": ["FOH.p2", "BOX.p1"]}]
    return owners(house(links=joined), {"MON.mic[1]": "vox", "MON.mic[2]": "kick"})


@case
def _unknown_legs() -> str:
    """owner: where nothing is said of what is plugged, the first who reaches them owns them"""
    show = build(
        Show, {"lists": [{"id": key, "position": key, "at": f"{key.upper()}.ch", "wants": []} for key in ("mon", "foh")]}
    )
    return lines(*ownerships(house(), show, [slot("BOX.mic[1]")], {}))


@case
def _stereo() -> str:
    """owner: who wants a source hears its legs"""
    return owners(house(), {"BOX.mic[1]": "keys.L", "BOX.mic[2]": "keys.R"}, {"foh": ["vox"], "mon": ["keys"]})


@case
def _beside_a_desk() -> str:
    """owner: where one neighbour hands nothing on the next one may"""
    links = [{"join": ["FOH.p1", "MON.p1"]}, {"join": ["FOH.p2", "NET.p1"]}, {"join": ["NET.p2", "BOX.p1"]}]
    return owners(house(links=links), TWO, {"foh": ["vox"]})


@case
def _box_port() -> str:
    """owner: a box takes control at ports whose in side passes it"""
    texts = []
    for way in ({"in": ["control"], "out": []}, {"in": [], "out": ["control"]}):
        made = house(links=[{"join": ["BOX.p1", "FOH.p1"]}])
        port = attrs.evolve(made.types["stage"].ports["p1"], pass_=Table({key: tuple(words) for key, words in way.items()}))
        kind = attrs.evolve(made.types["stage"], ports=Table({"p1": port}))
        texts.append(owners(attrs.evolve(made, types=Table({**made.types, "stage": kind})), TWO))
    return "\n".join(texts)


@case
def _ninth_socket() -> str:
    """owner: without a phantom group the ninth socket begins a second group"""
    used = {"BOX.mic[8]": "vox", "BOX.mic[9]": "kick"}
    return owners(house({"owner_by": "group", "phantom_by": None}), used, {"foh": ["vox"], "mon": ["kick"]})


@case
def _no_door() -> str:
    """owner: who the show names comes by a door the preamps have, or by one they have not"""
    named = [{"preamps": ["BOX"], "owner": "mon"}]
    sets = (["port"], ["local"], ["local", "network"], [])
    return "\n".join(owners(house({"doors": doors}), TWO, owned=named) for doors in sets)
