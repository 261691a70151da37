"""How near the path comes to a place that wants quiet."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import hypot, inf
from typing import Final

import numpy as np

from groundref.planning.inputs import Inputs
from groundref.planning.layout import Layout
from groundref.planning.schedule import Schedule
from groundref.units import foot

ASKED: Final = 2_000 * foot
"""Above, and so far to the side: AC 91-36D (17 September 2004), asked for, not law."""


@dataclass(frozen=True, slots=True)
class Quiet:
    """The nearest that the path comes to the place.

    Attributes
    ----------
    distance
        Horizontal [m]
    height
        Above the ground there [m]
    position
        The schedule's position that it is nearest to.
    """

    distance: float
    height: float
    position: int

    @property
    def slant(self) -> float:
        """Distance through the air [m]."""
        return hypot(self.distance, self.height)

    @property
    def too_near(self) -> bool:
        """Whether it is nearer than asked for, both to the side and in height."""
        return self.distance < ASKED and self.height < ASKED


def quiet(inputs: Inputs, layout: Layout, schedule: Schedule) -> Quiet | None:
    """Return how near the path comes to the place that wants quiet; None where none is stated.

    Parameters
    ----------
    inputs
        Of the plan.
    layout
        Its path, taken as straight lines no more than 10° of turn long: less than 0.4 % of the radius off it.
    schedule
        Its positions.
    """
    place = inputs.around.noise_place
    if place is None:
        return None
    best = Quiet(inf, inf, 0)
    for piece in layout.pieces:
        flown = piece.at(inputs.air, piece.spread())
        start = np.stack((flown.east - place[0], flown.north - place[1]))
        step = np.diff(start)
        part = -(start[:, :-1] * step).sum(axis=0) / np.maximum((step**2).sum(axis=0), 1e-12)
        part = np.clip(part, 0.0, 1.0)
        away = np.hypot(*(start[:, :-1] + part * step))
        near = int(away.argmin())
        if away[near] < best.distance:
            height = np.interp(near + part[near], np.arange(flown.height.size), flown.height)
            best = Quiet(float(away[near]), float(height), 0)
    nearest = np.hypot(schedule.east - place[0], schedule.north - place[1]).argmin()
    return replace(best, position=int(nearest))
