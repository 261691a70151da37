"""What was planned for a maneuver, laid beside what was flown: path, bank, height and airspeed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class AsPlanned:
    """A plan as plain arrays in the track's frame, NaN between two pieces.

    Attributes
    ----------
    east, north
        Its path over the ground, once through; empty where none is held over the ground [m]
    placed
        Whether it lies at the place planned for; else it is laid on what was flown about.
    turn, track, azimuth, bank
        Of its arcs: +1 right and −1 left; true track; true direction from the middle of the arc; bank, right
        positive. Empty where no distance is held [rad]
    height, true_airspeed
        Planned, above the ground; None where they are not to be held [m], [m s⁻¹]
    """

    east: Floats
    north: Floats
    placed: bool
    turn: Floats
    track: Floats
    azimuth: Floats
    bank: Floats
    height: float | None
    true_airspeed: float | None
