"""A plan at a glance: the lines that an instructor wants first, on one screen."""

from __future__ import annotations

from typing import Final

import numpy as np

from groundref.planning import Plan
from groundref.planning.cautions import Caution, Weight
from groundref.reports import plan_words, words
from groundref.reports.plan_fit import fit, least_radii
from groundref.reports.plan_words import Fact
from groundref.units import degree, knot

CAUTIONS: Final = 2
"""Shown at least, where there are so many; what is more than a note is always shown."""
_AS_TOLD: Final = 0.5 * degree  # a position is named for a bank that is its own in whole degrees
_ALIKE: Final = 0.5 * knot


def glance(plan: Plan) -> list[Fact]:
    """Return what is planned, in a few lines.

    Parameters
    ----------
    plan
        What was planned.
    """
    said = dict(plan_words.entry(plan))
    return [
        ("Fit", _fit(plan)),
        *plan_words.inputs(plan)[:4],
        ("Bank", _banks(plan)),
        ("Ground speed", _speeds(plan)),
        ("Stall", _stall(plan)),
        ("Time", f"{said['Once through'].partition(',')[0]} once through; in all {said['In all']}"),
        ("Entry", _entry(plan, said)),
    ]


def first_cautions(plan: Plan) -> list[Caution]:
    """Return the cautions that stand on the first screen, most serious first.

    Parameters
    ----------
    plan
        What was planned.
    """
    serious = sum(caution.weight > Weight.NOTE for caution in plan.cautions)
    return list(plan.cautions[: max(serious, CAUTIONS)])


def _fit(plan: Plan) -> str:
    """Return whether the numbers fit together; of a rectangle what its corners need."""
    corners = plan_words.corners(plan)
    if corners:
        return _sentence("; ".join(f"{name[0].lower()}{name[1:]} {says}" for name, says in corners))
    of_fit = fit(plan)
    if plan.fit is not None and not plan.fit.works:
        # What gives way stands among the cautions.
        return " ".join([str(of_fit["verdict"]), *least_radii(plan.fit)])
    return f"{of_fit['verdict']} {of_fit['says']}"


def _banks(plan: Plan) -> str:
    """Return the steepest and the shallowest bank, each with its place where that has a name."""
    most, least = plan.extremes.bank_max, plan.extremes.bank_min
    if most - least < _AS_TOLD:
        return f"{words.degrees(most)} all the way"
    return (
        f"{words.degrees(most)} at the steepest{_where(plan, most)}, "
        f"{words.degrees(least)} at the shallowest{_where(plan, least)}"
    )


def _where(plan: Plan, bank: float) -> str:
    """Return the name of the first position with a bank, in brackets; nothing where none has it."""
    rows = plan.schedule
    off = np.where(rows.marked, np.abs(np.abs(rows.bank) - bank), np.inf)
    nearest = int(off.argmin())
    return f" ({rows.name[nearest]})" if off[nearest] < _AS_TOLD else ""


def _speeds(plan: Plan) -> str:
    slowest, fastest = plan.extremes.ground_speed_min, plan.extremes.ground_speed_max
    if plan.inputs.wind_speed == 0.0 and fastest - slowest < _ALIKE:
        return f"{words.both_speeds(fastest)} all the way, no crab"
    units = words.speed_units()
    own, other = (f"{slowest / unit:.0f} to {fastest / unit:.0f} {name}" for unit, name in units)
    return f"{own} ({other}), crab up to {words.degrees(plan.extremes.crab_max)}"


def _stall(plan: Plan) -> str:
    margins = plan.safety.margins
    return (
        f"{words.speed_between(margins.airspeed, margins.stall_speed)} above the stall where it is nearest, "
        f"{margins.load_factor:.1f} g at {words.degrees(margins.bank)}"
    )


def _entry(plan: Plan, said: dict[str, str]) -> str:
    """Return how to enter, on which track, how far abeam and with which bank."""
    way = plan.layout.entry
    parts = [f"track {said['Track']}"]
    if way.distance is not None:
        parts.append(f"{words.both_lengths(way.distance)} abeam")
    if way.bank:
        parts.append(f"roll to {plan_words.sided(way.bank)}")
    return f"{way.how} {_sentence('; '.join(parts))}"


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."
