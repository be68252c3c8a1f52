"""Clocks, rates and delays by arithmetic: grades of a reference, who leads by precision time, slips, windows.

Comes in: rates in Hz, parts per million, what precision clocks announce.  Goes out: grades, an order, seconds and
milliseconds.  Next: rules that judge a clock or a delay, papers that state one.

Tolerance of a delay is a matter of taste and of the player: the tables here are what tests found, no limits.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import NamedTuple

__all__ = [
    "GRADES",
    "LATENCY_TOLERANCE_MS",
    "PTP_PROFILES",
    "WINDOWS_MS",
    "Grade",
    "PtpClock",
    "PtpProfile",
    "Window",
    "apart_ppm",
    "best_clock",
    "buffer_ms",
    "captures",
    "first_null_hz",
    "frame_us",
    "grade_of",
    "rates_related",
    "seconds_per_slip",
    "slips_per_s",
    "timing_windows_us",
]


# -- references (AES11) ------------------------------------------------------------------------------------------------


class Grade(NamedTuple):
    """A grade of reference: how exact its source is, and how far off a device must still lock, in parts per million."""

    accuracy_ppm: float
    capture_ppm: float
    use: str


GRADES: Mapping[int, Grade] = MappingProxyType(
    {1: Grade(1, 2, "several studios locked together"), 2: Grade(10, 50, "one studio")}
)
"""Grades 1 and 2 (AES11-2009 5.2, secondary)."""


def grade_of(ppm: float) -> int | None:
    """Return the best grade whose accuracy a source so many parts per million off its rate keeps; None for none."""
    return next((number for number, grade in sorted(GRADES.items()) if abs(ppm) <= grade.accuracy_ppm), None)


def captures(grade: int, ppm: float) -> bool:
    """Return whether a device of a grade must lock to a source so many parts per million off (AES11-2009, secondary).

    Raises KeyError for a grade that is not 1 or 2.
    """
    return abs(ppm) <= GRADES[grade].capture_ppm


def frame_us(rate_hz: float) -> float:
    """Return how long one frame lasts in microseconds."""
    return 1e6 / rate_hz


def timing_windows_us(rate_hz: float) -> tuple[float, float]:
    """Return how far in microseconds (outputs, inputs) may stand from the reference: 5 % and 25 % of a frame.

    AES11-2009 5.3, secondary.
    """
    frame = frame_us(rate_hz)
    return 0.05 * frame, 0.25 * frame


# -- rates and slips ---------------------------------------------------------------------------------------------------


def apart_ppm(one_hz: Fraction | float, other_hz: Fraction | float) -> float:
    """Return how far the second rate is from the first, in parts per million of the first; below zero when slower."""
    return float((Fraction(other_hz) - Fraction(one_hz)) / Fraction(one_hz) * 1_000_000)


def slips_per_s(one_hz: Fraction | float, other_hz: Fraction | float) -> float:
    """Return the samples lost or repeated each second between two free-running clocks, without a converter."""
    return float(abs(Fraction(one_hz) - Fraction(other_hz)))


def seconds_per_slip(one_hz: Fraction | float, other_hz: Fraction | float) -> float | None:
    """Return the seconds from one slip of a sample to the next; None when the two run alike and never slip."""
    rate = slips_per_s(one_hz, other_hz)
    return 1 / rate if rate else None


def rates_related(one_hz: Fraction | int, other_hz: Fraction | int) -> bool:
    """Return whether one rate is the other times a power of two, so that no asynchronous converter is needed.

    AES5, partly from memory.  Rates in Hz, exact.  Raises ValueError at or below zero.
    """
    low, high = sorted((Fraction(one_hz), Fraction(other_hz)))
    if low <= 0:
        raise ValueError(f"{low} Hz is no sample rate")
    times = high / low
    return times.denominator == 1 and times.numerator & (times.numerator - 1) == 0


# -- precision time ----------------------------------------------------------------------------------------------------


class PtpClock(NamedTuple):
    """What a precision clock announces; the fields stand in the order in which they are compared, lower wins.

    IEEE 1588-2008 9.3, secondary.  128, 248 and 128 are the standard's defaults; 254 is "unknown accuracy" (from memory).
    `accuracy` and `variance` are the announced codes, no seconds.
    """

    identity: str
    priority1: int = 128
    clock_class: int = 248
    accuracy: int = 254
    variance: int = 65535
    priority2: int = 128
    steps_removed: int = 0

    @property
    def rank(self) -> tuple[int, int, int, int, int, str, int]:
        """Return what is compared, in order."""
        return (
            self.priority1,
            self.clock_class,
            self.accuracy,
            self.variance,
            self.priority2,
            self.identity.upper().replace(":", "-"),
            self.steps_removed,
        )

    @property
    def can_lead(self) -> bool:
        """Return whether it may lead at all: class 255 only follows."""
        return self.clock_class != 255


def best_clock(clocks: Iterable[PtpClock]) -> PtpClock | None:
    """Return the clock that leads: the lowest rank of those that may; None where none may.

    The data-set comparison of IEEE 1588-2008 9.3 for clocks of one domain, without its port states.
    """
    return min((clock for clock in clocks if clock.can_lead), key=lambda clock: clock.rank, default=None)


class PtpProfile(NamedTuple):
    """Defaults of a media profile; intervals are powers of two in seconds."""

    domain: int
    announce_log2: int
    sync_log2: int
    source: str

    @property
    def announce_s(self) -> float:
        """Return the seconds between two announcements."""
        return float(2.0**self.announce_log2)

    @property
    def sync_s(self) -> float:
        """Return the seconds between two synchronisation messages."""
        return float(2.0**self.sync_log2)


PTP_PROFILES: Mapping[str, PtpProfile] = MappingProxyType(
    {
        "media": PtpProfile(0, 1, -3, "AES67-2018 annex A (secondary)"),
        "broadcast": PtpProfile(127, -2, -3, "SMPTE ST 2059-2 (secondary)"),
    }
)
"""Media profiles by a name of our own.  Their default domains differ: a rig that mixes them must set one."""


# -- delays ------------------------------------------------------------------------------------------------------------


def buffer_ms(samples: int, rate_hz: float, buffers: int = 2) -> float:
    """Return the milliseconds that so many buffers of so many samples hold."""
    return 1000 * buffers * samples / rate_hz


def first_null_hz(samples: float, rate_hz: float) -> float | None:
    """Return the first null in Hz where two equal copies of a signal meet so many samples apart; None when not apart.

    f = 1 / (2 dt) (acoustics handbook, p. 202).
    """
    return rate_hz / (2 * abs(samples)) if samples else None


class Window(NamedTuple):
    """How far sound may be from its picture in milliseconds: early is above zero, late below."""

    early_ms: float
    late_ms: float
    source: str

    def holds(self, ms: float) -> bool:
        """Return whether sound so many milliseconds early (late: below zero) is inside."""
        return self.late_ms <= ms <= self.early_ms


WINDOWS_MS: Mapping[str, Window] = MappingProxyType(
    {
        "detect": Window(45, -125, "ITU-R BT.1359-1"),
        "accept": Window(90, -185, "ITU-R BT.1359-1"),
        "output": Window(40, -60, "EBU R37 (secondary)"),
        "stage": Window(5, -15, "EBU R37, one production stage (secondary)"),
    }
)
"""Windows of sound against picture by what they stand for."""

LATENCY_TOLERANCE_MS: Mapping[str, Mapping[str, float]] = MappingProxyType(
    {
        "ear good": MappingProxyType({"sax": 0, "voice": 1, "guitar": 4.5, "drums": 8, "bass": 4.5, "keys": 27}),
        "wedge good": MappingProxyType({"sax": 1.5, "voice": 10, "guitar": 6.5, "drums": 9, "bass": 8, "keys": 22}),
        "ear fair": MappingProxyType({"sax": 3, "voice": 6.5, "guitar": 14.5, "drums": 24.5, "bass": 25.5, "keys": 43}),
        "wedge fair": MappingProxyType({"sax": 10, "voice": 26, "guitar": 16, "drums": 25, "bass": 30, "keys": 40.5}),
    }
)
"""Delay in milliseconds that 85 % of tested players still called good or fair, by monitor and instrument.

Lester and Boley 2007 (AES convention paper 7198), table 1, secondary and to be re-checked against the print: 19 players.
"""
