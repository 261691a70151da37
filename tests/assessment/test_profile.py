"""The bank needed against the check values of a constant-radius circle, and places relative to the wind."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from groundref.assessment import places
from groundref.assessment.profile import profile_of
from groundref.units import degree, knot

from .synthetic import Case, changed, flight

tenth_degree = 0.1 * degree  # what one sample a second leaves between a sample and the exact place

# Own derivation tan φ = G²/(g R cos δ), confirmed by integrating the motion: bank flying downwind,
# crosswind and upwind, airspeed and wind in knots, radius in metres.
CHECKED = [
    (90, 15, 500, 30.755, 23.320, 16.889),
    (100, 20, 600, 32.931, 23.783, 16.059),
    (100, 30, 800, 29.688, 17.838, 9.386),
    (65, 25, 400, 28.656, 14.742, 6.161),
]


@pytest.mark.parametrize("side", [1.0, -1.0])
@pytest.mark.parametrize(("airspeed", "wind", "radius", "downwind", "crosswind", "upwind"), CHECKED)
def test_bank_needed(
    airspeed: float,
    wind: float,
    radius: float,
    downwind: float,
    crosswind: float,
    upwind: float,
    side: float,
) -> None:
    states, maneuver = flight(
        Case(airspeed=airspeed * knot, wind=wind * knot, radius=radius, side=side, noise=0.0)
    )
    profile = profile_of(states, replace(maneuver, radius=radius))
    order = np.argsort(profile.position)
    at = np.interp([-np.pi / 2, 0.0, np.pi / 2], profile.position[order], side * profile.bank_required[order])
    steepest, shallowest = np.abs(profile.bank_required).max(), np.abs(profile.bank_required).min()
    assert at == pytest.approx(np.radians([crosswind, downwind, crosswind]), abs=2 * tenth_degree)
    assert steepest == pytest.approx(np.radians(downwind), abs=tenth_degree)
    assert shallowest == pytest.approx(np.radians(upwind), abs=tenth_degree)


def test_left_mirrors_right() -> None:
    right, left = (profile_of(*flight(Case(side=side, wind_to=0.0, noise=0.0))) for side in (1.0, -1.0))
    assert left.bank_required == pytest.approx(-right.bank_required)
    assert np.cos(left.position) == pytest.approx(np.cos(right.position))
    assert left.distance == pytest.approx(right.distance)


def test_position_grows_in_the_direction_flown_and_starts_downwind() -> None:
    for side in (1.0, -1.0):
        profile = profile_of(*flight(Case(side=side, noise=0.0)))
        assert profile.position[0] == pytest.approx(0.0, abs=1e-3)
        assert np.all(np.diff(np.unwrap(profile.position)) > 0.0)


def test_without_wind_there_is_no_place_and_no_bank_needed() -> None:
    states, maneuver = flight(Case())
    nowhere = np.full(len(states), np.nan)
    profile = profile_of(changed(states, crab=nowhere, heading=nowhere), replace(maneuver, wind=None))
    assert np.isnan(profile.position).all()
    assert np.isnan(profile.bank_required).all()
    assert np.isfinite(profile.distance).all()


def test_stated_sd_of_bank_needed_is_the_spread_over_drawn_inputs() -> None:
    states, maneuver = flight(Case(noise=0.0))
    rng = np.random.default_rng(7)
    stated = profile_of(states, maneuver).bank_required_sd
    banks = []
    for _ in range(400):
        # Velocity error along the track, and the wind's error across the heading as crab.
        across = rng.normal(0.0, 0.3) / states.true_airspeed
        drawn = changed(
            states,
            ground_speed=states.ground_speed + rng.normal(0.0, 0.2),
            crab=states.crab + across,
        )
        banks.append(
            profile_of(drawn, replace(maneuver, radius=maneuver.radius + rng.normal(0, 2))).bank_required
        )
    # 400 draws give a spread to 3.5 %; three times that.
    assert np.std(banks, axis=0) == pytest.approx(stated, rel=0.11)


@pytest.mark.parametrize(
    ("position", "words"),
    [
        (0.0, "flying downwind"),
        (np.pi / 2, "flying crosswind after downwind"),
        (np.pi, "flying upwind"),
        (-np.pi, "flying upwind"),
        (-np.pi / 2, "flying crosswind after upwind"),
        (-0.7, "turning from crosswind to downwind"),
        (np.nan, ""),
    ],
)
def test_places_have_names(position: float, words: str) -> None:
    assert places.name(position) == words


def test_thirds_and_crosswind_share_the_circle() -> None:
    position = np.linspace(-np.pi, np.pi, 721)[:-1] + 1e-6
    parts = [
        places.within(position, places.downwind, places.third),
        places.within(position, places.upwind, places.third),
        places.crosswind(position),
    ]
    assert np.all(np.sum(parts, axis=0) == 1)
