"""Errors of what a debrief estimates of a maneuver, and whether the truth lies within what it states."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import isfinite
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.debriefing import Debrief
from groundref.detection.maneuver import Maneuver
from groundref.mechanics.circle_fit import fit_circle
from groundref.simulation.truth import TrueManeuver, Truth

from . import recorders
from .flown import uncoordinated
from .sortie import FOOT

Floats = NDArray[np.float64]

LEVELS: Final = (0.50, 0.90, 0.95)
_NORMAL: Final = (0.674490, 1.644854, 1.959964)
_CHI_SQUARE_2: Final = tuple(-2.0 * np.log(1.0 - level) for level in LEVELS)
"""Points of chi-square with two degrees of freedom, -2·ln(1 - p)."""


@dataclass(frozen=True, slots=True)
class Measure:
    """One estimate beside its truth.

    Attributes
    ----------
    error
        Its size, of a vector its length; of samples the root mean square [SI]
    inside
        Share of truths within the stated interval of each of `LEVELS`.
    count
        Number of samples, 1 for a single estimate.
    """

    error: float
    inside: tuple[float, ...]
    count: int = 1


def wind_bound(maneuver: TrueManeuver) -> float:
    """Return the least median wind error that a phone's positions allow; see ``measure.wind_bound``."""
    intensity = 2 * recorders.PHONE_SD**2 / recorders.MEMORY
    return float(np.sqrt(2 * np.log(2.0) * 2 * intensity / (maneuver.end - maneuver.start)))


def unseen(truth: Truth, debrief: Debrief, maneuver: TrueManeuver) -> float:
    """Return what three exact positions one interval apart miss of the bank, root mean square [rad].

    Their second difference is the mean of the acceleration, weighted as a triangle two intervals wide: what
    happens within is averaged away, whatever is done with positions alone.
    """
    interval, step = debrief.track.interval, float(truth.time[1] - truth.time[0])
    width = max(round(interval / step), 1)
    ramp = np.concatenate((np.arange(1, width + 1), np.arange(width - 1, 0, -1)))
    averaged = np.convolve(truth.bank, ramp / ramp.sum(), mode="same")
    inside = truth.during(maneuver.start, maneuver.end)
    return float(np.sqrt(np.mean((truth.bank - averaged)[inside] ** 2)))


def _one(error: float, sd: float) -> Measure:
    return Measure(abs(error), tuple(float(abs(error) <= z * sd) for z in _NORMAL))


def _two(error: Floats, covariance: Floats) -> Measure:
    chi_square = float(error @ np.linalg.solve(covariance, error))
    return Measure(float(np.hypot(*error)), tuple(float(chi_square <= point) for point in _CHI_SQUARE_2))


def _many(error: Floats, sd: Floats) -> Measure:
    known = np.isfinite(error) & np.isfinite(sd)
    error, sd = error[known], sd[known]
    inside = tuple(float(np.mean(np.abs(error) <= z * sd)) for z in _NORMAL)
    return Measure(float(np.sqrt(np.mean(error**2))), inside, int(error.size))


def measures(
    truth: Truth, debrief: Debrief, maneuver: TrueManeuver, found: Maneuver
) -> Iterator[tuple[str, Measure]]:
    """Yield the errors of one maneuver by quantity."""
    yield from _winds(truth, maneuver, found)
    yield from _places(truth, debrief, maneuver, found)
    radius = _radius(truth, maneuver)
    if isfinite(radius) and isfinite(found.radius):
        measure = _one(found.radius - radius, found.radius_sd)
        yield "radius", Measure(measure.error / radius, measure.inside)
    yield from _samples(truth, debrief, maneuver)


def _winds(truth: Truth, maneuver: TrueManeuver, found: Maneuver) -> Iterator[tuple[str, Measure]]:
    wind = found.wind
    if wind is None:
        return
    inside = truth.during(maneuver.start, maneuver.end)
    error = np.array(
        [wind.east - truth.wind_east[inside].mean(), wind.north - truth.wind_north[inside].mean()]
    )
    covariance = np.array([[wind.east_sd**2, wind.covariance], [wind.covariance, wind.north_sd**2]])
    yield "wind", _two(error, covariance)
    if isfinite(wind.true_airspeed):
        off = wind.true_airspeed - float(truth.true_airspeed[inside].mean())
        yield "airspeed", _one(off, wind.true_airspeed_sd)


