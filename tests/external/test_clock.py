"""Clock figures against AES11 and what free-running clocks do."""

from __future__ import annotations

from fractions import Fraction

import pytest

from patchloom import library
from patchloom.library.physics import clock_slip_s
from patchloom.model.base import at_rate, rate_of


def test_two_grade_2_clocks_slip_every_second() -> None:
    """Two clocks 20 ppm apart slip one sample each 1.04 s at 48 kHz.  Source: AES11-2009 grades (secondary); by arithmetic."""
    assert clock_slip_s(48000, 20) == pytest.approx(1.0417, abs=1e-4)


def test_two_grade_1_clocks_slip_every_ten_seconds() -> None:
    """Two clocks 2 ppm apart slip one sample each 10.4 s at 48 kHz.  Source: AES11-2009 grades (secondary); by arithmetic."""
    assert clock_slip_s(48000, 2) == pytest.approx(10.417, abs=1e-3)


def test_pulled_rate_is_exact_and_reads_as_nominal() -> None:
    """48 kHz pulled by 1000/1001 is 48000000/1001 Hz and takes the nominal row.  Source: common practice, no source."""
    pulled = rate_of("48000000/1001")
    assert pulled == Fraction(48_000_000, 1001)
    assert float(pulled) == pytest.approx(47952.048, abs=1e-3)
    assert at_rate({"48000": 8}, pulled) == 8
    assert at_rate({"44100": 8}, pulled) is None


def test_references_carry_clock_and_no_audio() -> None:
    """A reference (AES11) and word clock carry clock only.  Source: AES11-2009 (secondary); word clock common practice."""
    for name in ("aes11", "word-clock"):
        shipped = library.formats()[name]
        assert shipped["pass"] == ["clock"]
        assert set(shipped["channels"].values()) == {0}


def test_rate_converter_delay() -> None:
    """A rate converter from 48 to 48 kHz delays about 0.83 ms.  Source: published converter data, as an excerpt; typical."""
    rows = library.types()["rate-converter"]["select"]
    assert all(row["converts"] and row["latency_ms"] == 0.83 for row in rows)
