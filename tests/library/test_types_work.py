"""Each shipped type does its job in a small rig: the rig reads, the show is solved, and the judge finds nothing against it."""

from __future__ import annotations

from typing import Any

import pytest

import patchloom
from patchloom import library

DESKS = [name for name in library.type_names() if library.types()[name].get("role") == "desk"]
BOXES = [name for name in library.type_names() if library.types()[name].get("role") == "box"]
SPLITS = ["split-passive", "split-transformer", "split-active", "split-unlabelled"]


def carried(rig: dict[str, Any], show: dict[str, Any]) -> list[str]:
    """Return what the judge says that is grave about the solved show, after solving it."""
    made = patchloom.read_rig({"format": "rig/1", "rate": 48000, **rig})
    night = patchloom.read_show({"format": "show/1", **show}, made)
    patch = patchloom.solve(made, night)
    return [str(finding) for finding in patchloom.verify(made, night, patch) if finding.severity in ("stop", "safety")]


def show(mic: str, line: str, at: str, **more: Any) -> dict[str, Any]:
    """Return a show of four voices and a stereo mix that comes home."""
    return {
        "sources": [{"ids": ["vox{1-4}"], "phantom": "no"}],
        "plug": [{"sources": "all", "into": mic}],
        "lists": [{"position": "foh", "at": at, "wants": ["vox{1-4}"]}],
        "feeds": [{"id": "pa", "legs": ["L", "R"], "mixed_at": "foh", "to": line}],
        **more,
    }


@pytest.mark.parametrize("name", library.type_names())
def test_every_type_stands_in_a_rig(name: str) -> None:
    """Whatever a type refers to is there: banks, ports, taps, preamps, formats, runs within their banks."""
    clocks = {"clocks": {"A": "main", "B": "main"}} if "clocks" in library.types()[name] else {}
    made = patchloom.read_rig({"format": "rig/1", "rate": 48000, "devices": {"X": {"type": name, **clocks}}})
    assert made.type_of("X").about


@pytest.mark.parametrize("desk", DESKS)
@pytest.mark.parametrize("box", BOXES)
def test_every_desk_works_with_every_box(desk: str, box: str) -> None:
    """Voices reach the channels over the box and a mix goes home to its line sockets."""
    rig = {
        "devices": {"BOX": box, "FOH": desk},
        "links": [{"id": "K", "join": ["BOX.main", "FOH.a"], "format": "category-48"}],
        "clock": {"leader": "FOH"},
    }
    assert (
        carried(
            rig,
            show(
                "BOX.mic",
                "BOX.line",
                "FOH.ch",
                owners=[{"preamps": "BOX.mic", "owner": "foh"}] if "preamps" in library.types()[box] else [],
            ),
        )
        == []
    )


@pytest.mark.parametrize("desk", DESKS)
def test_every_desk_works_with_its_own_sockets(desk: str) -> None:
    """Voices reach the channels over local sockets and a mix goes out locally."""
    assert carried({"devices": {"FOH": desk}, "clock": {"leader": "FOH"}}, show("FOH.mic", "FOH.line", "FOH.ch")) == []


@pytest.mark.parametrize("split", SPLITS)
def test_every_split_feeds_two_desks(split: str) -> None:
    """Each desk has its own preamps behind one output of the split."""
    outputs = [row["into"] for row in library.types()[split]["select"]][:2]
    made = patchloom.read_rig(
        {
            "format": "rig/1",
            "domains": {"a": 48000, "b": 48000},
            "devices": {
                "S": split,
                "FOH": {"type": "desk-per-slot", "domain": "a"},
                "MON": {"type": "desk-block", "domain": "b"},
            },
            "links": [
                {"id": "A", "join": [f"S.{outputs[0]}[1-16]", "FOH.mic[1-16]"]},
                {"id": "B", "join": [f"S.{outputs[1]}[1-16]", "MON.mic[1-16]"]},
            ],
        }
    )
    night = patchloom.read_show(
        {
            "format": "show/1",
            **show("S.in[1-16]", "FOH.line", "FOH.ch")
            | {
                "lists": [
                    {"position": "foh", "at": "FOH.ch", "wants": ["vox{1-4}"]},
                    {"position": "mon", "at": "MON.ch", "wants": ["vox{1-4}"]},
                ]
            },
        },
        made,
    )
    patch = patchloom.solve(made, night)
    assert [str(finding) for finding in patchloom.verify(made, night, patch) if finding.severity in ("stop", "safety")] == []


