"""References, precision time and delays against AES11, AES5, IEEE 1588, ITU-R BT.1359, EBU R37 and published tests."""

from __future__ import annotations

from fractions import Fraction

import pytest

from patchloom.library.physics import clock_slip_s
from patchloom.library.timing import (
    GRADES,
    LATENCY_TOLERANCE_MS,
    PTP_PROFILES,
    WINDOWS_MS,
    PtpClock,
    apart_ppm,
    best_clock,
    buffer_ms,
    captures,
    first_null_hz,
    frame_us,
    grade_of,
    rates_related,
    seconds_per_slip,
    slips_per_s,
    timing_windows_us,
)


@pytest.mark.parametrize(("ppm", "grade"), [(1, 1), (-1, 1), (1.1, 2), (10, 2), (-10.1, None)])
def test_grades_of_a_reference(ppm: float, grade: int | None) -> None:
    """Grade 1 within 1 ppm, grade 2 within 10.  Source: AES11-2009 5.2.1; confirmed: dictionary of audio terms."""
    assert grade_of(ppm) == grade


@pytest.mark.parametrize(("grade", "ppm", "locks"), [(1, 1.9, True), (1, 2.1, False), (2, 49, True), (2, -51, False)])
def test_capture_range(grade: int, ppm: float, locks: bool) -> None:
    """2 ppm and 50 ppm.  Source: AES11-2009 5.2.2, secondary."""
    assert captures(grade, ppm) is locks


def test_accuracy_in_hertz() -> None:
    """At 48 kHz 1 ppm is 0.048 Hz and 10 ppm 0.48 Hz.  Source: AES11-2009 5.2.1; by arithmetic."""
    assert apart_ppm(48000, 48000.048) == pytest.approx(GRADES[1].accuracy_ppm)
    assert apart_ppm(48000, 48000.48) == pytest.approx(GRADES[2].accuracy_ppm)


@pytest.mark.parametrize(
    ("rate", "frame", "out", "into"),
    [(32000, 31.25, 1.6, 7.8), (44100, 22.68, 1.1, 5.7), (48000, 20.83, 1.0, 5.2), (96000, 10.42, 0.5, 2.6)],
)
def test_timing_windows(rate: int, frame: float, out: float, into: float) -> None:
    """Frame, outputs within 5 % and inputs within 25 %, in microseconds.  Source: AES11-2009 5.3 table 2, secondary."""
    assert frame_us(rate) == pytest.approx(frame, abs=0.006)
    assert timing_windows_us(rate) == pytest.approx((out, into), abs=0.06)


def test_slips_of_two_free_running_clocks() -> None:
    """Two grade 2 clocks at their limits lose 0.96 samples a second.  Source: AES11-2009 grades, secondary; by arithmetic."""
    fast, slow = Fraction(48000) * 1_000_010 / 1_000_000, Fraction(48000) * 999_990 / 1_000_000
    assert slips_per_s(fast, slow) == pytest.approx(0.96)
    assert seconds_per_slip(fast, slow) == pytest.approx(clock_slip_s(48000, 20)) == pytest.approx(1.0417, abs=1e-4)


def test_pulled_rates_slip_48_times_a_second() -> None:
    """48 kHz against 48 kHz pulled by 1000/1001 slips 47.95 times a second.  Source: by arithmetic."""
    pulled = Fraction(48_000_000, 1001)
    assert slips_per_s(48000, pulled) == pytest.approx(47.952, abs=1e-3)
    assert apart_ppm(48000, pulled) == pytest.approx(-999.0, abs=0.01)
    assert seconds_per_slip(pulled, pulled) is None


@pytest.mark.parametrize(
    ("one", "other", "related"),
    [(48000, 96000, True), (192000, 48000, True), (44100, 88200, True), (44100, 48000, False), (32000, 48000, False)],
)
def test_related_rates(one: int, other: int, related: bool) -> None:
    """Times 2, 4, 8 are related; the families of 44.1 and 48 are not.  Source: AES5 5.3, secondary and from memory."""
    assert rates_related(one, other) is related


BASE = PtpClock("00-00-00-FF-FE-00-00-05")


@pytest.mark.parametrize(
    ("field", "better", "worse_later"),
    [
        ("priority1", 127, {"clock_class": 6, "accuracy": 0, "variance": 0, "priority2": 0}),
        ("clock_class", 6, {"accuracy": 0, "variance": 0, "priority2": 0}),
        ("accuracy", 33, {"variance": 0, "priority2": 0}),
        ("variance", 100, {"priority2": 0}),
        ("priority2", 127, {"identity": "00-00-00-FF-FE-00-00-01"}),
    ],
)
def test_order_of_clocks(field: str, better: int, worse_later: dict[str, object]) -> None:
    """Each field outweighs all that come after it.  Source: IEEE 1588-2008 9.3; confirmed: a hardware guide to the order."""
    winner = BASE._replace(**{field: better})
    loser = BASE._replace(**worse_later)
    assert best_clock([loser, winner]) is winner
    assert best_clock([winner, loser]) is winner


