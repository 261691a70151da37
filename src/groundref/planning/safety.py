"""Whether a plan is legal and survivable: margins, heights, engine-out, quiet, light, density altitude."""

from __future__ import annotations

from dataclasses import dataclass

from groundref.mechanics import atmosphere
from groundref.planning.daylight import Daylight, daylight
from groundref.planning.engine_out import EngineOut, engine_out
from groundref.planning.heights import Heights, heights
from groundref.planning.inputs import Inputs
from groundref.planning.layout import Layout
from groundref.planning.margins import Margins, margins
from groundref.planning.quiet import Quiet, quiet
from groundref.planning.schedule import Extremes, Schedule
from groundref.planning.steepest import Steepest


@dataclass(frozen=True, slots=True)
class ThinAir:
    """The air at the maneuver's height.

    Attributes
    ----------
    altitude
        Of the maneuver above mean sea level [m]
    density_altitude
        [m]
    true_over_calibrated
        True over calibrated airspeed.
    """

    altitude: float
    density_altitude: float
    true_over_calibrated: float


@dataclass(frozen=True, slots=True)
class Safety:
    """All that was computed for safety.

    Attributes
    ----------
    margins
        From the stall, load factor and bank.
    heights
        Against the rules and the standard.
    engine_out
        Ground that can be reached gliding.
    quiet
        From a place that wants quiet; None where none is stated.
    daylight
        None where place or time is not stated.
    thin_air
        Density altitude.
    """

    margins: Margins
    heights: Heights
    engine_out: EngineOut
    quiet: Quiet | None
    daylight: Daylight | None
    thin_air: ThinAir


def safety(inputs: Inputs, steepest: Steepest, layout: Layout, schedule: Schedule, found: Extremes) -> Safety:
    """Return all that is computed for the safety of a plan.

    Parameters
    ----------
    inputs
        Of the plan, the radius filled in.
    steepest, layout
        Steepest bank of its kind; what was laid out.
    schedule, found
        Its positions and extremes.

    Raises
    ------
    NoSolutionError
        When the airspeed is below the stall with wings level.
    """
    return Safety(
        margins=margins(inputs, steepest, layout, found),
        heights=heights(inputs, found),
        engine_out=engine_out(inputs, schedule),
        quiet=quiet(inputs, layout, schedule),
        daylight=daylight(inputs, found.time),
        thin_air=_thin_air(inputs),
    )


def _thin_air(inputs: Inputs) -> ThinAir:
    altitude = inputs.elevation + inputs.height
    pressure = float(atmosphere.pressure_altitude_from_indicated(altitude, inputs.altimeter))
    return ThinAir(
        altitude=altitude,
        density_altitude=float(atmosphere.density_altitude(pressure, inputs.temperature)),
        true_over_calibrated=inputs.true_airspeed / inputs.calibrated_airspeed,
    )
