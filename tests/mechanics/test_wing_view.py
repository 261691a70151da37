"""What the wing hides, against rays cast at two triangles by another method and other rotations."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from numpy.typing import NDArray

from groundref.errors import NoSolutionError
from groundref.mechanics import pylon_sight, sight, wing_view
from groundref.units import degree

Floats = NDArray[np.float64]
HIGH = wing_view.wing_corners(5.5, 1.6, 2 * degree, -0.3, 0.28, 0.3)
LOW = wing_view.wing_corners(5.2, 1.6, 6 * degree, 0.9, 0.28, 0.4)
wings = st.builds(
    wing_view.wing_corners,
    half_span=st.floats(3.0, 9.0),
    chord=st.floats(0.8, 2.0),
    dihedral=st.floats(-3 * degree, 8 * degree),
    eye_above=st.floats(-1.2, 1.2),
    eye_outward=st.floats(-0.6, 0.6),
    eye_behind_leading_edge=st.floats(-1.0, 2.5),
)
depressions = st.floats(-80 * degree, 80 * degree)
bearings = st.floats(-80 * degree, 80 * degree)
rolls = st.floats(-60 * degree, 60 * degree)
pitches = st.floats(-10 * degree, 10 * degree)


def line_of_sight(depression: float, ahead: float, bank: float, pitch: float) -> Floats:
    """Return the line of sight in the airplane's axes, by matrices."""
    level = np.array(
        [np.cos(depression) * np.sin(ahead), np.cos(depression) * np.cos(ahead), np.sin(depression)]
    )
    nose = np.array([[np.cos(pitch), 0, -np.sin(pitch)], [0, 1, 0], [np.sin(pitch), 0, np.cos(pitch)]])
    roll = np.array([[1, 0, 0], [0, np.cos(bank), np.sin(bank)], [0, -np.sin(bank), np.cos(bank)]])
    return np.asarray(roll @ nose @ level)


def through(triangle: Floats, ray: Floats) -> tuple[bool, float]:
    """Return whether a ray from the origin meets a triangle, and how clear of its edges that is.

    Solves origin + t ray = a + u (b − a) + v (c − a) (Möller and Trumbore, 1997).
    """
    a, b, c = triangle
    system = np.column_stack([ray, a - b, a - c])
    if abs(np.linalg.det(system)) < 1e-9:
        return False, 0.0
    t, u, v = np.linalg.solve(system, a)
    return bool(t > 0 and min(u, v, 1 - u - v) > 0), float(min(abs(t), abs(u), abs(v), abs(1 - u - v)))


@given(wings, depressions, bearings, rolls, pitches)
def test_a_point_is_hidden_when_the_ray_to_it_meets_the_wing(
    corners: Floats, depression: float, ahead: float, bank: float, pitch: float
) -> None:
    ray = line_of_sight(depression, ahead, bank, pitch)
    halves = [through(corners[list(order)], ray) for order in ((0, 1, 2), (0, 2, 3))]
    assume(min(clear for _, clear in halves) > 1e-6)
    expected = any(hit for hit, _ in halves)
    assert bool(wing_view.is_hidden(corners, depression, ahead, bank, pitch)) == expected


@given(wings, bearings, rolls, pitches)
def test_the_range_of_depressions_is_what_is_hidden(
    corners: Floats, ahead: float, bank: float, pitch: float
) -> None:
    least, greatest = wing_view.hidden_depressions(corners, ahead, bank, pitch)
    depression = np.linspace(-89.9, 89.9, 721) * degree
    hidden = wing_view.is_hidden(corners, depression, ahead, bank, pitch)
    clear = ~(np.isclose(depression, least, atol=1e-7) | np.isclose(depression, greatest, atol=1e-7))
    expected = (depression > least) & (depression < greatest)
    assert (hidden == expected)[clear].all()


@given(rolls)
def test_abeam_only_depression_less_bank_counts(bank: float) -> None:
    # Worked apart from this code: tip of the low wing 4.92 m out and 0.9 − 5.2 tan 6° below the eye; of the
    # high one 5.22 m out and 0.3 + 5.5 tan 2° above it.
    low, high = (
        np.arctan2(0.9 - 5.2 * np.tan(6 * degree), 4.92),
        np.arctan2(0.3 + 5.5 * np.tan(2 * degree), 5.22),
    )
    assert (low / degree, high / degree) == pytest.approx((4.11, 5.39), abs=0.01)
    assert wing_view.hidden_depressions(LOW, 0.0, bank)[0] == pytest.approx(bank + low)
    assert wing_view.hidden_depressions(HIGH, 0.0, bank)[1] == pytest.approx(bank - high)


def test_the_low_wing_hides_at_little_bank_and_the_high_wing_at_much() -> None:
    depression, bank = 26 * degree, np.array([10.0, 20.0, 24.0, 30.0, 40.0]) * degree
    assert wing_view.is_hidden(LOW, depression, 0.0, bank).tolist() == [True, True, False, False, False]
    assert wing_view.is_hidden(HIGH, depression, 0.0, bank).tolist() == [False, False, False, False, True]


