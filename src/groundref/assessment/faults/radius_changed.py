"""The distance from the point was not held: laps of different size, or one that is not round.

From lap to lap the medians of the distance are compared, the widest lap less the tightest. Within a lap the
distance is averaged over eighths of the circle, which removes what the eye would not call a change, and the
farthest is compared with the nearest; a lap may be that much less round before anyone would call it changed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import full_turn
from groundref.assessment.assessed import Finding
from groundref.assessment.faults.mention import supported
from groundref.assessment.flown import Flown
from groundref.assessment.said import laps_said, plus_minus
from groundref.detection.circling import POSITION_WANDER
from groundref.measures import apart, length
from groundref.units import foot

Bools = NDArray[np.bool_]

NAME: Final = "radius-changed"
FROM_LAP_TO_LAP: Final = 0.1  # of the radius; common practice, no source
noticed: Final = 150.0 * foot  # [m]  which is noticed on any circle; common practice, no source
WITHIN_A_LAP: Final = 0.3  # of the radius, from nearest to farthest eighth; common practice, no source
eighth: Final = full_turn / 8  # [rad]


@dataclass(frozen=True, slots=True)
class Stretch:
    """A lap, or an eighth of one.

    Attributes
    ----------
    lap
        Number of the lap.
    distance
        Distance from the point [m]
    samples
        Indices of its samples, from the maneuver's first.
    """

    lap: int
    distance: float
    samples: NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Change:
    """A change of distance between two stretches.

    Attributes
    ----------
    near, far
        The two.
    sd
        Standard deviation of the difference [m]
    threshold
        Difference worth mentioning [m]
    """

    near: Stretch
    far: Stretch
    sd: float
    threshold: float

    @property
    def size(self) -> float:
        """The difference [m]."""
        return self.far.distance - self.near.distance

    @property
    def supported(self) -> bool:
        """Whether it is worth mentioning and no chance."""
        return supported(self.size, self.sd, self.threshold)


def find(flown: Flown) -> Finding | None:
    """Test the distance from the point from lap to lap, then round the laps."""
    changed = change(flown, flown.steady)
    if changed is None:
        return None
    near, far = changed.near, changed.far
    both = np.concatenate([near.samples, far.samples])
    return Finding(
        fault=NAME,
        laps=tuple(sorted({near.lap, far.lap})),
        size=changed.size / foot,
        size_sd=changed.sd / foot,
        size_unit="ft",
        start=float(flown.time[both.min()]),
        end=float(flown.time[both.max()]),
        position=_place(flown, far),
        consequence_ft=changed.size / foot,
        consequence_sd_ft=changed.sd / foot,
        strength=changed.size / changed.threshold,
        says=_says(flown, changed),
        cure=f"Keep {flown.words.about} at one place below the wing, {length(flown.maneuver.radius)} away: "
        "ease the bank when it comes closer and steepen it when it moves away, before the distance "
        "has changed.",
    )


def change(flown: Flown, used: Bools) -> Change | None:
    """Return the change of distance that is supported, from lap to lap first; None when there is none.

    Parameters
    ----------
    flown
        The evidence.
    used
        Which samples count.
    """
    return next(
        (c for c in (between(flown, used), _within(flown, used)) if c is not None and c.supported), None
    )


def between(flown: Flown, used: Bools) -> Change | None:
    """Compare whole laps by the median distance; None for fewer than two."""
    laps = [_stretch(flown, lap, used & (flown.profile.lap == lap)) for lap in flown.whole_laps]
    laps = [lap for lap in laps if lap.samples.size]
    sd = float(np.sqrt(2.0) * max((lap.radius_sd for lap in flown.maneuver.laps), default=0.0))
    return _extremes(laps, sd, min(FROM_LAP_TO_LAP * flown.maneuver.radius, noticed))


def _within(flown: Flown, used: Bools) -> Change | None:
    """Compare the eighths of all laps."""
    track = np.abs(flown.states.track[flown.samples] - flown.states.track[flown.maneuver.first])
    number = (track / eighth).astype(np.int64)
    eighths = [
        _stretch(flown, lap, used & (flown.profile.lap == lap) & (number == each))
        for lap in flown.all_laps
        for each in np.unique(number[used & (flown.profile.lap == lap)])
    ]
    return _extremes(eighths, _sd(flown), WITHIN_A_LAP * flown.maneuver.radius)


def _stretch(flown: Flown, lap: int, inside: Bools) -> Stretch:
    """Return a stretch with its median distance."""
    samples = np.flatnonzero(inside)
    distance = float(np.median(flown.profile.distance[samples])) if samples.size else float("nan")
    return Stretch(lap, distance, samples)


def _extremes(stretches: list[Stretch], sd: float, threshold: float) -> Change | None:
    """Return the change from the nearest stretch to the farthest."""
    if len(stretches) < 2:
        return None
    near = min(stretches, key=lambda each: each.distance)
    far = max(stretches, key=lambda each: each.distance)
    return Change(near, far, sd, threshold)


def _sd(flown: Flown) -> float:
    """Return the sd of the difference of two distances in opposite places [m].

    That of two positions with the receiver's slow wander, and twice that of the point, whose error moves
    opposite places apart by twice itself.
    """
    position = float(np.nanmedian(flown.states.position_sd[flown.samples]))
    return float(np.sqrt(2.0 * (position**2 + POSITION_WANDER**2) + (2.0 * flown.maneuver.reference.sd) ** 2))


def _says(flown: Flown, changed: Change) -> str:
    """Return the sentence: the two laps, or the two places."""
    near, far = changed.near, changed.far
    size = f"{apart(near.distance, far.distance)} ({plus_minus(changed.sd)})"
    lap, shape, about = flown.words.lap, flown.words.shape, flown.words.about
    if min(near.samples.size, far.samples.size) > flown.steady.sum() / (4.0 * len(flown.all_laps)):
        return (
            f"{laps_said(tuple(sorted((near.lap, far.lap))), lap)}: the {shape} was not the same size: "
            f"{length(near.distance)} from {about} in {lap} {near.lap}, {length(far.distance)} in {lap} "
            f"{far.lap}, a difference of {size}."
        )
    if near.lap == far.lap and not _place(flown, near):
        return (
            f"{laps_said((near.lap,), lap)}: the {shape} was not round: {length(near.distance)} to "
            f"{length(far.distance)} from {about}, a difference of {size}."
        )
    return (
        f"The {shape} was not round: {length(near.distance)} from {about}{_where(flown, near)}, "
        f"{length(far.distance)}{_where(flown, far)}, a difference of {size}."
    )


def _where(flown: Flown, stretch: Stretch) -> str:
    """Return lap and place of a stretch."""
    place = _place(flown, stretch)
    return f" in {flown.words.lap} {stretch.lap}" + (f" {place}" if place else "")


def _place(flown: Flown, stretch: Stretch) -> str:
    """Return the place of an eighth; empty for a whole lap."""
    turned = np.abs(flown.states.track_rate[flown.samples][stretch.samples]).sum() * flown.interval
    return flown.place(int(stretch.samples[stretch.samples.size // 2])) if turned < 2.0 * eighth else ""
