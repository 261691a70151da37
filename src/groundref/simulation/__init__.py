"""Simulated lessons: recordings whose truth is known."""

from __future__ import annotations

from groundref.simulation.lesson import compose, simulate
from groundref.simulation.truth import TrueManeuver, Truth
from groundref.simulation.write import write

__all__ = ["TrueManeuver", "Truth", "compose", "simulate", "write"]
