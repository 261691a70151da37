"""Conditions under which one fault explains another."""

from __future__ import annotations

from typing import Final

import numpy as np

from groundref.assessment.assessed import Finding
from groundref.assessment.details import CourseFlown, PivotalFlown
from groundref.assessment.faults import (
    bank_over_limit,
    overbanked_upwind,
    radius_changed,
    underbanked_downwind,
    wrong_crab,
)
from groundref.assessment.faults.outside_height_band import band
from groundref.assessment.faults.settled import half_of_first_lap
from groundref.assessment.flown import Flown
from groundref.units import degree, foot, standard_gravity

drifted_share: Final = 0.8  # of the difference between legs that the drift of one must account for
enough_explained: Final = 0.5  # share of the change of speed that the change of height must account for


def speed_from_height(flown: Flown, _: Finding) -> bool:
    """Return whether the worst airspeed is what the change of height there gives, V ΔV = −g Δh.

    Half of it is enough: the rest is power, drag and the error of both.
    """
    if flown.airspeed is None or flown.altitude is None:
        return False
    worst = flown.airspeed.worst
    gained = -standard_gravity * flown.altitude.value[worst] / flown.airspeed.reference
    return bool(np.isfinite(gained) and gained / flown.airspeed.value[worst] >= enough_explained)


def entry_alone(flown: Flown, _: Finding) -> bool:
    """Return whether the distance stayed the same after half of the first lap: only the entry was off."""
    later = flown.steady & (flown.time > half_of_first_lap(flown))
    return radius_changed.change(flown, later) is None


def laps_of_one_size(flown: Flown, _: Finding) -> bool:
    """Return whether laps were of one size: one beside the point is near it and far in each."""
    between = radius_changed.between(flown, flown.steady)
    return between is None or not between.supported


def only_first_lap(_: Flown, effect: Finding) -> bool:
    """Return whether a fault was seen in the first lap alone."""
    return effect.laps == (1,)


def demanded_by_circle(flown: Flown, _: Finding) -> bool:
    """Return whether the circle flown asked for more bank than the limit."""
    return bank_over_limit.demanded(flown)


def no_more_than_over_limit(flown: Flown, effect: Finding) -> bool:
    """Return whether a bank was no more beyond what was needed than where the limit was left."""
    return not effect.size * degree > bank_over_limit.beyond_need(flown)


def beyond_circle(flown: Flown, _: Finding) -> bool:
    """Return whether more bank was flown than the limit although the circle did not ask for it."""
    return not bank_over_limit.demanded(flown)


def drifted_so_far(flown: Flown, effect: Finding) -> bool:
    """Return whether a leg drifted about as far as legs lay apart: it began at the right distance."""
    legs = flown.details.legs if isinstance(flown.details, CourseFlown) else ()
    return any(abs(wrong_crab.drift(leg)) >= drifted_share * effect.size * foot for leg in legs)


def _mean_radius(flown: Flown, laps: tuple[int, ...]) -> float:
    """Return the mean radius of some half circles [m]."""
    return float(np.mean([flown.maneuver.laps[lap - 1].radius for lap in laps]))


def small_side_alone(flown: Flown, effect: Finding) -> bool:
    """Return whether too much bank was seen only in the smaller half circles, which need it."""
    return _one_side(effect) and _mean_radius(flown, effect.laps) < flown.maneuver.radius


def wide_side_alone(flown: Flown, effect: Finding) -> bool:
    """Return whether too little bank was seen only in the wider half circles, which need no more."""
    return _one_side(effect) and _mean_radius(flown, effect.laps) > flown.maneuver.radius


def _one_side(effect: Finding) -> bool:
    return len({lap % 2 for lap in effect.laps}) == 1


def closed_by_bank(flown: Flown, _: Finding) -> bool:
    """Return whether too much bank upwind made half circles unequal, and not the other way round."""
    cause = overbanked_upwind.find(flown)
    return cause is not None and not small_side_alone(flown, cause)


def opened_by_bank(flown: Flown, _: Finding) -> bool:
    """Return whether too little bank downwind made half circles unequal, and not the other way round."""
    cause = underbanked_downwind.find(flown)
    return cause is not None and not wide_side_alone(flown, cause)


def first_half_circle(flown: Flown, effect: Finding) -> bool:
    """Return whether a fault was seen in the first half circle of S-turns alone."""
    return flown.maneuver.kind == "s-turns" and effect.laps == (1,)


def seldom_in_half_circles(flown: Flown, effect: Finding) -> bool:
    """Return whether a fault was seen in no more than half of the half circles: those of one side."""
    return flown.maneuver.kind == "s-turns" and 2 * len(effect.laps) <= len(flown.maneuver.laps)


def above_pivotal(flown: Flown, effect: Finding) -> bool:
    """Return whether height above the pivotal height alone asked for the bank beyond the limit."""
    details = flown.details
    if not isinstance(details, PivotalFlown) or details.height is None:
        return False
    inside = np.isin(flown.profile.lap, effect.laps) & (np.abs(flown.bank_flown) > flown.bank_limit)
    over = details.height[inside] - details.pivotal[inside]
    at_pivotal = np.arctan2(details.pivotal[inside], flown.profile.distance[inside])
    known = np.isfinite(over)
    return bool(known.any() and np.mean(over[known]) > 0.0 and np.all(at_pivotal[known] < flown.bank_limit))


def started_in_band(flown: Flown, _: Finding) -> bool:
    """Return whether the height at the start was inside the band, so that not holding it led outside."""
    low, high = band(flown)
    return flown.height_reference is not None and low <= flown.height_reference <= high
