"""``groundref plan``: what to expect at each place of a maneuver, in today's wind, with this airplane."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from groundref.asking.weather import Said
from groundref.cli import options
from groundref.cli.destinations import check_destinations
from groundref.cli.exits import say
from groundref.cli.printed import Printed
from groundref.cli.surroundings import Surroundings

if TYPE_CHECKING:
    from groundref.planning import Plan


def plan(
    maneuver: str,
    /,
    *,
    aircraft: Annotated[str | None, options.taking("NAME|FILE")] = None,
    ias_kt: Annotated[float | None, options.taking("N")] = None,
    tas_kt: Annotated[float | None, options.taking("N")] = None,
    mass_kg: Annotated[float | None, options.taking("N")] = None,
    wind: Annotated[str | None, options.taking("FROM/KT")] = None,
    metar: Annotated[str | None, options.taking("REPORT")] = None,
    surface: Annotated[str | None, options.taking("NAME")] = None,
    growth: Annotated[str | None, options.taking("power|log")] = None,
    veer_deg: Annotated[float | None, options.taking("N")] = None,
    winds_aloft: Annotated[list[str] | None, options.taking("GROUP@FT")] = None,
    wind_file: Annotated[str | None, options.taking("FILE.json")] = None,
    radius_ft: Annotated[float | None, options.taking("N")] = None,
    max_bank_deg: Annotated[float | None, options.taking("N")] = None,
    height_ft: Annotated[float | None, options.taking("N")] = None,
    direction: Annotated[str | None, options.taking("left|right")] = None,
    laps: Annotated[float | None, options.taking("N")] = None,
    course_deg: Annotated[float | None, options.taking("N")] = None,
    spacing_ft: Annotated[float | None, options.taking("N")] = None,
    elevation_ft: Annotated[float | None, options.taking("N")] = None,
    oat_c: Annotated[float | None, options.taking("N")] = None,
    altimeter_inhg: Annotated[float | None, options.taking("N")] = None,
    altimeter_hpa: Annotated[float | None, options.taking("N")] = None,
    point: Annotated[str | None, options.taking("LAT,LON")] = None,
    when: Annotated[str | None, options.taking("TIME")] = None,
    variation_deg: Annotated[float | None, options.taking("N")] = None,
    magnetic: Annotated[bool, Parameter(negative=())] = False,
    standard: Annotated[str, options.taking("NAME|FILE")] = "private-pilot",
    surroundings: Annotated[Surroundings | None, Parameter(name="*")] = None,
    ladder: Annotated[str | None, options.taking("DEBRIEF.json")] = None,
    full: Annotated[bool, Parameter(negative=())] = False,
    json: Annotated[str | None, options.taking("FILE|-")] = None,
    printed: Annotated[Printed | None, Parameter(name="*")] = None,
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
    mass_kg
        Mass that the airplane is flown at; that of its file unless given.
    wind
        Wind at the maneuver's height as direction from / knots, with gusts as 240/14G22; true but with
        --magnetic.
    metar
        A METAR as it is, in quotes: its wind is carried up to the maneuver's height, unless another wind is
        given; its temperature and altimeter setting are used unless given.
    surface
        Ground about the wind mast of the METAR: water, open, suburb, forest or city; open unless given.
    growth
        Law by which the wind of the METAR grows with height; power unless given.
    veer_deg
        Turn of that wind from the ground to the maneuver's height, clockwise positive; 0 unless given.
    winds_aloft
        A group of a winds-aloft forecast and its level, such as 2412+05@3000; may be given several times.
        Between two levels, or the METAR and a level, the wind changes evenly with height.
    wind_file
        A wind measured in flight, which groundref wind RECORDING --json FILE writes.
    radius_ft
        Radius over the ground; with --max-bank-deg as well, whether both fit is said.
    max_bank_deg
        Bank not to exceed; without --radius-ft the smallest radius that it allows is planned. Of steep turns
        the bank to hold.
    height_ft
        Height above the ground.
    direction
        Direction of the first turn; left unless given.
    laps
        Laps, half circles, eights of two loops each, circuits or turns.
    course_deg
        Direction of the line or road, of the first leg, or of the line between the pylons, true unless
        --magnetic.
    spacing_ft
        Distance between the pylons or the middles of the loops, or the rectangle's longer side.
    elevation_ft
        Elevation of the ground above mean sea level.
    oat_c
        Outside air temperature at the maneuver's height.
    altimeter_inhg
        Altimeter setting in inches of mercury.
    altimeter_hpa
        Altimeter setting in hectopascals, in place of the one in inches.
    point
        The point, or the middle of the line, the rectangle or between the pylons, as latitude,longitude.
    when
        Day of the flight, such as 2026-05-01, or moment, UTC; that of the METAR unless given. With --point
        it gives the magnetic variation.
    variation_deg
        Magnetic variation, east positive, in place of the one by place and day.
    magnetic
        The directions given with --wind and --course-deg are magnetic.
    standard
        Standard to plan by.
    surroundings
        What lies around the maneuver.
    ladder
        A debrief that groundref debrief --json wrote: the plan is for the next exercise after its last
        maneuver of this kind, and says what it changes and why. Wind, direction, airspeed, place, day,
        ground, line, field and pylons are those of the debrief where nothing else is given.
    full
        Print all of the plan, and not only what fits on one screen.
    json
        Write the plan as JSON to this file; - is standard output, and then nothing else goes there.
    printed
        Pictures and paper.
    """
    paper = printed or Printed()
    paper.check()
    results = [json, *paper.destinations]
    check_destinations(results, others=[aircraft, wind_file, ladder])
    from groundref import export, writing
    from groundref.asking.both import set_aside
    from groundref.asking.plan import PlanAsked, planned
    from groundref.planning.kinds import lay_out_of
    from groundref.planning.last_flown import read_last

    lay_out_of(maneuver)  # refuses what is none before a file is read
    last = None if ladder is None else read_last(ladder, maneuver)
    asked = PlanAsked(
        maneuver,
        aircraft=aircraft,
        ias_kt=ias_kt,
        tas_kt=tas_kt,
        mass_kg=mass_kg,
        radius_ft=radius_ft,
        max_bank_deg=max_bank_deg,
        height_ft=height_ft,
        direction=direction,
        laps=laps,
        course_deg=course_deg,
        spacing_ft=spacing_ft,
        elevation_ft=elevation_ft,
        standard=standard,
        weather=Said(
            wind=wind,
            wind_file=wind_file,
            winds_aloft=tuple(winds_aloft or ()),
            metar=metar,
            surface=surface,
            growth=growth,
            veer_deg=veer_deg,
            magnetic=magnetic,
            oat_c=oat_c,
            altimeter_inhg=altimeter_inhg,
            altimeter_hpa=altimeter_hpa,
            variation_deg=variation_deg,
            when=when,
            point=point,
        ),
        around=(surroundings or Surroundings()).said(),
    )
    made = planned(asked, last)
    for aside in set_aside(asked):
        say(f"note: {aside.says}")
    of_json = {json: export.to_json(made.to_dict())} if json else {}
    writing.write_all({**of_json, **paper.made(made)})
    if "-" not in results:
        _show(made, [name for name in results if name], full=full)


def _show(made: Plan, written: list[str], *, full: bool) -> None:
    from groundref.cli.screen import console
    from groundref.reports.plan_terminal import summary

    out = console()
    out.print(summary(made, console_width=out.width, full=full))
    for name in written:
        out.print(f"Written: {name}", markup=False, soft_wrap=True)
