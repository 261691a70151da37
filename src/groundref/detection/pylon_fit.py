"""The pylon of a loop: the place on the ground that stayed abeam.

With the wing held on a pylon p the nose is square to it at every sample: h·(p − x) = 0, h the heading and x
the airplane. Each sample is a line over the ground along the wings, and the place closest to all of them is a
linear least-squares problem in p,

    Σ h hᵀ p = Σ h (h·x),

closed and well conditioned as soon as the heading turns by a right angle or so. Bank and height do not enter,
so neither a wrong height nor an unknown ground moves the pylon, and what they say can be set against it. A
constant angle ahead or behind, all the way round, does not move it either: the wing lines then touch a small
circle.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.detection.circling import POSITION_WANDER
from groundref.units import degree

Floats = NDArray[np.float64]

# [s] for how long a pylon stands ahead, or behind, the same way; found on simulated flights
MEMORY: Final = 10.0
# An angle that shows nowhere: what there always is, and a share of what shows; found on simulated flights.
HIDDEN: Final = (0.6 * degree, 0.8)
LEAST_SAMPLES: Final = 6


@dataclass(frozen=True, slots=True)
class PylonFit:
    """One pylon, found from one loop or from several.

    Attributes
    ----------
    east, north
        [m]
    sd
        Standard deviation per axis [m]
    off
        How far the wing lines passed it, root mean square [m]
    distance
        Mean distance of the airplane from it [m]
    ahead
        Angle of the pylon ahead of abeam, behind it negative, root mean square [rad]
    """

    east: float
    north: float
    sd: float
    off: float
    distance: float
    ahead: float


def fit_pylon(
    time: Floats, east: Floats, north: Floats, heading: Floats, turned_wind: float
) -> PylonFit | None:
    """Return the place that stayed abeam; None when the headings do not tell one.

    Parameters
    ----------
    time, east, north, heading
        Samples of the loops about it [s], [m], [rad]
    turned_wind
        Standard deviation of the heading that an error of the wind makes, σ_w / V [rad]
    """
    if time.size < LEAST_SAMPLES:
        return None
    nose = np.column_stack([np.sin(heading), np.cos(heading)])
    place = np.column_stack([east, north])
    normal = nose.T @ nose
    if np.linalg.cond(normal) > 50.0:
        return None
    at = np.linalg.solve(normal, nose.T @ np.sum(nose * place, axis=1))
    gap = at - place
    misfit = np.sum(nose * gap, axis=1)
    distance = np.hypot(gap[:, 0], gap[:, 1])
    spacing = float(np.median(np.diff(time)))
    alike = max(MEMORY / max(spacing, 1e-3), 1.0)
    off = float(np.sqrt(np.mean(misfit**2)))
    mean_distance = float(distance.mean())
    chance = off**2 * alike * float(np.trace(np.linalg.inv(normal))) / 2.0
    ahead = float(np.sqrt(np.mean(np.arcsin(np.clip(misfit / np.maximum(distance, 1.0), -1.0, 1.0)) ** 2)))
    # What goes once round with the heading moves the place and leaves no misfit: an error of the wind, which
    # turns each nose by its part across, and a pylon held ahead on one side of the loop, behind on the other.
    # Of the latter as much is taken to be hidden as a good part of what shows.
    hidden = HIDDEN[0] ** 2 + (HIDDEN[1] * ahead) ** 2
    shared = (turned_wind**2 + hidden) * mean_distance**2
    return PylonFit(
        east=float(at[0]),
        north=float(at[1]),
        sd=float(np.sqrt(chance + shared + POSITION_WANDER**2)),
        off=off,
        distance=mean_distance,
        ahead=ahead,
    )
