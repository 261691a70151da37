"""From what an instructor asks for to the inputs of a plan: defaults filled in, and said."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Final, TypeVar

from groundref.aircraft.aircraft import Aircraft
from groundref.aircraft.loading import DEFAULT, load_aircraft
from groundref.errors import UsageError
from groundref.mechanics import airspeed, atmosphere
from groundref.planning import compass
from groundref.planning.around import Around, settled
from groundref.planning.inputs import Inputs
from groundref.planning.kinds import lay_out_of
from groundref.planning.pylon_height import still_air_height
from groundref.standards.loading import load_standard
from groundref.standards.usual import usual
from groundref.units import celsius_zero, degree, foot, hectopascal, knot

Value = TypeVar("Value")

ON_PYLONS: Final = "eights-on-pylons"
ASSUMED: Final = "Assumed: "
"""How a sentence on what was not said begins."""
STANDARD_SETTING = 1013.25 * hectopascal


@dataclass(frozen=True, slots=True)
class Day:
    """The day's air, apart from the wind.

    Attributes
    ----------
    elevation
        Of the ground above mean sea level; 0 when None [m]
    temperature
        At the maneuver's height; the standard atmosphere's when None [K]
    altimeter
        Altimeter setting; the standard one when None [Pa]
    assumptions
        What was assumed to get them, a sentence each.
    """

    elevation: float | None = None
    temperature: float | None = None
    altimeter: float | None = None
    assumptions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Blowing:
    """The wind at the maneuver's height.

    Attributes
    ----------
    speed, direction_from
        [m s⁻¹], true [rad]
    gust
        By how much gusts exceed it [m s⁻¹]
    how
        Where it is from, in plain words.
    assumptions
        What was assumed to get it, a sentence each.
    sd
        Standard deviation of each component; None when unknown [m s⁻¹]
    """

    speed: float
    direction_from: float
    gust: float = 0.0
    how: str = "as given"
    assumptions: tuple[str, ...] = ()
    sd: float | None = None


@dataclass(frozen=True, slots=True)
class Wanted:
    """How the maneuver is to be flown; None leaves it to what is usual.

    Attributes
    ----------
    calibrated_airspeed, true_airspeed
        At most one of them [m s⁻¹]
    radius
        [m]
    bank_limit
        Of steep turns the bank to hold [rad]
    height
        Above the ground [m]
    direction
        `left` or `right`, of the first turn.
    laps
        Laps, half circles, eights, circuits or turns.
    course, spacing
        As in `Inputs` [rad], [m]
    mass
        That the airplane is flown at; that of its file when None [kg]
    """

    calibrated_airspeed: float | None = None
    true_airspeed: float | None = None
    radius: float | None = None
    bank_limit: float | None = None
    height: float | None = None
    direction: str = "left"
    laps: float | None = None
    course: float | None = None
    spacing: float | None = None
    mass: float | None = None


@dataclass(frozen=True, slots=True)
class Where:
    """Where and when.

    Attributes
    ----------
    latitude, longitude
        Of the plan's origin [rad]
    variation
        Magnetic variation there, east positive; by the magnetic model when None, where place and day are
        known [rad]
    when
        A day, or a moment UTC; only a moment tells of daylight.
    """

    latitude: float | None = None
    longitude: float | None = None
    variation: float | None = None
    when: date | None = None


def filled_in(
    kind: str,
    *,
    aircraft: Aircraft | str | None = None,
    wind: Blowing | None = None,
    wanted: Wanted | None = None,
    day: Day | None = None,
    where: Where | None = None,
    around: Around | None = None,
    standard: str = "private-pilot",
) -> Inputs:
    """Return the inputs of a plan.

    Parameters
    ----------
    kind
        Such as `turns-around-a-point`.
    aircraft
        An airplane, its name or its file; the default one when None.
    wind, wanted, day, where, around
        What is known; what is None is taken as usual, and said in the inputs' ``assumptions``.
    standard
        Name or file of the standard to plan by.

    Raises
    ------
    UsageError
        When a name is unknown or two airspeeds are given.
    InputError
        When a file cannot be read, or the day is outside the span of the magnetic model.
    """
    lay_out_of(kind)
    wanted, day, where = wanted or Wanted(), day or Day(), where or Where()
    if wanted.direction not in {"left", "right"}:
        raise UsageError(f"{wanted.direction!r} is not a direction", "direction", "choose left or right")
    airplane = aircraft if isinstance(aircraft, Aircraft) else load_aircraft(aircraft or DEFAULT)
    if wanted.mass is not None:
        airplane = airplane.at_mass(wanted.mass)
    habit, assumed = usual(kind), list[str]()
    height = working_height(kind, airplane, wanted, day)
    if wanted.height is None and kind != ON_PYLONS:
        assumed.append(f"{ASSUMED}{height / foot:,.0f} ft above the ground.")
    elevation = _or(day.elevation, 0.0, "ground at mean sea level", assumed)
    altimeter = _or(day.altimeter, STANDARD_SETTING, "altimeter setting 29.92 inHg (1013 hPa)", assumed)
    pressure = float(atmosphere.pressure_altitude_from_indicated(elevation + height, altimeter))
    standard_air = float(atmosphere.temperature(pressure))
    words = f"{standard_air - celsius_zero:.0f} °C up there, the standard atmosphere's"
    temperature = _or(day.temperature, standard_air, words, assumed)
    calibrated, true = _speeds(wanted, airplane, pressure, temperature, assumed)
    blowing = _or(wind, Blowing(0.0, 0.0, how="calm, as none was given"), "no wind", assumed)
    variation, of_variation = where.variation, tuple[str, ...]()
    if variation is None:
        variation, of_variation = compass.variation(
            where.latitude, where.longitude, elevation + height, where.when
        )
    return Inputs(
        kind=kind,
        aircraft=airplane,
        calibrated_airspeed=calibrated,
        true_airspeed=true,
        wind_speed=blowing.speed,
        wind_from=blowing.direction_from,
        gust=blowing.gust,
        wind_how=blowing.how,
        wind_sd=blowing.sd,
        height=height,
        elevation=elevation,
        temperature=temperature,
        altimeter=altimeter,
        side=1.0 if wanted.direction == "right" else -1.0,
        laps=habit.laps if wanted.laps is None else wanted.laps,
        bank_limit=_limit(kind, standard) if wanted.bank_limit is None else wanted.bank_limit,
        bank_limit_given=wanted.bank_limit is not None,
        radius=wanted.radius,
        course=wanted.course,
        spacing=wanted.spacing,
        latitude=where.latitude,
        longitude=where.longitude,
        variation=variation,
        when=where.when if isinstance(where.when, datetime) else None,
        day=where.when.date() if isinstance(where.when, datetime) else where.when,
        standard=standard,
        assumptions=(*blowing.assumptions, *day.assumptions, *of_variation, *assumed),
        around=settled(around or Around(), where.latitude, where.longitude),
    )


def working_height(kind: str, airplane: Aircraft, wanted: Wanted, day: Day) -> float:
    """Return the height above the ground that the day's air is taken for [m].

    The one asked for; else on pylons that in still air, which follows from the airspeed, and of other kinds
    the usual one.

    Parameters
    ----------
    kind
        Such as `eights-on-pylons`.
    airplane
        Its practice speed is flown where no airspeed is asked for.
    wanted, day
        What is known.
    """
    if wanted.height is not None:
        return wanted.height
    habit = usual(kind).height
    if kind != ON_PYLONS:
        return habit
    return still_air_height(
        calibrated_airspeed=wanted.calibrated_airspeed or airplane.practice_speed,
        true_airspeed=wanted.true_airspeed,
        elevation=day.elevation or 0.0,
        temperature=day.temperature,
        altimeter=day.altimeter or STANDARD_SETTING,
        start=habit,
    )


def _or(given: Value | None, otherwise: Value, words: str, assumed: list[str]) -> Value:
    """Return what was given; else what is usual, and note that it was assumed."""
    if given is not None:
        return given
    assumed.append(f"{ASSUMED}{words}.")
    return otherwise


def _speeds(
    wanted: Wanted, airplane: Aircraft, pressure: float, temperature: float, assumed: list[str]
) -> tuple[float, float]:
    """Return calibrated and true airspeed [m s⁻¹]."""
    if wanted.calibrated_airspeed is not None and wanted.true_airspeed is not None:
        raise UsageError("two airspeeds are given", "airspeed", "give the indicated or the true one")
    if wanted.true_airspeed is not None:
        back = airspeed.calibrated_airspeed(wanted.true_airspeed, pressure, temperature)
        return float(back), wanted.true_airspeed
    words = f"{airplane.practice_speed / knot:.0f} kt, the airplane's practice speed"
    calibrated = _or(wanted.calibrated_airspeed, airplane.practice_speed, words, assumed)
    return calibrated, float(airspeed.true_airspeed(calibrated, pressure, temperature))


def _limit(kind: str, standard: str) -> float:
    """Return the bank to hold by the standard, else the one not to exceed [rad]."""
    task = load_standard(standard).task(kind)
    held = [e.target for e in (task.elements if task else ()) if e.quantity == "bank-held" and e.target]
    return held[0] * degree if held else usual(kind).bank
