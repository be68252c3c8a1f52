"""Sound level budgets on paper, and how long published limits allow a level.

Comes in: levels in dB, distances in metres, times in seconds, hours or minutes.  Goes out: levels, times, doses.
Next: papers that state a level, people who plan with them.

Arithmetic of a free field, no measurement: rooms add, horns and arrays do not fall with the square.  Nothing here says
that a level harms nobody.  Local law, venue rules and licensed, competent people take precedence; measure where people are.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

from patchloom.library.physics import air_delay_ms, sound_m_s

__all__ = [
    "CAUTION",
    "EXPOSURE",
    "OSHA_HOURS",
    "PASCAL_DB",
    "WORK_LIMITS",
    "Budget",
    "ExposureRule",
    "WorkLimit",
    "at_metres_db",
    "dose_percent",
    "exchange_hours",
    "leq_db",
    "level_budget",
    "pascals_from_db",
    "peak_db",
    "samples_in_air",
    "source_level_db",
    "sum_alike_db",
    "sum_db",
    "twa_db",
    "wavelength_m",
]

CAUTION = "Levels on paper, not measured. Local law, venue rules and competent people take precedence; measure where people are."
"""Printed wherever a level of this module is."""

_REFERENCE_PA = 20e-6
PASCAL_DB = 20 * math.log10(1 / _REFERENCE_PA)
"""1 Pa in dB above 20 micropascal: 93.98, rounded to 94 in practice."""


# -- levels ------------------------------------------------------------------------------------------------------------


def peak_db(pascals: float) -> float:
    """Return the level in dB of a pressure in pascals, above 20 micropascal; raises ValueError at or below zero."""
    return 20 * math.log10(pascals / _REFERENCE_PA)


def pascals_from_db(level_db: float) -> float:
    """Return the pressure in pascals of a level in dB above 20 micropascal."""
    return float(_REFERENCE_PA * 10 ** (level_db / 20))


def sum_db(levels_db: Iterable[float]) -> float:
    """Return the level of sources that have nothing in common: powers add, two equal ones give 3 dB.

    Raises ValueError when there is none.
    """
    powers = [10 ** (level / 10) for level in levels_db]
    if not powers:
        raise ValueError("no level to add up; give at least one")
    return 10 * math.log10(math.fsum(powers))


def sum_alike_db(levels_db: Iterable[float]) -> float:
    """Return the level of the same signal from several sources in step: pressures add, two equal ones give 6 dB.

    The most there can be; out of step it is less.  Raises ValueError when there is none.
    """
    pressures = [10 ** (level / 20) for level in levels_db]
    if not pressures:
        raise ValueError("no level to add up; give at least one")
    return 20 * math.log10(math.fsum(pressures))


def at_metres_db(level_db: float, metres: float, reference_m: float = 1.0) -> float:
    """Return the level at a distance of one that is known nearer or farther: 6 dB less at each doubling, free field.

    Raises ValueError for a distance at or below zero.
    """
    if metres <= 0 or reference_m <= 0:
        raise ValueError(f"{metres} m from a level at {reference_m} m: distances are above zero")
    return level_db - 20 * math.log10(metres / reference_m)


def source_level_db(sensitivity_db: float, watts: float) -> float:
    """Return the level at 1 m of a loudspeaker of a sensitivity in dB (1 W, 1 m) at a power in watts.

    Raises ValueError at or below zero watts.
    """
    return sensitivity_db + 10 * math.log10(watts)


class Budget(NamedTuple):
    """A level at one place, and how it comes about."""

    at_db: float
    parts_db: tuple[float, ...]
    """What each source alone gives there, in the order given."""
    left_db: float | None
    """How far below the wanted level it stays (below zero: above it); None where none was given."""
    caution: str = CAUTION


def level_budget(sources: Sequence[tuple[float, float]], most_db: float | None = None) -> Budget:
    """Return the level of several sources (dB at 1 m, metres away) at one place, against a level wanted there.

    Free field, sources that have nothing in common.  Raises ValueError when there is none, or a distance is not above zero.
    """
    parts = tuple(at_metres_db(level, metres) for level, metres in sources)
    total = sum_db(parts)
    return Budget(total, parts, None if most_db is None else most_db - total)


def leq_db(parts: Iterable[tuple[float, float]]) -> float:
    """Return the steady level of the same energy as parts of (level in dB, time in any one unit).

    Raises ValueError when no time passes.
    """
    rows = list(parts)
    time = math.fsum(lasts for _, lasts in rows)
    if time <= 0:
        raise ValueError("no time passes; give (level, time) with a time above zero")
    return 10 * math.log10(math.fsum(lasts * 10 ** (level / 10) for level, lasts in rows) / time)


# -- how long ----------------------------------------------------------------------------------------------------------


class ExposureRule(NamedTuple):
    """A published rule: so many hours at a level in dB(A), halved at each `exchange_db` more."""

    level_db: float
    hours: float
    exchange_db: float
    source: str


EXPOSURE: Mapping[str, ExposureRule] = MappingProxyType(
    {
        "niosh": ExposureRule(85, 8, 3, "NIOSH 98-126"),
        "osha": ExposureRule(90, 8, 5, "29 CFR 1910.95 appendix A"),
        "eu-lower": ExposureRule(80, 8, 3, "directive 2003/10/EC article 3, equal energy"),
        "eu-upper": ExposureRule(85, 8, 3, "directive 2003/10/EC article 3, equal energy"),
        "eu-limit": ExposureRule(87, 8, 3, "directive 2003/10/EC article 3, equal energy"),
    }
)
"""Rules by name.  They contradict each other; the one that binds is local law's to say."""

