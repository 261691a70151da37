"""The simulated lesson: a whole flight from an invented airfield, with a maneuver in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from math import isfinite, radians
from typing import Final

import numpy as np

from groundref.angles import half_turn
from groundref.errors import NoSolution, UsageError
from groundref.geo.frame import LocalFrame
from groundref.simulation.airplane import Airplane
from groundref.simulation.exercise import Exercise
from groundref.simulation.faults import sized, to_si
from groundref.simulation.flight import Setting, fly_legs
from groundref.simulation.fly import Motion
from groundref.simulation.legs import Leg
from groundref.simulation.pilot import Skill
from groundref.simulation.recorders import Recorder, named_recorder
from groundref.simulation.route import Route
from groundref.simulation.shapes import known_kind, shape
from groundref.simulation.truth import Truth
from groundref.simulation.wind_field import Weather
from groundref.track.recording import Recording
from groundref.units import foot, knot

# An invented practice area over open farmland, and an invented airfield some 8 km from its point.
PRACTICE_LATITUDE: Final = radians(40.1)
PRACTICE_LONGITUDE: Final = radians(-90.2)
PRACTICE_ELEVATION: Final = 620 * foot
LESSON_EPOCH: Final = datetime(2026, 5, 1, 14, 0, tzinfo=UTC)
_BAND = (600 * foot, 1000 * foot)


def simulate(
    maneuver: str = "turns-around-a-point",
    *,
    true_airspeed: float = 90 * knot,
    wind_speed: float = 12 * knot,
    wind_from: float = radians(240),
    radius: float = 1200 * foot,
    height: float = 800 * foot,
    ground_elevation: float = PRACTICE_ELEVATION,
    direction: str = "left",
    laps: float = 3,
    latitude: float = PRACTICE_LATITUDE,
    longitude: float = PRACTICE_LONGITUDE,
    epoch: datetime = LESSON_EPOCH,
    seed: int = 1,
    faults: Mapping[str, float | None] | None = None,
    faulty_laps: Sequence[int] = (),
    recorder: str | Recorder = "phone",
    interval: float | None = None,
    gust_sd: float = 0.0,
    wind_shift: tuple[float, float] = (0.0, 0.0),
    bank_limit: float = radians(45),
    roll_rate: float = radians(12),
    unsteadiness: float = 1.0,
    flight: str = "lesson",
    course: float | None = None,
    spacing: float | None = None,
) -> tuple[Recording, Truth]:
    """Simulate a flight with a maneuver and its recording.

    Parameters
    ----------
    maneuver
        One of ``shapes.SHAPES``, such as `turns-around-a-point`.
    true_airspeed
        To be held in the maneuver [m s⁻¹]
    wind_speed, wind_from
        Wind at the maneuver's height at the start [m s⁻¹], [rad]
    radius, height
        Of the circle, and above the ground [m]
    ground_elevation
        Of airfield and practice area above mean sea level [m]
    direction
        `left` or `right`.
    laps
        Times round; one or more, need not be whole.
    latitude, longitude
        The point [rad]
    epoch
        Start of the flight, UTC.
    seed
        The same number gives the same flight and recording.
    faults
        Size of each common error committed, by name, in its own unit (see docs/simulate.md); None takes
        the default size.
    faulty_laps
        Numbers of the laps, from 1, in which errors of bank, height and coordination are made; none for all.
    recorder
        `phone`, `avionics` or `adsb`, or one of these with its own figures.
    interval
        Time between its samples; None takes the recorder's usual one [s]
    gust_sd
        Standard deviation of gusts on each axis [m s⁻¹]
    wind_shift
        Change of the air's velocity, east and north, over the lesson [m s⁻¹]
    bank_limit
        Bank the pilot does not exceed to correct [rad]
    roll_rate
        [rad s⁻¹]
    unsteadiness
        How much the pilot wanders; 1 a careful student, 0 a perfectly steady hand.
    flight
        `lesson` from engine start to engine stop, or `maneuver-only` from a minute before the entry.
    course
        Direction of the line, the first leg, or the line between the pylons; the usual one in this wind when
        None [rad]
    spacing
        Distance between the pylons, or the longer side of a rectangle; the usual one when None [m]

    Returns
    -------
    tuple
        The recording and the truth.

    Raises
    ------
    UsageError
        When a name is unknown or a value out of range.
    NoSolution
        When the wind is not clearly less than the airspeed, or the circle needs a bank that no one flies.
    """
    _check(maneuver, direction, flight, true_airspeed, wind_speed, radius, height, laps, wind_from, gust_sd)
    sizes = sized(faults or {})
    wrong = to_si(sizes, faulty_laps)
    airplane = Airplane(trim_speed=true_airspeed, roll_rate=roll_rate)
    exercise = Exercise(
        kind=maneuver,
        east=0.0,
        north=0.0,
        radius=radius,
        side=1.0 if direction == "right" else -1.0,
        wind_speed=wind_speed,
        downwind=wind_from + half_turn,
        laps=laps,
        height=_flown_height(height, wrong.outside_height_band),
        speed=true_airspeed,
        bank_limit=bank_limit,
        faults=wrong,
        airplane=airplane,
        course=course,
        spacing=spacing,
    )
    weather = Weather.blowing(
        wind_speed, wind_from, shift=wind_shift, gust_sd=gust_sd, height=exercise.height
    )
    route = Route([shape(exercise)], weather)
    legs = route.lesson() if flight == "lesson" else route.maneuver_only()
    start = route.parked() if flight == "lesson" else route.inbound()
    return compose(
        legs,
        start,
        airplane=airplane,
        weather=weather,
        ground_elevation=ground_elevation,
        latitude=latitude,
        longitude=longitude,
        epoch=epoch,
        seed=seed,
        recorder=named_recorder(recorder, interval),
        unsteadiness=unsteadiness,
        faults=sizes,
    )


def simulate_many(
    exercises: Sequence[Exercise],
    weather: Weather,
    *,
    ground_elevation: float = PRACTICE_ELEVATION,
    latitude: float = PRACTICE_LATITUDE,
    longitude: float = PRACTICE_LONGITUDE,
    epoch: datetime = LESSON_EPOCH,
    seed: int = 1,
    recorder: str | Recorder = "phone",
    interval: float | None = None,
    unsteadiness: float = 1.0,
    flight: str = "lesson",
) -> tuple[Recording, Truth]:
    """Simulate a flight with several maneuvers one after the other.

    Parameters
    ----------
    exercises
        In the order flown, each with its own place, height and faults; the first one's airplane flies.
    weather
        The air.
    ground_elevation, latitude, longitude, epoch, seed, recorder, interval, unsteadiness, flight
        As in ``simulate``; latitude and longitude are those of the exercises' origin.

    Raises
    ------
    UsageError
        When there is no exercise, or the kind of one cannot be simulated.
    NoSolution
        When one cannot be flown in its wind.
    """
    if not exercises:
        raise UsageError("there is nothing to fly", "exercises", "give at least one exercise")
    route = Route([shape(exercise) for exercise in exercises], weather)
    return compose(
        route.lesson() if flight == "lesson" else route.maneuver_only(),
        route.parked() if flight == "lesson" else route.inbound(),
        airplane=exercises[0].airplane,
        weather=weather,
        ground_elevation=ground_elevation,
        latitude=latitude,
        longitude=longitude,
        epoch=epoch,
        seed=seed,
        recorder=named_recorder(recorder, interval),
        unsteadiness=unsteadiness,
    )


def compose(
    legs: Sequence[Leg],
    start: Motion,
    *,
    airplane: Airplane | None = None,
    weather: Weather,
    ground_elevation: float = PRACTICE_ELEVATION,
    latitude: float = PRACTICE_LATITUDE,
    longitude: float = PRACTICE_LONGITUDE,
    epoch: datetime = LESSON_EPOCH,
    seed: int = 1,
    recorder: str | Recorder = "phone",
    unsteadiness: float = 1.0,
    faults: Mapping[str, float] | None = None,
) -> tuple[Recording, Truth]:
    """Fly any list of legs and record it.

    Parameters
    ----------
    legs
        In the order flown.
    start
        The airplane at the start, see ``route.airborne``.
    airplane
        None takes the trainer.
    weather
        The air.
    ground_elevation, latitude, longitude, epoch, seed, recorder, unsteadiness
        As in ``simulate``.
    faults
        Sizes to be told in the truth.
    """
    chance = np.random.default_rng(seed).spawn(2)
    setting = Setting(
        epoch=epoch,
        frame=LocalFrame(latitude, longitude),
        ground_elevation=ground_elevation,
        weather=weather,
        airplane=airplane or Airplane(),
        skill=Skill().times(unsteadiness),
        generator=chance[0],
    )
    truth = fly_legs(legs, start, setting, faults or {})
    return named_recorder(recorder).record(truth, chance[1]), truth


def _flown_height(height: float, outside: float) -> float:
    """Return the height flown: the one meant, or beyond the edge of the band [m]."""
    if not outside:
        return height
    return _BAND[1] + outside if outside > 0 else _BAND[0] + outside


def _check(
    maneuver: str,
    direction: str,
    flight: str,
    airspeed: float,
    wind: float,
    radius: float,
    height: float,
    laps: float,
    wind_from: float,
    gust_sd: float,
) -> None:
    """Refuse what cannot be flown."""
    known_kind(maneuver)
    if direction not in {"left", "right"}:
        raise UsageError(f"{direction!r} is not a direction", "direction", "choose left or right")
    if flight not in {"lesson", "maneuver-only"}:
        raise UsageError(f"{flight!r} is not a flight", "flight", "choose lesson or maneuver-only")
    if not 15.0 <= airspeed <= 130.0:
        raise UsageError("the true airspeed is out of range", "airspeed", "choose 30 to 250 kt")
    if not 0.0 <= wind <= 0.6 * airspeed:
        raise NoSolution(
            "the wind is too strong for the airspeed", "wind", "choose a wind below 60 % of the airspeed"
        )
    if not 60.0 <= radius <= 5000.0:
        raise UsageError("the radius is out of range", "radius", "choose 200 to 16,000 ft")
    if not 60.0 <= height <= 3000.0:
        raise UsageError("the height is out of range", "height", "choose 200 to 10,000 ft above the ground")
    if not (isfinite(wind_from) and 0.0 <= gust_sd <= 15.0):
        raise UsageError("the wind is not a wind", "wind", "choose a direction and gusts below 30 kt")
    if not 0.25 <= laps <= 100:
        raise UsageError("the number of laps is out of range", "laps", "choose 0.25 to 100")
