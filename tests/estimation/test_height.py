"""Height above the ground: each datum by itself, and a reason where there is none."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from groundref.estimation.estimate import Given
from groundref.estimation.states import States
from groundref.track.recording import Recording

from .air import Flown, laps, states

Floats = NDArray[np.float64]
PARKED = 60


def on_the_ground_first(altitude: dict[str, float], height: float = 240.0) -> Recording:
    """Return a minute on the ground, a climb and laps at a height; ``altitude`` of the ground by datum."""
    flown = Flown(laps(2.0))
    air = flown.recording(altitude=None)
    chance = np.random.default_rng(1)
    profile = np.concatenate([np.zeros(PARKED), np.minimum(5.0 * np.arange(len(air)), height)])
    ground = np.full(PARKED, 0.0)
    return Recording(
        "f",
        "simulated",
        air.epoch,
        np.arange(float(profile.size)),
        np.concatenate([ground + air.latitude[0], air.latitude]),
        np.concatenate([ground + air.longitude[0], air.longitude]),
        **{
            f"altitude_{datum}": value + profile + chance.normal(0.0, 0.5, profile.size)
            for datum, value in altitude.items()
        },
    )


def high(found: States) -> Floats:
    assert found.height is not None
    return found.height[-60:]


def airborne(**altitude: Any) -> Recording:
    flown = Flown(laps(2.0))
    count = np.arange(0.0, flown.time[-1], 1.0).size
    return flown.recording(altitude=None, **{name: np.full(count, value) for name, value in altitude.items()})


@pytest.mark.parametrize("datum", ["msl", "ellipsoid", "pressure"])
def test_own_time_on_the_ground_gives_the_height_in_any_datum(datum: str) -> None:
    found = states(on_the_ground_first({datum: 163.0}))
    assert found.altitude_datum == datum
    assert np.abs(high(found) - 240.0).max() < 3.0
    assert "own time on the ground" in found.height_source
    assert found.height_sd is not None
    assert found.altitude_sd is not None
    assert np.all(found.height_sd > found.altitude_sd)
    assert np.all(found.height_sd > 8.0)  # the ground elsewhere may lie so much higher or lower


def test_a_given_ground_and_altitude_above_the_sea() -> None:
    found = states(airborne(altitude_msl=540.0), Given(ground=190.0))
    assert np.allclose(high(found), 350.0, atol=1.0)
    assert found.height_source == "ground elevation given"
    assert found.height_sd is not None
    assert found.altitude_sd is not None
    assert np.all(found.height_sd >= np.hypot(found.altitude_sd, 4.9))  # the recorder's offset of the day


def test_a_receiver_that_records_attitude_knows_its_height_better() -> None:
    """Alone 95 % within 12 m (13 m: GPS SPS Performance Standard, 5th edition, from memory), else 6.6 m."""
    alone = airborne(altitude_msl=540.0)
    with_attitude = replace(alone, bank=np.zeros(len(alone)))
    sds = [states(each, Given(ground=190.0)).height_sd for each in (alone, with_attitude)]
    assert sds[0] is not None
    assert sds[1] is not None
    assert np.median(sds[0]) == pytest.approx(6.1, abs=0.2)
    assert np.median(sds[1]) == pytest.approx(3.4, abs=0.2)


def test_a_given_ground_goes_before_the_own_time_on_the_ground() -> None:
    found = states(on_the_ground_first({"msl": 163.0}), Given(ground=150.0))
    assert np.abs(high(found) - 253.0).max() < 3.0


@pytest.mark.parametrize("datum", ["ellipsoid", "pressure"])
def test_a_given_ground_is_never_taken_from_another_datum(datum: str) -> None:
    found = states(airborne(**{f"altitude_{datum}": 540.0}), Given(ground=190.0))
    assert found.height is None
    assert found.height_sd is None
    assert found.altitude is not None
    assert any(datum in note and "cannot be told" in note for note in found.notes)


def test_altitude_above_the_sea_goes_before_others_and_is_never_mixed_with_them() -> None:
    found = states(
        on_the_ground_first({"msl": 163.0, "ellipsoid": 130.0, "pressure": 70.0}), Given(ground=163.0)
    )
    assert found.altitude_datum == "msl"
    assert np.abs(high(found) - 240.0).max() < 3.0


def test_mostly_missing_altitude_gives_way_to_one_that_is_there() -> None:
    whole = on_the_ground_first({"msl": 163.0, "pressure": 70.0})
    thin = np.array(whole.altitude_msl)
    thin[: int(0.7 * thin.size)] = np.nan
    found = states(replace(whole, altitude_msl=thin))
    assert found.altitude_datum == "pressure"
    assert np.abs(high(found) - 240.0).max() < 3.0


def test_terrain_under_the_track() -> None:
    def hill(latitude: Floats, longitude: Floats) -> Floats:
        return 150.0 + 1e4 * (latitude - latitude.min())

    whole = airborne(altitude_msl=540.0)
    found = states(whole, Given(elevation=hill))
    assert found.height is not None
    assert np.allclose(found.height, 540.0 - hill(whole.latitude, whole.longitude), atol=1.0)
    assert "terrain" in found.height_source


def test_nothing_known_says_why() -> None:
    no_ground = states(airborne(altitude_msl=540.0))
    assert no_ground.height is None
    assert any("no ground elevation was given" in note for note in no_ground.notes)
    no_altitude = states(airborne(), Given(ground=190.0))
    assert no_altitude.height is None
    assert no_altitude.altitude is None
    assert no_altitude.vertical_speed is None
    assert any("No altitude was recorded" in note for note in no_altitude.notes)


def test_altitude_written_in_steps_of_25_feet() -> None:
    """The error of a step's rounding is even, 25 ft/√12 = 2.2 m; smoothed it is less.

    It stays the same for the 15 s that half a metre a second takes through a step, so the rate of climb is
    good to 0.55 m/s (110 fpm) only.
    """
    flown = Flown(laps(2.0))
    time = np.arange(0.0, flown.time[-1], 1.0)
    true = 300.0 + 15.0 * np.sin(time / 30.0)
    found = states(flown.recording(altitude_msl=np.round(true / 7.62) * 7.62))
    assert found.altitude is not None
    assert np.sqrt(np.mean((found.altitude - true) ** 2)) < 2.2
    assert found.vertical_speed is not None
    assert np.sqrt(np.mean((found.vertical_speed - 0.5 * np.cos(time / 30.0)) ** 2)) < 0.55


def test_slow_over_the_ground_in_much_wind_is_still_flight() -> None:
    """65 kt into 28 kt of wind is 37 kt over the ground for a minute: no time on the ground."""
    around = (np.pi / 0.1, 0.1)
    flown = Flown(
        [(60.0, 0.0), around, (60.0, 0.0), around, (60.0, 0.0)], 33.4, wind=(0.0, -14.4), heading=0.0
    )
    assert states(flown.recording(altitude=500.0)).height is None


def test_a_given_ground_far_from_the_recordings_own_is_said() -> None:
    """580 ft above the runway that it took off from is possible, and more often a mistake."""
    from groundref.debriefing import debrief
    from groundref.simulation import simulate

    recording, truth = simulate(seed=4)
    notes = debrief(recording, ground=truth.ground_elevation + 177.0).states.notes
    assert any("above the ground that the recording stood on" in note for note in notes)
    agreeing = debrief(recording, ground=truth.ground_elevation).states.notes
    assert not any("stood on;" in note for note in agreeing)
