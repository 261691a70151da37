"""Simulated lessons: recordings whose truth is known."""

from __future__ import annotations

from groundref.simulation.exercise import Exercise
from groundref.simulation.lesson import compose, simulate, simulate_many
from groundref.simulation.recorders import Adsb, Avionics, Phone
from groundref.simulation.route import airborne
from groundref.simulation.truth import TrueManeuver, Truth
from groundref.simulation.wind_field import Weather
from groundref.simulation.write import write

__all__ = [
    "Adsb",
    "Avionics",
    "Exercise",
    "Phone",
    "TrueManeuver",
    "Truth",
    "Weather",
    "airborne",
    "compose",
    "simulate",
    "simulate_many",
    "write",
]
