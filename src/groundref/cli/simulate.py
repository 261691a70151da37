"""``groundref simulate``: a recording whose truth is known."""

from __future__ import annotations

from math import hypot, radians
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from groundref.cli import options
from groundref.cli.conditions import conditions
from groundref.cli.destinations import check_destinations
from groundref.cli.exits import say
from groundref.cli.waiting import waiting
from groundref.errors import UsageError
from groundref.units import foot

if TYPE_CHECKING:
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
    fault: Annotated[list[str] | None, options.taking("NAME[=SIZE]")] = None,
    laps: Annotated[float, options.taking("N")] = 3,
    direction: Annotated[str, options.taking("left|right")] = "left",
    wind: Annotated[str, options.taking("FROM/KT")] = _WIND,
    aircraft: Annotated[str | None, options.taking("NAME|FILE")] = None,
    ias_kt: Annotated[float | None, options.taking("N")] = None,
    tas_kt: Annotated[float | None, options.taking("N")] = None,
    radius_ft: Annotated[float | None, options.taking("N")] = None,
    max_bank_deg: Annotated[float | None, options.taking("N")] = None,
    height_ft: Annotated[float, options.taking("N")] = 800,
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
        turns-around-a-point.
    output
        Write the recording to this file: .gpx from a phone, .csv from the others.
    truth
        Write what was really flown as JSON to this file.
    fault
        A common error to commit, with its size in the error's own unit (see docs/simulate.md); may be
        given several times.
    laps
        Times round the point.
    direction
        Direction of the turns.
    wind
        Wind as direction from in degrees true / knots.
    aircraft
        Name of an airplane or your own .toml file; it gives the practice airspeed and the roll rate.
    ias_kt
        Indicated airspeed, taken as calibrated.
    tas_kt
        True airspeed.
    radius_ft
        Radius; 1,200 unless given, or the smallest that --max-bank-deg allows.
    max_bank_deg
        Bank the pilot does not exceed; 45 unless given.
    height_ft
        Height above the ground.
    elevation_ft
        Elevation of the ground above mean sea level.
    oat_c
        Outside air temperature; the standard atmosphere's unless given.
    altimeter_inhg
        Altimeter setting; 29.92 unless given.
    point
        The point, as latitude,longitude in degrees.
    recorder
        What recorded the flight.
    seed
        The same number gives the same flight.
    """
    check_destinations([output, truth], others=[aircraft])
    east, north = options.wind_velocity(wind)
    latitude, longitude = options.point(point)
    options.within(seed, 0, 2**53, "--seed")
    options.within(elevation_ft, -2000, 15000, "--elevation-ft")
    options.within(height_ft, 200, 10000, "--height-ft")
    asked = conditions(
        aircraft=aircraft,
        ias_kt=ias_kt,
        tas_kt=tas_kt,
        altitude=(elevation_ft + height_ft) * foot,
        oat_c=oat_c,
        altimeter_inhg=altimeter_inhg,
        radius_ft=radius_ft,
        max_bank_deg=max_bank_deg,
        wind_speed=hypot(east, north),
    )
    from groundref import export, writing
    from groundref.simulation.lesson import simulate as fly
    from groundref.simulation.write import to_bytes

    with waiting("flying"):
        recording, flown = fly(
            maneuver,
            true_airspeed=asked.true_airspeed,
            wind_speed=hypot(east, north),
            wind_from=radians(float(wind.partition("/")[0])),
            radius=asked.radius,
            height=height_ft * foot,
            ground_elevation=elevation_ft * foot,
            direction=direction,
            laps=laps,
            latitude=latitude,
            longitude=longitude,
            seed=seed,
            faults=faults(fault or []),
            recorder=recorder,
            bank_limit=asked.bank_limit,
            roll_rate=asked.roll_rate,
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


def faults(named: list[str]) -> dict[str, float | None]:
    """Return the size of each fault by name from `NAME` or `NAME=SIZE`; None where no size is given."""
    sizes: dict[str, float | None] = {}
    for text in named:
        name, equals, size = text.partition("=")
        try:
            sizes[name] = float(size) if equals else None
        except ValueError as problem:
            raise UsageError(
                f"{size!r} is not a size", f"--fault {name}", "write NAME or NAME=NUMBER"
            ) from problem
    return sizes
