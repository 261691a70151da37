"""From weather reports to the air of a plan: wind at the maneuver's height, temperature, setting, day.

Everything that is not in a report is a sentence, to be printed with the plan.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from groundref.errors import InputError, UsageError
from groundref.mechanics.atmosphere import lapse_rate
from groundref.planning.asked import Blowing, Day
from groundref.units import celsius_zero, foot
from groundref.weather.metar import SurfaceReport
from groundref.weather.wind_used import WindUsed, from_winds_aloft
from groundref.weather.winds_aloft import WindAloft


def blowing(used: WindUsed) -> Blowing:
    """Return a wind as a plan takes it.

    Parameters
    ----------
    used
        From any source.

    Raises
    ------
    InputError
        When nobody knows where it blows from.
    """
    if used.direction_missing:
        raise InputError(
            f"no direction is known of this wind ({used.how}), and bank and crab hang on it",
            "wind",
            "look at smoke, water or a windsock and give it with --wind, such as 240/5",
        )
    return Blowing(
        speed=used.speed,
        direction_from=used.direction_from or 0.0,
        gust=0.0 if used.gust is None else max(used.gust - used.speed, 0.0),
        how=used.how,
        assumptions=used.assumptions,
        sd=used.sd,
    )


def wind_of_levels(
    levels: Sequence[WindAloft], report: SurfaceReport | None, *, elevation: float, height: float
) -> WindUsed:
    """Return the wind between the levels next below and above a height; beyond them that of the nearest.

    Parameters
    ----------
    levels
        Of winds aloft, one or more, in any order.
    report
        Of the surface, the lowest level of all where there is one.
    elevation
        Of the ground, above mean sea level [m]
    height
        Above the ground [m]

    Raises
    ------
    UsageError
        When a level is given twice.
    InputError
        When a level lies below the ground, or one of two winds has no direction.
    """
    if len({level.level for level in levels}) < len(levels):
        raise UsageError("a level is given twice", "--winds-aloft", "give one group for each level")
    ordered = sorted(levels, key=lambda level: level.level)
    altitude = elevation + height
    below = [level for level in ordered if level.level < altitude]
    above = [level for level in ordered if level.level >= altitude]
    if not above:
        return from_winds_aloft(below[-1], elevation=elevation, height=height)
    lower = below[-1] if below else report
    if isinstance(lower, WindAloft) and lower.level <= elevation:
        raise InputError(
            f"the level of {lower.level / foot:,.0f} ft is below the ground", "--winds-aloft", "leave it out"
        )
    return from_winds_aloft(above[0], elevation=elevation, height=height, below=lower)


def day_of(report: SurfaceReport | None, levels: Sequence[WindAloft], altitude: float, height: float) -> Day:
    """Return temperature at the maneuver's height and altimeter setting as far as reports tell them.

    Parameters
    ----------
    report
        Of the surface, taken for the elevation under the maneuver.
    levels
        Of winds aloft, whose temperature is used when the report has none.
    altitude, height
        Of the maneuver above mean sea level, and above the ground [m]

    Notes
    -----
    The temperature is carried from where it was measured with the standard lapse rate, 1.98 °C in 1,000 ft.
    """
    measured, way, words = None, 0.0, ""
    known = [(level.temperature, level.level) for level in levels if level.temperature is not None]
    if report is not None and report.temperature is not None:
        measured, way, words = report.temperature, height, f"METAR's {_celsius(report.temperature)}"
    elif known:
        measured, level = min(known, key=lambda one: abs(one[1] - altitude))
        way = altitude - level
        words = f"{_celsius(measured)} of winds aloft at {level / foot:,.0f} ft"
    setting = None if report is None else report.altimeter_setting
    if measured is None:
        return Day(altimeter=setting)
    aloft = measured - lapse_rate * way
    said = f"Temperature {_celsius(aloft)}: the {words} and the standard lapse of 2 °C in 1,000 ft."
    return Day(temperature=aloft, altimeter=setting, assumptions=(said,))


def moment_of(report: SurfaceReport, now: datetime) -> datetime | None:
    """Return when a report was made: the latest such day of a month that is no later than tomorrow.

    Parameters
    ----------
    report
        It tells the day of the month and the time alone.
    now
        UTC.
    """
    if report.day is None or report.time_of_day is None:
        return None
    day = now.astimezone(UTC).replace(hour=0, minute=0, second=0, microsecond=0) + timedelta(days=1)
    while day.day != report.day:
        day -= timedelta(days=1)
    return day + timedelta(seconds=report.time_of_day)


def _celsius(temperature: float) -> str:
    return f"{temperature - celsius_zero:.0f} °C".replace("-", "−")
