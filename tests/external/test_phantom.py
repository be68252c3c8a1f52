"""Phantom power against IEC 61938:2018 (secondary texts) and the usual split practice.

Anybody who works on supplies follows local law, venue rules and licensed, competent people; these are figures only.
"""

from __future__ import annotations

import pytest

from patchloom import library
from patchloom.library.physics import PHANTOM


def test_p48_is_48_volts_within_four() -> None:
    """48 V, plus or minus 4.  Source: IEC 61938:2018.  Confirmed: trade glossary."""
    p48 = PHANTOM["P48"]
    assert p48.volts == 48
    assert [p48.within(volts) for volts in (43.9, 44, 52, 52.1)] == [False, True, True, False]


def test_p48_feeds_ten_milliampere_through_6800_ohms() -> None:
    """Two resistors of 6.8 kilohms and at most 10 mA.  Source: IEC 61938:2018.  Confirmed: trade glossary."""
    assert (PHANTOM["P48"].ohm_each, PHANTOM["P48"].most_ma) == (6800, 10)


def test_p48_at_ten_milliampere_leaves_fourteen_volts() -> None:
    """14 V remain at 10 mA: 140 mW.  Source: IEC 61938:2018; by arithmetic."""
    assert PHANTOM["P48"].left_v(10) == pytest.approx(14.0)


def test_p48_short_circuit_stays_under_fifteen_milliampere() -> None:
    """14.1 mA into a short.  Source: institute of sound engineers' text "< 15 mA"; by arithmetic."""
    assert PHANTOM["P48"].short_ma() == pytest.approx(14.118, abs=1e-3)


@pytest.mark.parametrize(("name", "milliwatts"), [("P48", 169.4), ("P12", 105.9), ("P12L", 21.8), ("SP48", 523.6)])
def test_most_power_of_each_supply(name: str, milliwatts: float) -> None:
    """The most any load can draw.  Source: IEC 61938:2018; rounded figures in a trade glossary; by arithmetic."""
    assert PHANTOM[name].most_mw() == pytest.approx(milliwatts, abs=0.05)


def test_p12_tolerance_is_not_claimed() -> None:
    """Texts disagree about P12, so nothing is said.  Source: two secondary texts in conflict."""
    assert PHANTOM["P12"].within(12) is None


def test_thirty_two_microphones_at_ten_milliampere() -> None:
    """32 microphones at 10 mA draw 0.32 A and about 15 W at 48 V.  Source: by arithmetic."""
    amperes = 32 * PHANTOM["P48"].most_ma / 1000
    assert amperes == pytest.approx(0.32)
    assert amperes * PHANTOM["P48"].volts == pytest.approx(15.36)


def test_only_the_direct_output_of_a_transformer_split_passes_phantom() -> None:
    """Direct passes direct current, isolated outputs do not.  Source: published split-box practice (secondary)."""
    rows = {row["into"]: row["dc"] for row in library.types()["split-transformer"]["select"]}
    assert rows == {"direct": "yes", "iso_a": "no", "iso_b": "no"}


def test_an_active_split_supplies_phantom_itself() -> None:
    """The splitter feeds the stage and no output passes direct current.  Source: common practice, no source."""
    split = library.types()["split-active"]
    assert split["banks"]["in"]["phantom_supply"] is True
    assert {row["dc"] for row in split["select"]} == {"no"}