@given(wings, rolls, pitches)
def test_the_outline_bounds_what_is_hidden(corners: Floats, bank: float, pitch: float) -> None:
    depression, ahead = wing_view.outline(corners, bank, pitch, 5)
    middle = corners.mean(axis=0)
    assume(abs(np.linalg.det(corners[:3])) > 0.05)
    toward = np.array([line_of_sight(d, a, bank, pitch) for d, a in zip(depression, ahead, strict=True)])
    inside = middle / np.linalg.norm(middle)
    for ray in toward:
        for nudge, expected in ((1e-5, True), (-1e-5, False)):
            near = ray + nudge * (inside - ray)
            # Back to level: the rotation is orthogonal.
            axes = np.array([line_of_sight(0, np.pi / 2, bank, pitch), line_of_sight(0, 0, bank, pitch)])
            forward, sideways = axes @ near
            down = float(line_of_sight(np.pi / 2, 0, bank, pitch) @ near)
            d, a = np.arctan2(down, np.hypot(forward, sideways)), np.arctan2(forward, sideways)
            assert bool(wing_view.is_hidden(corners, d, a, bank, pitch)) == expected


def test_agrees_with_where_the_point_sits_from_the_wing() -> None:
    # An endless sheet a hair below the eye hides all that is below the plane of the wings.
    sheet = wing_view.wing_corners(1e6, 2e6, 0.0, 1e-3, 0.0, 1e6)
    bank, depression = np.meshgrid(np.linspace(5, 60, 12) * degree, np.linspace(6, 70, 9) * degree)
    above, _ = sight.point_from_wing(bank, depression, 0.2)
    assert (wing_view.is_hidden(sheet, depression, 0.2, bank) == (above < -1e-6)).all()


@given(depressions, bearings, rolls, pitches)
def test_pitch_and_bank_are_those_of_the_pylon_sight(
    depression: float, ahead: float, bank: float, pitch: float
) -> None:
    sheet = wing_view.wing_corners(1e6, 2e6, 0.0, 1e-3, 0.0, 1e6)
    # Flying north, the point to the right.
    level = (np.cos(depression) * np.cos(ahead), np.cos(depression) * np.sin(ahead), np.sin(depression))
    along, above = pylon_sight.pylon_from_wing(*level, 0.0, bank, 1.0, pitch)
    assume(abs(above) > 1e-6 and abs(along) < 80 * degree)
    assert bool(wing_view.is_hidden(sheet, depression, ahead, bank, pitch)) == bool(above < 0)


def test_a_strut_is_one_more_panel() -> None:
    # From a foot 0.35 m out and 0.9 m below the eye to the wing 2.6 m out and 0.4 m above it, 0.12 m wide.
    strut = np.array([(0.1, 0.35, 0.9), (-0.02, 0.35, 0.9), (-0.02, 2.6, -0.4), (0.1, 2.6, -0.4)])
    least, greatest = wing_view.hidden_depressions(strut, 0.0, 0.0)
    assert (least, greatest) == pytest.approx((np.arctan2(-0.4, 2.6), np.arctan2(0.9, 0.35)))
    out = 0.35 + 0.9 / 1.3 * 2.25  # where it is level with the eye
    bearing = np.linspace(-10, 10, 2001) * degree
    hidden = bearing[wing_view.is_hidden(strut, 0.0, bearing, 0.0)]
    assert (hidden.min(), hidden.max()) == pytest.approx(
        (np.arctan2(-0.02, out), np.arctan2(0.1, out)), abs=2e-4
    )


def test_an_eye_in_the_plane_of_the_wing_sees_only_its_edge() -> None:
    flat = wing_view.wing_corners(5.0, 1.5, 0.0, 0.0, 0.3, 0.4)
    assert not wing_view.is_hidden(flat, np.linspace(-1, 1, 201), 0.0, 0.0).any()
    assert np.isnan(wing_view.hidden_depressions(flat, 0.1, 0.2)[0])


@pytest.mark.parametrize(
    ("wing", "said"), [((0.0, 1.5, 0.0), "span"), ((5.0, 0.0, 0.0), "chord"), ((5.0, 1.5, 5.0), "beyond")]
)
def test_what_is_no_wing_is_refused(wing: tuple[float, float, float], said: str) -> None:
    with pytest.raises(NoSolutionError, match=said):
        wing_view.wing_corners(wing[0], wing[1], 0.0, 0.5, wing[2], 0.3)


def test_shapes_broadcast_and_nan_passes() -> None:
    bank, ahead = np.array([[0.5], [np.nan]]), np.array([0.0, 0.05, -0.1])
    hidden = wing_view.is_hidden(HIGH, 0.2, ahead, bank)
    least, greatest = wing_view.hidden_depressions(HIGH, ahead, bank)
    assert hidden.shape == least.shape == greatest.shape == (2, 3)
    assert hidden[0].all()
    assert not hidden[1].any()
    assert np.isnan(greatest[1]).all()
