"""A plan: what should be seen and flown at each place of a maneuver, in this wind, with this airplane."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import radians
from typing import Final

from groundref.aircraft.aircraft import Aircraft
from groundref.errors import NoSolutionError, UsageError
from groundref.planning.around import Around
from groundref.planning.asked import Blowing, Day, Wanted, Where, filled_in
from groundref.planning.cautions import Caution, cautions
from groundref.planning.document import to_dict
from groundref.planning.fit import Fit, fit, smallest_radius
from groundref.planning.heights import refuse_too_low
from groundref.planning.inputs import Inputs
from groundref.planning.kinds import lay_out_of
from groundref.planning.layout import LayOut, Layout
from groundref.planning.safety import Safety, safety
from groundref.planning.safety_cautions import safety_cautions
from groundref.planning.schedule import Extremes, Schedule, extremes, schedule
from groundref.standards.usual import usual
from groundref.units import degree, foot, knot

STEEPEST: Final = radians(60)
"""More asks for parachutes: 14 CFR 91.307 (c)."""
PYLON_BANK: Final = radians(35)
"""Steepest bank on pylons where none is asked for: about 30 to 40° (handbook, read in a secondary copy)."""
_RADII: Final = (200 * foot, 16_000 * foot)


@dataclass(frozen=True, slots=True)
class Plan:
    """A maneuver planned.

    Attributes
    ----------
    inputs
        Everything it was made from, the radius filled in.
    layout
        How it lies over the ground.
    schedule
        Position by position, once through.
    extremes
        Its steepest and shallowest bank, fastest and slowest ground speed, and so on.
    fit
        How airspeed, radius and bank limit fit together; None where no radius is held.
    safety
        Whether it is legal and survivable.
    cautions
        Most serious first.
    """

    inputs: Inputs
    layout: Layout
    schedule: Schedule
    extremes: Extremes
    fit: Fit | None
    safety: Safety
    cautions: tuple[Caution, ...]

    def to_dict(self) -> dict[str, object]:
        """Return the plan JSON of the contract."""
        return to_dict(self)


def plan(
    maneuver: str,
    *,
    aircraft: Aircraft | str | None = None,
    wind: Blowing | None = None,
    wanted: Wanted | None = None,
    day: Day | None = None,
    where: Where | None = None,
    around: Around | None = None,
    standard: str = "private-pilot",
) -> Plan:
    """Plan a maneuver for today's wind and this airplane.

    Parameters
    ----------
    maneuver
        Its kind, such as `turns-around-a-point`.
    aircraft
        An airplane, its name or its file.
    wind
        At the maneuver's height.
    wanted
        Airspeed, radius or bank limit, height, direction, laps.
    day
        Elevation, temperature, altimeter setting.
    where
        Place, variation and time.
    around
        Surroundings, landing place, place that wants quiet.
    standard
        Name or file of the standard to plan by.

    Raises
    ------
    UsageError
        When a name is unknown or a value out of range.
    NoSolutionError
        When nothing of the kind can be flown so; the message names the nearest plan that works.
    InputError
        When a file cannot be read.
    """
    return make(
        filled_in(
            maneuver,
            aircraft=aircraft,
            wind=wind,
            wanted=wanted,
            day=day,
            where=where,
            around=around,
            standard=standard,
        )
    )


def make(inputs: Inputs) -> Plan:
    """Return the plan for some inputs.

    Parameters
    ----------
    inputs
        Everything it is made from.

    Raises
    ------
    UsageError
        When a value lies out of range.
    NoSolutionError
        When nothing of the kind can be flown so; the message names the nearest plan that works.
    """
    lay_out = lay_out_of(inputs.kind)
    _check(inputs)
    refuse_too_low(inputs)
    radius = _radius(lay_out, inputs)
    settled = replace(inputs, radius=radius)
    laid_out = lay_out(settled, radius)
    found = extremes(laid_out.pieces, settled.air)
    if found.bank_max > STEEPEST:
        raise _too_steep(lay_out, settled, radius, found.bank_max)
    fitting = None if laid_out.radius is None else fit(lay_out, settled, radius)
    positions = schedule(laid_out.pieces, settled.air, laid_out.places)
    safe = safety(settled, lay_out, laid_out, positions, found)
    return Plan(
        inputs=settled,
        layout=laid_out,
        schedule=positions,
        extremes=found,
        fit=fitting,
        safety=safe,
        cautions=cautions(settled, laid_out, found, fitting, safety_cautions(settled, safe, positions)),
    )


def _radius(lay_out: LayOut, inputs: Inputs) -> float:
    """Return the radius asked for, the smallest that a bank limit asked for allows, or the usual one [m]."""
    if inputs.radius is not None:
        return inputs.radius
    habit = usual(inputs.kind).radius
    if inputs.bank_limit_given:
        return smallest_radius(lay_out, inputs, inputs.bank_limit, habit)
    if inputs.kind == "eights-on-pylons":
        return smallest_radius(lay_out, inputs, PYLON_BANK, habit)
    return habit


def _too_steep(lay_out: LayOut, inputs: Inputs, radius: float, bank: float) -> NoSolutionError:
    """Return what is wrong with a plan steeper than anyone flies, and the nearest one that works."""
    widest = smallest_radius(lay_out, inputs, inputs.bank_limit, radius)
    return NoSolutionError(
        f"a radius of {radius / foot:,.0f} ft needs {bank / degree:.0f}° of bank at "
        f"{inputs.true_airspeed / knot:.0f} kt true in {inputs.wind_speed / knot:.0f} kt of wind, and more "
        "than 60° is no training maneuver",
        "radius",
        f"fly {_up(widest / foot):,} ft or more, which needs {inputs.bank_limit / degree:.0f}°",
    )


def _up(feet: float) -> int:
    return int(-(-feet // 10) * 10)


def _check(inputs: Inputs) -> None:
    """Refuse what lies out of range."""
    ranges: Sequence[tuple[float | None, float, float, str, str]] = (
        (inputs.true_airspeed, 30 * knot, 250 * knot, "airspeed", "30 to 250 kt true"),
        (inputs.radius, *_RADII, "radius", "200 to 16,000 ft"),
        (inputs.height, 200 * foot, 10_000 * foot, "height", "200 to 10,000 ft above the ground"),
        (inputs.laps, 0.25, 100, "laps", "0.25 to 100"),
        (inputs.bank_limit, 5 * degree, 60 * degree, "bank limit", "5 to 60°"),
        (inputs.wind_speed, 0.0, 200 * knot, "wind", "0 to 200 kt"),
    )
    for value, low, high, where, words in ranges:
        if value is not None and not low <= value <= high:
            raise UsageError(f"the {where} is out of range", where, f"choose {words}")
    if inputs.wind_speed >= inputs.true_airspeed:
        raise NoSolutionError(
            f"a wind of {inputs.wind_speed / knot:.0f} kt is not less than the true airspeed of "
            f"{inputs.true_airspeed / knot:.0f} kt, so the airplane cannot come back upwind",
            "wind",
            "wait for less wind",
        )