def test_a_chain_of_two_boxes_reaches_one_desk() -> None:
    """A voice on the second box arrives behind the sixteen of the first."""
    rig = {
        "devices": {"B1": "stage-box-16-cascade", "B2": "stage-box-16-cascade", "FOH": "desk-two-step"},
        "clock": {"leader": "FOH"},
        "links": [
            {"id": "K1", "join": ["B1.main", "FOH.a"], "format": "category-48"},
            {"id": "K2", "join": ["B1.thru", "B2.main"], "format": "category-48"},
        ],
    }
    assert carried(rig, show("B2.mic", "B2.line", "FOH.ch", owners=[{"preamps": ["B1.mic", "B2.mic"], "owner": "foh"}])) == []


def test_multicore_and_tails_reach_a_desk() -> None:
    """Copper all the way: sockets, multicore, tails, preamps of the desk."""
    rig = {
        "devices": {"M": "multicore-24", "T": "multicore-tails", "FOH": "desk-block"},
        "clock": {"leader": "FOH"},
        "links": [
            {"id": "A", "join": ["M.out[1-24]", "T.in[1-24]"]},
            {"id": "B", "join": ["T.out[1-24]", "FOH.mic[1-24]"]},
            {"id": "C", "join": ["FOH.line[1-8]", "M.return_in[1-8]"]},
        ],
    }
    assert carried(rig, show("M.in", "M.return_out", "FOH.ch")) == []


@pytest.mark.parametrize(("converter", "out", "back"), [("format-converter", "b", "c"), ("network-bridge", "b", "")])
def test_converters_hand_on_slot_by_slot(converter: str, out: str, back: str) -> None:
    """A desk behind a converter hears the box; the box stays owned by the other desk."""
    onward = [{"id": "O", "join": [f"X.{out}", "REC.a"], "format": "aes10-64" if back else "network-64"}]
    rig = {
        "devices": {"BOX": "stage-box-16", "FOH": "desk-per-slot", "X": converter, "REC": "recorder-64"},
        "clock": {"leader": "FOH"},
        "links": [
            {"id": "K", "join": ["BOX.main", "FOH.a"], "format": "category-32"},
            {"id": "L", "join": ["FOH.b", "X.a"], "format": "category-64"},
            *onward,
        ],
    }
    lists = [
        {"position": "foh", "at": "FOH.ch", "wants": ["vox{1-4}"]},
        {"position": "record", "at": "REC.track", "wants": ["vox{1-4}"]},
    ]
    assert carried(rig, show("BOX.mic", "BOX.line", "FOH.ch") | {"lists": lists}) == []


