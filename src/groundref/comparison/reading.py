"""A plan read back from its JSON, as far as a flight is compared with it."""

from __future__ import annotations

from math import isfinite
from typing import Final

from msgspec import Struct

from groundref import documents
from groundref.errors import InputError
from groundref.planning import Blowing, Day, Plan, Wanted, Where
from groundref.planning import plan as make
from groundref.units import celsius_zero, degree, foot, inch_hg, knot

SCHEMA: Final = "groundref/plan/1"
_REMEDY: Final = "give the file that groundref plan --json wrote"


class _Inputs(Struct):
    """The inputs of a plan; what other programs add is let be."""

    tas_kt: float
    wind_from_deg: float
    wind_kt: float
    height_ft: float
    elevation_ft: float
    oat_c: float
    altimeter_inhg: float
    direction: str
    laps: float
    max_bank_deg: float
    max_bank_given: bool
    radius_ft: float | None
    standard: str
    course_deg: float | None = None
    spacing_ft: float | None = None
    lat: float | None = None
    lon: float | None = None
    gust_kt: float | None = None
    wind_how: str = "as given"


class _File(Struct):
    schema: str
    maneuver: str
    inputs: _Inputs


def read_plan(path: str) -> Plan:
    """Read a plan from the file that ``groundref plan --json`` wrote, and make it anew.

    The airplane is not looked for again: nothing that is compared with a flight depends on it but through the
    true airspeed, which is in the file.

    Parameters
    ----------
    path
        Of the JSON.

    Raises
    ------
    InputError
        When there is no such file, it cannot be read or is not a plan.
    """
    return parse_plan(documents.content_of(path, _REMEDY), path)


def parse_plan(content: bytes, where: str) -> Plan:
    """Read a plan from the bytes of its JSON; ``where`` names it in messages."""
    file = documents.parse(content, where, _File, schema=SCHEMA, noun="a plan", remedy=_REMEDY)
    _check(file.inputs, where)
    asked = file.inputs
    return make(
        file.maneuver,
        wind=Blowing(
            speed=asked.wind_kt * knot,
            direction_from=asked.wind_from_deg * degree,
            gust=0.0 if asked.gust_kt is None else max(asked.gust_kt - asked.wind_kt, 0.0) * knot,
            how=asked.wind_how,
        ),
        wanted=Wanted(
            true_airspeed=asked.tas_kt * knot,
            radius=None if asked.radius_ft is None else asked.radius_ft * foot,
            bank_limit=asked.max_bank_deg * degree if asked.max_bank_given else None,
            height=asked.height_ft * foot,
            direction=asked.direction,
            laps=asked.laps,
            course=None if asked.course_deg is None else asked.course_deg * degree,
            spacing=None if asked.spacing_ft is None else asked.spacing_ft * foot,
        ),
        day=Day(
            elevation=asked.elevation_ft * foot,
            temperature=asked.oat_c + celsius_zero,
            altimeter=asked.altimeter_inhg * inch_hg,
        ),
        where=Where(
            latitude=None if asked.lat is None else asked.lat * degree,
            longitude=None if asked.lon is None else asked.lon * degree,
        ),
        standard=asked.standard,
    )


def _check(asked: _Inputs, where: str) -> None:
    for name in asked.__struct_fields__:
        value = getattr(asked, name)
        if isinstance(value, float) and not isfinite(value):
            raise InputError(f"{value} is not a number to plan with", f"{where}: inputs.{name}", _REMEDY)
