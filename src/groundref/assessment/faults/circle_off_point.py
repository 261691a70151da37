"""The whole circle stands off the point: good laps, alike, about another place.

The circle fitted to each lap alone has a center of its own. Where the centers of all whole laps lie off the
point the same way, it is no error of one lap. Only a point that was given can show it: a fitted one lies in
the middle of what was flown, wherever that is. One lap alone cannot tell it from an entry that was flown
out, and laps that drift have no place of their own.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import direction_of, wrap
from groundref.assessment.assessed import Finding
from groundref.assessment.faults.mention import supported
from groundref.assessment.flown import Flown
from groundref.assessment.said import bearing, laps_said, plus_minus
from groundref.detection.circling import POSITION_WANDER
from groundref.measures import about, length
from groundref.units import foot

Floats = NDArray[np.float64]

NAME: Final = "circle-off-point"
SHARE: Final = 0.15  # of the radius; common practice, no source
noticed: Final = 200.0 * foot  # [m]  the usual tolerance of the distance; common practice, no source
alike: Final = 0.5  # of the mean offset that that of every lap must reach the same way, and not exceed across
fewest: Final = 2  # laps


def find(flown: Flown) -> Finding | None:
    """Test the centers of the whole laps against the point given."""
    maneuver, reference = flown.maneuver, flown.maneuver.reference
    if reference.source != "given" or maneuver.drifts or len(flown.whole_laps) < fewest:
        return None
    laps = [maneuver.laps[number - 1] for number in flown.whole_laps]
    offsets = np.array(
        [(lap.center_east - lap.about_east, lap.center_north - lap.about_north) for lap in laps]
    )
    mean = offsets.mean(axis=0)
    size = float(np.hypot(*mean))
    sd = float(np.hypot(np.sqrt(np.mean([lap.center_sd**2 for lap in laps]) / len(laps)), POSITION_WANDER))
    sd = float(np.hypot(sd, reference.sd))
    threshold = min(SHARE * maneuver.radius, noticed)
    if not supported(size, sd, threshold) or not _alike(offsets, mean / size):
        return None
    towards = float(wrap(direction_of(mean[0], mean[1])))
    distance = flown.profile.distance[flown.steady & np.isin(flown.profile.lap, flown.whole_laps)]
    return Finding(
        fault=NAME,
        laps=flown.whole_laps,
        size=size / foot,
        size_sd=sd / foot,
        size_unit="ft",
        start=laps[0].start,
        end=laps[-1].end,
        position="",
        consequence_ft=size / foot,
        consequence_sd_ft=sd / foot,
        strength=size / threshold,
        says=f"{laps_said(flown.whole_laps, flown.words.lap)}: the whole circle stood off the point: its "
        f"center lay {length(size)} ({plus_minus(sd)}) from it towards {bearing(towards)}, so that the "
        f"distance went from {length(float(distance.min()))} to {length(float(distance.max()))}.",
        cure="Pick the point out before the entry, with something beside it to know it again by, and come "
        f"abeam of it at about {about(maneuver.radius)}; then look at every quarter whether it is still "
        "that point, at the same place below the wing.",
    )


def _alike(offsets: Floats, way: Floats) -> bool:
    """Return whether every lap stood off the same way, and about as far."""
    along = offsets @ way
    across = np.abs(offsets @ np.array([way[1], -way[0]]))
    mean = float(along.mean())
    return bool(along.min() >= alike * mean and across.max() <= alike * mean)
