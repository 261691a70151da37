"""Height above the ground outside the band for ground-reference work."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.assessment.assessed import Finding
from groundref.assessment.faults.not_held import where, worst_of
from groundref.assessment.flown import Flown
from groundref.assessment.said import plus_minus
from groundref.measures import about, length, stated_lengths
from groundref.units import foot

Floats = NDArray[np.float64]

NAME: Final = "outside-height-band"
THRESHOLD: Final = 50.0 * foot  # common practice, no source: half the altitude tolerance
usual_band: Final = (600.0 * foot, 1000.0 * foot)  # [m]  FAA-S-ACS-6, PA.V.B.S3c; where the standard has none


def band(flown: Flown) -> tuple[float, float]:
    """Return the lowest and the highest height allowed [m]."""
    element = flown.element("height-band")
    if element is None or element.limit is None or element.minimum is None:
        return usual_band
    return element.minimum * foot, element.limit * foot


def find(flown: Flown) -> Finding | None:
    """Test height above the ground against the band, as the verdict does: only what is surely outside."""
    known = heights(flown)
    if known is None:
        return None
    height, sds = known
    low, high = band(flown)
    # Height beyond the nearer edge, above it positive; inside the band there is no error to be found.
    beyond = np.where(height > high, height - high, np.where(height < low, height - low, 0.0))
    worst = worst_of(flown, beyond, sds, 0.0, THRESHOLD)
    if worst is None or worst.verdict != "not-met":
        return None
    outside, sd = float(beyond[worst.at]), float(sds[worst.at])
    return Finding(
        fault=NAME,
        laps=worst.laps,
        size=abs(outside) / foot,
        size_sd=sd / foot,
        size_unit="ft",
        start=worst.start,
        end=worst.end,
        position=worst.place,
        consequence_ft=outside / foot,
        consequence_sd_ft=sd / foot,
        strength=abs(outside) / (2.0 * THRESHOLD),
        says=f"Height above the ground reached {length(float(height[worst.at]))} ({plus_minus(sd)})"
        f"{where(flown, worst)}, {length(abs(outside))} {'above' if outside > 0.0 else 'below'} the "
        f"band of {stated_lengths(low, high)}.",
        cure=f"Work out the altitude for {about(0.5 * (low + high))} above this ground beforehand, "
        "and be level at it before the maneuver begins.",
    )


def heights(flown: Flown) -> tuple[Floats, Floats] | None:
    """Return height above the ground over the laps and its sd; NaN outside them, None if unknown [m]."""
    if flown.states.height is None or flown.states.height_sd is None or flown.ground_above:
        return None
    height, sd = flown.states.height[flown.samples], flown.states.height_sd[flown.samples]
    known = np.isfinite(height) & np.isfinite(sd) & ((flown.profile.lap > 0) | (not flown.maneuver.laps))
    return (np.where(known, height, np.nan), sd) if known.any() else None
