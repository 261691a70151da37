"""A plan: what should be seen and flown at each place of a maneuver, in this wind, with this airplane."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import pi, radians
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.aircraft.aircraft import Aircraft
from groundref.errors import NoSolutionError, UsageError
from groundref.planning.across_wind import wind_cautions
from groundref.planning.apart import first_radius, too_close
from groundref.planning.around import Around
from groundref.planning.asked import Blowing, Day, Wanted, Where, filled_in
from groundref.planning.cautions import Caution, cautions
from groundref.planning.document import to_dict
from groundref.planning.fit import Fit, fit, smallest_radius
from groundref.planning.heights import refuse_too_low
from groundref.planning.inputs import Inputs, geographic
from groundref.planning.kinds import lay_out_of, steepest_of
from groundref.planning.layout import Layout
from groundref.planning.offered import or_more
from groundref.planning.safety import Safety, safety
from groundref.planning.safety_cautions import safety_cautions
from groundref.planning.schedule import Extremes, Schedule, extremes, schedule
from groundref.planning.sight_picture import (
    RollIn,
    handbook_heights,
    hidden_by_wing,
    of_handbook_heights,
    roll_in,
)
from groundref.planning.steepest import Steepest
from groundref.planning.step import Step
from groundref.standards.usual import usual
from groundref.units import degree, foot, knot

STEEPEST: Final = radians(60)
"""More asks for parachutes: 14 CFR 91.307 (c)."""
PYLON_BANK: Final = radians(35)
"""Steepest bank on pylons where none is asked for: about 30 to 40° (handbook, read in a secondary copy)."""
_TURNS: Final = 2 * pi
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
    roll_in
        The way in and its roll.
    hidden
        Whether the wing hides the place flown about from the left seat, at each position, (n,).
    handbook_height
        Pivotal height by the handbook's rule at each position, (n,); None but of eights on pylons [m]
    notes
        What the reader should know of it, one plain sentence each.
    cautions
        Most serious first.
    ladder
        What was changed from the exercise before, and why, where it follows a debrief.
    """

    inputs: Inputs
    layout: Layout
    schedule: Schedule
    extremes: Extremes
    fit: Fit | None
    safety: Safety
    roll_in: RollIn
    hidden: NDArray[np.bool_]
    handbook_height: NDArray[np.float64] | None
    notes: tuple[str, ...]
    cautions: tuple[Caution, ...]
    ladder: tuple[Step, ...] = ()

    @property
    def places(self) -> tuple[NDArray[np.float64], NDArray[np.float64]] | None:
        """Latitude and longitude of each position, (n,) each; None where the origin is not known [rad]."""
        return geographic(self.inputs, self.schedule.east, self.schedule.north)

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
    steepest = steepest_of(inputs)
    radius = _radius(steepest, inputs)
    settled = replace(inputs, radius=radius)
    laid_out = lay_out(settled, radius)
    found = extremes(laid_out.pieces, settled.air)
    if found.bank_max > STEEPEST:
        raise _too_steep(steepest, settled, radius, found.bank_max)
    fitting = None if laid_out.radius is None else fit(steepest, _roomy(steepest, settled), settled, radius)
    rows = schedule(laid_out.pieces, settled.air, laid_out.places)
    safe = safety(settled, steepest, laid_out, rows, found)
    by_rule = handbook_heights(rows) if settled.kind == "eights-on-pylons" else None
    of_rule = () if by_rule is None else (of_handbook_heights(rows, by_rule),)
    return Plan(
        inputs=settled,
        layout=laid_out,
        schedule=rows,
        extremes=found,
        fit=fitting,
        roll_in=roll_in(settled, laid_out, rows),
        hidden=hidden_by_wing(settled, rows),
        handbook_height=by_rule,
        notes=laid_out.notes + of_rule,
        safety=safe,
        cautions=cautions(
            settled,
            laid_out,
            found,
            fitting,
            [*wind_cautions(settled), *safety_cautions(settled, safe, rows)],
        ),
    )


def _roomy(steepest: Steepest, inputs: Inputs) -> Steepest:
    """Return the steepest bank at the usual spacing: the same where none was asked for."""
    return steepest if inputs.spacing is None else steepest_of(replace(inputs, spacing=None))


