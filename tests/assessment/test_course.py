"""How rectangular courses and circuits of an airport were flown, against the truth of the simulation."""

from __future__ import annotations

from functools import lru_cache
from math import radians

import numpy as np
import pytest

from groundref.assessment.assessed import Assessed
from groundref.assessment.details import CourseFlown
from groundref.assessment.faults.mention import laps_that_show
from groundref.debriefing import Debrief, debrief
from groundref.errors import UsageError
from groundref.simulation import Truth, Weather, compose, simulate
from groundref.simulation.circuits import Circuits, Runway
from groundref.simulation.rectangular_course import FAULTS_THAT_APPLY
from groundref.units import degree, foot, knot


@lru_cache(maxsize=64)
def lesson(
    fault: str | None = None,
    *,
    given: bool = False,
    recorder: str = "avionics",
    wind_kt: float = 12.0,
    course_deg: float | None = None,
    seed: int = 1,
) -> tuple[Assessed, Truth]:
    recording, truth = simulate(
        "rectangular-course",
        wind_speed=wind_kt * knot,
        wind_from=radians(240),
        course=None if course_deg is None else radians(course_deg),
        laps=2,
        faults={fault: None} if fault else {},
        recorder=recorder,
        seed=seed,
        flight="maneuver-only",
    )
    first, second, third, fourth = (
        (float(latitude), float(longitude))
        for latitude, longitude in (truth.frame.to_geographic(*at) for at in truth.maneuver.places)
    )
    corners = (first, second, third, fourth) if given else None
    (assessed,) = debrief(recording, ground=truth.ground_elevation, corners=corners).maneuvers
    return assessed, truth


def course(assessed: Assessed) -> CourseFlown:
    assert isinstance(assessed.details, CourseFlown)
    return assessed.details


@pytest.mark.parametrize("course_deg", [None, 95.0])
def test_crab_and_heading_changes_are_those_needed_when_well_flown(course_deg: float | None) -> None:
    """FAA-H-8083-3C, p. 7-6: more than 90° out of downwind and into it, less than 90° the others."""
    assessed, _ = lesson(course_deg=course_deg, wind_kt=20.0)
    flown = course(assessed)
    assert [leg.name for leg in flown.legs] == ["downwind", "base", "upwind", "crosswind"] * 2
    for leg in flown.legs:
        assert abs(leg.crab - leg.crab_needed) < 3.0 * np.hypot(leg.crab_sd, 0.7 * degree)
        assert abs(leg.off_course) < 2.0 * degree
        assert abs(leg.distance) < 60 * foot
    for corner in flown.corners:
        assert abs(corner.track_turn) == pytest.approx(90 * degree, abs=3 * degree)
        assert corner.heading_turn == pytest.approx(corner.heading_turn_needed, abs=3 * degree)
        more = corner.name in {"downwind to base", "crosswind to downwind"}
        assert (abs(corner.heading_turn) > 90 * degree) is more
        assert abs(corner.overshoot) < 80 * foot
    assert flown.entry_angle == pytest.approx(45 * degree, abs=3 * degree)


def test_distances_from_a_given_boundary_are_true_ones() -> None:
    assessed, truth = lesson(given=True)
    flown = course(assessed)
    for leg in flown.legs:
        assert leg.distance == pytest.approx(truth.maneuver.radius, abs=3.0 * leg.distance_sd + 15.0)
    inside = np.isfinite(flown.outside)
    assert inside.size == assessed.maneuver.last - assessed.maneuver.first + 1
    assert 0.4 < inside.mean() < 0.8  # legs, not turns


def test_well_flown_courses_have_nothing_said_about_them() -> None:
    for seed in range(1, 5):
        for given in (True, False):
            assessed, _ = lesson(given=given, seed=seed, recorder=("phone", "avionics")[seed % 2])
            assert assessed.findings == ()


@pytest.mark.parametrize("fault", sorted(FAULTS_THAT_APPLY))
def test_each_fault_is_found_alone_and_of_its_size(fault: str) -> None:
    assessed, truth = lesson(fault, given=True)
    assert [each.fault for each in assessed.findings] == [fault]
    (finding,) = assessed.findings
    size = abs(truth.maneuver.faults[fault])
    assert finding.size == pytest.approx(size, rel=0.3, abs=3.0 * finding.size_sd)
    assert finding.start <= finding.end
    assert finding.says.endswith(".")
    assert finding.cure.endswith(".")


def test_uneven_legs_cannot_be_told_from_a_longer_field_without_its_corners() -> None:
    assessed, _ = lesson("leg-distance-uneven")
    assert assessed.findings == ()
    (element,) = (each for each in assessed.elements if "distance from each side" in each.what)
    assert (element.verdict, element.worst) == ("undetermined", None)
    assert "corners" in element.why
    (said,) = assessed.not_looked_for
    assert "uneven" in said
    assert "--corners" in said


