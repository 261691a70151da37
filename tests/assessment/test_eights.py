"""Elementary eights assessed: well flown nothing is said, each error alone is found with its size."""

from __future__ import annotations

from dataclasses import replace
from math import radians
from typing import Any

import numpy as np
import pytest

from groundref.assessment.assess import assess
from groundref.assessment.assessed import Assessed, ElementResult
from groundref.assessment.details import EightFlown
from groundref.debriefing import debrief
from groundref.simulation import simulate
from groundref.units import foot, knot

ALONG, ACROSS, AROUND = "eights-along-a-road", "eights-across-a-road", "eights-around-pylons"
KINDS = (ALONG, ACROSS, AROUND)


def assessed(kind: str, faults: dict[str, float | None] | None = None, **options: Any) -> Assessed:
    """Return one eight as assessed."""
    figures = {
        "true_airspeed": 95 * knot,
        "wind_speed": 15 * knot,
        "wind_from": radians(300),
        "radius": 1600 * foot,
        "height": 700 * foot,
        "laps": 2,
        "recorder": "avionics",
        "seed": 5,
        "flight": "maneuver-only",
    }
    recording, truth = simulate(kind, faults=faults or {}, **{**figures, **options})
    (only,) = debrief(recording, ground=truth.ground_elevation).maneuvers
    assert only.maneuver.kind == kind
    return only


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("direction", ["left", "right"])
@pytest.mark.parametrize("recorder", ["phone", "avionics"])
@pytest.mark.parametrize("wind", [8.0, 22.0])
def test_well_flown_nothing_is_said(kind: str, direction: str, recorder: str, wind: float) -> None:
    one = assessed(kind, direction=direction, recorder=recorder, wind_speed=wind * knot)
    assert [finding.fault for finding in one.findings] == []


@pytest.mark.parametrize(
    ("kind", "fault", "size", "within"),
    [
        *((kind, "bank-held-constant", 1.0, 0.2) for kind in KINDS),
        *((kind, "overbanked-upwind", 8.0, 3.0) for kind in KINDS),
        *((kind, "underbanked-downwind", 8.0, 3.0) for kind in (ALONG, ACROSS)),
        *((kind, "radius-changed", 300.0, 60.0) for kind in KINDS),
        *((kind, "bank-over-limit", 6.0, 3.0) for kind in KINDS),
        *((kind, "altitude-not-held", 250.0, 60.0) for kind in (ALONG, ACROSS)),
        *((kind, "airspeed-not-held", 18.0, 5.0) for kind in KINDS),
        *((kind, "outside-height-band", 200.0, 60.0) for kind in KINDS),
        *((kind, "uncoordinated", 0.1, 0.03) for kind in KINDS),
        *((kind, "straight-legs-not-straight", 12.0, 5.0) for kind in (ACROSS, AROUND)),
        (ACROSS, "wrong-crab", 10.0, 5.0),
        (AROUND, "entry-not-downwind", 110.0, 5.0),
    ],
)
def test_each_error_alone_is_found(kind: str, fault: str, size: float, within: float) -> None:
    radius = 2400.0 if fault in {"straight-legs-not-straight", "wrong-crab"} else 1600.0
    one = assessed(kind, {fault: size}, radius=radius * foot)
    assert [finding.fault for finding in one.findings] == [fault]
    assert one.findings[0].size == pytest.approx(size, abs=within)
    assert one.findings[0].says.endswith(".")
    assert "nan" not in one.findings[0].says + one.findings[0].cure


@pytest.mark.parametrize("kind", [ACROSS, AROUND])
def test_the_ways_between_are_measured(kind: str) -> None:
    one = assessed(kind)
    assert isinstance(one.details, EightFlown)
    legs = one.details.legs
    assert [leg.name for leg in legs] == ["outward", "return", "outward"]
    assert max(abs(leg.off_course) for leg in legs) < radians(2.5)
    # Crab that holds the leg: the wind triangle, with the wind and airspeed flown.
    across = [np.sin(radians(120) - leg.course) * 15.0 / 95.0 for leg in legs]
    np.testing.assert_allclose([leg.crab_needed for leg in legs], -np.arcsin(across), atol=radians(1.0))
    np.testing.assert_allclose([leg.crab for leg in legs], -np.arcsin(across), atol=radians(2.5))


