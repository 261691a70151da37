"""Which loops belong to one eight: turns on the way do not, and how the wind tells how an eight was laid."""

from __future__ import annotations

from collections.abc import Sequence
from math import radians

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundref.angles import full_turn
from groundref.detection.detect import first_cut
from groundref.detection.eight_evidence import ACROSS, ALONG, AROUND
from groundref.detection.eight_rows import likeliest_rows
from groundref.detection.eights import wind_factors
from groundref.detection.loops import Row
from groundref.detection.maneuver import Maneuver
from groundref.estimation.estimate import estimate
from groundref.estimation.states import States
from groundref.estimation.wind_value import Wind
from groundref.simulation import Weather, airborne, compose
from groundref.simulation.legs import Leg, Straight, Turn
from groundref.track.clean import clean
from groundref.units import degree, foot, knot

from .flights import found_in

HEIGHT, SPEED = 800 * foot, 90 * knot
CALM = Weather.blowing(0.0, 0.0)


def turn(degrees: float, bank: float) -> Turn:
    return Turn(radians(degrees), radians(bank), SPEED, height=HEIGHT)


def level(seconds: float) -> Straight:
    return Straight(HEIGHT, SPEED, seconds=seconds)


def found(legs: Sequence[Leg]) -> list[Maneuver]:
    recording, truth = compose(
        [level(60.0), *legs, level(60.0)], airborne(0.0, 0.0, HEIGHT, 1.0, SPEED, CALM), weather=CALM
    )
    return found_in(recording, truth)


def test_a_circle_on_the_way_the_right_way_by_chance_is_no_loop() -> None:
    """Two loops of an eight, and after a longer way a circle with less bank, to look at something."""
    eight = [turn(263, 25), level(10.0), turn(-263, 25)]
    (alone,) = found(eight)
    with_circle = found([*eight, level(17.0), turn(356, 20)])[0]
    assert with_circle.kind in (ACROSS, AROUND)
    assert len(with_circle.laps) == 2
    assert with_circle.end == pytest.approx(alone.end, abs=2.0)


@pytest.mark.parametrize("seconds", [32.0, 40.0])
def test_circles_with_a_long_way_between_are_no_eight(seconds: float) -> None:
    """Circles all the way round lie side by side, so that one rolls from one to the next."""
    kinds = [each.kind for each in found([turn(358, 29), level(seconds), turn(-355, 20)])]
    assert not [kind for kind in kinds if kind.startswith("eights")]
    assert [each.kind for each in found([turn(355, 27), turn(-355, 27)])] == [ALONG]


def an_eight() -> tuple[States, Row]:
    recording, _ = compose(
        [level(30.0), turn(263, 25), level(12.0), turn(-263, 25), level(30.0)],
        airborne(0.0, 0.0, HEIGHT, 0.0, SPEED, CALM),
        weather=CALM,
    )
    states = estimate(clean(recording))
    (row,) = likeliest_rows(states, first_cut(states))
    return states, row


EIGHT = an_eight()


def factors(speed: float, off_axis: float, sd: float) -> dict[str, float]:
    """Return the factors of a wind that blows so many degrees off the axis, its sd the same both ways."""
    states, row = EIGHT
    to = row.axis + off_axis * degree
    east, north = speed * knot * np.sin(to), speed * knot * np.cos(to)
    wind = Wind(0.0, 0.0, east, north, sd * knot, sd * knot, 0.0, SPEED, 1.0)
    return wind_factors(states, row, wind)


@given(speed=st.floats(1.0, 30.0), sd=st.floats(0.2, 3.0), off=st.floats(0.0, full_turn / degree))
def test_wind_along_the_centers_speaks_for_a_road_and_across_them_for_pylons(
    speed: float, sd: float, off: float
) -> None:
    """By no more than its direction is known; a road is a road whichever way it is crossed."""
    one = factors(speed, off, sd)
    assert one[ALONG] == one[ACROSS]
    assert factors(speed, off + 180.0, sd)[ACROSS] == pytest.approx(one[ACROSS], rel=1e-6)
    best = factors(speed, 0.0, sd)[ACROSS]
    assert best >= one[ACROSS] - 1e-9
    assert 1.0 - 1e-3 <= factors(speed, 0.0, 3.0 * sd)[ACROSS] <= best + 1e-9


def test_a_faint_wind_tells_a_little_and_an_unknown_one_nothing() -> None:
    along, square = factors(3.0, 0.0, 1.5), factors(3.0, 90.0, 1.5)
    assert 1.0 < along[ACROSS] / square[ACROSS] < 6.0
    assert along[ACROSS] > along[AROUND]
    unknown = factors(3.0, 0.0, 60.0)
    assert unknown[ACROSS] == pytest.approx(1.0, abs=0.1)
    assert unknown[AROUND] == pytest.approx(1.0, abs=0.1)
