"""The plan that works in place of one that should not be flown so, in one line."""

from __future__ import annotations

from dataclasses import replace

from groundref.errors import NoSolutionError, UsageError
from groundref.planning import Plan
from groundref.planning.fit import CEILING, TOLERANCE
from groundref.planning.planned import make
from groundref.reports import words
from groundref.reports.figures.planned_stop import stopped


def instead(plan: Plan) -> str:
    """Return radius, bank and ground speed of the wider plan; empty where width alone does not mend it.

    Parameters
    ----------
    plan
        What was planned.

    Notes
    -----
    The radius is the least that keeps the limit planned with, and 45° at most. The wider plan is made in full
    and offered only where no caution stops it.
    """
    found = plan.fit
    if found is None or not stopped(plan):
        return ""
    limit = min(found.bank_limit, CEILING)
    radius = found.radius_needed if found.bank_limit <= CEILING + TOLERANCE else found.radius_at_ceiling
    if radius <= found.radius:
        return ""
    try:
        wider = make(replace(plan.inputs, radius=radius, bank_limit=limit))
    except (NoSolutionError, UsageError):
        return ""
    if stopped(wider):
        return ""
    slow, fast = (
        words.speed(wider.extremes.ground_speed_min),
        words.speed(wider.extremes.ground_speed_max),
    )
    bank = words.degrees(wider.extremes.bank_max)
    return (
        f"The plan that works: radius {words.length(radius)}, bank up to {bank}, "
        f"ground speed {slow} to {fast}."
    )
