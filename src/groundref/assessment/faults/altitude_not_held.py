"""Altitude not held at that of the start."""

from __future__ import annotations

from typing import Final

from groundref.assessment.assessed import Finding
from groundref.assessment.faults.mention import supported
from groundref.assessment.flown import Flown
from groundref.units import foot

NAME: Final = "altitude-not-held"
SHARE: Final = 0.75  # of the tolerance, from where an instructor speaks up; common practice, no source
usual_tolerance: Final = 100.0 * foot  # [m]  FAA-S-ACS-6, PA.V.B.S7; used where the standard prints none


def find(flown: Flown) -> Finding | None:
    """Test the largest deviation from the altitude at the start."""
    if flown.altitude is None:
        return None
    worst = flown.altitude.worst
    deviation, sd = float(flown.altitude.value[worst]), float(flown.altitude.sd[worst])
    element = flown.element("altitude")
    tolerance = element.limit * foot if element is not None and element.limit is not None else usual_tolerance
    if not supported(abs(deviation), sd, SHARE * tolerance):
        return None
    place, way = flown.place(worst), "above" if deviation > 0.0 else "below"
    laps = flown.lap_at(worst)
    return Finding(
        fault=NAME,
        laps=laps,
        size=abs(deviation) / foot,
        size_sd=sd / foot,
        size_unit="ft",
        start=flown.maneuver.start,
        end=float(flown.time[worst]),
        position=place,
        consequence_ft=deviation / foot,
        strength=abs(deviation) / tolerance,
        says=f"Altitude went {abs(deviation) / foot:.0f} ft (± {sd / foot:.0f} ft) {way} that of the start"
        f"{f' in lap {laps[0]}' if laps else ''}{f', {place}' if place else ''}; "
        f"{tolerance / foot:.0f} ft is the tolerance.",
        cure=_cure(flown, worst, deviation < 0.0),
    )


def _cure(flown: Flown, worst: int, low: bool) -> str:
    """Return what to do about being high or low, by whether that was where the bank was steep."""
    bank = float("nan") if flown.bank is None else float(flown.bank.value[worst])
    return f"{_CURES[low, bool(bank > 0.0)]}, and glance at the altimeter at every quarter of the circle."


_CURES: Final = {
    (True, True): "As bank steepens, add back pressure and a little power before the nose drops",
    (True, False): "Set the level attitude anew whenever the bank changes, shallow or steep",
    (False, True): "Add only the back pressure that the bank needs, and take power off before climbing",
    (False, False): "As bank shallows, let back pressure and extra power go in the same measure",
}
