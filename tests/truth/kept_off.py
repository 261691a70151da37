"""Where legs and crossings really lay: distances of the legs of a rectangle, bank at the line."""

from __future__ import annotations

from math import atan2, pi
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.simulation.truth import TrueManeuver, Truth

from .sortie import FOOT

_ALONG: Final = np.radians(30.0)
"""Angle to its side within which a leg is flown; of that its middle counts, clear of the corners."""
_MIDDLE: Final = (0.2, 0.8)
_SHORTEST: Final = 50
"""Samples of a tenth of a second each."""
_UNEVEN: Final = 400.0 * FOOT
_LEVEL: Final = 10.0


def bank_at_line(truth: Truth, maneuver: TrueManeuver) -> float:
    """Return the bank on where the line was crossed between half circles, over 10°.

    Still of the half circle before, or already of the next: the two apart, each as its mean over the
    crossings, or half again as large at a single one.
    """
    times = np.array(maneuver.boundaries[1:-1])
    if not times.size:
        return 0.0
    before = np.sign([float(np.mean(truth.bank[truth.during(t - 8.0, t - 3.0)])) for t in times])
    held = np.degrees(before * truth.at("bank", times))
    return float(max(max(way.mean(), way.max() / 1.5) for way in (held, -held)) / _LEVEL)


def uneven_sides(truth: Truth, maneuver: TrueManeuver) -> float:
    """Return how differently far from the field its sides were flown, over 400 ft."""
    means = [float(np.mean(each)) for each in _distances(truth, maneuver).values()]
    return (max(means) - min(means)) / _UNEVEN


def uneven_circuits(truth: Truth, maneuver: TrueManeuver) -> float:
    """Return how differently far one side was flown in different circuits, over 400 ft.

    That is all that shows where the field is not known: a rectangle taken from the path lies in the middle
    of each of its sides, and a longer field cannot be told from legs flown farther out.
    """
    return max(max(each) - min(each) for each in _distances(truth, maneuver).values()) / _UNEVEN


def _distances(truth: Truth, maneuver: TrueManeuver) -> dict[int, list[float]]:
    """Return by side the mean distance outside of the field of each leg flown along it [m]."""
    corners = np.array(maneuver.places)
    first = corners[0] - corners[3]
    course, side = atan2(*first), 1.0 if maneuver.direction == "right" else -1.0
    inside = truth.during(maneuver.start, maneuver.end)
    track = np.unwrap(truth.track[inside])
    turned = side * (track - course)
    turned -= 2.0 * pi * round(float(turned[0]) / (2.0 * pi))
    leg = np.round(turned / (0.5 * pi)).astype(int)
    along = np.abs(turned - 0.5 * pi * leg) < _ALONG
    found: dict[int, list[float]] = {}
    for number in range(round(4.0 * maneuver.laps)):
        flown = np.flatnonzero(along & (leg == number))
        if flown.size >= _SHORTEST:
            part = flown[int(_MIDDLE[0] * flown.size) : int(_MIDDLE[1] * flown.size)]
            found.setdefault(number % 4, []).append(
                _outside(truth.east[inside][part], truth.north[inside][part], corners, number % 4, side)
            )
    return found


def _outside(
    east: NDArray[np.float64],
    north: NDArray[np.float64],
    corners: NDArray[np.float64],
    number: int,
    side: float,
) -> float:
    """Return the mean distance outside of a side; it ends at the corner of its number [m]."""
    to, start = corners[number], corners[number - 1]
    along = (to - start) / np.hypot(*(to - start))
    out = side * np.array([-along[1], along[0]])
    return float(np.mean((east - to[0]) * out[0] + (north - to[1]) * out[1]))
