"""Level references against their definitions and the two alignment conventions."""

from __future__ import annotations

import pytest

from patchloom.library.physics import ALIGNMENTS, dbu_from_volts, dbv_from_volts, gain_to_dbu, volts_from_dbu, volts_from_dbv


def test_zero_dbu() -> None:
    """0 dBu is 0.7746 V.  Source: encyclopedia on alignment level (0.775); exact by arithmetic."""
    assert volts_from_dbu(0) == pytest.approx(0.774597, abs=1e-6)


def test_plus_four_dbu() -> None:
    """+4 dBu is 1.228 V.  Source: encyclopedia on alignment level; by arithmetic."""
    assert volts_from_dbu(4) == pytest.approx(1.2277, abs=1e-4)


def test_zero_dbv_in_dbu() -> None:
    """0 dBV is +2.218 dBu.  Source: by arithmetic."""
    assert dbu_from_volts(volts_from_dbv(0)) == pytest.approx(2.218, abs=1e-3)


def test_minus_ten_dbv() -> None:
    """-10 dBV is 0.316 V and -7.782 dBu.  Source: published glossary (0.316); by arithmetic."""
    assert volts_from_dbv(-10) == pytest.approx(0.3162, abs=1e-4)
    assert dbu_from_volts(volts_from_dbv(-10)) == pytest.approx(-7.782, abs=1e-3)
    assert dbv_from_volts(volts_from_dbv(-10)) == pytest.approx(-10)


def test_r68_full_scale() -> None:
    """-18 dBFS at 0 dBu: full scale is +18 dBu, 6.153 V.  Source: EBU R68-2000.  Confirmed: secondary."""
    assert ALIGNMENTS["r68"].full_scale_dbu == 18
    assert volts_from_dbu(18) == pytest.approx(6.153, abs=1e-3)


def test_rp155_full_scale() -> None:
    """-20 dBFS at +4 dBu: full scale is +24 dBu, 12.277 V.  Source: SMPTE RP 155.  Confirmed: secondary."""
    assert ALIGNMENTS["rp155"].full_scale_dbu == 24
    assert volts_from_dbu(24) == pytest.approx(12.277, abs=1e-3)


def test_conventions_are_six_db_apart() -> None:
    """A +4 dBu tone reads -14 dBFS by one convention and -20 by the other.  Source: by arithmetic from both."""
    assert ALIGNMENTS["r68"].reads_dbfs(4) == -14
    assert ALIGNMENTS["rp155"].reads_dbfs(4) == -20


@pytest.mark.parametrize(("sensitivity", "gain"), [(-54.5, 74.3), (-35.0, 54.8)])
def test_gain_to_line_level(sensitivity: float, gain: float) -> None:
    """72 dB SPL needs 74.3 or 54.8 dB to reach 0 dBu.  Source: inputs of a published training question; by arithmetic."""
    assert gain_to_dbu(72, sensitivity) == pytest.approx(gain, abs=0.05)


def test_sensitivity_in_millivolts() -> None:
    """-54.5 and -35 dBV a pascal are about 1.85 and 17.8 mV.  Source: training question; within 0.2 dB by arithmetic."""
    assert dbv_from_volts(0.00185) == pytest.approx(-54.5, abs=0.2)
    assert volts_from_dbv(-35) * 1000 == pytest.approx(17.8, abs=0.05)
