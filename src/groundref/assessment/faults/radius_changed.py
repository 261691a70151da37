"""The distance from the point was not held: laps of different size, or one that is not round.

Distance is averaged over eighths of each lap, which removes what the eye would not call a change; the size
is the largest of these less the smallest.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import full_turn
from groundref.assessment import places
from groundref.assessment.assessed import Finding
from groundref.assessment.faults.mention import supported
from groundref.assessment.flown import Flown, feet, laps_said
from groundref.units import foot

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

NAME: Final = "radius-changed"
THRESHOLD: Final = 0.3  # of the radius, from the nearest to the farthest eighth; common practice, no source
eighth: Final = full_turn / 8  # [rad]
lap_to_lap: Final = 0.6  # share of the size from which the laps, not their shape, are what differs


@dataclass(frozen=True, slots=True)
class Eighth:
    """An eighth of one lap.

    Attributes
    ----------
    lap
        Its number.
    distance
        Mean distance from the point [m]
    index
        Its middle sample, from the maneuver's first.
    """

    lap: int
    distance: float
    index: int


def find(flown: Flown) -> Finding | None:
    """Test the distance from the point, eighth by eighth of each lap."""
    eighths = _eighths(flown)
    if len(eighths) < 2:
        return None
    near = min(eighths, key=lambda e: e.distance)
    far = max(eighths, key=lambda e: e.distance)
    size, sd = far.distance - near.distance, _sd(flown)
    threshold = THRESHOLD * flown.maneuver.radius
    if not supported(size, sd, threshold):
        return None
    laps = tuple(sorted({near.lap, far.lap}))
    first, last = sorted((near.index, far.index))
    return Finding(
        fault=NAME,
        laps=laps,
        size=size / foot,
        size_sd=sd / foot,
        size_unit="ft",
        start=float(flown.time[first]),
        end=float(flown.time[last]),
        position=flown.place(far.index),
        consequence_ft=size / foot,
        strength=size / threshold,
        says=_says(flown, eighths, near, far, sd),
        cure=f"Keep the point at one place below the wing, {feet(flown.maneuver.radius)} away: ease the bank "
        "when the point comes closer and steepen it when it moves away, before the distance has changed.",
    )


def _eighths(flown: Flown) -> list[Eighth]:
    """Return the eighths of all laps that hold a sample, after the roll-in."""
    track = np.abs(flown.states.track[flown.samples] - flown.states.track[flown.maneuver.first])
    number = (track / eighth).astype(np.int64)
    out = []
    for lap in flown.all_laps:
        inside = flown.steady & (flown.profile.lap == lap)
        for each in np.unique(number[inside]):
            index = np.flatnonzero(inside & (number == each))
            out.append(Eighth(lap, float(flown.profile.distance[index].mean()), int(index[index.size // 2])))
    return out


def _sd(flown: Flown) -> float:
    """Return the sd of the difference of two distances: of two positions, and twice that of the point [m]."""
    position = float(np.nanmedian(flown.states.position_sd[flown.samples]))
    return float(np.sqrt(2.0 * position**2 + (2.0 * flown.maneuver.reference.sd) ** 2))


def _says(flown: Flown, eighths: list[Eighth], near: Eighth, far: Eighth, sd: float) -> str:
    """Return the sentence: the laps' distances where the laps differ, else where it was near and far."""
    means = {lap: np.mean([e.distance for e in eighths if e.lap == lap]) for lap in flown.whole_laps}
    size = far.distance - near.distance
    if len(means) > 1 and max(means.values()) - min(means.values()) > lap_to_lap * size:
        each = ", ".join(f"{feet(float(mean))} in lap {lap}" for lap, mean in means.items())
        return f"{laps_said(flown.whole_laps)}: the distance changed from lap to lap: {each} (± {feet(sd)})."
    return (
        f"The distance went from {feet(near.distance)}{_where(flown, near)} to {feet(far.distance)}"
        f"{_where(flown, far)}, a change of {feet(size)} (± {feet(sd)})."
    )


def _where(flown: Flown, each: Eighth) -> str:
    """Return lap and place of an eighth."""
    place = places.name(float(flown.profile.position[each.index])) if flown.wind_felt else ""
    return f" in lap {each.lap}" + (f" {place}" if place else "")
