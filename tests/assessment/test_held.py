"""How altitude, airspeed and bank were held, and how well that is known."""

from __future__ import annotations

import numpy as np
import pytest

from groundref.assessment import held
from groundref.assessment.profile import profile_of
from groundref.units import degree, foot

from .synthetic import Case, changed, flight


def test_altitude_is_judged_from_the_start_so_a_common_offset_drops_out() -> None:
    states, maneuver = flight(Case(noise=0.0))
    profile = profile_of(states, maneuver)
    time = states.time - maneuver.start
    dip = np.where(time > 20, -30.0, 0.0) * np.exp(-(((time - 40) / 10) ** 2))
    plain = held.altitude_deviation(changed(states, altitude=states.altitude + dip), maneuver, profile)
    shifted = held.altitude_deviation(
        changed(states, altitude=states.altitude + dip + 50.0), maneuver, profile
    )
    assert plain is not None
    assert shifted is not None
    assert shifted.value == pytest.approx(plain.value)
    assert plain.value.min() == pytest.approx(-30.0, abs=0.1)
    # two altitudes of 3 m each
    assert plain.sd[0] == pytest.approx(3.0 * np.sqrt(2.0))


def test_nothing_recorded_is_none() -> None:
    states, maneuver = flight(Case())
    profile = profile_of(states, maneuver)
    nothing = np.full(len(states), np.nan)
    assert (
        held.altitude_deviation(changed(states, altitude=None, altitude_sd=None), maneuver, profile) is None
    )
    assert held.airspeed_deviation(changed(states, true_airspeed=nothing), maneuver, profile) is None
    assert held.bank_deviation(changed(states, bank=nothing), maneuver, profile) is None


def test_wind_error_moves_derived_airspeed_by_its_stated_sd(monkeypatch: pytest.MonkeyPatch) -> None:
    """An airspeed computed with a wrong wind deviates from the start as the stated sd says.

    What is kept for an airspeed that wanders in step with the laps is left out: there is none here.
    """
    monkeypatch.setattr(held, "least_hidden", 0.0)
    states, maneuver = flight(Case(noise=0.0))
    profile = profile_of(states, maneuver)
    rng = np.random.default_rng(3)
    deviations = []
    for _ in range(500):
        east = states.velocity_east - states.wind_east - rng.normal(0.0, 0.3)
        north = states.velocity_north - states.wind_north - rng.normal(0.0, 0.3)
        found = held.airspeed_deviation(
            changed(states, true_airspeed=np.hypot(east, north)), maneuver, profile
        )
        assert found is not None
        deviations.append(found.value)
    stated = held.airspeed_deviation(states, maneuver, profile)
    assert stated is not None
    wind_part = np.sqrt(np.maximum(stated.sd**2 - 2 * 0.2**2, 0.0))
    opposite = np.abs(np.abs(profile.position) - np.pi) < 0.5
    assert np.std(deviations, axis=0)[opposite] == pytest.approx(wind_part[opposite], rel=0.1)
    assert wind_part[opposite].max() == pytest.approx(2 * 0.3, rel=0.05)


def test_measured_airspeed_does_not_hang_on_the_wind() -> None:
    states, maneuver = flight(Case())
    measured = held.airspeed_deviation(
        changed(states, airspeed_source="measured"), maneuver, profile_of(states, maneuver)
    )
    assert measured is not None
    assert measured.sd == pytest.approx(0.4 * np.sqrt(2.0))


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_bank_is_summed_up_in_the_direction_of_the_turn_without_rolling_in(side: float) -> None:
    states, maneuver = flight(Case(side=side, noise=0.0))
    rolling = np.where(np.abs(states.time - maneuver.start) < 2.0, 0.0, states.bank)
    states = changed(states, bank=rolling)
    summed = held.held(held.bank_deviation(states, maneuver, profile_of(states, maneuver)), states, maneuver)
    assert summed is not None
    assert summed.maximum == pytest.approx(30.755 * degree, abs=0.3 * degree)
    assert summed.minimum == pytest.approx(16.889 * degree, abs=0.3 * degree)
    assert summed.maximum_time > maneuver.start + 3.0


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_bank_of_a_lap_leaves_rolling_out_and_agrees_with_that_of_the_maneuver(side: float) -> None:
    states, maneuver = flight(Case(side=side, noise=0.0))
    clock = states.time - maneuver.start
    rolling = (clock < 2.0) | (states.time > maneuver.end - 2.0)
    states = changed(states, bank=np.where(rolling, 0.0, states.bank))
    summed = held.held(held.bank_deviation(states, maneuver, profile_of(states, maneuver)), states, maneuver)
    laps = [held.lap_bank(states, maneuver, lap) for lap in maneuver.laps]
    assert summed is not None
    assert all(lap is not None and lap[1] > 16.0 * degree for lap in laps)
    assert max(lap[0] for lap in laps if lap is not None) == pytest.approx(summed.maximum)
    assert min(lap[1] for lap in laps if lap is not None) == pytest.approx(summed.minimum)
    nothing = changed(states, bank=np.full(len(states), np.nan))
    assert held.lap_bank(nothing, maneuver, maneuver.laps[0]) is None


def test_extremes_come_with_their_times() -> None:
    states, maneuver = flight(Case(noise=0.0))
    bump = 60 * foot * np.exp(-(((states.time - maneuver.start - 30) / 4) ** 2))
    states = changed(states, altitude=states.altitude + bump)
    summed = held.held(
        held.altitude_deviation(states, maneuver, profile_of(states, maneuver)), states, maneuver
    )
    assert summed is not None
    assert summed.maximum - summed.reference == pytest.approx(60 * foot, rel=0.01)
    assert summed.maximum_time == pytest.approx(maneuver.start + 30, abs=1.0)
    assert summed.source == "measured"
    assert held.held(None, states, maneuver) is None


def test_start_window_never_crosses_a_gap() -> None:
    states, maneuver = flight(Case())
    piece = (np.arange(len(states)) >= maneuver.first - 2).astype(np.int64)
    window = held.start_window(changed(states, piece=piece), maneuver)
    assert window == slice(maneuver.first - 2, maneuver.first + 1)
