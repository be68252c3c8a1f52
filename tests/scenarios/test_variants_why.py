"""The variants that are impossible say why in the stated facts, and offer the stated ways out."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import pytest

import patchloom
from patchloom import Impossible

from .reading import variant

FOLDER = Path(__file__).parent / "variants"


class Why(NamedTuple):
    """What a variant has to say."""

    numbers: tuple[float, float, float] | None
    """asked, there, short of one of its facts."""
    facts: tuple[str, ...]
    """Words that stand in its facts."""
    ways: tuple[str, ...]
    """Words that each stand in one of its ways out."""


STATED = {
    "small-church-tracks-on-stage": Why(
        (18, 16, 2), ("BOX.mic has 16 sockets",), ("Let tracks plug into DESK.mic", "Let choir plug into")
    ),
    "small-church-one-phantom-switch": Why((2, 1, 1), ("hand1 must never have it", "switches 16 together"), ("Let hand1 plug",)),
    "small-church-personal-17": Why((17, 16, 1), ("PM.input has 16 slots",), ("Let band do without hand1",)),
    "panel-automix-8": Why((14, 8, 6), ("within DESK.ch[1-8]",), ("land outside the run",)),
    "panel-channels-24": Why((25, 24, 1), ("DESK.ch has 24 channels",), ("Let room do without booth2",)),
    "shared-stage-trim-3": Why(
        (16, 15, 1),
        (
            "foh (wants 34 dB, trim up to 18 dB) needs at least 16 dB",
            "bcast (wants 12 dB, trim down to -3 dB) needs at most 15 dB",
        ),
        ("Let foh ask for 33 dB", "Let bcast ask for 13 dB"),
    ),
    "shared-stage-house-owns": Why(
        None, ("K2 (BOX.mirror - FOH.a) carries no control",), ("Let go of it that foh is to own BOX.mic",)
    ),
    "shared-stage-no-clock": Why(None, ("does not reach FOH",), ("Let link K2 carry all it can", "Let link K4 carry all it can")),
    "shared-stage-line-41": Why((7, 6, 1), ("FOH.intake takes 6 blocks of 8", "extra"), ("Let talk_mon plug into BOX.mic",)),
    "truck-one-link": Why((64, 32, 32), ("TRUCK.a.in",), ("Add one link more: MON.d to SRC.a2",)),
    "truck-no-return": Why((4, 0, 4), ("No way leads from TRUCK.mix to mon",), ("Add one link more",)),
}


@pytest.mark.parametrize("name", STATED)
def test_variant_says_why_and_what_would_help(name: str) -> None:
    """The stated conflict, in an irreducible set of at most seven lines, with the stated number short and ways out."""
    _, rig_document, show_document = variant(FOLDER / f"{name}.json")
    rig = patchloom.read_rig(rig_document)
    show = patchloom.read_show(show_document, rig)
    with pytest.raises(Impossible) as caught:
        patchloom.solve(rig, show)
    proof, why = caught.value, STATED[name]
    assert proof.smallest
    assert len(proof.lines()) <= 7
    if why.numbers is not None:
        assert why.numbers in [(fact.asked, fact.there, fact.short) for fact in proof.facts]
    text = "\n".join(map(str, proof.facts))
    assert [words for words in why.facts if words not in text] == []
    assert [words for words in why.ways if not any(words in way.text for way in proof.ways)] == [], list(map(str, proof.ways))
