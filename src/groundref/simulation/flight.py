"""Flying a list of legs: from a description to the truth."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import unwrap, wrap
from groundref.errors import UsageError
from groundref.geo.frame import LocalFrame
from groundref.simulation.airplane import Airplane
from groundref.simulation.around_point import AroundPoint, entry_place, entry_track
from groundref.simulation.fly import Motion, fly, roll
from groundref.simulation.legs import Leg
from groundref.simulation.pilot import Pilot, Skill
from groundref.simulation.truth import TrueManeuver, Truth, lap_boundaries
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
        _maneuver(mark.leg, mark.start, mark.end, column, setting.frame)
        for mark in marks
        if isinstance(mark.leg, AroundPoint)
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


def _maneuver(
    leg: AroundPoint, begin: float, finish: float, column: dict[str, Floats], frame: LocalFrame
) -> TrueManeuver:
    """Return the facts about one flown circle from the samples."""
    circle, time, bank = leg.circle, column["time"], leg.circle.side * column["bank"]
    start, end = _roll_in(time, bank, begin), _roll_out(time, bank, finish)
    track = np.arctan2(column["velocity_east"], column["velocity_north"])
    distance = np.hypot(column["east"] - circle.east, column["north"] - circle.north)
    latitude, longitude = frame.to_geographic(circle.east, circle.north)
    abeam = _abeam(leg, begin, column)
    return TrueManeuver(
        kind="turns-around-a-point",
        direction="right" if circle.side > 0 else "left",
        latitude=float(latitude),
        longitude=float(longitude),
        east=circle.east,
        north=circle.north,
        radius=circle.radius,
        height=circle.height,
        laps=circle.laps,
        start=start,
        end=end,
        entry_time=abeam,
        entry_track=float(wrap(np.interp(min(abeam, begin), time, unwrap(track)))),
        entry_distance=float(np.interp(start, time, distance)),
        boundaries=lap_boundaries(time, track, start, end),
        bank_limit=circle.bank_limit,
    )


def _roll_in(time: Floats, bank: Floats, begin: float) -> float:
    """Return when the bank passed half of the first value at which it stopped growing after ``begin``."""
    first = int(np.searchsorted(time, begin))
    rate = np.gradient(bank, time)
    settled = (np.arange(bank.size) > first) & (bank > np.radians(8)) & (rate < np.radians(1))
    last = int(np.argmax(settled))
    return _passes(time, bank, 0.5 * bank[last], first, last)


def _roll_out(time: Floats, bank: Floats, finish: float) -> float:
    """Return when the bank passed half of the value it had at ``finish``."""
    first = int(np.searchsorted(time, finish))
    below = np.flatnonzero(bank[first:] < 0.5 * bank[first])
    last = first + int(below[0]) if below.size else bank.size - 1
    return _passes(time, bank, 0.5 * bank[first], max(first - 1, 0), last)


def _passes(time: Floats, values: Floats, level: float, first: int, last: int) -> float:
    """Return the last time between two samples at which the values pass a level [s]."""
    over = values[first : last + 1] > level
    change = np.flatnonzero(over[1:] != over[:-1])
    if change.size == 0:
        return float(time[last])
    at = first + int(change[-1])
    part = (level - values[at]) / (values[at + 1] - values[at])
    return float(time[at] + part * (time[at + 1] - time[at]))


def _abeam(leg: AroundPoint, begin: float, column: dict[str, Floats]) -> float:
    """Return when the airplane came abeam the point on its way in [s]."""
    east, north = entry_place(leg.circle, leg.faults)
    course = entry_track(leg.circle, leg.faults)
    along = (column["east"] - east) * np.sin(course) + (column["north"] - north) * np.cos(course)
    near = (column["time"] > begin - 30.0) & (along >= 0.0)
    return float(column["time"][int(np.argmax(near))])
