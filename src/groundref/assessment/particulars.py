"""Which kind of maneuver has particulars, and what works them out."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from groundref.assessment import course
from groundref.assessment.assessed import Profile
from groundref.assessment.details import Details
from groundref.assessment.eight_flown import eight_flown
from groundref.assessment.line_flown import line_flown
from groundref.assessment.pivotal import pivotal_flown
from groundref.assessment.steep import steep_flown
from groundref.detection.maneuver import Maneuver
from groundref.estimation.states import States

Work = Callable[[States, Maneuver, Profile], Details]

PARTICULARS: Final[Mapping[str, Work]] = {
    "s-turns": line_flown,
    "eights-along-a-road": eight_flown,
    "eights-across-a-road": eight_flown,
    "eights-around-pylons": eight_flown,
    "eights-on-pylons": pivotal_flown,
    "rectangular-course": course.course_flown,
    "steep-turns": steep_flown,
}


def particulars(states: States, maneuver: Maneuver, profile: Profile) -> Details | None:
    """Return what is particular to the kind of a maneuver; None where nothing is.

    Parameters
    ----------
    states, maneuver, profile
        What was flown.
    """
    work = PARTICULARS.get(maneuver.kind)
    return None if work is None else work(states, maneuver, profile)
