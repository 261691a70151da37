"""Which lessons are flown: two to four maneuvers in a row, or ordinary flying without any, all drawn.

A lesson is drawn from its block and its number alone. The development block is there to be looked at while
the program is improved; the reserved block is only for tests and published figures.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import atan2, hypot, pi, radians, tan
from typing import Final

import numpy as np

from groundref.errors import GroundrefError
from groundref.simulation import patterns
from groundref.simulation.airplane import GLIDER, Airplane
from groundref.simulation.circuits import Circuits, Runway
from groundref.simulation.exercise import Exercise
from groundref.simulation.faults import FAULTS, Faults, to_si
from groundref.simulation.flight import Setting
from groundref.simulation.flight import fly_legs as fly_point_mass
from groundref.simulation.fly import Motion
from groundref.simulation.legs import GoTo, Leg, Straight, course_bank
from groundref.simulation.pilot import Pilot, Skill, Wish
from groundref.simulation.route import Route, airborne
from groundref.simulation.shapes import APPLYING, SHAPES
from groundref.simulation.shapes import shape as shape_of
from groundref.simulation.truth import Truth
from groundref.simulation.wind_field import Weather

from .airframe import EPOCH, GROUND_FT, fly_legs, local_frame
from .autopilot import GRAVITY
from .ordinary import NAMES, between, ordinary_legs
from .sortie import FOOT, KNOT, TYPES, Air, Sortie

DEVELOPMENT: Final = 0
"""Block of draws that the program may be improved on."""
RESERVED: Final = 1
"""Block of draws that is only for tests and published figures."""

WINDS_KT: Final = (0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0)
WINDIEST: Final = 0.33
"""Largest wind over true airspeed that is flown in."""
LIGHT_TURBULENCE_KT: Final = 15.0
NO_MANEUVER_EVERY: Final = 6
"""Every lesson of this many is ordinary flying without any maneuver."""
_NEEDS_WIND: Final = frozenset(
    {"bank-held-constant", "overbanked-upwind", "underbanked-downwind", "entry-not-downwind"}
)
_ENOUGH_WIND: Final = 0.1
_NOT_TOGETHER: Final = (
    {"entry-too-close", "entry-too-far"},
    {"entry-too-close", "late-turn-entry"},
    {"bank-held-constant", "overbanked-upwind"},
    {"bank-held-constant", "underbanked-downwind"},
    {"bank-held-constant", "bank-over-limit"},
    {"bank-over-limit", "underbanked-downwind"},
    {"outside-height-band", "altitude-not-held"},
)
"""Faults that undo or contain each other."""
_PRIVATE_BANK, _COMMERCIAL_BANK, _PYLON_BANK = radians(45), radians(50), radians(40)
_PLACES: Final = ((0.0, 0.0), (7000.0, 0.0), (7000.0, 7000.0), (0.0, 7000.0))


@dataclass(frozen=True, slots=True)
class Lesson:
    """What is flown.

    Attributes
    ----------
    block, number
        It was drawn from.
    airplane
        One of `TYPES`; `point mass` for the project's own simple airplane, `glider` for its sailplane.
    air
        What the air does.
    exercises
        The maneuvers in the order flown; none in ordinary flying.
    ordinary
        Ordinary flying before each maneuver, or all of the lesson without any.
    what
        What was flown, in a word or two, of ordinary flying.
    speed
        True airspeed to practise at [m s⁻¹]
    commercial
        Whether it is judged by the standard of commercial applicants, else by that of private ones.
    """

    block: int
    number: int
    airplane: str
    air: Air
    exercises: tuple[Exercise, ...]
    ordinary: tuple[tuple[Leg, ...], ...]
    what: str
    speed: float
    commercial: bool = False

    @property
    def standard(self) -> str:
        """Name of the standard it is judged by."""
        return "commercial-pilot" if self.commercial else "private-pilot"

    @property
    def seed(self) -> int:
        """Number of its draws of air, unsteadiness and recorders."""
        return 100_000 * self.block + self.number


def applicable(kind: str) -> tuple[str, ...]:
    """Return the names of the faults that can be flown in a kind of maneuver, in a fixed order."""
    return tuple(name for name in FAULTS if name in APPLYING[kind])


def lessons(block: int, count: int, kinds: Sequence[str] | None = None) -> list[Lesson]:
    """Return the first lessons of a block.

    Parameters
    ----------
    block, count
        Which, and how many.
    kinds
        To draw maneuvers from; all that can be simulated when None.
    """
    return [draw(block, number, kinds) for number in range(count)]


def draw(block: int, number: int, kinds: Sequence[str] | None = None) -> Lesson:
    """Return one lesson; what cannot be flown in its wind is drawn again."""
    chosen = tuple(SHAPES) if kinds is None else tuple(kinds)
    rng = np.random.default_rng([block, number, 31])
    airplane = str(rng.choice(list(TYPES)))
    speed = float(np.round(rng.uniform(*TYPES[airplane].speeds_kt))) * KNOT
    air = _air(rng, speed)
    if number % NO_MANEUVER_EVERY == NO_MANEUVER_EVERY - 1:
        return _ordinary_lesson(rng, block, number, airplane, air, speed)
    count = min(int(rng.integers(2, 5)), len(chosen))
    picked = [chosen[index] for index in rng.permutation(len(chosen))[:count]]
    commercial = "eights-on-pylons" in picked or rng.random() < 0.5
    shapes = [_exercise(rng, kind, place, speed, air, commercial) for place, kind in enumerate(picked)]
    return Lesson(
        block=block,
        number=number,
        airplane=airplane,
        air=air,
        exercises=tuple(shapes),
        ordinary=tuple(between(rng, each) for each in shapes),
        what="maneuvers",
        speed=speed,
        commercial=commercial,
    )


def fly(lesson: Lesson) -> Truth:
    """Fly a lesson and return the truth.

    Raises
    ------
    RuntimeError
        When it was not flown to its end.
    """
    if not lesson.exercises:
        return _fly_ordinary(lesson)
    route = Route([shape_of(each) for each in lesson.exercises], _weather(lesson.air))
    start = route.inbound()
    return fly_legs(
        list(_legs(route, lesson.ordinary)),
        Sortie(
            airplane=lesson.airplane,
            air=lesson.air,
            east=start.east,
            north=start.north,
            height=start.height,
            course=route.shapes[0].course,
            speed=route.shapes[0].exercise.speed,
            number=lesson.seed,
        ),
    )


@dataclass(frozen=True, slots=True)
class Level:
    """Fly straight until a height is reached [m], [m s⁻¹]."""

    height: float
    speed: float

    def steer(self, now: Motion, pilot: Pilot) -> Iterator[Wish]:
        """Yield what is wanted."""
        course = now.track
        while abs(now.height - self.height) > 15.0:
            yield Wish(course_bank(now, course), self.height, self.speed)


def _legs(route: Route, ordinary: Sequence[tuple[Leg, ...]]) -> Iterator[Leg]:
    """Yield the legs of a route; before each way in something ordinary, and a climb or descent."""
    before = iter(ordinary[1:])
    for leg in route.maneuver_only():
        if isinstance(leg, GoTo):
            yield from next(before)
            yield Level(leg.height, leg.speed)
            # a place within the smallest circle that is flown would be flown round for ever
            smallest = leg.speed**2 / (GRAVITY * tan(radians(25.0)))
            yield replace(leg, capture=max(leg.capture, 1.2 * smallest))
        else:
            yield leg


def _weather(air: Air) -> Weather:
    """Return the air as the legs' shapes are told of it: its mean wind."""
    return Weather(east=air.east, north=air.north)


