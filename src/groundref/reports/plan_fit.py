"""Whether airspeed, radius and bank fit together, in one or two sentences: what gives way."""

from __future__ import annotations

from typing import Final

from groundref.planning import Plan
from groundref.planning.fit import CEILING, LOOKED, TEACHING, TOLERANCE, Fit
from groundref.reports import words

_NO_RADIUS: Final = {
    "rectangular-course": "The corners take their radius from the bank limit; the legs have a distance."
}


def fit(plan: Plan) -> dict[str, object]:
    """Return the verdict in a few words, and the sentence about it.

    Parameters
    ----------
    plan
        What was planned.
    """
    found = plan.fit
    if found is None:
        most = words.degrees(plan.extremes.bank_max)
        return {
            "works": True,
            "verdict": f"The steepest bank is {most}.",
            "says": _NO_RADIUS.get(plan.inputs.kind, "No radius is held over the ground here."),
        }
    triple = (
        f"{words.speed(plan.inputs.true_airspeed)} true, {words.length(found.radius)}, "
        f"{words.degrees(found.bank_limit)} of bank"
    )
    verdict = f"{triple}: {'they fit' if found.works else 'they do not fit'}."
    return {"works": found.works, "verdict": verdict, "says": " ".join(_said(plan, found))}


def _said(plan: Plan, found: Fit) -> list[str]:
    needed, still = words.degrees(found.bank_needed), words.degrees(found.bank_needed_still)
    calm = plan.inputs.wind_speed == 0.0
    said = [f"This radius needs {still} in still air."]
    if not calm:
        said = [f"This radius needs {needed} in this wind, {still} in still air."]
    if not found.works:
        said.append(
            f"The radius gives way: fly {words.length(found.radius_needed)}, "
            f"{words.length(found.wider)} wider, not steeper"
            + ("." if calm else f" ({words.length(found.radius_needed_still)} in still air).")
        )
    elif found.wind_limit is not None:
        more = " or more" if found.wind_limit >= LOOKED * plan.inputs.true_airspeed else ""
        whence = "" if calm else " from this direction"
        said.append(f"It works up to {words.speed(found.wind_limit)}{more} of wind{whence}.")
    return [*said, *least_radii(found)]


def least_radii(found: Fit) -> list[str]:
    """Return the least radius with other banks than the limit planned with, as a sentence; none without them.

    Parameters
    ----------
    found
        Of the plan.
    """
    others = [
        f"{words.degrees(limit)}{whose} {words.length(radius)}"
        for limit, whose, radius in (
            (TEACHING, ", often taught,", found.radius_at_teaching),
            (CEILING, ", the handbook’s ceiling,", found.radius_at_ceiling),
        )
        if abs(limit - found.bank_limit) > TOLERANCE
    ]
    return [f"Least radius with {words.listed(others)}."] if others else []
