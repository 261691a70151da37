"""What the address of the page asks for, and the address of a plan that was kept."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any, Final
from urllib.parse import parse_qsl, urlencode

from groundref.aircraft.loading import aircraft_names, parse_aircraft
from groundref.asking.plan import STANDARD, PlanAsked
from groundref.asking.surroundings import Lying
from groundref.asking.weather import Said
from groundref.errors import GroundrefError, OutOfRangeError, UsageError
from groundref.standards.loading import standard_names
from groundref.web import typed
from groundref.web.planning.fields import KINDS, Field, fields, metric_inputs
from groundref.web.planning.fleet import NONE, Airplanes

WAS: Final = "was"
_LONGEST: Final = 600  # letters of one field; a METAR with remarks has 200
_WEATHER: Final = frozenset(Said.__dataclass_fields__) - {"wind_file"}  # no file of this machine is read
_AROUND: Final = frozenset(Lying.__dataclass_fields__)
_OPTION: Final = re.compile(r"--[a-z][a-z-]*[a-z]")
_PLACES: Final = {"METAR": "metar", "winds aloft": "winds_aloft", "wind": "wind"}  # as reports are refused


def filled_in(query: Mapping[str, str]) -> dict[str, str]:
    """Return what each field of the form is filled in with; those left empty are left out.

    Parameters
    ----------
    query
        Parameters of the address.
    """
    said = {name: query.get(name, "").strip()[:_LONGEST] for name in fields()}
    if "after" not in query and said["direction"] == "left":
        said["direction"] = ""  # usual, where no lesson says otherwise
    return {"maneuver": KINDS[0], **{name: text for name, text in said.items() if text}}


def of_form(query: Mapping[str, str]) -> tuple[dict[str, str], bool]:
    """Return what the form was filled in with by hand, and whether its own address says it otherwise.

    Fields of a form in metric units are turned, and one that still is as the lesson before filled it in is
    as if it were empty: that way it stays that lesson's.

    Parameters
    ----------
    query
        As sent. `was` has each field that was filled in for the reader, and with what.
    """
    was = dict(parse_qsl(query.get(WAS, "")))
    by_hand = {
        name: text for name, text in query.items() if was.get(name, "").split() != text.split() or not text
    }
    return (
        filled_in(typed.in_address(by_hand, metric_inputs())),
        WAS in query or typed.EXACT in query or not metric_inputs().keys().isdisjoint(query),
    )


def address(said: Mapping[str, str]) -> str:
    """Return the part of the address behind the question mark."""
    return urlencode(said)


def asked(said: Mapping[str, str], airplanes: Airplanes = NONE) -> PlanAsked:
    """Return what is asked for.

    Parameters
    ----------
    said
        What the fields are filled in with.
    airplanes
        Data files of those that may be chosen beside the package's own, by name.

    Raises
    ------
    UsageError
        When a number is none or there is no such choice; it names the option.
    InputError
        When the data file of the airplane does not fit.
    """
    every = fields()
    values: dict[str, Any] = {
        name: parse_aircraft(airplanes[text], "--aircraft")
        if name == "aircraft" and text in airplanes
        else _value(every[name], text)
        for name, text in said.items()
        if name != "after"
    }
    weather = {name: values.pop(name) for name in list(values) if name in _WEATHER}
    around = {name: values.pop(name) for name in list(values) if name in _AROUND}
    return PlanAsked(**values, weather=Said(**weather), around=Lying(**around))


def unreadable(said: Mapping[str, str], *, metric: bool = False) -> dict[str, str]:
    """Return what is wrong with each field that cannot be read, whatever else is.

    Parameters
    ----------
    said
        What the fields are filled in with.
    metric
        Whether the form was filled in in metric units.
    """
    every, found = fields(), {}
    for name, text in said.items():
        try:
            if name == "after":
                lesson_before(said)
            elif name != "aircraft":  # the record may have further ones
                _value(every[name], text)
        except UsageError as problem:
            _, found[name] = wrong(problem, said, metric=metric)
    return found


def lesson_before(said: Mapping[str, str]) -> int | None:
    """Return the lesson that the plan is the next exercise after, None where none is named."""
    text = said.get("after")
    if text is None:
        return None
    if not text.isdecimal() or len(text) > 9:
        raise UsageError(f"{text!r} is no number of a lesson", "--after", "write one such as 12")
    return int(text)


def _value(field: Field, text: str) -> object:
    match field.looks:
        case "number":
            return _number(field, text)
        case "choice":
            if text not in {value for value, _ in field.choices} | _usual(field):
                raise UsageError(f"there is no {text[:40]!r}", field.option, "choose one of the list")
            return text
        case "tick":
            return text == "on"
    if field.name == "winds_aloft":
        return tuple(typed.points(line.strip()) for line in text.splitlines() if line.strip())
    words = " ".join(text.split())
    return typed.points(words) if field.name in ("wind", "landing_from_point") else words


def _usual(field: Field) -> frozenset[str]:
    """Return the names of what an empty choice stands for, which an address may say, too."""
    return {
        "aircraft": frozenset(aircraft_names()),
        "standard": frozenset(standard_names()),
        "surface": frozenset({"open"}),
        "growth": frozenset({"power"}),
        "rules": frozenset({"us"}),
    }.get(field.name, frozenset())


def _number(field: Field, text: str) -> float:
    return typed.number(text, field.option)


def wrong(problem: GroundrefError, said: Mapping[str, str], *, metric: bool = False) -> tuple[str, str]:
    """Return the field that a refusal concerns, empty where none does, and a sentence in the form's words.

    Parameters
    ----------
    problem
        Of what was asked for.
    said
        What the fields are filled in with.
    metric
        Whether the form was filled in in metric units.
    """
    named = _OPTION.search(problem.where)
    name = named.group()[2:].replace("-", "_") if named else _PLACES.get(problem.where, "")
    what, remedy = problem.what, problem.remedy
    if metric and isinstance(problem, UsageError):
        what, remedy = typed.refusal(problem, name)
    if isinstance(problem, OutOfRangeError) and name in said and fields()[name].looks == "number":
        what, remedy = _out_of_range(problem, fields()[name], said[name], remedy, metric=metric)
    sentence = in_labels(f"{what}; {remedy}" if remedy else what, metric=metric)
    return (name if name in fields() else ""), f"{sentence[:1].upper()}{sentence[1:]}."


def _out_of_range(
    problem: OutOfRangeError, field: Field, text: str, remedy: str, *, metric: bool
) -> tuple[str, str]:
    """Return what is wrong with a number, as it was typed, and what to give, in the field's unit."""
    if metric and typed.unit_of(field.name):
        return f"{typed.shown(field.name, text)} is out of range", remedy
    return f"{text} is out of range", f"give {problem.low:g} to {problem.high:g}{field.unit}"