def _air(rng: np.random.Generator, speed: float) -> Air:
    """Return air: a third of it smooth, the rest turbulent, gusty or shifting or several of these."""
    possible = [wind for wind in WINDS_KT if wind * KNOT <= WINDIEST * speed]
    turbulent, gusty, shifting = rng.random(3) < (0.35, 0.25, 0.4)
    shift = rng.normal(0.0, 2.0, 2) if shifting else np.zeros(2)
    return Air(
        wind_kt=float(rng.choice(possible)),
        wind_from_deg=float(rng.integers(0, 360)),
        shift_east_kt=float(shift[0]),
        shift_north_kt=float(shift[1]),
        gust_kt=float(rng.uniform(0.5, 1.5)) if gusty else 0.0,
        turbulence_kt=LIGHT_TURBULENCE_KT if turbulent else 0.0,
    )


def _exercise(
    rng: np.random.Generator, kind: str, place: int, speed: float, air: Air, commercial: bool
) -> Exercise:
    """Return an exercise that can be flown."""
    for _ in range(200):
        exercise = _drawn(rng, kind, place, speed, air, commercial)
        try:
            shape_of(exercise)
        except GroundrefError:
            continue
        return exercise
    raise RuntimeError(f"nothing of {kind} can be flown at {speed / KNOT:.0f} kt in {air}")


