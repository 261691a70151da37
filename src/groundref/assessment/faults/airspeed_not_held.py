"""Airspeed not held at that of the start."""

from __future__ import annotations

from typing import Final

import numpy as np

from groundref.assessment.assessed import Finding
from groundref.assessment.faults.not_held import (
    SHARE,
    beside_limit,
    strength_of,
    tolerance_of,
    where,
    worst_of,
)
from groundref.assessment.flown import Flown
from groundref.assessment.said import plus_minus
from groundref.measures import length, speed, speed_sd, stated_speed
from groundref.units import foot, knot

NAME: Final = "airspeed-not-held"
usual_tolerance: Final = 10.0 * knot  # [m s⁻¹]  FAA-S-ACS-6, PA.V.B.S7; used where the standard prints none


def find(flown: Flown) -> Finding | None:
    """Test the deviations from the true airspeed at the start."""
    if flown.airspeed is None:
        return None
    element = flown.element("airspeed")
    tolerance = tolerance_of(element, usual_tolerance, knot)
    worst = worst_of(flown, flown.airspeed.value, flown.airspeed.sd, tolerance, SHARE * tolerance)
    if worst is None:
        return None
    deviation, sd = float(flown.airspeed.value[worst.at]), float(flown.airspeed.sd[worst.at])
    wider = _wider(flown, deviation, sd)
    way = "faster" if deviation > 0.0 else "slower"
    return Finding(
        fault=NAME,
        laps=worst.laps,
        size=abs(deviation) / knot,
        size_sd=sd / knot,
        size_unit="kt",
        start=worst.start,
        end=worst.end,
        position=worst.place,
        consequence_ft=None if wider is None else wider[0] / foot,
        consequence_sd_ft=None if wider is None else wider[1] / foot,
        strength=strength_of(abs(deviation), sd, tolerance, worst.verdict),
        says=f"Airspeed became {speed(abs(deviation))} (± {speed_sd(sd)}) {way} "
        f"than the {speed(flown.airspeed.reference)} true {_reference(flown)}{where(flown, worst)}; "
        f"{beside_limit(stated_speed(tolerance), worst.verdict, element, beyond=abs(deviation) > tolerance)}"
        f"{_effect(flown, wider)}.",
        cure=_cure(deviation),
    )


def _wider(flown: Flown, deviation: float, sd: float) -> tuple[float, float] | None:
    """Return how much wider the circle gets and its sd; None where no radius is to be held [m].

    At the same bank the radius goes with the square of the airspeed.
    """
    radius = flown.maneuver.radius
    if flown.airspeed is None or not np.isfinite(radius):
        return None
    ratio = 1.0 + deviation / flown.airspeed.reference
    return radius * (ratio**2 - 1.0), radius * 2.0 * ratio * sd / flown.airspeed.reference


def _effect(flown: Flown, wider: tuple[float, float] | None) -> str:
    """Return the clause about the circle; empty where no radius is to be held."""
    if wider is None:
        return ""
    by, sd = wider
    return (
        f", and at the same bank this makes the {flown.words.shape} {length(abs(by))} ({plus_minus(sd)}) "
        f"{'wider' if by > 0.0 else 'tighter'}"
    )


def _reference(flown: Flown) -> str:
    """Say where the airspeed compared with was flown."""
    assert flown.airspeed is not None  # the caller saw to it
    return "at the start" if flown.airspeed.reference_from == "start" else "in the middle of what was flown"


def _cure(deviation: float) -> str:
    """Return what to do about being fast or slow."""
    if deviation > 0.0:
        return "Keep the nose from dropping as bank steepens, and take off the extra power as it shallows."
    return (
        "Add a little power as bank and back pressure come on; judge speed by the gauge, not by the ground."
    )
