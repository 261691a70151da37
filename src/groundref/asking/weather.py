"""The weather of a plan from its options: one wind, temperature, altimeter setting, magnetic variation."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from math import radians
from pathlib import Path
from typing import TYPE_CHECKING

from groundref.asking import words
from groundref.errors import InputError, UsageError
from groundref.units import celsius_zero, degree, foot, hectopascal, inch_hg

if TYPE_CHECKING:
    from groundref.planning import Blowing, Day, Where
    from groundref.weather.metar import SurfaceReport
    from groundref.weather.wind_used import Law, WindUsed
    from groundref.weather.winds_aloft import WindAloft

_LARGEST = 50_000_000  # bytes of a file of winds: more than any debrief


@dataclass(frozen=True, slots=True)
class Said:
    """What the options say of the weather, as typed.

    Attributes
    ----------
    wind, wind_file, winds_aloft, metar
        Of `--wind`, `--wind-file`, `--winds-aloft`, `--metar`.
    surface, growth, veer_deg
        How the wind of a METAR is carried up; None where not said.
    magnetic
        Whether the wind typed in is from a magnetic direction.
    oat_c, altimeter_inhg, altimeter_hpa, variation_deg
        As typed.
    when, point
        As typed.
    """

    wind: str | None = None
    wind_file: str | None = None
    winds_aloft: tuple[str, ...] = ()
    metar: str | None = None
    surface: str | None = None
    growth: str | None = None
    veer_deg: float | None = None
    magnetic: bool = False
    oat_c: float | None = None
    altimeter_inhg: float | None = None
    altimeter_hpa: float | None = None
    variation_deg: float | None = None
    when: str | None = None
    point: str | None = None


@dataclass(frozen=True, slots=True)
class Weather:
    """What a plan takes from it.

    Attributes
    ----------
    wind
        None where nothing was said of it.
    day, where
        As the plan takes them.
    variation
        Magnetic variation; None where not known [rad]
    wind_option
        The option that gave the wind; None where none did.
    """

    wind: Blowing | None
    day: Day
    where: Where
    variation: float | None
    wind_option: str | None


def weather(said: Said, *, elevation: float | None, height: float) -> Weather:
    """Return the weather of a plan.

    Parameters
    ----------
    said
        The options.
    elevation
        Of the ground above mean sea level; None where not said [m]
    height
        Of the maneuver above the ground [m]

    Raises
    ------
    UsageError
        When options contradict each other or lie out of range.
    InputError
        When a report or a file cannot be read, or tells no wind.
    """
    from groundref.planning import compass, from_weather
    from groundref.weather.metar import read_metar

    _agree(said)
    ground = elevation or 0.0
    report = None if said.metar is None else read_metar(said.metar)
    levels = [_level(text) for text in said.winds_aloft]
    where, variation = _where(said, report), None
    if where.variation is not None:
        variation = where.variation
    elif said.magnetic:
        variation, _ = compass.variation(where.latitude, where.longitude, ground + height, where.when)
    used = _wind(said, report, levels, variation, ground, height)
    day = from_weather.day_of(report, levels, ground + height, height)
    of_day: tuple[str, ...] = ()
    if said.when is None and where.when is not None:
        of_day = (f"Day {where.when:%Y-%m-%d}: that of the METAR, month and year by this computer's clock.",)
    day = replace(day, assumptions=(*day.assumptions, *of_day))
    if said.oat_c is not None:
        at_height = words.within(said.oat_c, -60, 60, "--oat-c") + celsius_zero
        day = replace(day, temperature=at_height, assumptions=of_day)
    setting = _setting(said)
    if setting is not None:
        day = replace(day, altimeter=setting)
    blowing = None if used is None else from_weather.blowing(used)
    return Weather(blowing, replace(day, elevation=elevation), where, variation, _wind_option(said))


def _wind_option(said: Said) -> str | None:
    """Return the option that gives the wind."""
    ways = {
        "--wind": said.wind is not None,
        "--wind-file": said.wind_file is not None,
        "--winds-aloft": bool(said.winds_aloft),
        "--metar": said.metar is not None,
    }
    return next((option for option, is_given in ways.items() if is_given), None)


def _agree(said: Said) -> None:
    """Refuse options that contradict each other, or that nothing comes of."""
    winds = {
        "--wind": said.wind is not None,
        "--wind-file": said.wind_file is not None,
        "--winds-aloft": bool(said.winds_aloft),
    }
    given = [option for option, is_given in winds.items() if is_given]
    if len(given) > 1:
        raise UsageError(f"{' and '.join(given)} give a wind each", given[1], "give one of them")
    if said.altimeter_inhg is not None and said.altimeter_hpa is not None:
        raise UsageError("two altimeter settings are given", "--altimeter-hpa", "give one of them")
    from_metar = said.metar is not None and not given
    growing = {"--surface": said.surface, "--growth": said.growth, "--veer-deg": said.veer_deg}
    for option, value in growing.items():
        if value is not None and not from_metar:
            raise UsageError(
                "only the wind of a METAR is carried up from the ground",
                option,
                f"leave it out: the wind is taken from {given[0]}"
                if given
                else "leave it out, or give --metar",
            )


def _wind(
    said: Said,
    report: SurfaceReport | None,
    levels: list[WindAloft],
    variation: float | None,
    elevation: float,
    height: float,
) -> WindUsed | None:
    """Return the one wind that was given; None where none was."""
    from groundref.mechanics.wind_profile import TERRAIN
    from groundref.planning import compass, from_weather
    from groundref.weather import wind_used

    if said.wind is not None:
        whence, speed, gust = words.gusty_wind(said.wind)
        if said.magnetic:
            whence = compass.true_from(whence, variation)
        return wind_used.from_typed(speed, whence, gust)
    if said.wind_file is not None:
        return _measured(said.wind_file)
    if levels:
        return from_weather.wind_of_levels(levels, report, elevation=elevation, height=height)
    if report is None:
        return None
    veer = 0.0 if said.veer_deg is None else words.within(said.veer_deg, -90, 90, "--veer-deg") * degree
    surface = said.surface or "open"
    if surface not in TERRAIN:
        raise UsageError(f"there is no surface {surface!r}", "--surface", f"choose {', '.join(TERRAIN)}")
    return wind_used.from_metar(report, height, terrain=surface, law=_law(said.growth), veer=veer)


def _law(name: str | None) -> Law:
    """Return the law of growth by its name."""
    match name:
        case None | "power":
            return "power"
        case "log":
            return "log"
    raise UsageError(f"there is no law {name!r}", "--growth", "choose power or log")


def _measured(name: str) -> WindUsed:
    """Return the wind of a file that `groundref wind` wrote."""
    from groundref.weather.wind_measured import from_measured

    try:
        with Path(name).open("rb") as stream:
            content = stream.read(_LARGEST + 1)
    except OSError as problem:
        raise InputError(f"it cannot be opened ({problem.strerror})", name, "check the path") from problem
    if len(content) > _LARGEST:
        raise InputError("it is too large for the JSON of a wind", name, "write it with groundref wind")
    try:
        return from_measured(content.decode("utf-8"), name)
    except UnicodeDecodeError as problem:
        raise InputError("this is not text", name, "write it with groundref wind --json") from problem


def _level(text: str) -> WindAloft:
    """Return a group of winds aloft from `GROUP@FT`."""
    from groundref.weather.winds_aloft import read_winds_aloft

    group, at, level = text.partition("@")
    try:
        feet = float(level.strip().upper().removesuffix("FT"))
    except ValueError as problem:
        raise UsageError(
            f"{text!r} has no level" if not at else f"{level!r} is not a level",
            "--winds-aloft",
            "write the group @ its level in ft above sea level, such as 2412+05@3000",
        ) from problem
    return read_winds_aloft(group, words.within(feet, 500, 60_000, "--winds-aloft, level") * foot)


def _setting(said: Said) -> float | None:
    """Return the altimeter setting that was typed [Pa]."""
    if said.altimeter_inhg is not None:
        return words.within(said.altimeter_inhg, 25, 32, "--altimeter-inhg") * inch_hg
    if said.altimeter_hpa is not None:
        return words.within(said.altimeter_hpa, 850, 1085, "--altimeter-hpa") * hectopascal
    return None


def _check_day(when: date) -> None:
    """Refuse a day that the magnetic model does not know."""
    from groundref.geo.declination import FIRST, LAST

    if not FIRST <= date(when.year, when.month, when.day) <= LAST:
        raise UsageError(
            f"{when:%Y-%m-%d} is outside the span of the magnetic model, {FIRST} to {LAST}",
            "--when",
            "give --variation-deg too, or another day",
        )


def _where(said: Said, report: SurfaceReport | None) -> Where:
    """Return place, day, and the magnetic variation if it was typed."""
    from groundref.planning import Where, from_weather

    latitude, longitude = (None, None) if said.point is None else words.point(said.point)
    when: date | None = None
    if said.when is not None:
        when = words.instant(said.when, "--when")
        if said.point is not None and said.variation_deg is None:
            _check_day(when)
    elif report is not None:
        # Of the flight the day alone: its time is not that of the report.
        moment = from_weather.moment_of(report, datetime.now(UTC))
        when = None if moment is None else moment.date()
    given = None
    if said.variation_deg is not None:
        given = radians(words.within(said.variation_deg, -180, 180, "--variation-deg"))
    return Where(latitude=latitude, longitude=longitude, variation=given, when=when)
