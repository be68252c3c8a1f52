"""Sound levels on paper, and hours at a level, against NIOSH 98-126, 29 CFR 1910.95, 2003/10/EC and acoustics texts.

Figures only: local law, venue rules and licensed, competent people take precedence.
"""

from __future__ import annotations

import pytest

from patchloom.library.physics import cable_delay_ns, sound_m_s
from patchloom.library.sound import (
    OSHA_HOURS,
    PASCAL_DB,
    WORK_LIMITS,
    at_metres_db,
    dose_percent,
    exchange_hours,
    leq_db,
    level_budget,
    peak_db,
    samples_in_air,
    source_level_db,
    sum_alike_db,
    sum_db,
    twa_db,
    wavelength_m,
)


@pytest.mark.parametrize(("level", "hours"), [(85, 8), (88, 4), (91, 2), (94, 1), (97, 0.5), (100, 0.25)])
def test_hours_of_niosh(level: float, hours: float) -> None:
    """Half the time at each 3 dB.  Source: NIOSH 98-126; confirmed: its agency's page."""
    assert exchange_hours(level) == hours


@pytest.mark.parametrize("level", [90, 95, 100, 105, 110])
def test_formula_of_osha_meets_its_table(level: float) -> None:
    """Half the time at each 5 dB, where the table does not round.  Source: 29 CFR 1910.95 table G-16 and appendix A."""
    assert exchange_hours(level, "osha") == pytest.approx(OSHA_HOURS[level])


@pytest.mark.parametrize(("level", "hours"), [(80, 32), (81, 27.9), (83, 21.1), (84, 18.4), (85, 16), (86, 13.9), (92, 6.1)])
def test_finer_table_of_osha(level: float, hours: float) -> None:
    """Table G-16a to one decimal.  Source: 29 CFR 1910.95 appendix A; confirmed: agency's page."""
    assert exchange_hours(level, "osha") == pytest.approx(hours, abs=0.05)


def test_two_tables_of_osha_disagree() -> None:
    """At 92 dB(A) one prints 6 hours; the formula gives 6.06.  Source: 29 CFR 1910.95 table G-16 against appendix A."""
    assert OSHA_HOURS[92] == 6
    assert exchange_hours(92, "osha") == pytest.approx(6.063, abs=1e-3)


def test_quarter_of_an_hour_at_115() -> None:
    """At most a quarter of an hour.  Source: 29 CFR 1910.95 table G-16, from memory."""
    assert OSHA_HOURS[115] == 0.25 == exchange_hours(115, "osha")


def test_dose_and_average_of_osha() -> None:
    """8 hours at 92 dB(A) are a dose of about 131 %, which is 92 dB(A) again.  Source: 29 CFR 1910.95 appendix A."""
    dose = dose_percent([(92, 8)], "osha")
    assert dose == pytest.approx(131, abs=1.5)
    assert twa_db(dose) == pytest.approx(92)


def test_average_of_a_full_dose() -> None:
    """100 % is 90 dB(A), 200 % is 95: 16.61 log10(D/100) + 90.  Source: 29 CFR 1910.95 appendix A."""
    assert twa_db(100) == 90
    assert twa_db(200) == pytest.approx(95)
    assert twa_db(131) == pytest.approx(16.61 * 0.11727 + 90, abs=1e-2)


def test_doses_add() -> None:
    """4 hours at 88 and 1 hour at 94 dB(A) are two full doses.  Source: NIOSH 98-126; by arithmetic."""
    assert dose_percent([(88, 4), (94, 1)]) == pytest.approx(200)


@pytest.mark.parametrize(
    ("name", "level", "pascals", "peak"), [("lower", 80, 112, 135.0), ("upper", 85, 140, 136.9), ("limit", 87, 200, 140.0)]
)
def test_values_of_the_directive(name: str, level: float, pascals: float, peak: float) -> None:
    """80, 85, 87 dB(A); 112, 140, 200 Pa, which are 135, 137, 140 dB(C).  Source: 2003/10/EC article 3; peaks by arithmetic."""
    row = WORK_LIMITS[name]
    assert (row.level_db, row.peak_pa) == (level, pascals)
    assert row.peak_dbc == pytest.approx(peak, abs=0.05)


