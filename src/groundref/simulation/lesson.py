"""The simulated lesson: a whole flight from an invented airfield, with a maneuver in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from math import radians
from typing import Final

import numpy as np

from groundref.errors import NoSolutionError, UsageError
from groundref.geo.frame import LocalFrame
from groundref.simulation.airplane import Airplane
from groundref.simulation.asked import asked
from groundref.simulation.exercise import Exercise, Shape
from groundref.simulation.faults import sized
from groundref.simulation.flight import Setting, fly_legs
from groundref.simulation.fly import Motion
from groundref.simulation.legs import Leg
from groundref.simulation.pilot import Skill
from groundref.simulation.recorders import Recorder, named_recorder
from groundref.simulation.route import Route
from groundref.simulation.shapes import shape
from groundref.simulation.truth import Truth
from groundref.simulation.wind_field import Weather
from groundref.track.recording import Recording
from groundref.units import foot, knot

# An invented practice area over open farmland, and an invented airfield some 8 km from its point.
PRACTICE_LATITUDE: Final = radians(40.1)
PRACTICE_LONGITUDE: Final = radians(-90.2)
PRACTICE_ELEVATION: Final = 620 * foot
LESSON_EPOCH: Final = datetime(2026, 5, 1, 14, 0, tzinfo=UTC)


def simulate(
    maneuver: str = "turns-around-a-point",
    *,
    true_airspeed: float = 90 * knot,
    wind_speed: float = 12 * knot,
    wind_from: float = radians(240),
    radius: float | None = None,
    height: float | None = None,
    ground_elevation: float = PRACTICE_ELEVATION,
    direction: str = "left",
    laps: float | None = None,
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
    bank_limit: float | None = None,
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
        Of the circles (half of the shorter side of a rectangle), and above the ground; the usual ones of the
        maneuver when None [m]
    ground_elevation
        Of airfield and practice area above mean sea level [m]
    direction
        Of the first turn: `left` or `right`.
    laps
        Times round a point (need not be whole), half circles, eights of two loops, circuits, or turns; the
        usual number when None.
    latitude, longitude
        The point, or the middle of the line, of the rectangle or between the pylons [rad]
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
        Bank the pilot does not exceed to correct; of steep turns the bank to hold; the usual one when None
        [rad]
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
    NoSolutionError
        When the wind is not clearly less than the airspeed, or the circle needs a bank that no one flies.
    """
    if not 0.0 <= gust_sd <= 15.0:
        raise UsageError("the wind is not a wind", "wind", "choose a direction and gusts below 30 kt")
    exercise = asked(
        maneuver,
        true_airspeed=true_airspeed,
        wind_speed=wind_speed,
        wind_from=wind_from,
        radius=radius,
        height=height,
        direction=direction,
        laps=laps,
        bank_limit=bank_limit,
        roll_rate=roll_rate,
        faults=faults,
        faulty_laps=faulty_laps,
        course=course,
        spacing=spacing,
    )
    return simulate_many(
        [exercise],
        Weather.blowing(wind_speed, wind_from, shift=wind_shift, gust_sd=gust_sd, height=exercise.height),
        ground_elevation=ground_elevation,
        latitude=latitude,
        longitude=longitude,
        epoch=epoch,
        seed=seed,
        recorder=recorder,
        interval=interval,
        unsteadiness=unsteadiness,
        flight=flight,
        faults=sized(faults or {}),
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
    faults: Mapping[str, float] | None = None,
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
    faults
        Sizes to be told in the truth beside those of each maneuver.

    Raises
    ------
    UsageError
        When there is no exercise, or the kind of one cannot be simulated, or a fault not be committed in it.
    NoSolutionError
        When one cannot be flown in its wind.
    """
    if not exercises:
        raise UsageError("there is nothing to fly", "exercises", "give at least one exercise")
    if flight not in {"lesson", "maneuver-only"}:
        raise UsageError(f"{flight!r} is not a flight", "flight", "choose lesson or maneuver-only")
    route = Route(_shapes(exercises), weather)
    whole = flight == "lesson"
    recording, truth = compose(
        route.lesson() if whole else route.maneuver_only(),
        route.parked() if whole else route.inbound(),
        airplane=exercises[0].airplane,
        weather=weather,
        ground_elevation=ground_elevation,
        latitude=latitude,
        longitude=longitude,
        epoch=epoch,
        seed=seed,
        recorder=named_recorder(recorder, interval),
        unsteadiness=unsteadiness,
        faults=faults,
    )
    return recording, replace(truth, runway=route.runway_ends if whole else ())


def _shapes(exercises: Sequence[Exercise]) -> list[Shape]:
    """Return what is flown; of several, a failure says which one it is of."""
    shapes = []
    for exercise in exercises:
        try:
            shapes.append(shape(exercise))
        except (UsageError, NoSolutionError) as problem:
            if len(exercises) == 1:
                raise
            where = f"{exercise.kind}: {problem.where}"
            raise type(problem)(problem.what, where, problem.remedy) from problem
    return shapes


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
