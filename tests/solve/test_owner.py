"""Who owns a preamp comes by a door it has."""

from __future__ import annotations

from typing import Any

import pytest

import patchloom
from patchloom.errors import Impossible


def documents(doors: list[str], **more: Any) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return two desks joined both ways, a source on the second one's own sockets, which nobody wants, and one that is."""
    desk = {
        "role": "desk",
        "banks": {
            "mic": {"slots": 2, "socket": "in", "preamp": "pre"},
            "ch": {"slots": 2, "does": "process", "taps": {"in": []}},
        },
        "ports": {"a": {"speaks": ["four"]}},
        "select": [{"into": "ch", "from": ["mic"]}],
        "preamps": {"pre": {"gain_db": [0, 60], "step_db": 1, "phantom_by": 1, "doors": doors}},
    }
    rig = {
        "format": "rig/1",
        "rate": 48000,
        "formats": {"four": {"channels": {"48000": 4}, "pass": ["audio", "clock", "control"]}},
        "types": {"desk": desk},
        "devices": {"FOH": "desk", "MON": "desk"},
        "links": [{"id": "K1", "join": ["FOH.a", "MON.a"], "format": "four"}],
    }
    show = {
        "format": "show/1",
        "positions": {"foh": {"desk": "FOH"}},
        "sources": ["vox", "spare"],
        "plug": [{"source": "vox", "into": "FOH.mic"}, {"source": "spare", "into": "MON.mic"}],
        "lists": [{"position": "foh", "at": "FOH.ch", "wants": ["vox"]}],
    }
    return rig, show | more


def solved(doors: list[str], **more: Any) -> dict[str, str]:
    """Return preamps to their owner in the answer."""
    rig, show = documents(doors, **more)
    house = patchloom.read_rig(rig)
    patch = patchloom.solve(house, patchloom.read_show(show, house), explain=False)
    return {str(row.preamps): row.owner for row in patch.settings[0].owners}


def test_a_desk_without_a_door_is_left_to_local_hands() -> None:
    """Nobody sits at the second desk, and its preamps let themselves be moved there only."""
    assert solved(["local"]) == {"FOH.mic[1]": "foh", "MON.mic[1]": ""}


def test_with_a_door_whoever_can_reach_it_owns_it() -> None:
    """The same with a door for ports: the house owns both."""
    assert solved(["local", "port"]) == {"FOH.mic[1]": "foh", "MON.mic[1]": "foh"}


def test_an_owner_the_show_names_and_no_door_lets_in_is_impossible() -> None:
    """The proof says by which door control comes, and which there are."""
    with pytest.raises(Impossible) as caught:
        solved(["local"], owners=[{"preamps": "MON.mic", "owner": "foh"}])
    assert "comes by the port door; they have local" in str(caught.value)
