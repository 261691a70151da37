from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundref.mechanics import circle, sight
from groundref.units import degree, foot, knot
from tests.mechanics.given import ROUNDING, banks, directions

depressions = st.floats(2 * degree, 70 * degree)
bearings = st.floats(-40 * degree, 40 * degree)


def test_the_wing_does_not_stay_on_the_point() -> None:
    # Computed apart from this code: 90 kt, 15 kt of wind, 500 m and 800 ft: depression 26.0° all the way
    # round, bank from 16.9° to 30.8°; printed to 0.1°.
    airspeed, wind, radius = 90 * knot, 15 * knot, 500.0
    position = np.linspace(0.0, 2 * np.pi, 361)
    bank = circle.required_bank(airspeed, wind, radius, position)
    depression = sight.depression(radius, 800 * foot)
    assert (depression / degree, bank.min() / degree, bank.max() / degree) == pytest.approx(
        (26.0, 16.9, 30.8), abs=0.05
    )
    ahead = sight.ahead_of_abeam(circle.crab(airspeed, wind, position, -1.0), -1.0)
    above, along = sight.point_from_wing(bank, depression, ahead)
    assert above[0] == pytest.approx(bank[0] - depression)  # downwind: the wing tip below the point
    assert above[180] == pytest.approx(bank[180] - depression)  # upwind: above it
    assert above[0] > 0 > above[180]
    assert along[90] > 0 > along[270]  # nose inside the circle, point ahead; then the reverse


@given(banks, depressions)
def test_abeam_it_is_the_difference_of_bank_and_depression(bank: float, depression: float) -> None:
    above, ahead = sight.point_from_wing(bank, depression, 0.0)
    assert above == pytest.approx(bank - depression, abs=ROUNDING)
    assert ahead == pytest.approx(0.0, abs=ROUNDING)


@given(depressions, bearings)
def test_wings_level_shows_depression_and_bearing_as_they_are(depression: float, bearing: float) -> None:
    above, ahead = sight.point_from_wing(0.0, depression, bearing)
    assert (above, ahead) == pytest.approx((-depression, bearing), abs=ROUNDING)


@given(banks, depressions, bearings)
def test_rolling_the_line_of_sight(bank: float, depression: float, bearing: float) -> None:
    # The same by a rotation matrix instead of components: body axes forward, along the wing, below it.
    level = np.array(
        [np.cos(depression) * np.sin(bearing), np.cos(depression) * np.cos(bearing), np.sin(depression)]
    )
    c, s = np.cos(bank), np.sin(bank)
    forward, wing, below = np.array([[1, 0, 0], [0, c, s], [0, -s, c]]) @ level
    above, ahead = sight.point_from_wing(bank, depression, bearing)
    assert np.sin(above) == pytest.approx(-below, abs=ROUNDING)
    assert np.tan(ahead) == pytest.approx(forward / wing, abs=ROUNDING)


@given(banks, st.floats(50.0, 500.0))
def test_wing_line_reaches_the_point_at_its_depression(bank: float, height: float) -> None:
    reach = sight.wing_line_reach(height, bank)
    assert sight.depression(reach, height) == pytest.approx(bank, rel=ROUNDING)


@given(bearings, directions)
def test_nose_into_the_circle_has_the_point_ahead(crab: float, direction: float) -> None:
    # Right turn, north-going: the point is due east; nose right of track brings it nearer the nose.
    to_point = direction * 0.5 * np.pi
    off_the_nose = abs(to_point - crab)
    assert sight.ahead_of_abeam(crab, direction) == pytest.approx(0.5 * np.pi - off_the_nose, abs=ROUNDING)


def test_raised_nose_tilts_the_wing_line_forward() -> None:
    # The lateral axis by the usual yaw-pitch-roll matrix (right wing of a body pitched, then rolled).
    bank, pitch = 35 * degree, 5 * degree
    pitching = np.array([[np.cos(pitch), 0, np.sin(pitch)], [0, 1, 0], [-np.sin(pitch), 0, np.cos(pitch)]])
    rolling = np.array([[1, 0, 0], [0, np.cos(bank), -np.sin(bank)], [0, np.sin(bank), np.cos(bank)]])
    forward, right, _ = pitching @ rolling @ [0.0, 1.0, 0.0]
    assert sight.wing_line_ahead(bank, pitch) == pytest.approx(np.arctan2(forward, right))
    assert sight.wing_line_ahead(bank, 0.0) == 0.0


def test_edges_and_shapes() -> None:
    assert sight.depression(0.0, 300.0) == pytest.approx(0.5 * np.pi)
    assert sight.wing_line_reach(300.0, 0.0) == np.inf
    bank, depression = np.array([[0.2], [np.nan]]), np.array([0.3, 0.4, 0.5])
    above, ahead = sight.point_from_wing(bank, depression, 0.1)
    assert above.shape == ahead.shape == (2, 3)
    assert np.isnan(above[1]).all()
