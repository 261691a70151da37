"""What to look for in a maneuver and its common errors, with the plan's numbers filled in."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any

from groundref.planning import Plan
from groundref.reports import plan_words, words


def look_for(plan: Plan) -> list[str]:
    """Return what to look for, the most useful first.

    Parameters
    ----------
    plan
        What was planned.
    """
    figures = numbers(plan)
    return [each.format_map(figures) for each in _by_wind(plan, "look")]


def errors(plan: Plan) -> list[dict[str, str]]:
    """Return the common errors and their cures, the likeliest first.

    Parameters
    ----------
    plan
        What was planned.
    """
    figures, kind = numbers(plan), plan.inputs.kind
    said = [table("errors")[name] for name in _by_wind(plan, "errors")]
    in_calm = [one.get("calm", one) if plan_words.calm(plan) else one for one in said]
    return [
        {part: one.get(kind, one)[part].format_map(figures) for part in ("see", "cure")} for one in in_calm
    ]


def _by_wind(plan: Plan, what: str) -> list[str]:
    """Return what is said of the kind, in a calm what is said of it then."""
    said = table("kinds")[plan.inputs.kind]
    return list(said.get(f"{what}_calm", said[what]) if plan_words.calm(plan) else said[what])


@cache
def table(name: str) -> dict[str, Any]:
    """Return one of the tables of texts beside this module."""
    return tomllib.loads(files(__package__).joinpath(f"{name}.toml").read_text("utf-8"))


def numbers(plan: Plan) -> dict[str, str]:
    """Return the plan's figures under the names that the texts use."""
    found, given, roll, entry = plan.extremes, plan.inputs, plan.roll_in, plan.layout.entry
    return {
        "bank_max": words.degrees(found.bank_max),
        "bank_min": words.degrees(found.bank_min),
        "crab_max": words.degrees(found.crab_max),
        "height_max": words.length(found.height_max),
        "height_min": words.length(found.height_min),
        "limit": words.degrees(given.bank_limit),
        "speed": words.speed(given.calibrated_airspeed),
        "altitude": words.length(given.elevation + given.height),
        "distance": words.length(entry.distance),
        "depression": words.degrees(roll.depression),
        "lead": "just" if roll.lead_time is None else f"{roll.lead_time:.1f} s",
        "entry_heading": plan_words.direction(plan, roll.heading),
    }
