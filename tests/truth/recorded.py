"""The recorders that every lesson is recorded with."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.mechanics import airspeed as airspeeds
from groundref.simulation.recorders import Adsb, Avionics, Phone
from groundref.simulation.sensing import Day
from groundref.simulation.truth import Truth
from groundref.track.recording import Recording
from groundref.units import hectopascal, inch_hg

from . import recorders

Floats = NDArray[np.float64]

Record = Callable[[Truth, int], Recording]

WARMTH_SD: Final = 10.0
"""Of the air's temperature about the standard one, over the days of a year [K]; common practice, no source.

In the middle of a continent at 40° north months are some 15 K colder in winter and 12 K warmer in summer
(from memory).
"""
SETTING_SD: Final = 8.0 * hectopascal
"""Of the altimeter setting over the days of a year; from memory."""
TOLD_SD: Final = 0.5 * hectopascal
"""Of the setting told, some 14 ft.

An altimeter may be off by 20 ft near the ground (14 CFR 43, appendix E, table I, from memory), and the
setting is of a station some miles and some time away.
"""


def day_of(draw: int) -> Day:
    """Return the day of a lesson: one and the same day would be either always or never within an interval."""
    rng = np.random.default_rng([draw, 43])
    return Day(
        altimeter_setting=1015.0 * hectopascal + float(rng.normal(0.0, SETTING_SD)),
        warmer=float(rng.normal(0.0, WARMTH_SD)),
    )


def told_setting(draw: int) -> float:
    """Return the altimeter setting as it is told: a little off, and to a hundredth of an inch [Pa]."""
    rng = np.random.default_rng([draw, 47])
    meant = day_of(draw).altimeter_setting + float(rng.normal(0.0, TOLD_SD))
    return round(meant / inch_hg, 2) * inch_hg


@dataclass(frozen=True, slots=True)
class _Order:
    number: int


@dataclass(frozen=True, slots=True)
class _Seen:
    """A lesson's truth as the other recorders look at it."""

    order: _Order
    time: Floats
    latitude: Floats
    longitude: Floats
    altitude: Floats
    velocity_east: Floats
    velocity_north: Floats
    true_airspeed: Floats
    calibrated_airspeed: Floats
    heading: Floats
    bank: Floats
    lateral_acceleration: Floats


def _seen(truth: Truth, draw: int) -> _Seen:
    latitude, longitude = truth.frame.to_geographic(truth.east, truth.north)
    return _Seen(
        order=_Order(draw),
        time=truth.time,
        latitude=latitude,
        longitude=longitude,
        altitude=truth.altitude,
        velocity_east=truth.velocity_east,
        velocity_north=truth.velocity_north,
        true_airspeed=truth.true_airspeed,
        calibrated_airspeed=airspeeds.calibrated_airspeed(
            truth.true_airspeed, truth.altitude, 288.15 - 0.0065 * truth.altitude
        ),
        heading=truth.heading,
        bank=truth.bank,
        lateral_acceleration=truth.lateral_acceleration,
    )


def _own(recorder: Phone | Avionics | Adsb) -> Record:
    def record(truth: Truth, draw: int) -> Recording:
        used = recorder if isinstance(recorder, Phone) else replace(recorder, day=day_of(draw))
        return used.record(truth, np.random.default_rng([draw, 41]))

    return record


RECORDERS: Final[dict[str, Record]] = {
    "phone 1 s": _own(Phone()),
    "phone 0.2 s": _own(Phone(interval=0.2)),
    "phone 2 s": _own(Phone(interval=2.0)),
    "phone 5 s": _own(Phone(interval=5.0)),
    "panel 1 s": _own(Avionics()),
    "panel 0.2 s": _own(Avionics(interval=0.2)),
    "ADS-B 1.2 s": _own(Adsb()),
    "other phone 1 s": lambda truth, draw: recorders.phone(_seen(truth, draw), draw),
    "phone with airspeed 1 s": lambda truth, draw: recorders.with_airspeed(_seen(truth, draw), draw),
}
"""The project's own simulated recorders, and two that were written apart from it (the last ones)."""
HEADLINE: Final = ("phone 1 s", "panel 1 s", "ADS-B 1.2 s", "other phone 1 s", "phone with airspeed 1 s")
"""Those at about one sample a second, over which the figures of all together are taken."""
GPS_ONLY: Final = ("phone 1 s", "other phone 1 s")
WITH_AIRSPEED: Final = ("panel 1 s", "phone with airspeed 1 s")
