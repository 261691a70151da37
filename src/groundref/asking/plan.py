"""A plan from what is asked for in words."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Final

from groundref.aircraft.aircraft import Aircraft
from groundref.aircraft.loading import DEFAULT, load_aircraft
from groundref.asking import words
from groundref.asking.by_option import by_option
from groundref.asking.surroundings import Lying
from groundref.asking.unused import refuse_unused
from groundref.asking.weather import Said, Weather, weather
from groundref.planning import Day, Plan, Wanted, compass
from groundref.planning import plan as make
from groundref.planning.asked import working_height
from groundref.planning.kinds import lay_out_of
from groundref.planning.ladder import Next, propose
from groundref.planning.last_flown import Last
from groundref.units import degree, foot, knot

STANDARD: Final = "private-pilot"


@dataclass(frozen=True, slots=True)
class PlanAsked:
    """What is asked for, as typed; None where nothing was.

    Attributes
    ----------
    maneuver
        Its kind.
    aircraft
        An airplane, its name or its file.
    ias_kt, tas_kt, mass_kg, radius_ft, max_bank_deg, height_ft, direction, laps, course_deg, spacing_ft
        How it is to be flown.
    elevation_ft
        Of the ground.
    standard
        Name or file of the standard to plan by.
    weather, around
        Wind, air, day and place; what lies around.
    """

    maneuver: str
    aircraft: Aircraft | str | None = None
    ias_kt: float | None = None
    tas_kt: float | None = None
    mass_kg: float | None = None
    radius_ft: float | None = None
    max_bank_deg: float | None = None
    height_ft: float | None = None
    direction: str | None = None
    laps: float | None = None
    course_deg: float | None = None
    spacing_ft: float | None = None
    elevation_ft: float | None = None
    standard: str = STANDARD
    weather: Said = field(default_factory=Said)
    around: Lying = field(default_factory=Lying)

    def wanted(self) -> Wanted:
        """Return how it is to be flown, in SI units.

        Raises
        ------
        UsageError
            When a number is out of range.
        """
        return Wanted(
            calibrated_airspeed=_si(self.ias_kt, knot, 30, 250, "--ias-kt"),
            true_airspeed=_si(self.tas_kt, knot, 30, 250, "--tas-kt"),
            radius=_si(self.radius_ft, foot, 200, 16000, "--radius-ft"),
            bank_limit=_si(self.max_bank_deg, degree, 5, 60, "--max-bank-deg"),
            height=_si(self.height_ft, foot, 200, 10000, "--height-ft"),
            direction=self.direction or "left",
            laps=_si(self.laps, 1.0, 0.25, 100, "--laps"),
            course=_si(self.course_deg, degree, 0, 360, "--course-deg"),
            spacing=_si(self.spacing_ft, foot, 200, 40000, "--spacing-ft"),
            mass=_si(self.mass_kg, 1.0, 50, 10000, "--mass-kg"),
        )


def planned(asked: PlanAsked, last: Last | None = None) -> Plan:
    """Return the plan that is asked for.

    Parameters
    ----------
    asked
        In words.
    last
        What was flown last, where the plan is for the next exercise after it.

    Raises
    ------
    UsageError
        When options contradict each other, lie out of range or have no use; it names the option.
    NoSolutionError
        When nothing of the kind can be flown so.
    InputError
        When a report or a file cannot be read.
    """
    wanted, air = _understood(asked, last)
    with by_option(air.wind_option or ("--wind" if last is None else "--ladder")):
        following = None if last is None else _following(asked, last, wanted, air)
        made = make(
            asked.maneuver,
            aircraft=asked.aircraft,
            wind=following.wind if following else air.wind,
            wanted=following.wanted if following else wanted,
            day=following.day if following else air.day,
            where=following.where if following else air.where,
            around=asked.around.settled(),
            standard=asked.standard,
        )
    return made if following is None else replace(made, ladder=following.steps)


def next_after(asked: PlanAsked, last: Last) -> tuple[Next, float | None]:
    """Return what is planned from after a debrief, and the magnetic variation that was typed in or found.

    Parameters
    ----------
    asked, last
        As of ``planned``.

    Raises
    ------
    UsageError, NoSolutionError, InputError
        As ``planned`` does.
    """
    wanted, air = _understood(asked, last)
    with by_option(air.wind_option or "--ladder"):
        return _following(asked, last, wanted, air), air.variation


def _understood(asked: PlanAsked, last: Last | None) -> tuple[Wanted, Weather]:
    """Return how it is to be flown and in what weather, as far as asked for."""
    lay_out_of(asked.maneuver)  # refuses what is none before anything else
    elevation = _si(asked.elevation_ft, foot, -2000, 15000, "--elevation-ft")
    if elevation is None and last is not None and asked.weather.point is None:
        elevation = last.elevation
    wanted = asked.wanted()
    refuse_unused(asked.maneuver, wanted)
    air = _weather(asked, wanted, elevation)
    if asked.weather.magnetic and wanted.course is not None:
        wanted = replace(wanted, course=compass.true_from(wanted.course, air.variation))
    return wanted, air


def _following(asked: PlanAsked, last: Last, wanted: Wanted, air: Weather) -> Next:
    return propose(
        last,
        wanted,
        wind=air.wind,
        day=air.day,
        where=air.where,
        direction_given=asked.direction is not None,
    )


def _weather(asked: PlanAsked, wanted: Wanted, elevation: float | None) -> Weather:
    """Return the weather at the maneuver's height, which on pylons hangs on the temperature in turn."""
    plane = asked.aircraft
    airplane = plane if isinstance(plane, Aircraft) else load_aircraft(plane or DEFAULT)
    height = working_height(asked.maneuver, airplane, wanted, Day(elevation=elevation))
    first = weather(asked.weather, elevation=elevation, height=height)
    settled = working_height(asked.maneuver, airplane, wanted, first.day)
    return first if settled == height else weather(asked.weather, elevation=elevation, height=settled)


def _si(value: float | None, unit: float, low: float, high: float, option: str) -> float | None:
    """Return the value of an option in SI when it lies in its range; None where it was not given."""
    return None if value is None else words.within(value, low, high, option) * unit
