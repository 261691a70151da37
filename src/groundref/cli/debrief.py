"""``groundref debrief``: a recording in, what was flown out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from groundref.cli import options
from groundref.cli.consistent import check_ground, check_pylons, warn_of_places, warn_of_times, warn_of_wind
from groundref.cli.destinations import check_destinations
from groundref.cli.places import Places, places
from groundref.cli.reading import read_recordings
from groundref.cli.waiting import waiting
from groundref.errors import UsageError
from groundref.units import foot

if TYPE_CHECKING:
    from groundref.comparison.compare import Comparison
    from groundref.debriefing import Debrief
    from groundref.planning import Plan
    from groundref.terrain import Elevation


def debrief(
    recordings: Annotated[list[str], Parameter(allow_leading_hyphen=True)],
    /,
    *,
    json: Annotated[str | None, options.taking("FILE|-")] = None,
    html: Annotated[str | None, options.taking("FILE|-")] = None,
    series: Annotated[str | None, options.taking("FILE.csv|.parquet")] = None,
    standard: Annotated[str | None, options.taking("NAME|FILE")] = None,
    aircraft: Annotated[str | None, options.taking("NAME|FILE")] = None,
    ground_ft: Annotated[float | None, options.taking("N")] = None,
    terrain: Annotated[str | None, options.taking("DEM.tif")] = None,
    altimeter_inhg: Annotated[float | None, options.taking("N")] = None,
    altimeter_hpa: Annotated[float | None, options.taking("N")] = None,
    point: Annotated[str | None, options.taking("LAT,LON")] = None,
    line: Annotated[str | None, options.taking("LAT,LON,LAT,LON")] = None,
    corners: Annotated[str | None, options.taking("LAT,LON,LAT,LON,LAT,LON,LAT,LON")] = None,
    pylons: Annotated[str | None, options.taking("LAT,LON,LAT,LON")] = None,
    pylon_ft: Annotated[str | None, options.taking("N,N")] = None,
    runway: Annotated[str | None, options.taking("LAT,LON,LAT,LON")] = None,
    plan: Annotated[str | None, options.taking("PLAN.json")] = None,
    wind: Annotated[str | None, options.taking("FROM/KT")] = None,
    from_: Annotated[str | None, options.taking("T", name="--from")] = None,
    to: Annotated[str | None, options.taking("T")] = None,
    columns: Annotated[str | None, options.taking("FILE.toml")] = None,
    quiet: Annotated[bool, Parameter(negative=(), show_default=False)] = False,
) -> None:
    """Debrief a recorded flight.

    Parameters
    ----------
    recordings
        A recording, or several parts of one flight: GPX, CSV or ADS-B state vectors, plain or gzipped;
        standard input is written as -.
    json
        Write the debrief as JSON to this file; - is standard output, and then nothing else goes there.
    html
        Write the debrief as one self-contained page to this file.
    series
        Write one row a sample to this .csv or .parquet file.
    standard
        Name of a standard (see: groundref standards) or your own .toml file; the private pilot's unless
        said.
    aircraft
        Name of an airplane (see: groundref aircraft) or your own .toml file.
    ground_ft
        Elevation of the ground at the maneuver, feet above mean sea level; else what the recording shows
        while it stood on the ground.
    terrain
        Elevation of the ground from a GeoTIFF, for --ground-ft.
    altimeter_inhg
        Altimeter setting in inches of mercury, where only pressure altitude was recorded: heights above the
        ground given follow from it.
    altimeter_hpa
        The same in hectopascals.
    point
        The point turned about, as latitude,longitude in degrees; fitted unless given.
    line
        Two places on the line or road of S-turns or eights; fitted unless given.
    corners
        The four corners of the rectangular course's field, in order round it; fitted unless given.
    pylons
        The two pylons of eights; fitted unless given.
    pylon_ft
        Elevation of the ground at each pylon, feet above mean sea level; that of --ground-ft or --terrain
        unless given.
    runway
        The two ends of a runway whose traffic pattern is to be looked at, in any order.
    plan
        The plan that was flown, as groundref plan --json wrote it: what was planned is set against what was
        flown.
    wind
        Wind as direction from in degrees true / knots, such as 240/12; estimated unless given.
    from_
        Leave out what was before this time: 14:05, 14:05:30 or 2026-05-01T14:05:30Z, in UTC.
    to
        Leave out what was after this time.
    columns
        A small .toml file that says which column of a text table holds what, for headings that do not.
    quiet
        Print no summary.
    """
    destinations = [name for name in (json, html, series) if name is not None]
    check_destinations(destinations, recordings, [standard, aircraft, terrain, columns, plan])
    given = places(point=point, line=line, corners=corners, pylons=pylons, pylon_ft=pylon_ft, runway=runway)
    flight = (recordings, columns)
    planned = _planned(plan)
    altimeter = options.altimeter_setting(altimeter_inhg, altimeter_hpa)
    result = _conclude(flight, given, standard, aircraft, ground_ft, terrain, altimeter, wind, from_, to)
    comparison = None
    if planned is not None:
        from groundref.comparison.compare import compare, with_plan

        comparison = compare(result, planned)
        result = with_plan(result, comparison)
    _write(result, comparison, json, html, series)
    if not quiet and "-" not in destinations:
        _show(result, comparison, destinations)


def _planned(path: str | None) -> Plan | None:
    """Read the plan before the flight, so that a wrong one costs no time."""
    if path is None:
        return None
    from groundref.comparison.reading import read_plan

    return read_plan(path)


def _conclude(
    flight: tuple[list[str], str | None],
    given: Places,
    standard: str | None,
    aircraft: str | None,
    ground_ft: float | None,
    terrain: str | None,
    altimeter: float | None,
    wind: str | None,
    start: str | None,
    end: str | None,
) -> Debrief:
    """Read everything that was named, look at every option, and only then work."""
    if ground_ft is not None and terrain is not None:
        raise UsageError("the ground is given twice", "--terrain", "give --ground-ft or --terrain")
    ground = None if ground_ft is None else options.within(ground_ft, -2000, 30000, "--ground-ft") * foot
    given_wind = options.wind_velocity(wind) if wind else None
    from groundref.aircraft.loading import load_aircraft
    from groundref.standards.loading import load_standard

    chosen_standard = load_standard(standard) if standard else None
    chosen_aircraft = load_aircraft(aircraft) if aircraft else None
    recording = read_recordings(*flight)
    after = options.moment(start, recording, "--from") if start else None
    before = options.moment(end, recording, "--to") if end else None
    if after and before and after > before:
        raise UsageError(f"{start} lies after --to {end}", "--from", "exchange the two")
    from groundref.debriefing import debrief as conclude

    with waiting("working out the debrief"):
        result = conclude(
            recording,
            standard=chosen_standard,
            aircraft=chosen_aircraft,
            ground=ground,
            elevation=_elevation(terrain) if terrain else None,
            altimeter=altimeter,
            wind=given_wind,
            start=after,
            end=before,
            **given.for_debrief(),
        )
    if ground_ft is not None or terrain is not None:
        check_ground(result, "--terrain" if ground_ft is None else "--ground-ft")
    check_pylons(result, given.pylon_elevations)
    warn_of_times(recording, after, before)
    warn_of_places(result, given)
    if given_wind:
        warn_of_wind(result)
    return result


def _elevation(path: str) -> Elevation:
    from groundref.terrain import terrain

    return terrain(path)


def _write(
    result: Debrief,
    comparison: Comparison | None,
    json: str | None,
    html: str | None,
    series: str | None,
) -> None:
    """Make every result that was asked for before the first is written."""
    from groundref import export, writing

    outputs: dict[str, bytes] = {}
    if json:
        document = result.to_dict()
        if comparison is not None:
            from groundref.comparison.document import to_dict

            document["plan"] = to_dict(comparison)
        outputs[json] = export.to_json(document)
    if series:
        outputs[series] = export.to_series(result.series(), series)
    if html:
        from groundref.reports.html import page

        outputs[html] = page(result, comparison).encode()
    writing.write_all(outputs)


def _show(result: Debrief, comparison: Comparison | None, written: list[str]) -> None:
    from groundref.cli.screen import console
    from groundref.reports.terminal import summary

    out = console()
    out.print(summary(result, comparison, console_width=out.width))
    for name in written:
        out.print(f"Written: {name}", markup=False, soft_wrap=True)
