"""Flying that is no maneuver, of which none must be reported, in all winds and with every recorder.

Each kind of flying is drawn many times over: speed, wind, height, side and the recorder differ. What the
figures of each are is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import atan2, pi, radians
from typing import Final

import numpy as np
import pytest

from groundref.angles import full_turn
from groundref.debriefing import debrief
from groundref.simulation import Weather, airborne, airwork, compose, patterns, searches
from groundref.simulation.airplane import GLIDER, Airplane
from groundref.simulation.circuits import Circuits, Runway
from groundref.simulation.legs import Leg, Straight, Turn
from groundref.simulation.orbits import Orbit
from groundref.units import foot, knot, nautical_mile

from .flights import RECORDERS

DRAWS: Final = 8
Chance = np.random.Generator


def _holding(chance: Chance, height: float, speed: float) -> Sequence[Leg]:
    side = float(chance.choice([-1.0, 1.0]))
    return patterns.holding_pattern(chance.uniform(0, full_turn), height, side=side, speed=speed)


def _procedure_turn(chance: Chance, height: float, speed: float) -> Sequence[Leg]:
    return patterns.procedure_turn(chance.uniform(0, full_turn), height, speed=speed)


def _sightseeing(chance: Chance, height: float, speed: float) -> Sequence[Leg]:
    return patterns.sightseeing(height, speed=speed)


def _lake(chance: Chance, height: float, speed: float) -> Sequence[Leg]:
    radius = chance.uniform(0.5, 2.0) * nautical_mile
    side = float(chance.choice([-1.0, 1.0]))
    orbit = Orbit(
        east=side * radius,
        north=0.0,
        radius=radius,
        oblong=chance.uniform(0.05, 0.25),
        length=chance.uniform(0, pi),
        side=side,
        laps=chance.uniform(1.0, 3.0),
        height=height,
        speed=speed,
    )
    return [Straight(height, speed, course=0.0, seconds=20.0), orbit]


def _parallel(chance: Chance, height: float, speed: float) -> Sequence[Leg]:
    return searches.parallel_tracks(
        chance.uniform(0, full_turn),
        height,
        lines=int(chance.integers(4, 7)),
        seconds=chance.uniform(40.0, 110.0),
        spacing=chance.uniform(400.0, 1800.0),
        side=float(chance.choice([-1.0, 1.0])),
        speed=speed,
    )


def _expanding_square(chance: Chance, height: float, speed: float) -> Sequence[Leg]:
    return searches.expanding_square(
        chance.uniform(0, full_turn), height, legs=9, side=float(chance.choice([-1.0, 1.0])), speed=speed
    )


def _sector(chance: Chance, height: float, speed: float) -> Sequence[Leg]:
    return searches.sector_search(
        chance.uniform(0, full_turn), height, seconds=chance.uniform(30.0, 70.0), speed=speed
    )


def _spiral(chance: Chance, height: float, speed: float) -> Sequence[Leg]:
    return searches.creeping_spiral(height, turns=4, speed=speed)


def _zigzag(chance: Chance, height: float, speed: float) -> Sequence[Leg]:
    return searches.zigzag(
        chance.uniform(0, full_turn), height, seconds=chance.uniform(25.0, 60.0), speed=speed
    )


def _ordinary_turns(chance: Chance, height: float, speed: float) -> Sequence[Leg]:
    angles = tuple(float(chance.choice([-180, -90, -45, 45, 90, 180])) for _ in range(8))
    return airwork.turns(
        angles, height, bank=radians(chance.uniform(15, 32)), speed=speed, between=chance.uniform(10, 60)
    )


def _spacing(chance: Chance, height: float, speed: float) -> Sequence[Leg]:
    """A circle to make room for others, too high for work about the ground."""
    side = float(chance.choice([-1.0, 1.0]))
    return airwork.turns(
        (side * 360.0,), height, bank=radians(chance.uniform(16, 30)), speed=speed, between=60.0
    )


def _chandelle(chance: Chance, height: float, speed: float) -> Sequence[Leg]:
    sides = (1.0, -1.0, 1.0)
    return [leg for side in sides for leg in airwork.chandelle(height, side=side, speed=1.1 * speed)]


def _lazy_eights(chance: Chance, height: float, speed: float) -> Sequence[Leg]:
    return airwork.lazy_eights(height, times=int(chance.integers(1, 4)), speed=1.1 * speed)


def _stalls(chance: Chance, height: float, speed: float) -> Sequence[Leg]:
    legs = [*airwork.clearing_turns(height, speed=speed), *airwork.stalls(height, speed=speed)]
    return [*legs, *airwork.clearing_turns(height, speed=speed)]


# What is flown, and between which heights above the ground [ft].
ORDINARY: Final[dict[str, tuple[Callable[[Chance, float, float], Sequence[Leg]], float, float]]] = {
    "holding pattern": (_holding, 900.0, 4000.0),
    "procedure turn": (_procedure_turn, 900.0, 4000.0),
    "sightseeing": (_sightseeing, 700.0, 2000.0),
    "lake": (_lake, 700.0, 2000.0),
    "parallel tracks": (_parallel, 500.0, 3000.0),
    "expanding square": (_expanding_square, 500.0, 2000.0),
    "sector search": (_sector, 500.0, 2000.0),
    "widening circles": (_spiral, 1500.0, 3000.0),
    "zigzag": (_zigzag, 500.0, 2000.0),
    "ordinary turns": (_ordinary_turns, 800.0, 4000.0),
    "circle for spacing": (_spacing, 1800.0, 4000.0),
    "chandelle": (_chandelle, 2500.0, 4000.0),
    "lazy eights": (_lazy_eights, 2500.0, 4000.0),
    "stalls": (_stalls, 2500.0, 4000.0),
}


def flown(name: str, number: int) -> list[str]:
    """Return what is reported of one draw of a kind of flying, with its confidence."""
    chance = np.random.default_rng([len(name), sum(map(ord, name)), number])
    fly, low, high = ORDINARY[name]
    speed, height = chance.uniform(65, 130) * knot, chance.uniform(low, high) * foot
    wind = min(chance.uniform(0, 25) * knot, 0.3 * speed)
    weather = Weather.blowing(wind, chance.uniform(0, full_turn), height=height)
    straight = Straight(height, speed, seconds=40.0)
    recording, truth = compose(
        [straight, *fly(chance, height, speed), straight],
        airborne(0.0, 0.0, height, 0.0, speed, weather),
        airplane=Airplane(trim_speed=speed),
        weather=weather,
        seed=number,
        recorder=RECORDERS[number % 3],
    )
    ground = truth.ground_elevation if number % 2 else None
    return _said(recording, ground)


def _said(recording, ground: float | None) -> list[str]:
    found = debrief(recording, ground=ground).maneuvers
    return [f"{each.maneuver.kind} {each.maneuver.confidence:.2f}" for each in found]


@pytest.mark.parametrize("name", ORDINARY)
def test_nothing_is_reported(name: str) -> None:
    reported = {number: said for number in range(DRAWS) if (said := flown(name, number))}
    assert reported == {}


@pytest.mark.parametrize("number", range(8))
def test_a_gliding_flight_has_no_maneuver(number: int) -> None:
    """Thermals at several banks, straight glides between them, and circles to look for lift."""
    chance = np.random.default_rng([7, number])
    wind = chance.uniform(0, 15) * knot
    weather = Weather.blowing(wind, chance.uniform(0, full_turn), height=600.0)
    legs: list[Leg] = []
    for _ in range(3):
        side = float(chance.choice([-1.0, 1.0]))
        legs += patterns.thermal_climb(
            turns=chance.uniform(3, 9),
            side=side,
            bank=radians(chance.uniform(25, 48)),
            rising_air=chance.uniform(1.2, 3.5),
            speed=chance.uniform(45, 55) * knot,
        )
        legs.append(Straight(0.0, 60 * knot, seconds=chance.uniform(60, 150)))
        legs.append(
            Turn(
                side * full_turn,
                radians(chance.uniform(30, 45)),
                48 * knot,
                rising_air=chance.uniform(0.3, 1.2),
            )
        )
        legs.append(Straight(0.0, 60 * knot, seconds=60.0))
    recording, truth = compose(
        legs,
        airborne(0.0, 0.0, 700.0, 1.0, 50 * knot, weather),
        airplane=GLIDER,
        weather=weather,
        seed=number,
        recorder=RECORDERS[number % 3],
    )
    assert _said(recording, truth.ground_elevation if number % 2 else None) == []


@pytest.mark.parametrize("number", range(6))
def test_circuits_have_no_maneuver(number: int) -> None:
    chance = np.random.default_rng([8, number])
    wind = chance.uniform(0, 15) * knot
    weather = Weather.blowing(wind, chance.uniform(0, full_turn), height=300.0)
    runway = Runway(0.0, 0.0, atan2(-weather.east, -weather.north) if wind else 0.0)
    side = float(chance.choice([-1.0, 1.0]))
    ending = ("full-stop", "touch-and-go", "low-approach")[number % 3]
    circuits = Circuits(runway, weather, chance.uniform(70, 95) * knot, side=side, ending=ending)
    recording, truth = compose(
        circuits.legs(), runway.lined_up(), weather=weather, seed=number, recorder=RECORDERS[number // 2]
    )
    assert _said(recording, truth.ground_elevation) == []