def _radius(steepest: Steepest, inputs: Inputs) -> float:
    """Return the radius asked for, the smallest that a bank limit asked for allows, or the usual one [m]."""
    if inputs.radius is not None:
        return inputs.radius
    habit, on_pylons = usual(inputs.kind).radius, inputs.kind == "eights-on-pylons"
    # Half of a field's side is no radius that a bank asks for, and steep turns hold none.
    held = inputs.kind not in ("rectangular-course", "steep-turns")
    if not held or not (inputs.bank_limit_given or on_pylons):
        return habit
    limit = inputs.bank_limit if inputs.bank_limit_given else PYLON_BANK
    try:
        return smallest_radius(steepest, inputs.air, limit, first_radius(inputs))
    except NoSolutionError as problem:
        # Radii were tried that nobody asked for: what is wrong is told by the one needed.
        raise (too_close(inputs, limit) if inputs.spacing else None) or problem from problem


def _too_steep(steepest: Steepest, inputs: Inputs, radius: float, bank: float) -> NoSolutionError:
    """Return what is wrong with a plan steeper than anyone flies, and the nearest one that works."""
    widest = smallest_radius(steepest, inputs.air, inputs.bank_limit, radius)
    return NoSolutionError(
        f"a radius of {radius / foot:,.0f} ft needs {bank / degree:.0f}° of bank at "
        f"{inputs.true_airspeed / knot:.0f} kt true in {inputs.wind_speed / knot:.0f} kt of wind, and more "
        "than 60° is no training maneuver",
        "radius",
        f"fly {or_more(_up(widest / foot) * foot)}, which needs {inputs.bank_limit / degree:.0f}°"
        if widest <= _RADII[1]
        else "wait for less wind or fly slower: no radius that can be told from the cockpit works",
    )


def _up(feet: float) -> int:
    return int(-(-feet // 10) * 10)


def _airspeed(inputs: Inputs) -> float:
    """Return the airspeed that is held against its limits: either one within them is taken, as asked for."""
    low, high = sorted((inputs.calibrated_airspeed, inputs.true_airspeed))
    return low if high > 250 * knot else high


def _check(inputs: Inputs) -> None:
    """Refuse what lies out of range, and what is no number at all."""
    ranges: Sequence[tuple[float | None, float, float, str, str]] = (
        (_airspeed(inputs), 30 * knot, 250 * knot, "airspeed", "30 to 250 kt"),
        (inputs.radius, *_RADII, "radius", "200 to 16,000 ft"),
        (inputs.height, 200 * foot, 10_000 * foot, "height", "200 to 10,000 ft above the ground"),
        (inputs.laps, 0.25, 100, "laps", "0.25 to 100"),
        (inputs.bank_limit, 5 * degree, 60 * degree, "bank limit", "5 to 60°"),
        (inputs.wind_speed, 0.0, 200 * knot, "wind", "0 to 200 kt"),
        (inputs.wind_from, -_TURNS, _TURNS, "wind", "a direction"),
        (inputs.gust, 0.0, 200 * knot, "wind", "gusts of 0 to 200 kt more"),
        (inputs.spacing, 200 * foot, 40_000 * foot, "spacing", "200 to 40,000 ft"),
        (inputs.course, -_TURNS, _TURNS, "course", "a direction"),
        (inputs.elevation, -2000 * foot, 15_000 * foot, "elevation", "−2,000 to 15,000 ft"),
        (inputs.temperature, 200.0, 340.0, "temperature", "−73 to 66 °C"),
        (inputs.altimeter, 85_000.0, 109_000.0, "altimeter setting", "850 to 1,090 hPa"),
        (inputs.variation, -_TURNS, _TURNS, "variation", "−180 to 180°"),
        (inputs.latitude, -0.25 * _TURNS, 0.25 * _TURNS, "point", "−90 to 90° of latitude"),
        (inputs.longitude, -_TURNS, _TURNS, "point", "−180 to 180° of longitude"),
    )
    for value, low, high, where, words in ranges:
        if value is not None and not low <= value <= high:
            raise UsageError(f"the {where} is out of range", where, f"choose {words}")
    if inputs.wind_speed >= inputs.true_airspeed:
        raise NoSolutionError(
            f"a wind of {inputs.wind_speed / knot:.0f} kt is not less than the true airspeed of "
            f"{inputs.true_airspeed / knot:.0f} kt, so the airplane cannot come back upwind",
            "wind",
            f"wait for less wind, or fly faster than {inputs.wind_speed / knot:.0f} kt true",
        )
