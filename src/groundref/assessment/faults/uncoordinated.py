"""Uncoordinated: the ball out of the middle, seen only in a recorded lateral acceleration.

A slip shows as specific force toward the outside of the turn (the ball falls to the inside), a skid as
specific force toward the inside. The sensor's own tilt is taken out with the mean over wings-level flight
in the same recording; without enough of that it stays in the standard deviation.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.assessment.assessed import Finding
from groundref.assessment.faults.arc import runs
from groundref.assessment.faults.mention import supported
from groundref.assessment.flown import Flown
from groundref.assessment.said import laps_said
from groundref.units import degree, standard_gravity

Floats = NDArray[np.float64]

NAME: Final = "uncoordinated"
THRESHOLD: Final = 0.05 * standard_gravity  # about half a ball's width: common practice, no source
span: Final = 5.0  # [s]  over which the ball is watched: shorter excursions are rough air
level: Final = 5.0 * degree  # [rad]  bank below which the wings count as level
enough_level: Final = 20.0  # [s]  of level flight that show the sensor's tilt
unknown_tilt: Final = 0.02 * standard_gravity  # [m s⁻²]  sine of one degree: usual alignment, common practice
known_tilt: Final = 0.005 * standard_gravity  # [m s⁻²]  what is left after the mean of level flight


def smoothed(flown: Flown) -> tuple[Floats, float] | None:
    """Return lateral acceleration averaged over seconds, toward the inside positive, and its sd [m s⁻²]."""
    recorded = flown.states.lateral_acceleration
    if recorded is None:
        return None
    tilt, sd = _tilt(flown, recorded)
    values = flown.turn * (recorded[flown.samples] - tilt)
    width = max(1, round(span / flown.interval)) if flown.interval > 0.0 else 1
    if values.size < width or not np.isfinite(values).all():
        return None
    mean = np.full(values.size, np.nan)
    half = width // 2
    mean[half : half + values.size - width + 1] = np.convolve(values, np.full(width, 1.0 / width), "valid")
    return np.where(flown.steady, mean, np.nan), sd


def _tilt(flown: Flown, recorded: Floats) -> tuple[float, float]:
    """Return what the sensor shows in level flight and the sd of what is left [m s⁻²]."""
    moving = flown.states.ground_speed > 0.5 * np.median(flown.states.ground_speed[flown.samples])
    flat = moving & (np.abs(flown.states.bank) < level) & np.isfinite(recorded)
    flat[flown.samples] = False
    if flat.sum() * flown.interval < enough_level:
        return 0.0, unknown_tilt
    return float(np.median(recorded[flat])), known_tilt


def find(flown: Flown) -> Finding | None:
    """Test the recorded lateral acceleration."""
    measured = smoothed(flown)
    if measured is None or not np.isfinite(measured[0]).any():
        return None
    values, sd = measured
    worst = int(np.nanargmax(np.abs(values)))
    if not supported(float(abs(values[worst])), sd, THRESHOLD):
        return None
    skid = values[worst] > 0.0
    beyond = np.sign(values[worst]) * values >= THRESHOLD
    laps = flown.laps_in(beyond)
    stretch = next(run for run in runs(beyond) if worst in run)
    size = float(np.abs(values[stretch]).mean())
    place = flown.place_of(beyond, worst)
    return Finding(
        fault=NAME,
        laps=laps,
        size=size / standard_gravity,
        size_sd=sd / standard_gravity,
        size_unit="g",
        start=float(flown.time[beyond][0]),
        end=float(flown.time[beyond][-1]),
        position=place,
        consequence_ft=None,
        strength=size / (2.0 * THRESHOLD),
        says=f"{laps_said(laps, flown.words.lap)}{f', {place}' if place else ''}: the airplane was "
        f"{'skidding' if skid else 'slipping'} with {size / standard_gravity:.2f} g "
        f"(± {sd / standard_gravity:.2f} g) sideways.",
        cure=_cure(skid),
    )


def _cure(skid: bool) -> str:
    """Return which foot to use."""
    if skid:
        return "Ease the inside rudder until the ball is in the middle: turn with bank, not with the feet."
    return "Press the rudder on the inside of the turn until the ball is in the middle, and keep it there."