def _places(
    truth: Truth, debrief: Debrief, maneuver: TrueManeuver, found: Maneuver
) -> Iterator[tuple[str, Measure]]:
    """Yield errors of what was fitted on the ground; the places are brought into the truth's frame."""
    reference = found.reference
    if reference.type != maneuver.reference or reference.type == "none" or reference.sd <= 0:
        return
    frame = debrief.track.frame
    at = [
        np.array([float(v) for v in truth.frame.to_local(*frame.to_geographic(east, north))])
        for east, north in reference.places
    ]
    round_ = reference.sd**2 * np.eye(2)
    if reference.type == "line":
        ends = np.array(maneuver.places)
        along = (ends[1] - ends[0]) / np.hypot(*(ends[1] - ends[0]))
        across = np.array([along[1], -along[0]])
        yield "line", _one(float((0.5 * (at[0] + at[1]) - ends.mean(axis=0)) @ across), reference.sd)
        meant = np.arctan2(along[0], along[1])
        off = float((reference.bearing - meant + 0.5 * np.pi) % np.pi - 0.5 * np.pi)
        yield "bearing", _one(off, reference.bearing_sd)
        return
    places = _boundary(maneuver) if reference.type == "rectangle" else np.array(maneuver.places)
    worst = [places[np.argmin(np.hypot(*(places - each).T))] - each for each in at]
    measures = [_two(off, round_) for off in worst]
    yield (
        {"point": "point", "pylons": "pylons", "rectangle": "corners"}[reference.type],
        Measure(
            float(np.sqrt(np.mean([m.error**2 for m in measures]))),
            tuple(float(np.mean([m.inside[k] for m in measures])) for k in range(len(LEVELS))),
        ),
    )


def _boundary(maneuver: TrueManeuver) -> Floats:
    """Return the corners of the rectangle that was to be flown: the field's, moved out by the distance.

    The second and fourth leg were to be flown farther out by the size of an error of uneven distances.
    """
    corners = np.array(maneuver.places)
    farther = maneuver.faults.get("leg-distance-uneven", 0.0) * FOOT
    back, on = np.roll(corners, 1, axis=0) - corners, np.roll(corners, -1, axis=0) - corners
    back, on = back / np.hypot(*back.T)[:, None], on / np.hypot(*on.T)[:, None]
    distance = maneuver.radius + np.array([0.0, farther, 0.0, farther])
    # A corner ends the side of its number: the next side leads away from that one, and it from the next.
    moved: Floats = corners - on * distance[:, None] - back * np.roll(distance, -1)[:, None]
    return moved


def _radius(truth: Truth, maneuver: TrueManeuver) -> float:
    """Return the radius flown [m].

    It is the mean distance from a point or from the pylon of each loop, each part of the turn weighing alike;
    of half circles and of eights about a road it is that of circles fitted to the true path where it turned.
    """
    if not isfinite(maneuver.radius) or maneuver.kind == "rectangular-course":
        return float("nan")
    turning = np.abs(np.gradient(np.unwrap(truth.track), truth.time))
    radii = []
    for begin, end in pairwise(maneuver.boundaries):
        inside = truth.during(begin, end)
        banked = inside & (turning > 0.4 * np.percentile(turning[inside], 80))
        if banked.sum() < 50:
            continue
        east, north = truth.east[banked], truth.north[banked]
        if maneuver.reference in ("point", "pylons"):
            away = [np.hypot(east - x, north - y) for x, y in maneuver.places]
            radii.append(min(float(np.average(each, weights=turning[banked])) for each in away))
        else:
            radii.append(fit_circle(east[::5], north[::5]).radius)
    return float(np.mean(radii)) if radii else float("nan")


def _samples(truth: Truth, debrief: Debrief, maneuver: TrueManeuver) -> Iterator[tuple[str, Measure]]:
    states = debrief.states
    inside = (states.time >= maneuver.start) & (states.time <= maneuver.end)
    time = states.time[inside]
    if not time.size:
        return
    bank = states.bank[inside] - truth.at("bank", time)
    slipping = states.lateral_acceleration is None and uncoordinated(truth, maneuver) > 0.05
    if np.isfinite(bank).any():
        yield (
            "bank in a slip" if slipping and states.bank_source == "derived" else "bank",
            _many(bank, states.bank_sd[inside]),
        )
    if states.height is not None and states.height_sd is not None:
        yield "height", _many(states.height[inside] - truth.at("height", time), states.height_sd[inside])
    speed = states.true_airspeed[inside] - truth.at("true_airspeed", time)
    if np.isfinite(speed).any():
        yield "airspeed at samples", _many(speed, states.true_airspeed_sd[inside])
