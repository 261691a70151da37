"""The size of a rectangular course: one for plans and simulated lessons, checked by hand."""

from __future__ import annotations

from math import radians, tan

import numpy as np
import pytest

from groundref.errors import NoSolutionError
from groundref.planning import Blowing, Wanted, plan
from groundref.simulation import Exercise
from groundref.simulation.course import laid_out
from groundref.standards.field import field_course
from groundref.units import foot, knot, statute_mile

SPEED, WIND, BANK = 90 * knot, 14 * knot, radians(35)


def test_corners_of_one_radius_and_five_seconds_of_their_own_on_each_side() -> None:
    course = field_course(SPEED, WIND, 400 * foot, None, BANK)
    fastest = SPEED + WIND
    assert course.corner_radius == pytest.approx(fastest**2 / (9.80665 * tan(BANK)))
    assert course.straight == pytest.approx(5.0 * fastest)
    # The shorter legs have just that straight part between their corners.
    assert 2.0 * (400 * foot + course.outside - course.corner_radius) == pytest.approx(2 * course.straight)
    assert (course.length, course.width) == (statute_mile, 800 * foot)


def test_a_wide_field_is_flown_at_the_usual_distance() -> None:
    course = field_course(SPEED, WIND, 4000 * foot, None, BANK)
    assert course.outside == pytest.approx(0.3 * statute_mile)
    assert course.length == course.width == 8000 * foot


def test_what_is_refused_names_a_field_that_works() -> None:
    with pytest.raises(NoSolutionError, match=r"choose 2,\d00 ft \(\d+ m\) or more") as refused:
        field_course(130 * knot, 30 * knot, 500 * foot, None, BANK)
    least = float(str(refused.value).split("choose ")[1].split(" ft")[0].replace(",", ""))
    assert field_course(130 * knot, 30 * knot, least * foot, None, BANK).outside <= 0.5 * statute_mile


def test_plan_and_simulated_lesson_lie_alike() -> None:
    planned = plan(
        "rectangular-course",
        wind=Blowing(WIND, radians(240)),
        wanted=Wanted(true_airspeed=SPEED, radius=1500 * foot),
    )
    flown = laid_out(
        Exercise(
            kind="rectangular-course",
            east=0.0,
            north=0.0,
            laps=2.0,
            height=800 * foot,
            radius=1500 * foot,
            side=-1.0,
            wind_speed=WIND,
            downwind=radians(60),
            speed=SPEED,
            bank_limit=radians(45),
        )
    )
    assert planned.layout.entry.distance == pytest.approx(flown.outside)
    assert np.array(sorted(planned.layout.places)) == pytest.approx(np.array(sorted(flown.field)), abs=1e-6)