def in_labels(sentence: str, *, metric: bool = False) -> str:
    """Return a sentence with the label of a field for each option that it names."""
    every = fields(metric=metric)
    return _OPTION.sub(lambda found: _label(every, found.group()), sentence)


def _label(every: Mapping[str, Field], option: str) -> str:
    field = every.get(option[2:].replace("-", "_"))
    return option if field is None else f"“{field.own_name}”"


def of_kept(document: bytes, airplanes: Airplanes = NONE) -> str:
    """Return the address of a plan that was kept, from its JSON: its wind, air and place as figures.

    Parameters
    ----------
    document
        `groundref/plan/1`.
    airplanes
        As of ``asked``.
    """
    plain = json.loads(document)
    given, around = plain["inputs"], plain["safety"]["heights"]
    gust = "" if given["gust_kt"] is None else f"G{given['gust_kt']:g}"
    known = given["aircraft"] in {*aircraft_names(), *airplanes}
    names = (
        "tas_kt", "height_ft", "elevation_ft", "oat_c", "altimeter_inhg", "laps", "radius_ft",
        "course_deg", "spacing_ft", "variation_deg", "surroundings", "obstacle_ft",
    )  # fmt: skip
    said: dict[str, Any] = {
        "maneuver": plain["maneuver"],
        "aircraft": given["aircraft"] if known else None,
        "mass_kg": given["mass_kg"] if known else None,
        "direction": given["direction"],
        "wind": f"{given['wind_from_deg']:g}/{given['wind_kt']:g}{gust}" if given["wind_kt"] else None,
        **{name: given.get(name, around.get(name)) for name in names},
        "rules": around["rules"],
        "max_bank_deg": given["max_bank_deg"] if given["max_bank_given"] else None,
        "point": None if given["lat"] is None else f"{given['lat']},{given['lon']}",
        "when": given["when"] or given["day"],
        "standard": given["standard"] if given["standard"] in standard_names() else None,
    }
    usual = {"direction": "left", "standard": STANDARD, "rules": "us"}
    every = fields()
    return address(
        {
            name: f"{value:g}" if isinstance(value, float | int) else value
            for name, value in said.items()
            if value is not None and usual.get(name) != value and plain["maneuver"] in every[name].kinds
        }
    )