@pytest.mark.parametrize("recorder", ["phone", "avionics"])
def test_the_wings_are_level_over_the_road(recorder: str) -> None:
    one = assessed(ACROSS, recorder=recorder, direction="left")
    (element,) = (each for each in one.elements if each.what.startswith("wings"))
    assert element.worst == pytest.approx(0.0, abs=3.0)
    assert "within the usual 10°" in element.why


def test_banked_over_the_road_is_measured() -> None:
    """The bank of the last loop still on at every crossing: moved so, not flown so."""
    recording, truth = simulate(
        ACROSS,
        wind_speed=15 * knot,
        wind_from=radians(300),
        laps=2,
        recorder="avionics",
        seed=5,
        flight="maneuver-only",
    )
    done = debrief(recording, ground=truth.ground_elevation)
    maneuver = done.maneuvers[0].maneuver
    banked = replace(done.states, bank=done.states.bank + radians(18))
    one = assess(banked, maneuver, done.standard, None)
    (element,) = (each for each in one.elements if each.what.startswith("wings"))
    assert element.worst == pytest.approx(18.0, abs=3.0)
    assert "outside the usual 10°" in element.why


def test_straight_flight_between_pylons_is_as_long_as_the_ways_found() -> None:
    one = assessed(AROUND)
    (element,) = (each for each in one.elements if each.what.startswith("straight flight"))
    ways = [leg.end - leg.start for lap in one.maneuver.laps for leg in lap.legs]
    assert element.worst == pytest.approx(max(ways))
    assert element.why.startswith("No number is printed; flown ")


def test_along_a_road_there_are_no_ways_between() -> None:
    one = assessed(ALONG)
    assert isinstance(one.details, EightFlown)
    assert one.details.legs == ()


def distance(one: Assessed) -> ElementResult:
    """Return the verdict on the distance from the middle of each loop."""
    (element,) = (each for each in one.elements if "mean radius" in each.what)
    return element


@pytest.mark.parametrize("kind", KINDS)
def test_no_usual_distance_is_held_against_loops_that_moved_with_the_wind(kind: str) -> None:
    one = assessed(kind, {"bank-held-constant": None})
    assert distance(one).verdict == "undetermined"
    assert distance(one).worst is not None
    assert "no middle" in distance(one).why
    assert any("not to be relied on" in note for note in one.notes)
    assert one.not_looked_for == ()


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("fault", [None, "radius-changed"])
def test_a_usual_distance_is_held_against_loops_that_stayed(kind: str, fault: str | None) -> None:
    one = assessed(kind, {fault: None} if fault else {})
    assert "the usual 200 ft." in distance(one).why
    assert not any("not to be relied on" in note for note in one.notes)


@pytest.mark.parametrize("fault", [None, "bank-held-constant"])
def test_a_distance_from_a_point_that_was_given_is_one_whatever_the_bank(fault: str | None) -> None:
    recording, truth = simulate(
        "turns-around-a-point",
        faults={fault: None} if fault else {},
        wind_speed=14 * knot,
        recorder="avionics",
        seed=5,
        flight="maneuver-only",
    )
    (place,) = truth.maneuver.places
    latitude, longitude = truth.frame.to_geographic(*place)
    (one,) = debrief(
        recording, ground=truth.ground_elevation, point=(float(latitude), float(longitude))
    ).maneuvers
    assert one.maneuver.reference.source == "given"
    assert distance(one).why.endswith(" the usual 200 ft.")
    (fitted,) = debrief(recording, ground=truth.ground_elevation).maneuvers
    assert ("no middle" in distance(fitted).why) is (fault is not None)
