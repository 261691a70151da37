"""Ordinary flying, drawn: on the way to a maneuver, or all that a lesson holds."""

from __future__ import annotations

from math import pi, radians
from typing import Final

import numpy as np

from groundref.simulation import patterns
from groundref.simulation.exercise import Exercise
from groundref.simulation.legs import Leg, Straight, Turn

from .sortie import FOOT

NAMES: Final = ("holding", "sightseeing", "procedure", "survey", "low circuit")
"""What is flown in a lesson without a maneuver."""


def between(rng: np.random.Generator, exercise: Exercise) -> tuple[Leg, ...]:
    """Return what is flown on the way to an exercise: often nothing, sometimes what might be mistaken."""
    speed = exercise.speed
    height = float(rng.uniform(1200.0, 2500.0)) * FOOT
    choice = int(rng.integers(0, 8))
    if choice == 0:
        return (
            Turn(-0.5 * pi, radians(25), speed, height=height),
            Turn(0.5 * pi, radians(25), speed, height=height),
        )
    if choice == 1:
        return tuple(patterns.sightseeing(height, speed=speed))
    if choice == 2:
        return (Turn(float(rng.choice([-1.0, 1.0])) * 2.0 * pi, radians(18), speed, height=height),)
    return ()


def ordinary_legs(rng: np.random.Generator, name: str, speed: float) -> list[Leg]:
    """Return one of `NAMES` as legs."""
    course, height = float(rng.uniform(0.0, 2.0 * pi)), float(rng.uniform(900.0, 2500.0)) * FOOT
    side = float(rng.choice([-1.0, 1.0]))
    if name == "holding":
        return patterns.holding_pattern(course, height, times=2, side=side, speed=speed)
    if name == "sightseeing":
        return patterns.sightseeing(height, speed=speed)
    if name == "procedure":
        return patterns.procedure_turn(course, height, speed=speed)
    if name == "survey":
        return _survey(course, height, speed)
    down = Straight(100.0 * FOOT, speed, course=course, until_height=150.0 * FOOT)
    return [down, *patterns.traffic_circuit(course, side=side, speed=speed) * 2]


def _survey(course: float, height: float, speed: float) -> list[Leg]:
    """Return parallel lines of two minutes, one beside the other, turned alternately left and right."""
    legs: list[Leg] = []
    for line in range(4):
        way = course if line % 2 == 0 else course + pi
        legs.append(Straight(height, speed, course=way, seconds=120.0))
        legs.append(Turn(pi if line % 2 == 0 else -pi, radians(22), speed, height=height))
    return legs
