"""The path about a pylon with height traded for speed: verified figures, and integration apart from it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from groundref.errors import NoSolutionError
from groundref.mechanics.pylon_traded import on_heading, time_between, widest_crab
from groundref.units import foot, knot, standard_gravity

AIR = st.floats(55.0, 160.0)
WIND_SHARE = st.floats(0.0, 0.45)


def test_verified_figures_at_100_knots_in_20_of_wind() -> None:
    """Verified by high-order integration apart from this code: 940 and 822 ft, 93.6 and 106.9 kt, 68.9 s."""
    still, wind = 100 * knot, 20 * knot
    speed, height, ratio = on_heading(still, wind, np.array([0.0, 0.5, 1.0]) * np.pi)
    assert speed / knot == pytest.approx([93.6, 100.0, 106.9], abs=0.05)
    assert height / foot == pytest.approx([940.6, 885.4, 822.3], abs=0.5)
    lap = time_between(still, wind, 450.0 / float(ratio[0]), 0.0, 2.0 * np.pi)
    assert float(lap) == pytest.approx(68.9, abs=0.1)
    # d (V + w_h), constant at one airspeed, varies by 13 %.
    swept = ratio * (speed + wind * np.array([1.0, 0.0, -1.0]))
    assert swept.max() / swept.min() - 1.0 == pytest.approx(0.14, abs=0.015)


@given(AIR, WIND_SHARE, st.floats(0.0, 2.0 * np.pi), st.floats(-1.0, 7.0))
def test_agrees_with_integration_of_the_motion(
    air_kt: float, share: float, start: float, turned: float
) -> None:
    """Fly with bank atan(H/d) and energy held, from positions and velocities alone."""
    still, wind, square = air_kt * knot, share * air_kt * knot, 400.0
    _, _, ratio = on_heading(still, wind, np.array([start, start + turned]))

    def motion(_: float, state: np.ndarray) -> list[float]:
        heading, distance = state
        speed, height, _ = on_heading(still, wind, heading)
        rate = standard_gravity * (float(height) / distance) / float(speed)  # g tan φ / V
        return [rate, wind * np.sin(heading)]

    time = float(time_between(still, wind, square, start, start + turned))
    flown = solve_ivp(motion, (0.0, time), [start, square * float(ratio[0])], rtol=1e-10, atol=1e-9)
    heading, distance = flown.y[:, -1]
    assert heading == pytest.approx(start + turned, abs=1e-6)
    assert distance == pytest.approx(square * float(ratio[1]), rel=1e-6)


@given(AIR, WIND_SHARE, st.floats(-7.0, 7.0))
def test_energy_and_the_pivotal_law_hold(air_kt: float, share: float, heading: float) -> None:
    still, wind = air_kt * knot, share * air_kt * knot
    speed, height, _ = on_heading(still, wind, heading)
    assert 0.5 * speed**2 + standard_gravity * height == pytest.approx(1.5 * still**2, rel=1e-12)
    assert standard_gravity * height == pytest.approx(speed * (speed + wind * np.cos(heading)), rel=1e-12)


def test_a_wind_not_below_the_airspeed_is_refused() -> None:
    with pytest.raises(NoSolutionError):
        on_heading(40.0, 40.0, 0.0)


@pytest.mark.parametrize("share", [0.0, 0.1, 0.3, 0.6, 0.85])
def test_no_heading_has_more_crab_than_the_widest(share: float) -> None:
    """Against a dense row of headings, crab by the wind triangle of vectors."""
    airspeed, wind = 45.0, 45.0 * share
    found = widest_crab(airspeed, wind)
    headings = np.append(np.linspace(0.0, np.pi, 20_001), found)
    speed, _, _ = on_heading(airspeed, wind, headings)
    crab = np.arctan2(wind * np.sin(headings), speed + wind * np.cos(headings))
    assert crab[-1] == pytest.approx(crab.max(), abs=1e-9)
    assert np.pi / 2 <= found <= np.pi
