"""Height above the ground outside the band for ground-reference work."""

from __future__ import annotations

from typing import Final

import numpy as np

from groundref.assessment.assessed import Finding
from groundref.assessment.faults.mention import supported
from groundref.assessment.flown import Flown
from groundref.units import foot

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
    """Test height above the ground against the band."""
    worst = worst_height(flown)
    if worst is None:
        return None
    index, height, sd = worst
    low, high = band(flown)
    outside = max(low - height, height - high)
    if not supported(outside, sd, THRESHOLD):
        return None
    way, edge = ("below", low) if height < low else ("above", high)
    laps = flown.lap_at(index)
    return Finding(
        fault=NAME,
        laps=laps,
        size=outside / foot,
        size_sd=sd / foot,
        size_unit="ft",
        start=flown.maneuver.start,
        end=flown.maneuver.end,
        position=flown.place(index),
        consequence_ft=(height - edge) / foot,
        strength=outside / (2.0 * THRESHOLD),
        says=f"Height above the ground reached {height / foot:,.0f} ft (± {sd / foot:.0f} ft), "
        f"{outside / foot:.0f} ft {way} the band of {low / foot:,.0f} to {high / foot:,.0f} ft.",
        cure=f"Work out the altitude for {0.5 * (low + high) / foot:,.0f} ft above this ground beforehand, "
        "and be level at it when coming abeam the point.",
    )


def worst_height(flown: Flown) -> tuple[int, float, float] | None:
    """Return index, height and sd where it was farthest from the middle of the band; None if unknown [m]."""
    if flown.states.height is None or flown.states.height_sd is None:
        return None
    height, sd = flown.states.height[flown.samples], flown.states.height_sd[flown.samples]
    known = np.isfinite(height) & np.isfinite(sd) & ((flown.profile.lap > 0) | (not flown.maneuver.laps))
    if not known.any():
        return None
    low, high = band(flown)
    off = np.where(known, np.abs(height - 0.5 * (low + high)), -1.0)
    index = int(np.argmax(off))
    return index, float(height[index]), float(sd[index])
