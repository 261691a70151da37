"""Airspeed not held at that of the start."""

from __future__ import annotations

from typing import Final

from groundref.assessment.assessed import Finding
from groundref.assessment.faults.altitude_not_held import SHARE
from groundref.assessment.faults.mention import supported
from groundref.assessment.flown import Flown, feet, knots
from groundref.units import foot, knot

NAME: Final = "airspeed-not-held"
usual_tolerance: Final = 10.0 * knot  # [m s⁻¹]  FAA-S-ACS-6, PA.V.B.S7; used where the standard prints none


def find(flown: Flown) -> Finding | None:
    """Test the largest deviation from the true airspeed at the start."""
    if flown.airspeed is None:
        return None
    worst = flown.airspeed.worst
    deviation, sd = float(flown.airspeed.value[worst]), float(flown.airspeed.sd[worst])
    element = flown.element("airspeed")
    tolerance = element.limit * knot if element is not None and element.limit is not None else usual_tolerance
    if not supported(abs(deviation), sd, SHARE * tolerance):
        return None
    place, way = flown.place(worst), "faster" if deviation > 0.0 else "slower"
    laps = flown.lap_at(worst)
    # At the same bank the radius goes with the square of the airspeed.
    wider = flown.maneuver.radius * ((1.0 + deviation / flown.airspeed.reference) ** 2 - 1.0)
    return Finding(
        fault=NAME,
        laps=laps,
        size=abs(deviation) / knot,
        size_sd=sd / knot,
        size_unit="kt",
        start=flown.maneuver.start,
        end=float(flown.time[worst]),
        position=place,
        consequence_ft=wider / foot,
        strength=abs(deviation) / tolerance,
        says=f"Airspeed became {abs(deviation) / knot:.0f} kt (± {sd / knot:.0f} kt) {way} than the "
        f"{knots(flown.airspeed.reference)} true at the start{f' in lap {laps[0]}' if laps else ''}"
        f"{f', {place}' if place else ''}; {tolerance / knot:.0f} kt is the "
        f"tolerance, and at the same bank this makes the circle {feet(abs(wider))} "
        f"{'wider' if wider > 0.0 else 'tighter'}.",
        cure=_cure(deviation),
    )


def _cure(deviation: float) -> str:
    """Return what to do about being fast or slow."""
    if deviation > 0.0:
        return "Keep the nose from dropping as bank steepens, and take off the extra power as it shallows."
    return (
        "Add a little power as bank and back pressure come on; judge speed by the gauge, not by the ground."
    )
