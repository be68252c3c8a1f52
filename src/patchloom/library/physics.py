"""Levels, sound in air, copper and phantom power by arithmetic; pin and pair tables as data.

Comes in: numbers with the unit in their name.  Goes out: numbers with the unit in the function's name,
or small tables.  Next: rules and papers that print a level, a delay or a pin.

Nothing here says that something is permitted or harmless: it computes.  Where power or hearing come
up, local law, venue rules and licensed, competent people take precedence.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

__all__ = [
    "ALIGNMENTS",
    "CHANNEL_CORDS_M",
    "CHANNEL_FIXED_M",
    "CHANNEL_M",
    "LIGHT_M_S",
    "PAIRS_100BASE_TX",
    "PHANTOM",
    "T568A",
    "T568B",
    "XLR3",
    "Alignment",
    "PhantomSupply",
    "air_delay_ms",
    "cable_delay_ns",
    "cable_length_m",
    "clock_slip_s",
    "comb_nulls_hz",
    "comb_peaks_hz",
    "dbu_from_volts",
    "dbv_from_volts",
    "gain_to_dbu",
    "patch_lead",
    "sound_m_s",
    "split_loss_db",
    "volts_from_dbu",
    "volts_from_dbv",
]

LIGHT_M_S = 299_792_458.0
"""Speed of light in vacuum, metres per second (exact, by definition of the metre)."""

_DBU_V = math.sqrt(0.6)
"""0 dBu in volts: 1 mW into 600 ohms."""


# -- levels ------------------------------------------------------------------------------------------------------------


def volts_from_dbu(dbu: float) -> float:
    """Return RMS volts of a level in dBu (0 dBu is the square root of 0.6 V)."""
    return _DBU_V * 10 ** (dbu / 20)


def dbu_from_volts(volts: float) -> float:
    """Return dBu of RMS volts; raises ValueError at or below zero."""
    return 20 * math.log10(volts / _DBU_V)


def volts_from_dbv(dbv: float) -> float:
    """Return RMS volts of a level in dBV (0 dBV is 1 V)."""
    return float(10 ** (dbv / 20))


def dbv_from_volts(volts: float) -> float:
    """Return dBV of RMS volts; raises ValueError at or below zero."""
    return 20 * math.log10(volts)


class Alignment(NamedTuple):
    """An alignment convention: which analogue level in dBu stands for which digital level in dBFS."""

    dbu: float
    dbfs: float
    source: str

    @property
    def full_scale_dbu(self) -> float:
        """Return the analogue level in dBu of digital full scale."""
        return self.dbu - self.dbfs

    def reads_dbfs(self, dbu: float) -> float:
        """Return what a tone of a level in dBu reads in dBFS."""
        return dbu - self.full_scale_dbu


ALIGNMENTS: Mapping[str, Alignment] = MappingProxyType(
    {
        "r68": Alignment(0.0, -18.0, "EBU R68-2000"),
        "rp155": Alignment(4.0, -20.0, "SMPTE RP 155"),
    }
)
"""Alignment conventions by name."""


def gain_to_dbu(spl_db: float, sensitivity_dbv_pa: float, target_dbu: float = 0.0) -> float:
    """Return the gain in dB that brings a sound level to a target in dBu; 94 dB SPL is taken as 1 Pa."""
    microphone = dbu_from_volts(volts_from_dbv(sensitivity_dbv_pa + spl_db - 94))
    return target_dbu - microphone


def split_loss_db(source_ohm: float, load_ohm: float, loads: int) -> float:
    """Return the level in dB lost against one load, when a passive split feeds several equal loads.

    Resistive divider only: `source_ohm` is the microphone's own impedance, `load_ohm` one input's.
    """
    if loads < 1:
        raise ValueError(f"{loads} loads; a split feeds at least one")
    one = load_ohm / (load_ohm + source_ohm)
    all_ = (load_ohm / loads) / (load_ohm / loads + source_ohm)
    return 20 * math.log10(one / all_)


# -- sound and time ----------------------------------------------------------------------------------------------------


def sound_m_s(celsius: float = 20.0) -> float:
    """Return the speed of sound in air in metres per second (ISO 9613-1: 343.2 at 20 degrees, by the root of kelvin)."""
    return 343.2 * math.sqrt((celsius + 273.15) / 293.15)


def air_delay_ms(metres: float, celsius: float = 20.0) -> float:
    """Return how many milliseconds sound takes over a distance in air."""
    return 1000 * metres / sound_m_s(celsius)


def comb_nulls_hz(delay_ms: float, count: int = 1) -> tuple[float, ...]:
    """Return the first nulls in Hz of one signal summed with an equal copy so much later: (2k+1) / (2 dt)."""
    return tuple((2 * k + 1) / (2 * delay_ms / 1000) for k in range(count))


def comb_peaks_hz(delay_ms: float, count: int = 1) -> tuple[float, ...]:
    """Return the first peaks in Hz above 0 of the same sum: k / dt."""
    return tuple(k / (delay_ms / 1000) for k in range(1, count + 1))


def clock_slip_s(rate_hz: float, apart_ppm: float) -> float:
    """Return the seconds between two slips of one sample when two clocks run so many parts per million apart."""
    return 1 / (rate_hz * apart_ppm * 1e-6)


# -- copper ------------------------------------------------------------------------------------------------------------

CHANNEL_FIXED_M = 90.0
"""Longest fixed part of a category-cable channel in metres (TIA-568)."""
CHANNEL_CORDS_M = 10.0
"""Metres of patch cords that go with it (TIA-568)."""
CHANNEL_M = CHANNEL_FIXED_M + CHANNEL_CORDS_M
"""Longest category-cable channel in metres, cords included (TIA-568)."""


def cable_delay_ns(metres: float, velocity: float) -> float:
    """Return the nanoseconds a signal takes through a cable; `velocity` is its share of the speed of light."""
    return metres / (velocity * LIGHT_M_S) * 1e9


def cable_length_m(delay_ns: float, velocity: float) -> float:
    """Return the length in metres that a measured delay stands for."""
    return delay_ns * 1e-9 * velocity * LIGHT_M_S


class Contact(NamedTuple):
    """One contact of an 8-way modular plug: its pair, and the colour of its wire."""

    pair: int
    wire: str


T568A: tuple[Contact, ...] = (
    Contact(3, "white-green"),
    Contact(3, "green"),
    Contact(2, "white-orange"),
    Contact(1, "blue"),
    Contact(1, "white-blue"),
    Contact(2, "orange"),
    Contact(4, "white-brown"),
    Contact(4, "brown"),
)
"""Contacts 1 to 8 of the T568A scheme (TIA-568)."""

T568B: tuple[Contact, ...] = (
    Contact(2, "white-orange"),
    Contact(2, "orange"),
    Contact(3, "white-green"),
    Contact(1, "blue"),
    Contact(1, "white-blue"),
    Contact(3, "green"),
    Contact(4, "white-brown"),
    Contact(4, "brown"),
)
"""Contacts 1 to 8 of the T568B scheme (TIA-568)."""

PAIRS_100BASE_TX: tuple[tuple[int, int], ...] = ((1, 2), (3, 6))
"""Contacts 100BASE-TX uses; 4, 5, 7 and 8 are free (IEEE 802.3u)."""


def patch_lead(one: tuple[Contact, ...], other: tuple[Contact, ...]) -> tuple[int, ...]:
    """Return, for contacts 1 to 8 of one end, the contact of the other end that the same wire lands on."""
    lands = {contact.wire: number for number, contact in enumerate(other, start=1)}
    return tuple(lands[contact.wire] for contact in one)


XLR3: Mapping[int, str] = MappingProxyType({1: "shield", 2: "in phase", 3: "return"})
"""What each pin of a 3-pin XLR carries (AES14-1992, IEC 60268-12)."""


# -- phantom power -----------------------------------------------------------------------------------------------------


class PhantomSupply(NamedTuple):
    """A phantom supply: volts behind a resistor in each of the two signal wires, against the shield."""

    volts: float
    ohm_each: float
    most_ma: float | None
    tolerance_v: float | None
    source: str

    @property
    def feed_ohm(self) -> float:
        """Return the resistance in ohms the current sees: both resistors in parallel."""
        return self.ohm_each / 2

    def short_ma(self) -> float:
        """Return the current in milliampere into a short circuit of both wires to the shield."""
        return 1000 * self.volts / self.feed_ohm

    def left_v(self, current_ma: float) -> float:
        """Return the volts left at the microphone at a current in milliampere."""
        return self.volts - current_ma / 1000 * self.feed_ohm

    def most_mw(self) -> float:
        """Return the most power in milliwatt any load can draw (where it takes half the voltage)."""
        return 1000 * self.volts**2 / (4 * self.feed_ohm)

    def within(self, volts: float) -> bool | None:
        """Return whether a measured open voltage is inside the tolerance; None where the tolerance is unknown."""
        return None if self.tolerance_v is None else abs(volts - self.volts) <= self.tolerance_v


PHANTOM: Mapping[str, PhantomSupply] = MappingProxyType(
    {
        "P12": PhantomSupply(12, 680, 15, None, "IEC 61938:2018 (secondary; tolerance disputed)"),
        "P12L": PhantomSupply(12, 3300, 4, None, "IEC 61938:2018 (secondary)"),
        "P24": PhantomSupply(24, 1200, 10, 4, "IEC 61938:2018 (resistor secondary; rest from memory)"),
        "P48": PhantomSupply(48, 6800, 10, 4, "IEC 61938:2018 (secondary)"),
        "SP48": PhantomSupply(48, 2200, 22, None, "IEC 61938:2018 (secondary)"),
    }
)
"""Phantom supplies by the names of the standard.  The two resistors of a pair must match closely."""