def _drawn(
    rng: np.random.Generator, kind: str, place: int, speed: float, air: Air, commercial: bool
) -> Exercise:
    wind, downwind = air.wind_kt * KNOT, radians(air.wind_from_deg + 180.0)
    east, north = _PLACES[place]
    steep = kind == "steep-turns"
    steepest = _COMMERCIAL_BANK if commercial else _PRIVATE_BANK
    bank = {"steep-turns": steepest, "eights-on-pylons": _PYLON_BANK}
    faults = _faults(rng, kind, wind / speed)
    height = float(rng.uniform(2000, 3000) if steep else rng.uniform(700, 900)) * FOOT
    return Exercise(
        kind=kind,
        east=east + float(rng.uniform(-800, 800)),
        north=north + float(rng.uniform(-800, 800)),
        radius=_radius(rng, kind, speed, wind),
        side=float(rng.choice([-1.0, 1.0])),
        wind_speed=wind,
        downwind=downwind,
        laps=_laps(rng, kind),
        height=_outside(height, faults.outside_height_band),
        speed=speed,
        bank_limit=bank.get(kind, _PRIVATE_BANK),
        faults=faults,
        airplane=Airplane(trim_speed=speed),
        course=_course(rng, kind, downwind),
        spacing=None,
    )


def _outside(height: float, beyond: float) -> float:
    """Return the height flown: the one meant, or beyond the edge of the usual band [m]."""
    if not beyond:
        return height
    return (1000.0 * FOOT if beyond > 0 else 600.0 * FOOT) + beyond


def _radius(rng: np.random.Generator, kind: str, speed: float, wind: float) -> float:
    """Return a radius that needs 24 to 43° of bank downwind, or half of a field's smaller side [m]."""
    if kind == "rectangular-course":
        return float(rng.uniform(1800.0, 3200.0)) * FOOT
    if kind == "eights-on-pylons":
        return float(speed**2 / (GRAVITY * tan(radians(32.0))))
    needed = (speed + wind) ** 2 / (GRAVITY * tan(radians(rng.uniform(24.0, 43.0))))
    return float(min(max(needed, 400.0 * FOOT), 4000.0 * FOOT))


def _laps(rng: np.random.Generator, kind: str) -> float:
    """Return how many laps, half circles, circuits, eights or turns."""
    few = {"s-turns": (4, 7), "turns-around-a-point": (1, 4), "steep-turns": (1, 3)}
    return float(rng.integers(*few.get(kind, (1, 3))))