def test_a_rate_converter_carries_a_guest_both_ways() -> None:
    """A truck at its own rate and leader hears the stage and sends a programme back."""
    made = patchloom.read_rig(
        {
            "format": "rig/1",
            "domains": {"main": {"rate": 96000, "leader": "FOH"}, "guest": {"rate": 48000, "leader": "TRUCK"}},
            "devices": {
                "BOX": "stage-box-16",
                "FOH": "desk-per-slot",
                "TRUCK": {"type": "desk-broadcast-core", "domain": "guest"},
                "SRC": {"type": "rate-converter", "clocks": {"A": "main", "B": "guest"}},
            },
            "links": [
                {"id": "K", "join": ["BOX.main", "FOH.a"], "format": "category-32"},
                {"id": "T1", "join": ["FOH.b", "SRC.a1"], "format": "aes10-64", "framing": "interleaved"},
                {"id": "T2", "join": ["SRC.b", "TRUCK.a"], "format": "aes10-64"},
                {"id": "T3", "join": ["TRUCK.b", "SRC.c"], "format": "aes10-64"},
                {"id": "T4", "join": ["SRC.d", "FOH.c"], "format": "aes10-64", "framing": "interleaved"},
            ],
        }
    )
    night = patchloom.read_show(
        {
            "format": "show/1",
            "sources": [{"ids": ["vox{1-4}"], "phantom": "no"}],
            "plug": [{"sources": "all", "into": "BOX.mic"}],
            "lists": [
                {"position": "foh", "at": "FOH.ch", "wants": ["vox{1-4}", "programme"]},
                {"position": "truck", "at": "TRUCK.ch", "wants": ["vox{1-4}"]},
            ],
            "feeds": [{"id": "programme", "legs": ["L", "R"], "mixed_at": "truck"}],
        },
        made,
    )
    patch = patchloom.solve(made, night)
    assert [str(finding) for finding in patchloom.verify(made, night, patch) if finding.severity in ("stop", "safety")] == []


def test_ends_of_the_line() -> None:
    """Amplifier and loudspeaker, ear transmitter, encoder, personal mixers, network switch."""
    rig = {
        "devices": {
            "BOX": "stage-box-32",
            "FOH": "desk-per-slot",
            "AMP": "amplifier-4",
            "TOP": "loudspeaker-line",
            "EAR": "ear-transmitter",
            "ENC": "stream-encoder",
            "PM": "personal-mixer-16",
            "SW": "network-node",
            "NET": "amplifier-4-network",
        },
        "clock": {"leader": "FOH"},
        "links": [
            {"id": "K", "join": ["BOX.main", "FOH.a"], "format": "category-32"},
            {"id": "P", "join": ["FOH.b", "PM.a"], "format": "category-32"},
            {"id": "A", "join": ["FOH.line[1-4]", "AMP.in[1-4]"]},
            {"id": "L", "join": ["AMP.out[1-2]", "TOP.in[1-2]"]},
            {"id": "E", "join": ["FOH.line[5-6]", "EAR.in[1-2]"]},
            {"id": "S", "join": ["FOH.line[7-8]", "ENC.in[1-2]"]},
            {"id": "N1", "join": ["FOH.c", "SW.a"], "format": "network-64"},
            {"id": "N2", "join": ["SW.b", "NET.a"], "format": "network-64"},
        ],
    }
    feeds = [
        {"id": "sub", "mixed_at": "foh", "to": "AMP.out[3]"},
        {"id": "top", "legs": ["low", "high"], "mixed_at": "foh", "to": "TOP.in[1-2]"},
        {"id": "ear", "legs": ["L", "R"], "mixed_at": "foh", "to": "EAR.in[1-2]"},
        {"id": "stream", "legs": ["L", "R"], "mixed_at": "foh", "to": "ENC.in[1-2]"},
        {"id": "fill", "mixed_at": "foh", "to": "NET.out[1]"},
    ]
    lists = [
        {"position": "foh", "at": "FOH.ch", "wants": ["vox{1-4}"]},
        {"position": "band", "at": "PM.input", "wants": ["vox{1-4}"]},
    ]
    assert carried(rig, show("BOX.mic", "BOX.line", "FOH.ch") | {"feeds": feeds, "lists": lists}) == []


def test_a_stream_over_two_channel_serial() -> None:
    """An encoder follows the clock of the serial signal it is fed by."""
    rig = {
        "devices": {"FOH": "desk-two-step", "ENC": "stream-encoder-digital"},
        "links": [{"id": "S", "join": ["FOH.s", "ENC.a"], "format": "aes3"}],
        "clock": {"leader": "FOH"},
    }
    feeds = [{"id": "stream", "legs": ["L", "R"], "mixed_at": "foh", "to": "ENC.out[1-2]"}]
    assert carried(rig, show("FOH.mic", "FOH.line", "FOH.ch") | {"feeds": feeds}) == []
