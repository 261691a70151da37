"""Airspeed gained and lost with height where the throttle is left alone.

The energy of the motion through the air changes by thrust less drag only, d(V²/2)/dt + g dh/dt = (T − D) V/m.
About the speed at which they balance the right side pulls V back with the time constant τ = V/(2 g D/W), so
what descents have brought is

    x' = −x/τ − (g/V) h'.

How much of it is left of the throttle, which some do touch, and of drag in the turns is a share that the
recording cannot tell when height is flown in step with the lap: what it gives then looks like wind.
"""

from __future__ import annotations

from itertools import accumulate
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.units import knot, standard_gravity

Floats = NDArray[np.float64]

SHARE: Final = (0.9, 0.45)  # and how far airplanes and pilots differ in it; common practice, no source
HELD: Final = 0.01  # standard deviation of what is held: near enough to a constant
# [m s⁻¹] of an airspeed once round beside that, on each axis: common practice, no source
HIDDEN: Final = 0.7 * knot
REGAINED: Final = 25.0  # [s] V/(2 g D/W) at 100 kt with drag a tenth of the weight


def gained(time: Floats, piece: NDArray[np.int64], climb: Floats, speed: Floats) -> Floats:
    """Return the airspeed that descents have brought and climbs have cost, x, at each node [m s⁻¹].

    Exact for climbs that are steady from node to node; zero at the start of each piece.

    Parameters
    ----------
    time, piece
        Of the nodes [s], and the numbers of their gapless pieces.
    climb, speed
        From each node to the next: how far it climbed [m], and the airspeed [m s⁻¹]
    """
    step, apart = np.diff(time), np.diff(piece) != 0
    stay = np.exp(-step / REGAINED)
    more = -standard_gravity / speed * climb * REGAINED * (1.0 - stay) / step
    steps = zip(np.where(apart, 0.0, stay).tolist(), np.where(apart, 0.0, more).tolist(), strict=True)
    return np.array(list(accumulate(steps, lambda x, each: each[0] * x + each[1], initial=0.0)))


def bounds(held: NDArray[np.bool_]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return the first node of each stretch with the throttle left alone, and the first after it.

    Parameters
    ----------
    held
        Where it is left alone.
    """
    step = np.diff(np.concatenate([[False], held]).astype(np.int64))
    return np.flatnonzero(step > 0), np.flatnonzero(step < 0)


def within(time: Floats, stretches: tuple[tuple[float, float], ...]) -> NDArray[np.bool_]:
    """Return which times lie in one of some stretches.

    Parameters
    ----------
    time, stretches
        Times, and start and end of each stretch [s]
    """
    inside = np.zeros(time.size, dtype=np.bool_)
    for start, end in stretches:
        inside |= (time >= start) & (time <= end)
    return inside