OSHA_HOURS: Mapping[float, float] = MappingProxyType({90: 8, 92: 6, 95: 4, 97: 3, 100: 2, 102: 1.5, 105: 1, 110: 0.5, 115: 0.25})
"""Level in dB(A) to hours, as printed in 29 CFR 1910.95 table G-16, which rounds (the row of 115 from memory)."""


class WorkLimit(NamedTuple):
    """A value of directive 2003/10/EC article 3: an eight-hour level in dB(A) and a peak pressure in pascals."""

    level_db: float
    peak_pa: float

    @property
    def peak_dbc(self) -> float:
        """Return the peak in dB(C)."""
        return peak_db(self.peak_pa)


WORK_LIMITS: Mapping[str, WorkLimit] = MappingProxyType(
    {"lower": WorkLimit(80, 112), "upper": WorkLimit(85, 140), "limit": WorkLimit(87, 200)}
)
"""Lower and upper action value and the limit (2003/10/EC article 3)."""


def exchange_hours(level_db: float, rule: str = "niosh") -> float:
    """Return the hours a rule names at a level in dB(A), by its formula; raises KeyError for an unknown rule."""
    row = EXPOSURE[rule]
    return float(row.hours / 2 ** ((level_db - row.level_db) / row.exchange_db))


def dose_percent(parts: Iterable[tuple[float, float]], rule: str = "niosh") -> float:
    """Return the dose in percent of parts of (level in dB(A), hours): 100 is all that the rule names."""
    return 100 * math.fsum(hours / exchange_hours(level, rule) for level, hours in parts)


def twa_db(dose: float, rule: str = "osha") -> float:
    """Return the eight-hour level in dB(A) of a dose in percent; 16.61 log10(D/100) + 90 for `osha`.

    Raises ValueError for a dose at or below zero.
    """
    row = EXPOSURE[rule]
    return row.level_db + row.exchange_db * math.log2(dose / 100)


# -- distance ----------------------------------------------------------------------------------------------------------


def samples_in_air(metres: float, rate_hz: float, celsius: float = 20.0) -> float:
    """Return how many samples at a rate in Hz sound takes over a distance in metres."""
    return air_delay_ms(metres, celsius) * rate_hz / 1000


def wavelength_m(hertz: float, celsius: float = 20.0) -> float:
    """Return the wavelength in metres of a tone in air."""
    return sound_m_s(celsius) / hertz
