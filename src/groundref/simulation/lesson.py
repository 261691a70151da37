"""The simulated lesson: a whole flight from an invented airfield, with turns around a point in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from math import cos, hypot, radians, sin
from typing import Final

import numpy as np

from groundref.angles import half_turn, quarter_turn
from groundref.errors import NoSolution, UsageError
from groundref.geo.frame import LocalFrame
from groundref.simulation.airplane import Airplane
from groundref.simulation.around_point import AroundPoint, Circle, approach, entry_place, entry_track
from groundref.simulation.faults import Faults, sized, to_si
from groundref.simulation.flight import Setting, fly_legs
from groundref.simulation.fly import Motion
from groundref.simulation.legs import (
    CIRCUIT_HEIGHT,
    CIRCUIT_WIDTH,
    Flare,
    GoTo,
    Leg,
    Line,
    RollOut,
    Straight,
    TakeOff,
    Taxi,
    Turn,
    Wait,
)
from groundref.simulation.pilot import Skill
from groundref.simulation.recorders import Recorder, named_recorder
from groundref.simulation.truth import Truth
from groundref.simulation.wind_field import Weather
from groundref.track.recording import Recording
from groundref.units import foot, knot

# An invented practice area over open farmland, and an invented airfield some 8 km from its point.
PRACTICE_LATITUDE: Final = radians(40.1)
PRACTICE_LONGITUDE: Final = radians(-90.2)
PRACTICE_ELEVATION: Final = 620 * foot
LESSON_EPOCH: Final = datetime(2026, 5, 1, 14, 0, tzinfo=UTC)
_FIELD_EAST, _FIELD_NORTH = -6500.0, -5200.0  # [m]
_RUNWAY_LENGTH = 900.0  # [m]
_APRON = 120.0  # [m] from the runway
_LEAD_IN = 2800.0  # [m] straight flight to the entry
_CLEARING_BANK = radians(25)
_CLIMB_SPEED = 0.84  # of the practice speed
_FINAL_SPEED = 0.74
_GLIDE_SLOPE = radians(3.8)
_FLARE_HEIGHT = 6.0  # [m]
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
) -> tuple[Recording, Truth]:
    """Simulate a flight with turns around a point and its recording.

    Parameters
    ----------
    maneuver
        `turns-around-a-point`.
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

    Returns
    -------
    tuple
        The recording and the truth.

    Raises
    ------
    UsageError
        When a name is unknown or a value out of range.
    NoSolution
        When the wind is not clearly less than the airspeed.
    """
    _check(maneuver, direction, flight, true_airspeed, wind_speed, radius, height, laps)
    sizes = sized(faults or {})
    wrong = to_si(sizes, faulty_laps)
    circle = Circle(
        east=0.0,
        north=0.0,
        radius=radius,
        side=1.0 if direction == "right" else -1.0,
        downwind=wind_from + half_turn,
        laps=laps,
        height=_flown_height(height, wrong.outside_height_band),
        speed=true_airspeed,
        bank_limit=bank_limit,
    )
    airplane = Airplane(trim_speed=true_airspeed, roll_rate=roll_rate)
    weather = Weather.blowing(wind_speed, wind_from, shift=wind_shift, gust_sd=gust_sd, height=circle.height)
    place = _Place(circle, wrong, weather, airplane)
    legs = place.lesson() if flight == "lesson" else place.maneuver_only()
    start = place.parked() if flight == "lesson" else place.inbound()
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
        The airplane at the start, see ``airborne``.
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


def airborne(
    east: float, north: float, height: float, course: float, speed: float, weather: Weather
) -> Motion:
    """Return an airplane in straight flight along a track.

    Parameters
    ----------
    east, north, height
        Place in the local frame and above the ground [m]
    course
        Track [rad]
    speed
        True airspeed [m s⁻¹]
    weather
        For the crab and the ground speed.
    """
    sine, cosine = sin(course), cos(course)
    along = weather.east * sine + weather.north * cosine
    across = weather.east * cosine - weather.north * sine
    over_ground = along + (speed**2 - across**2) ** 0.5
    return Motion(0.0, east, north, height, over_ground * sine, over_ground * cosine, course)


@dataclass(frozen=True, slots=True)
class _Place:
    """Airfield, lead-in and circle of one lesson."""

    circle: Circle
    faults: Faults
    weather: Weather
    airplane: Airplane

    @property
    def runway(self) -> float:
        """Direction of the runway in use: into the wind, to the nearest 10° [rad]."""
        return radians(round(np.degrees(self.circle.downwind - half_turn) / 10) * 10)

    def parked(self) -> Motion:
        """Return the airplane on the apron."""
        east, north = self._off_field(0.25 * _RUNWAY_LENGTH, _APRON)
        return Motion(0.0, east, north, 0.0, 0.0, 0.0, self.runway + half_turn, on_ground=True)

    def inbound(self) -> Motion:
        """Return the airplane on the lead-in."""
        east, north = self._lead_in()
        course = entry_track(self.circle, self.faults)
        return airborne(east, north, self.circle.height, course, self.circle.speed, self.weather)

    def maneuver_only(self) -> list[Leg]:
        """Return lead-in, circle and a minute after it."""
        course = entry_track(self.circle, self.faults)
        after = course + self.circle.side * (self.circle.laps % 1.0) * 2.0 * half_turn
        return [
            approach(self.circle, self.faults, hypot(self.weather.east, self.weather.north), self.airplane),
            AroundPoint(self.circle, self.faults),
            Straight(self.circle.height, self.circle.speed, course=after, seconds=40.0),
        ]

    def lesson(self) -> list[Leg]:
        """Return the whole flight."""
        return [*self._outbound(), *self.maneuver_only(), *self._homebound()]

    def _outbound(self) -> list[Leg]:
        """Return start, climb, two clearing turns and the way to the lead-in."""
        circle, runway = self.circle, self.runway
        climb_speed, above = _CLIMB_SPEED * circle.speed, max(circle.height + 700 * foot, 1500 * foot)
        return [
            Wait(45.0),
            Taxi(*self._off_field(-0.5 * _RUNWAY_LENGTH, _APRON)),
            Wait(60.0),
            Taxi(*self._off_field(-0.5 * _RUNWAY_LENGTH, 0.0)),
            TakeOff(runway, 0.61 * circle.speed),
            Straight(above, climb_speed, course=runway, until_height=700 * foot),
            Turn(-quarter_turn, radians(20), climb_speed, height=above),
            Straight(above, climb_speed, until_height=above - 30 * foot),
            Straight(above, circle.speed, seconds=40.0),
            Turn(-quarter_turn, _CLEARING_BANK, circle.speed, height=above),
            Turn(quarter_turn, _CLEARING_BANK, circle.speed, height=above),
            Straight(above, circle.speed, seconds=25.0),
            GoTo(*self._lead_in(), circle.height, circle.speed),
        ]

    def _homebound(self) -> list[Leg]:
        """Return the way back, the left-hand circuit and the landing."""
        runway, speed = self.runway, self.circle.speed
        slow, final = _CLIMB_SPEED * speed, _FINAL_SPEED * speed
        beside = self._off_field(0.0, -CIRCUIT_WIDTH)
        abeam_threshold = self._off_field(-1.6 * _RUNWAY_LENGTH, -CIRCUIT_WIDTH)
        before = self._off_field(2600.0, -CIRCUIT_WIDTH)
        short = self._off_field(-0.45 * _RUNWAY_LENGTH, 0.0)
        return [
            Straight(CIRCUIT_HEIGHT, speed, seconds=20.0),
            GoTo(*before, CIRCUIT_HEIGHT, speed),
            Line(*beside, runway + half_turn, CIRCUIT_HEIGHT, slow),
            Line(*abeam_threshold, runway + half_turn, CIRCUIT_HEIGHT, slow),
            Turn(-quarter_turn, radians(25), final, height=CIRCUIT_HEIGHT - 250 * foot),
            Line(*short, runway, _FLARE_HEIGHT, final, slope=_GLIDE_SLOPE),
            Flare(runway, 0.6 * speed),
            RollOut(runway),
            Taxi(*self._off_field(0.5 * _RUNWAY_LENGTH, 0.0)),
            Taxi(*self._off_field(0.5 * _RUNWAY_LENGTH, _APRON)),
            Taxi(*self._off_field(0.25 * _RUNWAY_LENGTH, _APRON)),
            Wait(50.0),
        ]

    def _off_field(self, along: float, right: float) -> tuple[float, float]:
        """Return a place along and right of the runway's middle, east and north [m]."""
        sine, cosine = sin(self.runway), cos(self.runway)
        return _FIELD_EAST + along * sine + right * cosine, _FIELD_NORTH + along * cosine - right * sine

    def _lead_in(self) -> tuple[float, float]:
        """Return the start of the straight flight to the entry, east and north [m]."""
        east, north = entry_place(self.circle, self.faults)
        course = entry_track(self.circle, self.faults)
        return east - _LEAD_IN * sin(course), north - _LEAD_IN * cos(course)


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
) -> None:
    """Refuse what cannot be flown."""
    if maneuver != "turns-around-a-point":
        raise UsageError(f"{maneuver!r} cannot be simulated", "maneuver", "choose turns-around-a-point")
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
    if not 0.25 <= laps <= 100:
        raise UsageError("the number of laps is out of range", "laps", "choose 0.25 to 100")
