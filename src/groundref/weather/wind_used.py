"""The wind that a plan uses, where it is from, and what was assumed on the way.

One record comes out of all sources: a wind typed in, a METAR carried up to the height of the maneuver, a
winds-aloft forecast; and, from ``wind_measured``, the wind of the last flight. Every step that is not a
measurement is a sentence in `assumptions`, to be printed with the plan.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees, isfinite
from typing import Final, Literal

from groundref.angles import full_turn, wrap
from groundref.errors import InputError, NoSolutionError
from groundref.mechanics import wind_profile
from groundref.mechanics.wind_profile import TERRAIN, anemometer_height, growth_ceiling
from groundref.units import degree, foot, kilometre_per_hour, knot
from groundref.weather.metar import SurfaceReport
from groundref.weather.winds_aloft import WindAloft

Law = Literal["power", "log"]
_VALID: Final = 1000 * foot  # as said in docs/weather.md
_NAMES: Final[dict[Law, str]] = {"power": "power law", "log": "neutral log law"}


@dataclass(frozen=True, slots=True)
class WindUsed:
    """A wind to plan with.

    Attributes
    ----------
    speed
        [m s⁻¹]
    direction_from
        True; None in a calm, and when nobody knows: see ``direction_missing`` [rad]
    gust
        At the same height; None when none is reported [m s⁻¹]
    height
        Above the ground, that it holds for; None when its source does not say [m]
    how
        Where it is from, in a sentence.
    assumptions
        What was assumed to get it, a sentence each.
    sd
        Standard deviation of each component; None when unknown, which is not zero [m s⁻¹]
    """

    speed: float
    direction_from: float | None
    gust: float | None
    height: float | None
    how: str
    assumptions: tuple[str, ...]
    sd: float | None

    @property
    def direction_missing(self) -> bool:
        """Whether there is a wind of unknown direction: nothing can be planned before one is given."""
        return self.direction_from is None and self.speed > 0.0


_WHOLE: Final = 1e-6  # of a knot


def from_typed(speed: float, direction_from: float | None, gust: float | None = None) -> WindUsed:
    """Return the wind that somebody typed, taken to hold at the height of the maneuver.

    Parameters
    ----------
    speed
        [m s⁻¹]
    direction_from
        True; None for a calm [rad]
    gust
        [m s⁻¹]

    Raises
    ------
    InputError
        When a number is not finite, a speed is negative, the gust is less than the wind, or a wind has no
        direction.
    """
    numbers = [speed, *(each for each in (direction_from, gust) if each is not None)]
    if not all(isfinite(each) for each in numbers) or speed < 0.0:
        raise InputError("a number in the wind is negative or not finite", "wind", "write it as 240/14")
    if gust is not None and gust < speed:
        raise InputError("the gust is less than the wind", "wind", "write the mean first, then the gust")
    if direction_from is None and speed > 0.0:
        raise InputError("the wind has no direction", "wind", "write it as 240/14")
    direction = float(wrap(direction_from)) if direction_from is not None and speed > 0.0 else None
    assumed = ("The wind as given is taken to hold at the height of the maneuver.",)
    return WindUsed(speed, direction, gust, None, f"given: {_spoken(speed, direction, gust)}", assumed, None)


def from_metar(
    report: SurfaceReport, height: float, *, terrain: str = "open", law: Law = "power", veer: float = 0.0
) -> WindUsed:
    """Return the wind of a METAR carried up to a height.

    A variable wind keeps its speed and has no direction. The excess of the gusts over the mean is kept as it
    is at 10 m: in neutral air the size of gusts hardly changes with height (m).

    Parameters
    ----------
    report
        From ``read_metar``.
    height
        Above the ground, 10 m or more [m]
    terrain
        A name of ``TERRAIN``: the ground about the anemometer, not under the maneuver.
    law
        Which law of growth.
    veer
        Turn of the wind from 10 m to the height, clockwise positive. By a rule of thumb (common practice, no
        source) 20 to 40° at 2,000 ft over land, clockwise in the northern hemisphere [rad]

    Raises
    ------
    InputError
        When the wind is missing from the report, the terrain is not known, or a number makes no sense.
    """
    if report.wind_speed is None:
        raise InputError(
            f"the wind is missing from the report of {report.station}", "METAR", "give one with --wind"
        )
    if not (isfinite(height) and height >= anemometer_height):
        raise InputError(
            f"a height of {height / foot:,.0f} ft above the ground is out of range",
            "wind",
            "give 33 ft or more",
        )
    if not abs(veer) <= 0.25 * full_turn:
        raise InputError(f"a veer of {veer / degree:.0f}° is out of range", "wind", "give −90 to 90°")
    mean = report.wind_speed
    speed, assumed = _grown(mean, height, terrain, law)
    turned = None if report.wind_from is None else float(wrap(report.wind_from + veer))
    if turned is not None:
        assumed += (_of_veer(veer),)
    if mean > 0.0 and turned is None:
        assumed += ("The METAR gives no direction: the wind may come from anywhere.",)
    gust, of_gusts = _gust(report, speed)
    return WindUsed(speed, turned, gust, height, _of(report), assumed + of_gusts + report.notes, None)


def from_winds_aloft(
    aloft: WindAloft, *, elevation: float, height: float, below: WindAloft | SurfaceReport | None = None
) -> WindUsed:
    """Return the wind of a winds-aloft group, or between it and a wind from below, by vector.

    Parameters
    ----------
    aloft
        From ``read_winds_aloft``.
    elevation
        Of the ground, above mean sea level [m]
    height
        Above the ground [m]
    below
        A lower level, or the METAR; when None the group is used as it is.

    Raises
    ------
    InputError
        When the height does not lie between the two, the level lies below the ground, or one of two winds
        has no direction to interpolate with.
    """
    if not (isfinite(elevation) and isfinite(height) and height > 0.0):
        raise InputError("a height or elevation makes no sense", "winds aloft", "check the numbers")
    if aloft.level <= elevation:
        raise InputError(
            f"the level of {_feet(aloft.level)} is below the ground", "winds aloft", "take a higher level"
        )
    of = f"winds aloft {aloft.group} at {_feet(aloft.level)}"
    if below is None:
        off = aloft.level - elevation - height
        assumed = f"The wind of the level is used {_feet(abs(off))} {'below' if off > 0 else 'above'} it."
        return WindUsed(aloft.speed, aloft.direction_from, None, height, of, (assumed, *_light(aloft)), None)
    foot_of, named, notes = _lower_end(below, elevation)
    if aloft.direction_from is None:
        raise _without_direction(of)
    top = (aloft.level, aloft.speed, aloft.direction_from)
    try:
        speed, direction = wind_profile.wind_between(foot_of, top, elevation + height)
    except NoSolutionError as problem:
        raise InputError(
            f"{_feet(elevation + height)} above sea level is not between {_feet(foot_of[0])} and "
            f"{_feet(aloft.level)}",
            "winds aloft",
            "take the levels next below and above the maneuver",
        ) from problem
    assumed = "Between the two the wind changes evenly with height, by vector (common practice)."
    known = float(direction) if speed > 0.0 else None
    gust, of_gusts = _gust(below, float(speed)) if isinstance(below, SurfaceReport) else (None, ())
    how = f"between {named} and {of}"
    return WindUsed(float(speed), known, gust, height, how, (assumed, *of_gusts, *notes), None)


def _grown(mean: float, height: float, terrain: str, law: Law) -> tuple[float, tuple[str, ...]]:
    """Return the speed at a height by the law asked for, and what that assumes."""
    if terrain not in TERRAIN:
        raise InputError(f"there is no terrain {terrain!r}", "wind", f"take one of {', '.join(TERRAIN)}")
    if mean == 0.0:
        return 0.0, ("Calm at the ground: there may be wind at the height of the maneuver all the same.",)
    ground, top = TERRAIN[terrain], min(height, growth_ceiling)
    speeds: dict[Law, float] = {
        "power": float(wind_profile.power_law(mean, top, ground.exponent)),
        "log": float(wind_profile.log_law(mean, top, ground.roughness)),
    }
    other: Law = "log" if law == "power" else "power"
    number = f"exponent {ground.exponent:.2f}" if law == "power" else f"roughness {ground.roughness:g} m"
    said = [
        f"From {_spoken(mean, None, None)} at 10 m to {_whole(speeds[law])} at {_feet(top)} "
        f"above the ground by the {_NAMES[law]} over {terrain} ground ({number}); the {_NAMES[other]} would "
        f"give {_whole(speeds[other])}.",
        _of_validity(height),
    ]
    return speeds[law], tuple(said)


def _of_validity(height: float) -> str:
    """Return what a law of growth is worth at a height."""
    if height <= _VALID:
        return "Neither law is valid to 1,000 ft by day or on a clear night: look again at the wind up there."
    taken = f" and taken as at {_feet(growth_ceiling)}, where the laws end" if height > growth_ceiling else ""
    return (
        f"Neither law is valid above 1,000 ft, by day often not so far: the wind at {_feet(height)} is a "
        f"guess{taken}. Give --winds-aloft or --wind, or look again when up there."
    )


def _gust(report: SurfaceReport, speed: float) -> tuple[float | None, tuple[str, ...]]:
    """Return the gusts about a mean aloft, and what that assumes."""
    if report.gust is None or report.wind_speed is None:
        return None, ()
    return speed + report.gust - report.wind_speed, ("Gusts exceed the mean by as much as at 10 m.",)


def _lower_end(
    below: WindAloft | SurfaceReport, elevation: float
) -> tuple[tuple[float, float, float], str, tuple[str, ...]]:
    """Return altitude, speed and direction of the lower wind, what to call it, and its notes."""
    if isinstance(below, WindAloft):
        named = f"winds aloft {below.group} at {_feet(below.level)}"
        if below.direction_from is None:
            raise _without_direction(named)
        return (below.level, below.speed, below.direction_from), named, ()
    if below.wind_speed is None or (below.wind_from is None and below.wind_speed > 0.0):
        raise _without_direction(f"METAR {below.station}")
    direction = below.wind_from if below.wind_from is not None else 0.0
    return (elevation + anemometer_height, below.wind_speed, direction), _of(below), below.notes


def _without_direction(named: str) -> InputError:
    return InputError(
        "the wind has no direction, so nothing can be said of the wind between", named, "give one with --wind"
    )


def _light(aloft: WindAloft) -> tuple[str, ...]:
    light = "Light and variable is taken as 5 kt from an unknown direction."
    return (light,) if aloft.direction_from is None else ()


def _of_veer(veer: float) -> str:
    if veer == 0.0:
        return "No turn of the wind with height is assumed."
    way = "right" if veer > 0.0 else "left"
    return f"The wind turns {abs(veer) / degree:.0f}° to the {way} on the way up (common practice)."


def _of(report: SurfaceReport) -> str:
    speed = report.wind_speed or 0.0
    unknown = "direction variable or missing, " if speed > 0.0 and report.wind_from is None else ""
    return f"METAR {report.station}{_at(report)}: {unknown}{_spoken(speed, report.wind_from, report.gust)}"


def _at(report: SurfaceReport) -> str:
    if report.day is None or report.time_of_day is None:
        return ""
    hours, minutes = divmod(round(report.time_of_day / 60), 60)
    return f", day {report.day} at {hours:02d}:{minutes:02d} UTC"


def _spoken(speed: float, direction: float | None, gust: float | None) -> str:
    """Return a wind in words, north as 360°."""
    if speed == 0.0:
        return "calm"
    whence = "" if direction is None else f"{(round(degrees(direction)) - 1) % 360 + 1:03d}° at "
    gusts = "" if gust is None else f" gusting {_speed(gust)}"
    return f"{whence}{_speed(speed)}{gusts}"


def _speed(speed: float) -> str:
    """Return a reported speed [m s⁻¹]; with km/h beside it where it was not reported in whole knots.

    Turned from rounded knots, 8 m/s would be read as 30 km/h.
    """
    if abs(speed / knot - round(speed / knot)) < _WHOLE:
        return f"{speed / knot:.0f} kt"
    return f"{speed / knot:.1f} kt ({speed / kilometre_per_hour:.1f} km/h)"


def _whole(speed: float) -> str:
    """Return a speed that was worked out [m s⁻¹], whole in both units."""
    return f"{speed / knot:.0f} kt ({speed / kilometre_per_hour:.0f} km/h)"


def _feet(length: float) -> str:
    return f"{length / foot:,.0f} ft ({length:,.0f} m)"