def _course(rng: np.random.Generator, kind: str, downwind: float) -> float | None:
    """Return a course: half of the time the usual one in this wind, else up to 25° off it [rad]."""
    if kind == "steep-turns":
        return float(rng.uniform(0.0, 2.0 * pi))
    if kind == "turns-around-a-point" or rng.random() < 0.5:
        return None
    along = downwind if kind == "rectangular-course" else downwind + 0.5 * pi
    return float(along + rng.uniform(-1.0, 1.0) * radians(25.0))


def _faults(rng: np.random.Generator, kind: str, windiness: float) -> Faults:
    """Return no fault, one or two; larger than the default by up to a half, so that it is worth a word."""
    possible = [name for name in applicable(kind) if windiness >= _ENOUGH_WIND or name not in _NEEDS_WIND]
    count = int(rng.choice([0, 1, 2], p=[0.35, 0.4, 0.25]))
    names: list[str] = []
    for name in rng.permutation(possible):
        both = {*names, str(name)}
        if len(names) < count and not any(pair <= both for pair in _NOT_TOGETHER):
            names.append(str(name))
    return to_si({name: _size(rng, name) for name in names})


def _size(rng: np.random.Generator, name: str) -> float:
    fault = FAULTS[name]
    size = min(fault.default * float(rng.uniform(1.0, 1.5)), fault.largest)
    return -size if fault.smallest <= -size and rng.random() < 0.5 else size


def _ordinary_lesson(
    rng: np.random.Generator, block: int, number: int, airplane: str, air: Air, speed: float
) -> Lesson:
    """Return ordinary flying: several things that are no maneuver, one after the other."""
    turn = number // NO_MANEUVER_EVERY % 4
    what = ("in the air", "in the air", "circuits", "thermal")[turn]
    legs: list[Leg] = []
    if turn < 2:
        for name in rng.permutation(NAMES)[:3]:
            legs += ordinary_legs(rng, str(name), speed)
            legs.append(Straight(1000.0 * FOOT, speed, seconds=40.0))
    return Lesson(
        block=block,
        number=number,
        airplane=(airplane, airplane, "point mass", "glider")[turn],
        air=replace(air, turbulence_kt=0.0) if turn > 1 else air,
        exercises=(),
        ordinary=(tuple(legs),),
        what=what,
        speed=speed,
    )


def _fly_ordinary(lesson: Lesson) -> Truth:
    weather, speed, start_height = _weather(lesson.air), lesson.speed, 1500.0 * FOOT
    if lesson.airplane in TYPES:
        course = radians(lesson.air.wind_from_deg)
        sortie = Sortie(
            lesson.airplane, lesson.air, 0.0, 0.0, start_height, course, speed, number=lesson.seed
        )
        return fly_legs(lesson.ordinary[0], sortie)
    rng = np.random.default_rng([lesson.seed, 37])
    if lesson.airplane == "glider":
        airplane, begin = GLIDER, airborne(0.0, 0.0, 500.0, 1.0, 45.0 * KNOT, weather)
        legs: Sequence[Leg] = [
            *patterns.thermal_climb(turns=8.0, side=float(rng.choice([-1.0, 1.0]))),
            Straight(900.0, 50.0 * KNOT, course=1.0, seconds=150.0),
            *patterns.thermal_climb(turns=5.0, bank=radians(32)),
        ]
    else:
        runway = Runway(0.0, 0.0, atan2(-weather.east, -weather.north) if hypot(*_wind(weather)) else 0.0)
        airplane, begin = Airplane(trim_speed=speed), runway.lined_up()
        ending = str(rng.choice(["full-stop", "touch-and-go", "low-approach"]))
        legs = Circuits(runway, weather, speed, times=3, ending=ending, airplane=airplane).legs()
    setting = Setting(EPOCH, local_frame(), GROUND_FT * FOOT, weather, airplane, Skill(), rng)
    return fly_point_mass(legs, begin, setting, {})


def _wind(weather: Weather) -> tuple[float, float]:
    return weather.east, weather.north
