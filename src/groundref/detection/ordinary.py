"""How ordinary flying circles: what the evidence for every kind that turns all the way round is held against.

Airplanes that nobody trains in circle too: to look at something, for spacing, to lose height, in rising air.
One description of that serves all kinds, so that when two of them compete for a circle, what ordinary flying
is drops out and only what tells them apart is left. Figures are common practice, no source.
"""

from __future__ import annotations

import numpy as np

from groundref.detection.circling import Circling
from groundref.detection.evidence import density
from groundref.estimation.wind_value import Wind
from groundref.units import degree


def bank_density(bank: float) -> float:
    """Return how usual a mean bank is in ordinary circling: an orbit, spacing, a tight spiral [rad]."""
    value = bank / degree
    return 0.8 * density(value, 22.0, 9.0) + 0.2 * density(value, 38.0, 8.0)


def drift_density(share: float, sd: float) -> float:
    """Return how usual it is to be carried along by a share of what the air moved.

    Who circles for no maneuver mostly holds a bank, or watches something on the ground with half an eye; one
    in eight keeps to it as one does around a point.

    Parameters
    ----------
    share, sd
        As of `drift_share`.
    """
    held = density(share, 1.0, float(np.hypot(0.15, sd)))
    kept = density(share, 0.0, float(np.hypot(0.25, sd)))
    between = density(share, 0.6, float(np.hypot(0.4, sd)))
    return 0.5 * held + 0.12 * kept + 0.38 * between


def drift_share(circle: Circling, wind: Wind | None) -> tuple[float, float] | None:
    """Return how far the centre moved downwind in a lap, as a share of what the air moved, with its sd.

    Zero around a point, one at constant bank; None in a wind too light or unknown to tell.

    Parameters
    ----------
    circle, wind
        What was flown, and the air it was flown in.
    """
    if wind is None:
        return None
    carried = wind.speed * circle.lap_time
    carried_sd = wind.speed_sd * circle.lap_time
    if carried < 2.5 * np.hypot(carried_sd, circle.drift_sd):
        return None
    along = (circle.drift_east * wind.east + circle.drift_north * wind.north) / wind.speed
    share = along / carried
    return float(share), float(np.hypot(circle.drift_sd, share * carried_sd) / carried)
