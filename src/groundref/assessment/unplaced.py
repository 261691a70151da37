"""What cannot be told where nobody gave the place: errors not looked for, distances with no middle."""

from __future__ import annotations

from groundref.assessment.details import CourseFlown
from groundref.assessment.faults import bank_held_constant
from groundref.assessment.flown import Flown
from groundref.detection.maneuver import ARCS

_EIGHTS = tuple(kind for kind in ARCS if kind.startswith("eights"))


def not_looked_for(flown: Flown) -> tuple[str, ...]:
    """Return which kinds of error could not be looked for as a place was not given, with what to give.

    Parameters
    ----------
    flown
        The evidence.
    """
    if flown.poor or flown.maneuver.reference.source == "given":
        return ()
    if not isinstance(flown.details, CourseFlown):
        return ()
    several = len({leg.lap for leg in flown.details.legs}) > 1
    but = "; only the same leg of different circuits was compared" if several else ""
    return (
        "Not looked for: legs at uneven distances from the field, which cannot be told without its four "
        f"corners (--corners){but}.",
    )


def moving(flown: Flown) -> bool:
    """Return whether circles moved with the wind, so that what was fitted to them is no one middle.

    A point or a pylon that was given stays where it is, and distances from it are what they are.

    Parameters
    ----------
    flown
        The evidence.
    """
    m = flown.maneuver
    if m.kind not in ARCS or (m.reference.source == "given" and m.reference.type in ("point", "pylons")):
        return False
    return m.drifts or bank_held_constant.find(flown) is not None


def moved_note(flown: Flown) -> str:
    """Return that the geometry of eights is not to be relied on; empty where it is."""
    if flown.poor or flown.maneuver.kind not in _EIGHTS or not moving(flown):
        return ""
    what = "the pylons" if flown.maneuver.reference.type == "pylons" else "the road"
    return (
        f"Bank was held and the loops moved with the wind: {what}, the middles of the loops and where one "
        "ends are the best fit to a path that had none, and are not to be relied on; nor is the number of "
        "eights."
    )
