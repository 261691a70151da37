"""Altitude not held at that of the start."""

from __future__ import annotations

from typing import Final

from groundref.assessment.assessed import Finding
from groundref.assessment.faults.not_held import (
    SHARE,
    beside_limit,
    compared_with,
    strength_of,
    tolerance_of,
    where,
    worst_of,
)
from groundref.assessment.flown import Flown
from groundref.assessment.said import plus_minus
from groundref.measures import length, stated_length
from groundref.units import foot

NAME: Final = "altitude-not-held"
usual_tolerance: Final = 100.0 * foot  # [m]  FAA-S-ACS-6, PA.V.B.S7; used where the standard prints none


def find(flown: Flown) -> Finding | None:
    """Test the deviations from the altitude at the start."""
    if flown.altitude is None:
        return None
    element = flown.element("altitude")
    tolerance = tolerance_of(element, usual_tolerance, foot)
    worst = worst_of(flown, flown.altitude.value, flown.altitude.sd, tolerance, SHARE * tolerance)
    if worst is None:
        return None
    deviation, sd = float(flown.altitude.value[worst.at]), float(flown.altitude.sd[worst.at])
    limit = stated_length(tolerance)
    return Finding(
        fault=NAME,
        laps=worst.laps,
        size=abs(deviation) / foot,
        size_sd=sd / foot,
        size_unit="ft",
        start=worst.start,
        end=worst.end,
        position=worst.place,
        consequence_ft=deviation / foot,
        consequence_sd_ft=sd / foot,
        strength=strength_of(abs(deviation), sd, tolerance, worst.verdict),
        says=f"Altitude went {length(abs(deviation))} ({plus_minus(sd)}) "
        f"{'above' if deviation > 0.0 else 'below'} {compared_with(flown.altitude)}{where(flown, worst)}; "
        f"{beside_limit(limit, worst.verdict, element, beyond=abs(deviation) > tolerance)}.",
        cure=_cure(flown, worst.at, deviation < 0.0),
    )


def _cure(flown: Flown, worst: int, low: bool) -> str:
    """Return what to do about being high or low, by whether that was where the bank was steep."""
    bank = float("nan") if flown.bank is None else float(flown.bank.value[worst])
    when = _WHEN.get(flown.maneuver.kind, _EVERY_QUARTER)
    return f"{_CURES[low, bool(bank > 0.0)]}, and glance at the altimeter {when}."


_EVERY_QUARTER: Final = "at every quarter of the circle"
_WHEN: Final = {
    "s-turns": "at every crossing of the line and half way round each half circle",
    "rectangular-course": "on every leg and after every turn",
    "steep-turns": "at every 90° of the turn",
}
_CURES: Final = {
    (True, True): "As bank steepens, add back pressure and a little power before the nose drops",
    (True, False): "Set the level attitude anew whenever the bank changes, shallow or steep",
    (False, True): "Add only the back pressure that the bank needs, and take power off before climbing",
    (False, False): "As bank shallows, let back pressure and extra power go in the same measure",
}
