"""Legs flown at different distances from the boundary.

With the field's corners given, sides are compared with each other. Without them only the same leg of
different circuits can be: a rectangle fitted to what was flown lies in the middle of each of its sides.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from groundref.assessment.assessed import Finding
from groundref.assessment.details import CourseFlown, LegFlown
from groundref.assessment.faults.mention import supported
from groundref.assessment.flown import Flown
from groundref.assessment.said import laps_said, plus_minus
from groundref.detection.circling import POSITION_WANDER
from groundref.measures import apart, length
from groundref.units import foot

NAME: Final = "leg-distance-uneven"
THRESHOLD: Final = 400.0 * foot  # [m] between two legs; common practice, no source: a third of a quarter mile


@dataclass(frozen=True, slots=True)
class Uneven:
    """Two legs, or sides, at different distances.

    Attributes
    ----------
    near, far
        Legs at the smaller and at the larger distance.
    size, sd
        By how much they differ and its standard deviation [m]
    """

    near: tuple[LegFlown, ...]
    far: tuple[LegFlown, ...]
    size: float
    sd: float


def find(flown: Flown) -> Finding | None:
    """Test the distances of the legs against each other."""
    if not isinstance(flown.details, CourseFlown):
        return None
    uneven = widest(flown, flown.details)
    if uneven is None or not supported(uneven.size, uneven.sd, THRESHOLD):
        return None
    both = (*uneven.near, *uneven.far)
    return Finding(
        fault=NAME,
        laps=tuple(sorted({leg.lap for leg in both})),
        size=uneven.size / foot,
        size_sd=uneven.sd / foot,
        size_unit="ft",
        start=min(leg.start for leg in both),
        end=max(leg.end for leg in both),
        position=f"{uneven.far[0].name} leg",
        consequence_ft=None,
        strength=uneven.size / THRESHOLD,
        says=_says(flown, uneven),
        cure="Choose one distance from the boundary and the same sight of it on every leg; begin each turn "
        "early enough, with the bank that the ground speed asks for, to roll out at that distance.",
    )


def widest(flown: Flown, course: CourseFlown) -> Uneven | None:
    """Return the two legs, or sides, whose distances differ most; None where nothing can be compared.

    Parameters
    ----------
    flown
        The evidence.
    course
        Its legs.
    """
    names = dict.fromkeys(leg.name for leg in course.legs)
    sides = [tuple(leg for leg in course.legs if leg.name == name) for name in names]
    if flown.maneuver.reference.source == "given":
        return _between(flown, sides)
    pairs = [_between(flown, [(leg,) for leg in side]) for side in sides if len(side) > 1]
    return max((each for each in pairs if each is not None), key=lambda each: each.size, default=None)


def _between(flown: Flown, groups: list[tuple[LegFlown, ...]]) -> Uneven | None:
    if len(groups) < 2:
        return None
    ranked = sorted(groups, key=_distance)
    near, far = ranked[0], ranked[-1]
    position = float(np.nanmedian(flown.states.position_sd[flown.samples]))
    sd = float(np.sqrt(2.0) * np.hypot(position, POSITION_WANDER))
    return Uneven(near, far, _distance(far) - _distance(near), sd)


def _distance(legs: tuple[LegFlown, ...]) -> float:
    return float(np.mean([leg.distance for leg in legs]))


def _says(flown: Flown, uneven: Uneven) -> str:
    near, far = uneven.near, uneven.far
    size = f"{apart(_distance(far), _distance(near))} ({plus_minus(uneven.sd)})"
    if near[0].name == far[0].name:
        word = flown.words.lap
        return (
            f"The {far[0].name} leg was flown {size} farther out in {word} {far[0].lap} than in {word} "
            f"{near[0].lap}."
        )
    laps = laps_said(tuple(sorted({leg.lap for leg in (*near, *far)})), flown.words.lap)
    return (
        f"{laps}: the {far[0].name} leg was flown {length(_distance(far))} outside the boundary, the "
        f"{near[0].name} leg {length(_distance(near))}, a difference of {size}."
    )
