"""What a plan takes over from the lesson before, as its form shows it: each field, and where it is from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import degrees
from typing import Final

from groundref.asking.plan import PlanAsked, next_after
from groundref.errors import InputError, NoSolutionError, UsageError
from groundref.planning import Wanted
from groundref.planning.ladder import Next
from groundref.planning.last_flown import Last
from groundref.units import degree, foot, knot
from groundref.web.planning.address import asked, wrong
from groundref.web.planning.fields import fields
from groundref.web.planning.fleet import Airplanes

_TRIES: Final = 4  # fields that are wrong at once


@dataclass(frozen=True, slots=True)
class Filled:
    """A field that is filled in for the reader.

    Attributes
    ----------
    text
        As the address would have it.
    says
        Where it is from.
    """

    text: str
    says: str


def filled(said: Mapping[str, str], airplanes: Airplanes, last: Last) -> dict[str, Filled]:
    """Return what the lesson before fills in: what is used of it and stands in a field that is left empty.

    Parameters
    ----------
    said
        What the fields are filled in with by hand; one that makes no sense is passed over.
    airplanes
        As of ``asked``.
    last
        What was flown.
    """
    sound = dict(said)
    for _ in range(_TRIES):
        try:
            wanted = asked(sound, airplanes)
            following, variation = next_after(wanted, last)
        except (InputError, NoSolutionError, UsageError) as problem:
            field, _ = wrong(problem, sound)
            if field not in sound or field == "maneuver":
                return {}
            del sound[field]
            continue
        return _of(following, wanted, said, last, variation or 0.0)
    return {}


def _of(
    following: Next, wanted: PlanAsked, said: Mapping[str, str], last: Last, variation: float
) -> dict[str, Filled]:
    day = "the last lesson" if last.day is None else f"the lesson of {last.day.day} {last.day:%B %Y}"
    every, kind = fields(), said["maneuver"]
    turned = degrees(variation) if wanted.weather.magnetic else 0.0
    found = {
        **_flown(following.wanted, turned),
        **_about(following, wanted, turned),
    }
    flown, proposed = _flown(following.flown, turned), _flown(following.wanted, turned)
    return {
        name: Filled(
            text, f"proposed after {day}" if proposed.get(name) != flown.get(name) else f"from {day}"
        )
        for name, text in found.items()
        if name not in said and kind in every[name].kinds
    }


def _flown(wanted: Wanted, turned: float) -> dict[str, str]:
    """Return how it is to be flown, field by field."""
    course = None if wanted.course is None else (wanted.course / degree - turned) % 360.0
    speed = None if wanted.calibrated_airspeed is not None else wanted.true_airspeed
    numbers = {
        "radius_ft": _number(wanted.radius, foot),
        "max_bank_deg": _number(wanted.bank_limit, degree),
        "laps": _number(wanted.laps, 1.0),
        "course_deg": _number(course, 1.0),
        "spacing_ft": _number(wanted.spacing, foot),
        "tas_kt": _number(speed, knot),
    }
    return {"direction": wanted.direction, **{name: text for name, text in numbers.items() if text}}


def _about(following: Next, wanted: PlanAsked, turned: float) -> dict[str, str]:
    """Return wind, ground, place and day, as far as the lesson gives them."""
    found = {}
    weather, wind, where = wanted.weather, following.wind, following.where
    if wind is not None and not (weather.wind or weather.metar or weather.winds_aloft or weather.wind_file):
        whence = (wind.direction_from / degree - turned) % 360.0
        found["wind"] = f"{_number(whence, 1.0)}/{_number(wind.speed, knot)}"
    if following.day.elevation is not None:
        found["elevation_ft"] = _number(following.day.elevation, foot)
    if weather.point is None and where.latitude is not None and where.longitude is not None:
        found["point"] = f"{degrees(where.latitude):.6f},{degrees(where.longitude):.6f}"
    if weather.when is None and weather.metar is None and where.when is not None:
        found["when"] = where.when.isoformat()[:10]
    return found


def _number(value: float | None, unit: float) -> str:
    """Return a number in the steps that the plan takes it over in; empty where there is none."""
    return "" if value is None else f"{round(value / unit, 1):g}"
