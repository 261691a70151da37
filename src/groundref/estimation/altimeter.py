"""Pressure altitude read like an altimeter: with the day's setting it is altitude above mean sea level.

What an altimeter with the right setting shows is exact on the field that the setting is from, whatever the
air. Above it levels of pressure lie further apart in warm air and closer in cold air than in the standard
atmosphere, by the ratio of the temperatures: 1 K in 288 K, some 4 % for 11 °C. The setting does not tell the
temperature, so a deviation of `UNKNOWN_WARMTH` is counted as one standard deviation, over the height above
the ground, which stands for the field.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.errors import UsageError
from groundref.mechanics.atmosphere import indicated_altitude, sea_level_temperature
from groundref.track.recording import Recording
from groundref.units import foot, hectopascal, inch_hg

Floats = NDArray[np.float64]

# [Pa]  about what was ever measured at sea level, 870 to 1084 hPa (records kept by the WMO, from memory)
LOWEST: Final = 25.0 * inch_hg
HIGHEST: Final = 32.0 * inch_hg
UNKNOWN_WARMTH: Final = 10.0  # [K]  one sd of the air's temperature about the standard one; an assumption
# [m]  one sd of the altitude shown on the field: an altimeter may be off by 20 ft there (14 CFR 43,
# appendix E, table I, from memory), the setting is rounded, some time old, and of a station miles away.
SHOWN_SD: Final = 20.0 * foot


def check_setting(recording: Recording, setting: float) -> None:
    """Refuse a setting that is none, or one for a recording whose altitude is not known to be of pressure.

    Parameters
    ----------
    recording
        What it is meant for.
    setting
        Pressure set in an altimeter's window (QNH) [Pa]

    Raises
    ------
    UsageError
        In both cases.
    """
    if not LOWEST <= setting <= HIGHEST:
        raise UsageError(
            f"an altimeter setting of {setting / hectopascal:g} hPa is out of range",
            "altimeter setting",
            f"give {LOWEST / hectopascal:.0f} to {HIGHEST / hectopascal:.0f} hPa, 25 to 32 inHg",
        )
    if _recorded(recording.altitude_msl):
        raise UsageError(
            "an altimeter setting turns pressure altitude into altitude above mean sea level, and this "
            "recording's altitude is above mean sea level already",
            recording.source,
            "leave the altimeter setting out",
        )
    if not _recorded(recording.altitude_pressure):
        raise UsageError(
            "an altimeter setting turns pressure altitude into altitude above mean sea level, and no "
            "pressure altitude was recorded",
            recording.source,
            "leave the altimeter setting out, or say which column holds pressure altitude",
        )


def as_set(pressure_altitude: Floats, setting: float) -> Floats:
    """Return the altitude above mean sea level that an altimeter with a setting shows [m].

    Parameters
    ----------
    pressure_altitude
        [m]
    setting
        [Pa]
    """
    return indicated_altitude(pressure_altitude, setting)


def warmth_sd(height: Floats) -> Floats:
    """Return the sd of a height told by pressure, of the air's unknown temperature alone [m].

    Parameters
    ----------
    height
        Above the ground [m]
    """
    return np.abs(height) * (UNKNOWN_WARMTH / sea_level_temperature)


def setting_said(setting: float) -> str:
    """Return the sentence about a setting that was used.

    Parameters
    ----------
    setting
        [Pa]
    """
    share = UNKNOWN_WARMTH / sea_level_temperature
    return (
        f"Pressure altitude was read with the altimeter setting given, {setting / inch_hg:.2f} inHg "
        f"({setting / hectopascal:.1f} hPa). The air's temperature is not known: it may well be "
        f"{UNKNOWN_WARMTH:.0f} °C off the standard one, which is {share:.1%} of the height above the ground "
        "and counted in."
    )


def _recorded(altitude: Floats | None) -> bool:
    """Return whether more than half of an altitude was recorded: what the debrief is willing to use."""
    return altitude is not None and bool(np.isfinite(altitude).mean() > 0.5)
