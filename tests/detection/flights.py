"""Simulated flights for the tests of detection: what is flown and what is found in it."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan, radians, tan
from typing import Any

import numpy as np

from groundref.angles import full_turn
from groundref.debriefing import debrief
from groundref.detection.maneuver import Maneuver
from groundref.simulation import Truth, Weather, airborne, compose, simulate
from groundref.simulation import patterns as pattern
from groundref.simulation.airplane import GLIDER
from groundref.simulation.legs import Leg, Straight, Turn
from groundref.track.recording import Recording
from groundref.units import foot, knot, standard_gravity

RECORDERS = ("phone", "avionics", "adsb")


def found_in(recording: Recording, truth: Truth, **options: Any) -> list[Maneuver]:
    """Return the maneuvers found, the elevation of the ground known."""
    whole = debrief(recording, **{"ground": truth.ground_elevation, **options})
    return [assessed.maneuver for assessed in whole.maneuvers]


def drawn(number: int, fault: str | None = None) -> tuple[Recording, Truth]:
    """Return one of many lessons: 60-120 kt, 0-25 kt of wind, 700-1,800 ft, 1-4 laps, each recorder in turn.

    The radius is widened where more than 47° would be needed downwind.
    """
    chance = np.random.default_rng(number)
    speed = chance.uniform(60, 120) * knot
    wind = min(chance.uniform(0, 25) * knot, 0.4 * speed)
    tightest = (speed + wind) ** 2 / (standard_gravity * tan(radians(47)))
    return simulate(
        true_airspeed=speed,
        wind_speed=wind,
        wind_from=chance.uniform(0, full_turn),
        radius=max(chance.uniform(700, 1800) * foot, tightest),
        direction=("left", "right")[(number // 3) % 2],
        laps=int(chance.integers(1, 5)),
        recorder=RECORDERS[number % 3],
        seed=number,
        faults={fault: None} if fault else {},
        gust_sd=float(chance.choice([0.0, 0.0, 1.0])),
        wind_shift=(chance.normal(0, 1), chance.normal(0, 1)),
        bank_limit=radians(50),
        flight="maneuver-only",
    )


def other_flying(name: str, wind_kt: float, recorder: str) -> tuple[Recording, Truth]:
    """Return a flight of something else."""
    legs, height, speed = _OTHER[name]
    weather = Weather.blowing(wind_kt * knot, radians(240), height=250.0)
    straight = Straight(height, speed, seconds=40.0)
    glides = name == "thermal climb"
    return compose(
        legs if glides else [straight, *legs, straight],
        airborne(0.0, 0.0, height, 1.0, speed, weather),
        airplane=GLIDER if glides else None,
        weather=weather,
        seed=len(name),
        recorder=recorder,
    )


def _loops(height: float, speed: float) -> list[Leg]:
    """Return elementary eights: a loop to the right, a few seconds level, a loop to the left, twice."""
    right, left = (Turn(side * 0.97 * full_turn, radians(30), speed, height=height) for side in (1.0, -1.0))
    level = Straight(height, speed, seconds=5.0)
    return [right, level, left, level] * 2


_LOW = 800 * foot
_OTHER: dict[str, tuple[Sequence[Leg], float, float]] = {
    "traffic circuits": (pattern.traffic_circuit(radians(240)) * 2, 40.0, 80 * knot),
    "tight traffic circuits": (
        pattern.traffic_circuit(radians(240), side=1.0, downwind=40.0) * 2,
        40.0,
        80 * knot,
    ),
    "holding pattern": (pattern.holding_pattern(1.0, 1050 * foot), 1050 * foot, 90 * knot),
    "s-turns": (pattern.s_turns(radians(60), _LOW), _LOW, 90 * knot),
    "thermal climb": (pattern.thermal_climb(), 400.0, 45 * knot),
    "sightseeing": (pattern.sightseeing(_LOW) * 2, _LOW, 85 * knot),
    "procedure turn": (pattern.procedure_turn(1.0, 1000 * foot), 1000 * foot, 90 * knot),
    "elementary eights": (_loops(_LOW, 90 * knot), _LOW, 90 * knot),
    **{
        f"steep turns {bank}° at {height} ft": (
            pattern.steep_turns(height * foot, bank=radians(bank)),
            height * foot,
            95 * knot,
        )
        for height, bank in ((1500, 45), (1500, 50), (2500, 45), (4000, 50))
    },
}
OTHER = tuple(_OTHER)


def around(side: float, laps: float, bank: float = 25.0, speed: float = 90 * knot) -> list[Leg]:
    """Return so many laps at constant bank, which in calm air go round a point."""
    return [Turn(side * laps * full_turn, radians(bank), speed, height=_LOW)]


def calm_radius(bank: float = 25.0, speed: float = 90 * knot) -> float:
    return speed**2 / (standard_gravity * tan(radians(bank)))


def needed_bank(speed: float, wind: float, radius: float) -> float:
    """Return the steepest bank of a circle in wind [rad]."""
    return atan((speed + wind) ** 2 / (standard_gravity * radius))
