"""A crab that does not hold the leg: the track runs off the side of the rectangle, or the way between."""

from __future__ import annotations

from typing import Final

import numpy as np

from groundref.assessment.assessed import Finding
from groundref.assessment.details import CourseFlown, EightFlown, LegFlown
from groundref.assessment.faults.mention import laps_that_show
from groundref.assessment.flown import Flown
from groundref.assessment.said import degrees, feet, laps_said
from groundref.units import degree, foot

NAME: Final = "wrong-crab"
LEAST_LEG: Final = 15.0  # [s] on a shorter one a turn's end is still being corrected
THRESHOLD: Final = 4.0 * degree  # common practice, no source: 100 ft off in 20 s of flight at 80 kt


def find(flown: Flown) -> Finding | None:
    """Test the track of each leg against the side that it should run along."""
    if not isinstance(flown.details, CourseFlown | EightFlown):
        return None
    legs = tuple(leg for leg in flown.details.legs if leg.end - leg.start >= LEAST_LEG)
    found = [_of_legs(flown, [leg for leg in legs if leg.name == name]) for name in _names(legs)]
    return max((each for each in found if each is not None), key=lambda each: each.strength, default=None)


def drift(leg: LegFlown) -> float:
    """Return how far a leg drifted off its line, right positive [m]."""
    return float(np.tan(leg.off_course) * leg.ground_speed * (leg.end - leg.start))


def _names(legs: tuple[LegFlown, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(leg.name for leg in legs))


def _of_legs(flown: Flown, legs: list[LegFlown]) -> Finding | None:
    """Return the finding about the legs of one name; None when they held their course."""
    side = 1.0 if sum(leg.off_course for leg in legs) > 0.0 else -1.0
    laps, off, sd = laps_that_show(
        [(leg.lap, side * leg.off_course, leg.off_course_sd) for leg in legs], THRESHOLD
    )
    if not laps:
        return None
    shown = [leg for leg in legs if leg.lap in laps]
    crab = float(np.mean([leg.crab for leg in shown]))
    needed = float(np.mean([leg.crab_needed for leg in shown]))
    known = bool(np.isfinite(crab + needed)) and flown.wind_felt
    size = abs(crab - needed) if known else off
    size_sd = float(np.hypot(sd, np.mean([leg.crab_sd for leg in shown]))) if known else sd
    drifted = float(np.mean([abs(drift(leg)) for leg in shown]))
    where = "right" if side > 0.0 else "left"
    return Finding(
        fault=NAME,
        laps=laps,
        size=size / degree,
        size_sd=size_sd / degree,
        size_unit="deg",
        start=shown[0].start,
        end=shown[-1].end,
        position=f"{legs[0].name} leg",
        consequence_ft=drifted / foot,
        consequence_sd_ft=drifted / foot * sd / off,
        strength=off / THRESHOLD,
        says=f"{laps_said(laps, flown.words.lap)}, {legs[0].name} leg: {_nose(crab, needed, known=known)}the "
        f"track ran {degrees(off)} (± {sd / degree:.1f}°) off to the {where}, {feet(drifted)} over the leg.",
        cure=_cure(flown, legs[0].name, crab, needed, known=known),
    )


def _nose(crab: float, needed: float, *, known: bool) -> str:
    """Say where the nose was and where it belonged."""
    if not known:
        return ""
    return f"the nose was {_sided(crab)} of the leg's direction where {_sided(needed)} holds it, so "


def _sided(crab: float) -> str:
    """Say a crab with its side."""
    return f"{degrees(abs(crab))} {'right' if crab > 0.0 else 'left'}"


def _cure(flown: Flown, name: str, crab: float, needed: float, *, known: bool) -> str:
    marks = "the boundary" if isinstance(flown.details, CourseFlown) else "the way to the next loop"
    if not known:
        return (
            f"On the {name} leg pick two marks along {marks}, and turn the nose until the track holds "
            "them in line."
        )
    if abs(needed) < 2.0 * degree:
        return f"On the {name} leg the wind is along it: roll out with the nose on the leg's direction."
    more = "more" if abs(crab) < abs(needed) or crab * needed < 0.0 else "less"
    return (
        f"Roll out onto the {name} leg with {degrees(abs(needed))} of crab to the "
        f"{'right' if needed > 0.0 else 'left'}, {more} than was flown, then watch {marks} and correct "
        "by a few degrees as soon as the airplane leaves it."
    )
