"""A crab that does not hold the leg: the track runs off the side of the rectangle, or the way between."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from groundref.assessment.assessed import Finding
from groundref.assessment.details import CourseFlown, EightFlown, LegFlown
from groundref.assessment.faults.mention import laps_that_show
from groundref.assessment.flown import Flown
from groundref.assessment.said import degrees, laps_said
from groundref.measures import length
from groundref.units import degree, foot

NAME: Final = "wrong-crab"
LEAST_LEG: Final = 15.0  # [s] on a shorter one a turn's end is still being corrected
THRESHOLD: Final = 4.0 * degree  # common practice, no source: 100 ft off in 20 s of flight at 80 kt


@dataclass(frozen=True, slots=True)
class _RunOff:
    """How the legs of one name ran off their course.

    Attributes
    ----------
    name
        Of the legs.
    laps
        Numbers of the circuits or loops in which they did.
    off, sd
        How far the track ran off to one side, and its standard deviation [rad]
    side
        +1 right, −1 left.
    crab, crab_needed, crab_sd
        Nose right of the leg's direction, where it holds the leg, and its standard deviation; NaN where
        wind or heading is not known [rad]
    drifted
        How far off they came [m]
    start, end
        [s]
    """

    name: str
    laps: tuple[int, ...]
    off: float
    sd: float
    side: float
    crab: float
    crab_needed: float
    crab_sd: float
    drifted: float
    start: float
    end: float


def find(flown: Flown) -> Finding | None:
    """Test the track of each leg against the side that it should run along."""
    if not isinstance(flown.details, CourseFlown | EightFlown):
        return None
    legs = tuple(leg for leg in flown.details.legs if leg.end - leg.start >= LEAST_LEG)
    found = [_of_legs(flown, [leg for leg in legs if leg.name == name]) for name in _names(legs)]
    run_off = sorted((each for each in found if each is not None), key=lambda each: each.off, reverse=True)
    return _finding(flown, run_off[0], run_off[1:]) if run_off else None


def drift(leg: LegFlown) -> float:
    """Return how far a leg drifted off its line, right positive [m]."""
    return float(np.tan(leg.off_course) * leg.ground_speed * (leg.end - leg.start))


def _names(legs: tuple[LegFlown, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(leg.name for leg in legs))


def _of_legs(flown: Flown, legs: list[LegFlown]) -> _RunOff | None:
    """Return how the legs of one name ran off; None when they held their course."""
    side = 1.0 if sum(leg.off_course for leg in legs) > 0.0 else -1.0
    laps, off, sd = laps_that_show(
        [(leg.lap, side * leg.off_course, leg.off_course_sd) for leg in legs], THRESHOLD
    )
    if not laps:
        return None
    shown = [leg for leg in legs if leg.lap in laps]
    known = flown.wind_felt
    return _RunOff(
        name=legs[0].name,
        laps=laps,
        off=off,
        sd=sd,
        side=side,
        crab=float(np.mean([leg.crab for leg in shown])) if known else float("nan"),
        crab_needed=float(np.mean([leg.crab_needed for leg in shown])) if known else float("nan"),
        crab_sd=float(np.mean([leg.crab_sd for leg in shown])),
        drifted=float(np.mean([abs(drift(leg)) for leg in shown])),
        start=shown[0].start,
        end=shown[-1].end,
    )


def _finding(flown: Flown, most: _RunOff, others: list[_RunOff]) -> Finding:
    """Return the finding of the legs that ran off most, which names the others."""
    known = bool(np.isfinite(most.crab + most.crab_needed))
    every = [most, *others]
    return Finding(
        fault=NAME,
        laps=tuple(sorted({lap for each in every for lap in each.laps})),
        size=(abs(most.crab - most.crab_needed) if known else most.off) / degree,
        size_sd=(float(np.hypot(most.sd, most.crab_sd)) if known else most.sd) / degree,
        size_unit="deg",
        start=min(each.start for each in every),
        end=max(each.end for each in every),
        position=f"{' and '.join(each.name for each in every)} {'legs' if others else 'leg'}",
        consequence_ft=most.drifted / foot,
        consequence_sd_ft=most.drifted / foot * most.sd / most.off,
        strength=most.off / THRESHOLD,
        says=f"{laps_said(most.laps, flown.words.lap)}, {most.name} leg: {_nose(most)}the "
        f"track ran {_off(most)}, {length(most.drifted)} over the leg"
        f"{''.join(f'; so did that of the {each.name} leg, {_off(each)}' for each in others)}.",
        cure=" ".join([_cure(flown, most), *(_also(each) for each in others if _crab_known(each))]),
    )


def _off(run_off: _RunOff) -> str:
    """Say how far a track ran off, and to which side."""
    side = "right" if run_off.side > 0.0 else "left"
    return f"{degrees(run_off.off)} (± {run_off.sd / degree:.1f}°) off to the {side}"


def _nose(run_off: _RunOff) -> str:
    """Say where the nose was and where it belonged; empty where that is not known."""
    if not _crab_known(run_off):
        return ""
    was = f"{_sided(run_off.crab)} of" if _seen(run_off.crab) else "on"
    holds = f"{_sided(run_off.crab_needed)} of it" if _seen(run_off.crab_needed) else "no crab"
    return f"the nose was {was} the leg's direction where {holds} holds the leg, so "


def _crab_known(run_off: _RunOff) -> bool:
    """Return whether it is known where the nose was and where it belonged."""
    return bool(np.isfinite(run_off.crab + run_off.crab_needed))


def _seen(crab: float) -> bool:
    """Return whether a crab is any in whole degrees."""
    return round(abs(crab) / degree) > 0


def _sided(crab: float) -> str:
    """Say a crab with its side."""
    return f"{degrees(abs(crab))} {'right' if crab > 0.0 else 'left'}"


def _cure(flown: Flown, run_off: _RunOff) -> str:
    """Return what to do on the legs that ran off most."""
    marks = "the boundary" if isinstance(flown.details, CourseFlown) else "the way to the next loop"
    name, crab, needed = run_off.name, run_off.crab, run_off.crab_needed
    if not _crab_known(run_off):
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


def _also(run_off: _RunOff) -> str:
    """Return where the nose belongs on another leg."""
    return f"The {run_off.name} leg needs {_needs(run_off.crab_needed)}."


def _needs(needed: float) -> str:
    """Say the crab that a leg needs."""
    if not _seen(needed):
        return "none"
    return f"{degrees(abs(needed))} to the {'right' if needed > 0.0 else 'left'}"