def test_identity_then_steps_decide_between_equals() -> None:
    """The lower identity wins, then fewer steps.  Source: IEEE 1588-2008 9.3; confirmed: same."""
    low = BASE._replace(identity="00:00:00:ff:fe:00:00:04")
    far = BASE._replace(steps_removed=2)
    assert best_clock([BASE, low]) is low
    assert best_clock([far, BASE]) is BASE


def test_class_255_only_follows() -> None:
    """A clock of class 255 never leads, whatever its priority.  Source: IEEE 1588-2008 table 5; confirmed: same."""
    slave = BASE._replace(priority1=0, clock_class=255)
    assert best_clock([slave, BASE]) is BASE
    assert best_clock([slave]) is None


def test_defaults_of_a_clock() -> None:
    """Priorities 128, class 248.  Source: IEEE 1588-2008; confirmed: hardware guide and profile tables."""
    assert (BASE.priority1, BASE.clock_class, BASE.priority2) == (128, 248, 128)


@pytest.mark.parametrize(("first", "second"), [(6, 7), (7, 248), (13, 14), (14, 248)])
def test_order_of_clock_classes(first: int, second: int) -> None:
    """6 locked, 7 holding over, 13 and 14 for applications, 248 default.  Source: IEEE 1588-2008 table 5; 6 and 7 from memory."""
    better, worse = BASE._replace(clock_class=first), BASE._replace(clock_class=second)
    assert best_clock([worse, better]) is better


def test_default_domains_differ() -> None:
    """0 for AES67, 127 for ST 2059-2.  Source: AES67-2018 annex A and ST 2059-2 (profile tables of a network guide)."""
    assert (PTP_PROFILES["media"].domain, PTP_PROFILES["broadcast"].domain) == (0, 127)


def test_intervals_of_the_profiles() -> None:
    """Sync every 125 ms in both; announce every 2 s and 250 ms.  Source: same tables."""
    assert {profile.sync_s for profile in PTP_PROFILES.values()} == {0.125}
    assert (PTP_PROFILES["media"].announce_s, PTP_PROFILES["broadcast"].announce_s) == (2, 0.25)


@pytest.mark.parametrize(("samples", "rate", "ms"), [(256, 48000, 10.67), (128, 44100, 5.80)])
def test_two_buffers(samples: int, rate: int, ms: float) -> None:
    """2 x 256 at 48 kHz are 10.67 ms, 2 x 128 at 44.1 kHz 5.80 ms.  Source: published texts on live processing; by arithmetic."""
    assert buffer_ms(samples, rate) == pytest.approx(ms, abs=0.005)


def test_first_null_of_a_difference_in_samples() -> None:
    """48 samples at 48 kHz (1 ms): 500 Hz.  Source: acoustics handbook, p. 202.  3 samples: 8 kHz, by arithmetic."""
    assert first_null_hz(48, 48000) == 500
    assert first_null_hz(-3, 48000) == 8000
    assert first_null_hz(0, 48000) is None


@pytest.mark.parametrize(
    ("window", "inside", "outside"),
    [
        ("detect", (45, -125), (46, -126)),
        ("accept", (90, -185), (91, -186)),
        ("output", (40, -60), (41, -61)),
        ("stage", (5, -15), (6, -16)),
    ],
)
def test_sound_against_picture(window: str, inside: tuple[float, float], outside: tuple[float, float]) -> None:
    """Detected from +45/-125 ms, accepted to +90/-185.  Source: ITU-R BT.1359-1.  +40/-60 and +5/-15: EBU R37, secondary."""
    assert all(WINDOWS_MS[window].holds(ms) for ms in inside)
    assert not any(WINDOWS_MS[window].holds(ms) for ms in outside)


def test_delay_a_voice_bears() -> None:
    """Voice in ears: 1 ms good, 6.5 ms fair.  Source: Lester and Boley 2007 (paper 7198) table 1, secondary."""
    assert LATENCY_TOLERANCE_MS["ear good"]["voice"] == 1
    assert LATENCY_TOLERANCE_MS["ear fair"]["voice"] == 6.5


def test_wedges_bear_more_except_for_keys() -> None:
    """More delay is borne over wedges by all but keys.  Source: Lester and Boley 2007 table 1, secondary."""
    for what in ("good", "fair"):
        ear, wedge = LATENCY_TOLERANCE_MS[f"ear {what}"], LATENCY_TOLERANCE_MS[f"wedge {what}"]
        assert [name for name in ear if wedge[name] < ear[name]] == ["keys"]


def test_range_of_what_was_borne() -> None:
    """No value lies above 43 ms; the abstract says 42 down to below 1.4.  Source: Lester and Boley 2007, abstract and table 1."""
    values = [ms for row in LATENCY_TOLERANCE_MS.values() for ms in row.values()]
    assert max(values) == 43
    assert min(values) < 1.4
