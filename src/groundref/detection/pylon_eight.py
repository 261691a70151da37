"""Loops one way and the other seen as an eight on two pylons: the places that stayed abeam."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.detection.candidate import Ground, Place
from groundref.detection.eight_evidence import samples
from groundref.detection.loop import Loop
from groundref.detection.loops import Row
from groundref.detection.pylon_fit import PylonFit, fit_pylon
from groundref.detection.traded import AirMotion, air_motion
from groundref.estimation.states import States
from groundref.units import degree

SETTLED: Final = 3.0  # [s] after half the roll, until the bank stands
OFF_ABEAM: Final = 30 * degree  # root mean square beyond which the place is no pylon
NEAR: Final = 0.5  # of the distance: given pylons farther from those found are others
LEAST_APART: Final = 0.8  # of the distance, from one pylon to the other


@dataclass(frozen=True, slots=True)
class Eight:
    """Loops one way and the other about two pylons.

    Attributes
    ----------
    row
        The loops.
    first, last
        Their samples, ``last`` inclusive.
    air
        Motion through the air from the first loop to the last.
    pylons
        The first turned about first.
    """

    row: Row
    first: int
    last: int
    air: AirMotion
    pylons: tuple[PylonFit, PylonFit]

    @property
    def distance(self) -> float:
        """Mean distance from the pylons [m]."""
        return 0.5 * (self.pylons[0].distance + self.pylons[1].distance)


def seen_on_pylons(states: States, row: Row) -> Eight | None:
    """See loops as eights on two pylons; None when no place stayed abeam."""
    first, last = samples(states, row)
    air = air_motion(states, first, last)
    if not air.known:
        return None
    one, other = (_pylon(states, row.loops[k::2], air, first) for k in (0, 1))
    if one is None or other is None or max(one.ahead, other.ahead) > OFF_ABEAM:
        return None
    apart = np.hypot(one.east - other.east, one.north - other.north)
    if apart < LEAST_APART * 0.5 * (one.distance + other.distance):
        return None
    return Eight(row, first, last, air, (one, other))


def settled(states: States, start: float, end: float) -> NDArray[np.int64]:
    """Return the samples of a loop between rolling in and rolling out."""
    inside = (states.time >= start + SETTLED) & (states.time <= end - SETTLED)
    return np.flatnonzero(inside)


def _pylon(states: States, loops: Sequence[Loop], air: AirMotion, first: int) -> PylonFit | None:
    """Find the pylon of some loops together."""
    index = np.concatenate([settled(states, loop.start, loop.end) for loop in loops])
    wind_sd = float(np.sqrt(max(np.linalg.eigvalsh(air.covariance)[-1], 0.0)))
    return fit_pylon(
        states.time[index],
        states.east[index],
        states.north[index],
        air.heading[index - first],
        wind_sd / float(np.mean(air.airspeed)),
    )


def nearer_order(eight: Eight, pylons: tuple[Place, Place]) -> tuple[int, float]:
    """Return whether given pylons were turned about in the other order, and how far off the farther is."""
    found = [(pylon.east, pylon.north) for pylon in eight.pylons]
    orders = (pylons, pylons[::-1])
    off = [max(np.hypot(*np.subtract(a, b)) for a, b in zip(o, found, strict=True)) for o in orders]
    nearer = int(np.argmin(off))
    return nearer, float(off[nearer])


def given_near(eight: Eight, ground: Ground) -> tuple[Place, ...] | None:
    """Return the given pylons in the order turned about; None where there are none near."""
    if ground.pylons is None:
        return None
    nearer, far = nearer_order(eight, ground.pylons)
    if far > NEAR * eight.distance:
        return None
    return ground.pylons[::-1] if nearer else ground.pylons


def in_loops(states: States, eight: Eight) -> NDArray[np.int64]:
    """Return the samples of all loops, between rolling in and rolling out."""
    return np.concatenate([settled(states, loop.start, loop.end) for loop in eight.row.loops])