def test_with_the_corners_everything_was_looked_for() -> None:
    assessed, _ = lesson("leg-distance-uneven", given=True)
    assert assessed.not_looked_for == ()


def test_wrong_crab_shows_without_the_corners_because_opposite_legs_turn_opposite_ways() -> None:
    assessed, _ = lesson("wrong-crab")
    (finding,) = assessed.findings
    assert finding.fault == "wrong-crab"
    assert finding.position in {"base and crosswind legs", "crosswind and base legs"}
    assert "more than was flown" in finding.cure
    first, other = finding.position.removesuffix(" legs").split(" and ")
    assert f"{first} leg: the nose was" in finding.says
    assert f"so did that of the {other} leg, " in finding.says
    assert f"The {other} leg needs " in finding.cure


def test_no_crab_has_no_side() -> None:
    """Too little crab by all of it leaves the nose on the leg, neither right nor left of it."""
    assessed, _ = lesson("wrong-crab")
    (finding,) = assessed.findings
    assert " 0° " not in finding.says + finding.cure


def test_a_lap_is_named_once_however_many_legs_of_one_name_it_has() -> None:
    laps, _, _ = laps_that_show([(1, 0.12, 0.01), (1, 0.11, 0.01), (2, 0.12, 0.01)], 0.07)
    assert laps == (1, 2)


def test_entry_angle_is_compared_with_45_degrees() -> None:
    assessed, _ = lesson()
    (element,) = (each for each in assessed.elements if each.what.startswith("entered"))
    assert element.worst == pytest.approx(0.0, abs=3.0)


RUNWAY = Runway(300.0, -200.0, radians(240))


@lru_cache(maxsize=8)
def circuits(ending: str, side: float, overshoot: float, *, given: bool = True) -> tuple[Debrief, Truth]:
    weather = Weather.blowing(15 * knot, radians(215), height=1000 * foot)
    flown = Circuits(RUNWAY, weather, 85 * knot, times=2, side=side, ending=ending, overshoot=overshoot)
    recording, truth = compose(flown.legs(), RUNWAY.lined_up(), weather=weather)
    one, other = (truth.frame.to_geographic(*end) for end in RUNWAY.ends)
    ends = ((float(other[0]), float(other[1])), (float(one[0]), float(one[1])))  # in any order
    return debrief(recording, ground=truth.ground_elevation, runway=ends if given else None), truth


@pytest.mark.parametrize(
    ("ending", "side", "overshoot"),
    [("touch-and-go", -1.0, 0.0), ("low-approach", 1.0, 90.0), ("full-stop", -1.0, 60.0)],
)
def test_circuits_of_a_runway(ending: str, side: float, overshoot: float) -> None:
    whole, truth = circuits(ending, side, overshoot)
    assert whole.maneuvers == ()
    assert whole.traffic_patterns is not None
    assert len(whole.traffic_patterns) == 2
    first = whole.traffic_patterns[0]
    assert first.direction == ("right" if side > 0.0 else "left")
    assert first.bearing == pytest.approx(radians(240), abs=radians(0.2))
    assert first.ending == ending
    assert [leg.name for leg in first.legs] == ["upwind", "crosswind", "downwind", "base", "final"]
    east, north = truth.east - RUNWAY.east, truth.north - RUNWAY.north
    beyond = -side * (east * np.cos(RUNWAY.bearing) - north * np.sin(RUNWAY.bearing))
    for flown in whole.traffic_patterns:
        near = truth.during(flown.legs[-2].end - 1.0, flown.legs[-1].start + 15.0)
        assert flown.overshoot == pytest.approx(float(beyond[near].max()), abs=3.0 * flown.overshoot_sd)
        leg = flown.legs[2]
        abeam = -float(np.mean(beyond[truth.during(leg.start, leg.end)]))
        assert flown.width == pytest.approx(abeam, abs=3.0 * flown.width_sd)


def test_traffic_patterns_stand_in_the_json_only_when_a_runway_was_given() -> None:
    whole, _ = circuits("touch-and-go", -1.0, 0.0)
    patterns = whole.to_dict()["traffic_patterns"]
    assert [each["ending"] for each in patterns] == ["touch-and-go", "full-stop"]
    assert len(patterns[0]["legs"]) == 5
    assert len(patterns[0]["corners"]) == 4
    without, _ = circuits("touch-and-go", -1.0, 0.0, given=False)
    assert "traffic_patterns" not in without.to_dict()


def test_the_ends_of_a_runway_must_be_those_of_one() -> None:
    whole, _ = circuits("touch-and-go", -1.0, 0.0)
    with pytest.raises(UsageError, match="two ends of the runway"):
        debrief(whole.track.recording, runway=((0.7, -1.57), (0.7, -1.57)))
