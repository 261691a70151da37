"""``groundref simulate``: a recording whose truth is known."""

from __future__ import annotations

from math import hypot, radians
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from groundref.asking import words
from groundref.asking.by_option import by_option
from groundref.cli import options, parts
from groundref.cli.conditions import conditions
from groundref.cli.destinations import check_destinations
from groundref.cli.exits import say
from groundref.cli.waiting import waiting
from groundref.units import foot, inch_hg

if TYPE_CHECKING:
    from groundref.simulation.exercise import Exercise
    from groundref.track.recording import Recording

# The invented practice area, over open farmland.
_POINT = "40.1,-90.2"
_WIND = "240/12"
_ELEVATION_FT = 620.0


def simulate(
    maneuver: str,
    /,
    *,
    output: Annotated[str, options.taking("FILE", name=["-o", "--output"])],
    truth: Annotated[str | None, options.taking("FILE.json")] = None,
    fault: Annotated[list[str] | None, options.taking("[MANEUVER:]NAME[=SIZE]")] = None,
    laps: Annotated[float | None, options.taking("N")] = None,
    direction: Annotated[str, options.taking("left|right")] = "left",
    wind: Annotated[str, options.taking("FROM/KT")] = _WIND,
    aircraft: Annotated[str | None, options.taking("NAME|FILE")] = None,
    ias_kt: Annotated[float | None, options.taking("N")] = None,
    tas_kt: Annotated[float | None, options.taking("N")] = None,
    radius_ft: Annotated[float | None, options.taking("N")] = None,
    max_bank_deg: Annotated[float | None, options.taking("N")] = None,
    course_deg: Annotated[float | None, options.taking("N")] = None,
    spacing_ft: Annotated[float | None, options.taking("N")] = None,
    height_ft: Annotated[float | None, options.taking("N")] = None,
    elevation_ft: Annotated[float, options.taking("N")] = _ELEVATION_FT,
    oat_c: Annotated[float | None, options.taking("N")] = None,
    altimeter_inhg: Annotated[float | None, options.taking("N")] = None,
    point: Annotated[str, options.taking("LAT,LON")] = _POINT,
    recorder: Annotated[str, options.taking("phone|avionics|adsb")] = "phone",
    seed: Annotated[int, options.taking("N")] = 1,
) -> None:
    """Simulate a lesson and its recording, for practice, demonstration and tests.

    Parameters
    ----------
    maneuver
        turns-around-a-point, s-turns, rectangular-course, eights-along-a-road, eights-across-a-road,
        eights-around-pylons, eights-on-pylons or steep-turns; several joined with + are flown one after the
        other, each at a place of its own.
    output
        Write the recording to this file: .gpx from a phone, .csv from the others.
    truth
        Write what was really flown as JSON to this file.
    fault
        A common error to commit, with its size in the error's own unit (see docs/simulate.md); may be
        given several times. It is committed in every maneuver that it applies to, or in the one named.
    laps
        Times round the point, half circles of S-turns, eights of two loops each, circuits of the rectangle,
        or steep turns; the usual number unless given.
    direction
        Direction of the first turn.
    wind
        Wind as direction from in degrees true / knots.
    aircraft
        Name of an airplane or your own .toml file; it gives the practice airspeed and the roll rate.
    ias_kt
        Indicated airspeed, taken as calibrated.
    tas_kt
        True airspeed.
    radius_ft
        Radius of the circles, or half of the rectangle's shorter side; the usual one unless given, or the
        smallest that --max-bank-deg allows.
    max_bank_deg
        Bank the pilot does not exceed, of steep turns the bank to hold; 45 unless given, 40 on pylons.
    course_deg
        Direction of the line or road, of the first leg of the rectangle, of the line from the first pylon to
        the second, or on which steep turns begin, degrees true; the usual one in this wind unless given.
    spacing_ft
        Distance between the pylons, between the middles of the loops of eights across a road, or the
        rectangle's longer side; the usual one unless given.
    height_ft
        Height above the ground; 800 unless given, 2,500 in steep turns; on pylons it follows from the speed.
    elevation_ft
        Elevation of the ground above mean sea level.
    oat_c
        Outside air temperature; the standard atmosphere's unless given.
    altimeter_inhg
        Altimeter setting, for the true airspeed and for the pressure altitude that is recorded; 29.92 and
        29.67 unless given.
    point
        The point, or the middle of the line, the rectangle or between the pylons, as latitude,longitude in
        degrees.
    recorder
        What recorded the flight.
    seed
        The same number gives the same flight.
    """
    check_destinations([output, truth], others=[aircraft])
    east, north = words.wind_velocity(wind)
    wind_from = radians(float(wind.partition("/")[0]))
    latitude, longitude = words.point(point)
    words.within(seed, 0, 2**53, "--seed")
    words.within(elevation_ft, -2000, 15000, "--elevation-ft")
    if height_ft is not None:
        words.within(height_ft, 200, 10000, "--height-ft")
    kinds = parts.kinds(maneuver, course_deg, spacing_ft)
    wrong = parts.faults(fault or [], kinds)
    from groundref import export, writing
    from groundref.detection.maneuver import ARCS
    from groundref.simulation import Weather, simulate_many
    from groundref.simulation.asked import asked, spread
    from groundref.simulation.recorders import at_setting
    from groundref.simulation.write import to_bytes
    from groundref.standards.usual import usual

    def part(number: int, kind: str) -> Exercise:
        height = usual(kind).height if height_ft is None else height_ft * foot
        flown_with = conditions(
            aircraft=aircraft,
            ias_kt=ias_kt,
            tas_kt=tas_kt,
            altitude=elevation_ft * foot + height,
            oat_c=oat_c,
            altimeter_inhg=altimeter_inhg,
            radius_ft=radius_ft,
            max_bank_deg=max_bank_deg,
            wind_speed=hypot(east, north),
            by_bank=kind in ARCS,
        )
        return asked(
            kind,
            true_airspeed=flown_with.true_airspeed,
            wind_speed=hypot(east, north),
            wind_from=wind_from,
            radius=flown_with.radius,
            height=height,
            direction=direction,
            laps=laps,
            bank_limit=flown_with.bank_limit,
            roll_rate=flown_with.roll_rate,
            faults=wrong[number],
            course=None if course_deg is None else radians(course_deg),
            spacing=parts.spacing(kind, spacing_ft),
            place=spread(number),
        )

    with waiting("flying"), by_option():
        exercises = [part(number, kind) for number, kind in enumerate(kinds)]
        lowest = min(exercise.height for exercise in exercises)
        recording, flown = simulate_many(
            exercises,
            Weather.blowing(hypot(east, north), wind_from, height=lowest),
            ground_elevation=elevation_ft * foot,
            latitude=latitude,
            longitude=longitude,
            seed=seed,
            recorder=recorder if altimeter_inhg is None else at_setting(recorder, altimeter_inhg * inch_hg),
        )
    outputs = {output: to_bytes(recording, output)}
    if truth:
        outputs[truth] = export.to_json(flown.to_dict())
    writing.write_all(outputs)
    if Path(output).name.lower().removesuffix(".gz").endswith(".gpx") and recorder != "phone":
        say(
            f"warning: {output}: GPX holds positions only; whatever else {recorder} records is not in it; "
            "use .csv"
        )
    if "-" not in outputs:
        _show(recording, output, truth)


def _show(recording: Recording, output: str, truth: str | None) -> None:
    from groundref.cli.screen import console

    start, end = options.span(recording)
    what = f"{len(recording):,} samples, {start:%H:%M:%S} to {end:%H:%M:%S} UTC"
    out = console()
    out.print(f"Written: {output} ({what})", markup=False, soft_wrap=True)
    if truth:
        out.print(f"Written: {truth} (what was really flown)", markup=False, soft_wrap=True)
