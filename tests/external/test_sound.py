"""Sound in air and summed copies against ISO 9613-1 and acoustics handbooks."""

from __future__ import annotations

import pytest

from patchloom import library
from patchloom.library.physics import air_delay_ms, comb_nulls_hz, comb_peaks_hz, sound_m_s


@pytest.mark.parametrize(("celsius", "speed"), [(20, 343.2), (0, 331.286), (30, 349.005)])
def test_speed_of_sound(celsius: float, speed: float) -> None:
    """343.2 m/s at 20 degrees, by the root of kelvin.  Source: ISO 9613-1:1993.  Confirmed: open implementation."""
    assert sound_m_s(celsius) == pytest.approx(speed, abs=1e-3)


def test_other_forms_agree() -> None:
    """Two rules of thumb agree within 0.6 m/s at 20 degrees.  Source: two public calculators."""
    assert sound_m_s(20) == pytest.approx(331.3 + 0.606 * 20, abs=0.6)
    assert sound_m_s(20) == pytest.approx(331.3 + 0.6 * 20, abs=0.6)


def test_a_metre_takes_three_milliseconds() -> None:
    """One metre takes 2.914 ms, 139.86 samples at 48 kHz.  Source: by arithmetic."""
    assert air_delay_ms(1) == pytest.approx(2.914, abs=1e-3)
    assert air_delay_ms(1) * 48 == pytest.approx(139.86, abs=0.01)


def test_first_null_of_a_millisecond() -> None:
    """1 ms puts the first null at 500 Hz.  Source: acoustics handbook, p. 202."""
    assert comb_nulls_hz(1) == pytest.approx((500,))


def test_nulls_of_half_a_millisecond() -> None:
    """0.5 ms: nulls at 1000, 3000, 5000, 7000 Hz, peaks at 2000, 4000.  Source: published text on comb filters."""
    assert comb_nulls_hz(0.5, 4) == pytest.approx((1000, 3000, 5000, 7000))
    assert comb_peaks_hz(0.5, 2) == pytest.approx((2000, 4000))


def test_one_serial_hop_against_itself() -> None:
    """A copy one AES50 hop later has its first null at 8 kHz.  Source: AES50-2011 latency; by arithmetic."""
    assert comb_nulls_hz(library.formats()["aes50"]["latency_ms"])[0] == pytest.approx(8000)