@pytest.mark.parametrize(
    ("rule", "level", "minutes"), [("eu-lower", 95, 15), ("eu-upper", 100, 15), ("eu-upper", 97, 30), ("eu-limit", 102, 15)]
)
def test_equal_energy(rule: str, level: float, minutes: float) -> None:
    """15 minutes at 95, 100, 102 dB are as much as 8 hours at 80, 85, 87.  Source: scientific committee's table 3 (2008)."""
    assert exchange_hours(level, rule) * 60 == pytest.approx(minutes, rel=0.02)


def test_quarter_hour_level_of_a_concert() -> None:
    """10 minutes at 101 and 5 at 96 keep 100 dB over 15 minutes, 15 at 101 do not.  Source: WHO 2022 (100 dB LAeq, 15 min)."""
    assert leq_db([(101, 10), (96, 5)]) <= 100
    assert leq_db([(101, 15)]) > 100


def test_a_pascal() -> None:
    """1 Pa is 94 dB (93.98).  Source: reference of 20 micropascal, ISO 1683, from memory; by arithmetic."""
    assert pytest.approx(94, abs=0.03) == PASCAL_DB
    assert peak_db(20e-6) == 0


@pytest.mark.parametrize(("count", "more"), [(2, 3.01), (4, 6.02), (10, 10)])
def test_sum_of_sources_without_anything_in_common(count: int, more: float) -> None:
    """Two equal sources give 3 dB, ten give 10.  Source: common practice, no source; by arithmetic."""
    assert sum_db([90] * count) == pytest.approx(90 + more, abs=0.005)


def test_sum_of_copies_in_step() -> None:
    """Two equal copies in step give 6 dB.  Source: common practice, no source; by arithmetic."""
    assert sum_alike_db([90, 90]) == pytest.approx(96.02, abs=0.005)


def test_a_source_ten_decibels_below_adds_less_than_half() -> None:
    """90 and 80 dB are 90.4.  Source: common practice, no source; by arithmetic."""
    assert sum_db([90, 80]) == pytest.approx(90.41, abs=0.005)


@pytest.mark.parametrize(("metres", "less"), [(2, 6.02), (4, 12.04), (10, 20), (32, 30.1)])
def test_level_over_distance(metres: float, less: float) -> None:
    """6 dB at each doubling, 20 dB at ten times.  Source: free field, common practice; by arithmetic."""
    assert at_metres_db(100, metres) == pytest.approx(100 - less, abs=0.01)


def test_budget_of_two_loudspeakers() -> None:
    """96 dB at 1 W and 1 m, 500 W, 20 m: 97 dB; two of them 100 dB.  Source: free field, common practice; by arithmetic."""
    one = source_level_db(96, 500)
    assert one == pytest.approx(122.99, abs=0.005)
    budget = level_budget([(one, 20), (one, 20)], most_db=103)
    assert budget.parts_db == pytest.approx((96.97, 96.97), abs=0.005)
    assert budget.at_db == pytest.approx(99.98, abs=0.005)
    assert budget.left_db == pytest.approx(3.02, abs=0.005)
    assert "not measured" in budget.caution


def test_a_metre_in_samples() -> None:
    """One metre of air is 139.86 samples at 48 kHz; 1 ms is 0.343 m.  Source: ISO 9613-1:1993; by arithmetic."""
    assert samples_in_air(1, 48000) == pytest.approx(139.86, abs=0.01)
    assert samples_in_air(0.3432, 48000) == pytest.approx(48)


def test_wavelengths() -> None:
    """343.2 Hz is a metre long, 34.3 Hz ten.  Source: ISO 9613-1:1993; by arithmetic."""
    assert wavelength_m(343.2) == pytest.approx(1)
    assert wavelength_m(34.32) == pytest.approx(10)


def test_cable_is_no_matter_beside_air() -> None:
    """100 m of cable take 538 ns, as long as 0.2 mm of air.  Source: TIA-568 and ISO 9613-1:1993; by arithmetic."""
    assert cable_delay_ns(100, 0.62) * 1e-9 * sound_m_s() * 1000 == pytest.approx(0.18, abs=0.01)
