"""What a standard limits in a rectangular course: the angle of the entry, the distance of the legs."""

from __future__ import annotations

import numpy as np

from groundref.assessment.details import CourseFlown
from groundref.assessment.faults.entry_angle import ANGLE
from groundref.assessment.flown import Flown
from groundref.assessment.measured import Measured
from groundref.detection.circling import POSITION_WANDER
from groundref.units import degree


def entry_angle(flown: Flown) -> Measured | None:
    """Return how far the angle of the entry was off the one asked for; None when it was not recorded."""
    if not isinstance(flown.details, CourseFlown):
        return None
    element = flown.element("entry-angle")
    target = ANGLE if element is None or element.target is None else element.target * degree
    off, sd = abs(flown.details.entry_angle - target), flown.details.entry_angle_sd
    return Measured(np.array([off]), np.array([sd]), np.array([flown.maneuver.entry.turn_time]))


def leg_distance(flown: Flown) -> Measured | None:
    """Return how far the legs were off their mean distance; None where the field was not given."""
    if not isinstance(flown.details, CourseFlown) or flown.maneuver.reference.source != "given":
        return None
    legs = flown.details.legs
    distance = np.array([leg.distance for leg in legs])
    position = float(np.nanmedian(flown.states.position_sd[flown.samples]))
    sd = np.full(distance.size, np.hypot(position, POSITION_WANDER))
    return Measured(
        np.abs(distance - distance.mean()), sd, np.array([0.5 * (leg.start + leg.end) for leg in legs])
    )
