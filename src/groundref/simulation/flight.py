"""Flying a list of legs: from a description to the truth."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import wrap
from groundref.errors import UsageError
from groundref.geo.frame import LocalFrame
from groundref.simulation.airplane import Airplane
from groundref.simulation.fly import Motion, fly, roll
from groundref.simulation.legs import Leg
from groundref.simulation.maneuver_leg import ManeuverLeg
from groundref.simulation.pilot import Pilot, Skill
from groundref.simulation.truth import Truth
from groundref.simulation.wind_field import Weather, WindField

Floats = NDArray[np.float64]

STEP: Final = 0.05  # [s]
_KEEP_EVERY: Final = 2  # steps between samples of the truth
_LONGEST: Final = 4 * 3600.0  # [s]
_SAMPLED: Final = (
    "time",
    "east",
    "north",
    "height",
    "velocity_east",
    "velocity_north",
    "climb",
    "climb_rate",
    "airspeed",
    "heading",
    "bank",
    "wind_east",
    "wind_north",
    "side_force",
    "on_ground",
)


@dataclass(frozen=True, slots=True)
class Setting:
    """All of a flight but its legs.

    Attributes
    ----------
    epoch
        When it starts, UTC.
    frame
        Its local frame.
    ground_elevation
        Of airfield and practice area, above mean sea level [m]
    weather, airplane, skill
        Air, airplane and pilot.
    generator
        Source of chance of the flight.
    """

    epoch: datetime
    frame: LocalFrame
    ground_elevation: float
    weather: Weather
    airplane: Airplane
    skill: Skill
    generator: np.random.Generator


@dataclass(frozen=True, slots=True)
class _Mark:
    leg: Leg
    start: float
    end: float


def fly_legs(legs: Sequence[Leg], now: Motion, setting: Setting, faults: Mapping[str, float]) -> Truth:
    """Fly legs one after the other and return the truth.

    Parameters
    ----------
    legs
        In the order flown.
    now
        The airplane at the start; it is moved.
    setting
        All else.
    faults
        What is told about the faults in the truth.

    Raises
    ------
    UsageError
        When the flight does not end within hours, because the legs ask for what cannot be flown.
    """
    air, crew = setting.generator.spawn(2)
    wind = WindField(setting.weather, STEP, air)
    pilot = Pilot(setting.airplane, setting.skill, STEP, crew)
    now.wind_east, now.wind_north = wind.at(now.time, now.height)
    now.derive()
    if not now.on_ground:
        trimmed = setting.airplane.drag(now.airspeed, 1.0)
        now.thrust = min(trimmed, setting.airplane.largest_thrust(now.airspeed))
    samples: list[tuple[float, ...]] = [_sample(now)]
    marks: list[_Mark] = []
    for leg in legs:
        begin = now.time
        _fly_leg(leg, now, pilot, wind, setting.airplane, samples)
        marks.append(_Mark(leg, begin, now.time))
    return _truth(samples, marks, setting, faults)


def _fly_leg(
    leg: Leg,
    now: Motion,
    pilot: Pilot,
    wind: WindField,
    airplane: Airplane,
    samples: list[tuple[float, ...]],
) -> None:
    """Fly one leg and append what was flown to ``samples``."""
    for count, wish in enumerate(leg.steer(now, pilot), start=1):
        air = wind.at(now.time + STEP, now.height)
        if wish.wheels is None:
            fly(now, pilot.command(wish, now), airplane, air, STEP)
        else:
            roll(now, *wish.wheels, air, STEP)
        if count % _KEEP_EVERY == 0:
            samples.append(_sample(now))
        if now.time > _LONGEST:
            raise UsageError(
                "the simulated flight does not come to its end",
                "simulate",
                "choose less wind or more airspeed",
            )


def _sample(now: Motion) -> tuple[float, ...]:
    return (
        now.time,
        now.east,
        now.north,
        now.height,
        now.velocity_east,
        now.velocity_north,
        now.climb,
        now.climb_rate,
        now.airspeed,
        now.heading,
        now.bank,
        now.wind_east,
        now.wind_north,
        now.side_force,
        now.on_ground,
    )


def _truth(
    samples: list[tuple[float, ...]],
    marks: list[_Mark],
    setting: Setting,
    faults: Mapping[str, float],
) -> Truth:
    column = dict(zip(_SAMPLED, np.array(samples, dtype=np.float64).T.copy(), strict=True))
    maneuvers = tuple(
        mark.leg.flown(mark.start, mark.end, column) for mark in marks if isinstance(mark.leg, ManeuverLeg)
    )
    arrays = {
        **{name: column[name] for name in _SAMPLED if name not in {"airspeed", "side_force"}},
        "altitude": column["height"] + setting.ground_elevation,
        "true_airspeed": column["airspeed"],
        "lateral_acceleration": column["side_force"],
        "heading": wrap(column["heading"]),
    }
    on_ground = column["on_ground"] > 0.5
    for values in (*arrays.values(), on_ground):
        values.setflags(write=False)
    return Truth(
        epoch=setting.epoch,
        frame=setting.frame,
        ground_elevation=setting.ground_elevation,
        faults=dict(faults),
        maneuvers=maneuvers,
        **{**arrays, "on_ground": on_ground},
    )
