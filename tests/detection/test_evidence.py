"""Pieces of evidence by themselves: ratios far out, sizes in wind, and how far an unsteady bank carries."""

from __future__ import annotations

from math import atan, pi, radians, tan

import numpy as np
import pytest
from scipy.integrate import cumulative_trapezoid

from groundref.detection.evidence import density, direction_density, log_ratio, size_evidence
from groundref.detection.ordinary import UNSTEADY_BANK, UNSTEADY_SPEED, unsteadiness
from groundref.units import foot, standard_gravity

from .test_carried import blowing


@pytest.mark.parametrize("off", [1.0, 3.0, 7.8])
def test_far_out_the_narrower_of_two_densities_still_says_no(off: float) -> None:
    """Opposite sides of a rectangle 2 000 times as long as one another are no sign of neither."""
    assert log_ratio(density(off, 0.0, 0.15), density(off, 0.0, 0.6), -4.0, 1.0) == -4.0


def test_a_wide_circle_is_less_usual_and_wind_makes_it_wide() -> None:
    """30 kt at 100 kt ask for 1.69 times the radius at one steepest bank."""
    share = blowing(15.0, 0.0)
    assert size_evidence(1100.0 * foot, None, -1.5) == 0.0
    assert size_evidence(9000.0 * foot, None, -1.5) == -1.5
    assert size_evidence(2500.0 * foot * 1.69, share, -9.0) == pytest.approx(
        size_evidence(2500.0 * foot, None, -9.0)
    )


@pytest.mark.parametrize("sd", [5.0, 40.0, 120.0, 170.0, 400.0])
def test_a_density_of_directions_has_the_area_one_over_a_full_turn(sd: float) -> None:
    directions = np.arange(-180.0, 180.0)
    densities = np.array([direction_density(float(off), sd) for off in directions])
    assert densities.sum() == pytest.approx(1.0, abs=0.01)
    assert densities[180] == pytest.approx(densities.max())


@pytest.mark.parametrize("bank", [25.0, 45.0])
def test_an_unsteady_lap_leads_away_as_far_as_a_path_integrated_step_by_step(bank: float) -> None:
    """A turn with V and φ that go once round with the track, dθ/dt = g tan φ / V, summed up over its time.

    For either the way from end to end is taken from the positions; both are added as independent.
    """
    speed, mean, height = 50.0, radians(bank), 12.0
    radius = speed**2 / (standard_gravity * tan(mean))

    def away(bank_off: float, speed_off: float) -> float:
        track = np.linspace(0.0, 2.0 * pi, 20_001)
        airspeed = speed + speed_off * np.cos(track)
        step = airspeed**2 / (standard_gravity * np.tan(mean + bank_off * np.cos(track)))
        east = cumulative_trapezoid(step * np.sin(track), track)[-1]
        north = cumulative_trapezoid(step * np.cos(track), track)[-1]
        return float(np.hypot(east, north))

    by_height = standard_gravity * height / speed
    parts = away(UNSTEADY_BANK, 0.0), away(0.0, UNSTEADY_SPEED * speed), away(0.0, by_height)
    assert unsteadiness(radius, mean, height) == pytest.approx(np.sqrt(np.sum(np.square(parts))), rel=0.02)
    assert unsteadiness(radius, mean, 0.0) < unsteadiness(radius, mean, height)
    assert atan(speed**2 / (standard_gravity * radius)) == pytest.approx(mean)
