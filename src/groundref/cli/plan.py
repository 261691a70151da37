"""``groundref plan``: what to expect at each place of a maneuver, in today's wind, with this airplane."""

from __future__ import annotations

from math import radians
from typing import TYPE_CHECKING, Annotated

from groundref.cli import options
from groundref.cli.destinations import check_destinations
from groundref.units import celsius_zero, degree, foot, inch_hg, knot

if TYPE_CHECKING:
    from groundref.planning import Plan


def plan(
    maneuver: str,
    /,
    *,
    aircraft: Annotated[str | None, options.taking("NAME|FILE")] = None,
    ias_kt: Annotated[float | None, options.taking("N")] = None,
    tas_kt: Annotated[float | None, options.taking("N")] = None,
    wind: Annotated[str | None, options.taking("FROM/KT")] = None,
    radius_ft: Annotated[float | None, options.taking("N")] = None,
    max_bank_deg: Annotated[float | None, options.taking("N")] = None,
    height_ft: Annotated[float | None, options.taking("N")] = None,
    direction: Annotated[str, options.taking("left|right")] = "left",
    laps: Annotated[float | None, options.taking("N")] = None,
    course_deg: Annotated[float | None, options.taking("N")] = None,
    spacing_ft: Annotated[float | None, options.taking("N")] = None,
    elevation_ft: Annotated[float | None, options.taking("N")] = None,
    oat_c: Annotated[float | None, options.taking("N")] = None,
    altimeter_inhg: Annotated[float | None, options.taking("N")] = None,
    point: Annotated[str | None, options.taking("LAT,LON")] = None,
    standard: Annotated[str, options.taking("NAME|FILE")] = "private-pilot",
    json: Annotated[str | None, options.taking("FILE|-")] = None,
) -> None:
    """Plan a maneuver for today's wind and this airplane.

    Parameters
    ----------
    maneuver
        turns-around-a-point, s-turns, rectangular-course, eights-along-a-road, eights-across-a-road,
        eights-around-pylons, eights-on-pylons or steep-turns.
    aircraft
        Name of an airplane or your own .toml file.
    ias_kt
        Indicated airspeed, taken as calibrated; the airplane's practice speed unless given.
    tas_kt
        True airspeed.
    wind
        Wind at the maneuver's height as direction from in degrees true / knots.
    radius_ft
        Radius over the ground; with --max-bank-deg as well, whether both fit is said.
    max_bank_deg
        Bank not to exceed; without --radius-ft the smallest radius that it allows is planned. Of steep turns
        the bank to hold.
    height_ft
        Height above the ground.
    direction
        Direction of the first turn.
    laps
        Laps, half circles, eights of two loops each, circuits or turns.
    course_deg
        Direction of the line or road, of the first leg, or of the line between the pylons, degrees true.
    spacing_ft
        Distance between the pylons or the middles of the loops, or the rectangle's longer side.
    elevation_ft
        Elevation of the ground above mean sea level.
    oat_c
        Outside air temperature at the maneuver's height.
    altimeter_inhg
        Altimeter setting.
    point
        The point, or the middle of the line, the rectangle or between the pylons, as latitude,longitude.
    standard
        Standard to plan by.
    json
        Write the plan as JSON to this file; - is standard output, and then nothing else goes there.
    """
    check_destinations([json], others=[aircraft])
    from groundref import export, writing
    from groundref.planning import Blowing, Day, Wanted, Where
    from groundref.planning import plan as make

    blowing = None
    if wind is not None:
        options.wind_velocity(wind)  # refuses what is not one
        said_from, said_speed = wind.lower().removesuffix("kt").split("/")
        blowing = Blowing(float(said_speed) * knot, radians(float(said_from)))
    place = None if point is None else options.point(point)
    made = make(
        maneuver,
        aircraft=aircraft,
        wind=blowing,
        wanted=Wanted(
            calibrated_airspeed=_si(ias_kt, knot, 30, 250, "--ias-kt"),
            true_airspeed=_si(tas_kt, knot, 30, 250, "--tas-kt"),
            radius=_si(radius_ft, foot, 200, 16000, "--radius-ft"),
            bank_limit=_si(max_bank_deg, degree, 5, 60, "--max-bank-deg"),
            height=_si(height_ft, foot, 200, 10000, "--height-ft"),
            direction=direction,
            laps=_si(laps, 1.0, 0.25, 100, "--laps"),
            course=_si(course_deg, degree, 0, 360, "--course-deg"),
            spacing=_si(spacing_ft, foot, 200, 40000, "--spacing-ft"),
        ),
        day=Day(
            elevation=_si(elevation_ft, foot, -2000, 15000, "--elevation-ft"),
            temperature=None if oat_c is None else options.within(oat_c, -60, 60, "--oat-c") + celsius_zero,
            altimeter=_si(altimeter_inhg, inch_hg, 25, 32, "--altimeter-inhg"),
        ),
        where=Where() if place is None else Where(latitude=place[0], longitude=place[1]),
        standard=standard,
    )
    if json:
        writing.write(json, export.to_json(made.to_dict()))
    if json != "-":
        _show(made)


def _si(value: float | None, unit: float, low: float, high: float, option: str) -> float | None:
    """Return the value of an option in SI when it lies in its range; None where it was not given."""
    return None if value is None else options.within(value, low, high, option) * unit


def _show(made: Plan) -> None:
    """Print the plan: what it is of, its schedule, its cautions."""
    from rich.table import Table

    from groundref.cli.screen import console
    from groundref.planning.cautions import STANDING

    out, inputs, table = console(), made.inputs, Table(box=None, padding=(0, 2, 0, 0))
    out.print(f"Plan: {inputs.kind.replace('-', ' ')}", style="bold", markup=False)
    for heading in ("position", "time", "track", "heading", "ground speed", "bank", "height"):
        table.add_column(heading, justify="left" if heading == "position" else "right")
    schedule = made.schedule
    for i in schedule.marked.nonzero()[0].tolist():
        table.add_row(
            schedule.name[i],
            f"{schedule.time[i]:.0f} s",
            f"{schedule.track[i] / degree:03.0f}°",
            f"{schedule.heading[i] / degree:03.0f}°",
            f"{schedule.ground_speed[i] / knot:.0f} kt",
            f"{abs(schedule.bank[i]) / degree:.0f}°",
            f"{schedule.height[i] / foot:,.0f} ft",
        )
    out.print(table)
    for caution in made.cautions:
        out.print(f"{caution.weight.name.lower()}: {caution.says}", markup=False)
    out.print(STANDING, markup=False)
