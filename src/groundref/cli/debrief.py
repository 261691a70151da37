"""``groundref debrief``: a recording in, what was flown out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from groundref.cli import options
from groundref.cli.destinations import check_destinations
from groundref.cli.exits import say
from groundref.cli.looking import Looking, Settled, warnings
from groundref.cli.reading import read_recordings
from groundref.cli.waiting import waiting
from groundref.errors import UsageError

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
    terrain: Annotated[str | None, options.taking("DEM.tif")] = None,
    plan: Annotated[str | None, options.taking("PLAN.json")] = None,
    units: Annotated[str | None, options.taking("us|metric")] = None,
    looking: Annotated[Looking | None, Parameter(name="*")] = None,
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
    terrain
        Elevation of the ground from a GeoTIFF, for --ground-ft.
    plan
        The plan that was flown, as groundref plan --json wrote it: what was planned is set against what was
        flown.
    units
        Units that the page is read in: us, feet and knots, unless metric, meters and km/h, is said.
    quiet
        Print no summary.
    """
    asked = looking or Looking()
    destinations = [name for name in (json, html, series) if name is not None]
    check_destinations(destinations, recordings, [*asked.files, terrain, plan])
    if asked.ground_ft is not None and terrain is not None:
        raise UsageError("the ground is given twice", "--terrain", "give --ground-ft or --terrain")
    settled, read_in = asked.settled(), options.units(units, html is not None)
    planned = _planned(plan)
    result = _conclude(recordings, asked, settled, terrain)
    comparison = None
    if planned is not None:
        from groundref.comparison.compare import compare, with_plan

        comparison = compare(result, planned)
        result = with_plan(result, comparison)
    _write(result, comparison, json, html, series, read_in)
    if not quiet and "-" not in destinations:
        _show(result, comparison, destinations)


def _planned(path: str | None) -> Plan | None:
    """Read the plan before the flight, so that a wrong one costs no time."""
    if path is None:
        return None
    from groundref.comparison.reading import read_plan

    return read_plan(path)


def _conclude(recordings: list[str], asked: Looking, given: Settled, terrain: str | None) -> Debrief:
    """Read everything that was named, look at every option, and only then work."""
    from groundref.aircraft.loading import load_aircraft
    from groundref.standards.loading import load_standard

    standard = load_standard(asked.standard) if asked.standard else None
    aircraft = load_aircraft(asked.aircraft) if asked.aircraft else None
    recording = read_recordings(recordings, asked.columns)
    between = asked.between(recording)
    from groundref.debriefing import debrief as conclude

    with waiting("working out the debrief"):
        result = conclude(
            recording,
            standard=standard,
            aircraft=aircraft,
            ground=given.ground,
            elevation=_elevation(terrain) if terrain else None,
            altimeter=given.altimeter,
            wind=given.wind,
            start=between[0],
            end=between[1],
            **given.places.for_debrief(),
        )
    ground = "--terrain" if terrain else "--ground-ft" if asked.ground_ft is not None else None
    for sentence in warnings(result, given, recording, between, ground):
        say(f"warning: {sentence}")
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
    units: str,
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

        outputs[html] = page(result, comparison, units=units).encode()
    writing.write_all(outputs)


def _show(result: Debrief, comparison: Comparison | None, written: list[str]) -> None:
    from groundref.cli.screen import console
    from groundref.reports.terminal import summary

    out = console()
    out.print(summary(result, comparison, console_width=out.width))
    for name in written:
        out.print(f"Written: {name}", markup=False, soft_wrap=True)
