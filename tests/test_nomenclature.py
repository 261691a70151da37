"""The nomenclature page keeps up with the records of the project."""

from __future__ import annotations

import re
from dataclasses import fields
from pathlib import Path

import pytest

from groundref.aircraft.aircraft import Aircraft
from groundref.assessment.assessed import Assessed, ElementResult, Finding, Held, Profile
from groundref.assessment.details import (
    CornerFlown,
    CourseFlown,
    Crossing,
    LegFlown,
    LineFlown,
    PivotalFlown,
    Segment,
    SteepFlown,
    SteepTurn,
)
from groundref.assessment.pattern import PatternFlown
from groundref.detection.candidate import Candidate, Ground
from groundref.detection.maneuver import Entry, Lap, Leg, Maneuver, Reference
from groundref.estimation.states import States
from groundref.estimation.wind_value import Wind
from groundref.geo.declination import Declination
from groundref.planning.daylight import Daylight
from groundref.planning.engine_out import EngineOut, Landing
from groundref.planning.fit import Fit
from groundref.planning.heights import Heights
from groundref.planning.inputs import Inputs
from groundref.planning.margins import Margins
from groundref.planning.quiet import Quiet
from groundref.planning.safety import ThinAir
from groundref.planning.schedule import Extremes, Schedule
from groundref.planning.sight_picture import RollIn
from groundref.standards.standard import Element
from groundref.track.recording import Recording
from groundref.track.track import Track
from groundref.weather.metar import SurfaceReport
from groundref.weather.wind_used import WindUsed
from groundref.weather.winds_aloft import WindAloft

PAGE = Path(__file__).parents[1] / "docs" / "nomenclature.md"

# Fields that hold no quantity: records within records, and words.
NOT_QUANTITIES = {
    "airspeed",  # a Held
    "as_planned",  # the plan, laid on the flight
    "details",  # what is particular to a kind
    "elements",
    "findings",
    "format",
    "frame",
    "gaps",
    "maneuver",
    "name",
    "not_looked_for",  # sentences
    "notes",
    "profile",
    "recording",
    "rejected",
    "samples",
    "source",
    "title",
    "wind",  # a Wind
}


@pytest.mark.parametrize(
    "record",
    [
        Aircraft,
        Assessed,
        Element,
        ElementResult,
        Entry,
        Finding,
        Held,
        Lap,
        Maneuver,
        Reference,
        Leg,
        Candidate,
        Ground,
        Crossing,
        LineFlown,
        LegFlown,
        CornerFlown,
        CourseFlown,
        PatternFlown,
        Segment,
        PivotalFlown,
        SteepTurn,
        SteepFlown,
        Profile,
        Recording,
        States,
        Track,
        Wind,
        Margins,
        Heights,
        EngineOut,
        Landing,
        Quiet,
        Daylight,
        ThinAir,
        Declination,
        SurfaceReport,
        WindAloft,
        WindUsed,
        Inputs,
        Schedule,
        Extremes,
        Fit,
        RollIn,
    ],
)
def test_every_quantity_is_on_the_page(record: type) -> None:
    named = set(re.findall(r"`([a-z_]+)`", PAGE.read_text(encoding="utf-8")))
    missing = {field.name for field in fields(record)} - named - NOT_QUANTITIES
    assert not missing, f"docs/nomenclature.md does not name {sorted(missing)}"
