"""Recorders make the errors that they are said to make, and nothing else."""

from __future__ import annotations

import numpy as np
import pytest

from groundref.angles import difference
from groundref.errors import UsageError
from groundref.mechanics import atmosphere
from groundref.simulation import Adsb, Avionics, Phone, Truth, Weather, airborne, compose
from groundref.simulation.legs import Straight, Turn
from groundref.simulation.recorders import named_recorder
from groundref.simulation.sensing import Day, wandering
from groundref.track.recording import Recording
from groundref.units import degree, foot, foot_per_minute, hectopascal, knot, standard_gravity

WEATHER = Weather.blowing(12 * knot, 240 * degree)


@pytest.fixture(scope="module")
def truth() -> Truth:
    """Return an hour of flight with turns in it."""
    legs = [Turn(4 * np.pi, 20 * degree, 46.0), Straight(300.0, 46.0, seconds=400.0)] * 6
    return compose(legs, airborne(0, 0, 300.0, 0.0, 46.0, WEATHER), weather=WEATHER)[1]


def errors(recording: Recording, truth: Truth) -> tuple[np.ndarray, np.ndarray]:
    east, north = truth.frame.to_local(recording.latitude, recording.longitude)
    return east - truth.at("east", recording.time), north - truth.at("north", recording.time)


def recorded(recorder: Phone | Avionics | Adsb, truth: Truth, chance: int = 5) -> Recording:
    return recorder.record(truth, np.random.default_rng(chance))


def test_wandering_error_has_the_stated_deviation_and_correlation() -> None:
    chance = np.random.default_rng(11)
    time = np.cumsum(chance.uniform(0.5, 1.5, 200_000))
    error = wandering(time, 3.0, 20.0, chance)
    assert error.std() == pytest.approx(3.0, rel=0.05)
    later = np.interp(time[:-100] + 20.0, time, error)
    # Straight interpolation between samples a second apart costs half a percent of correlation here.
    assert np.corrcoef(error[:-100], later)[0, 1] == pytest.approx(np.exp(-1.0), abs=0.03)
    assert error[0] != 0.0


def test_phone_position_error(truth: Truth) -> None:
    drifts, steps = [], []
    for chance in range(25):
        for error in errors(recorded(Phone(lost=0.0, repeated=0.0, gap=0.0), truth, chance), truth):
            drifts.append(error)
            steps.append(np.diff(error).std())
    # Independent stretches: 50 series of some 2,900 s / 240 s each leave the sd known to about 3 %.
    assert np.std(drifts) == pytest.approx(np.hypot(2.5, 0.4), rel=0.1)
    expected = np.sqrt(2 * 0.4**2 + 2 * 2.5**2 * (1 - np.exp(-1 / 120)))
    assert np.mean(steps) == pytest.approx(expected, rel=0.02)


def test_phone_height_error(truth: Truth) -> None:
    offsets = []
    for chance in range(60):
        recording = recorded(Phone(lost=0.0, repeated=0.0, gap=0.0), truth, chance)
        assert recording.altitude_msl is not None
        offsets.append((recording.altitude_msl - truth.at("altitude", recording.time))[::600])
    assert np.std(offsets) == pytest.approx(np.sqrt(3.0**2 + 5.0**2 + 0.5**2), rel=0.15)


def test_phone_loses_repeats_and_pauses(truth: Truth) -> None:
    recording = recorded(Phone(lost=0.02, repeated=0.01, gap=9.0), truth)
    steps = np.diff(recording.time)
    assert (steps == 0.0).mean() == pytest.approx(0.01, abs=0.006)
    assert 9.0 <= steps.max() <= 12.0
    distinct = np.unique(recording.time).size
    expected = np.floor(truth.time[-1]) + 1 - 9
    assert distinct / expected == pytest.approx(0.98, abs=0.01)
    assert recording.measured == ("latitude", "longitude", "altitude_msl")


def test_phone_pauses_outside_the_maneuver_only(flown) -> None:
    _, truth = flown(flight="lesson")
    for chance in range(12):
        recording = recorded(Phone(), truth, chance)
        widest = int(np.argmax(np.diff(recording.time)))
        begin, end = recording.time[widest], recording.time[widest + 1]
        assert 7.0 < end - begin < 12.0
        assert end < truth.maneuver.start - 25.0 or begin > truth.maneuver.end + 25.0


def test_phone_steps_of_its_file(truth: Truth) -> None:
    recording = recorded(Phone(), truth)
    steps = np.degrees(recording.latitude) * 1e7
    np.testing.assert_allclose(steps, np.round(steps), atol=1e-5)
    assert np.all(recording.time == np.round(recording.time))


def test_avionics_agree_with_the_truth(truth: Truth) -> None:
    recording = recorded(Avionics(interval=0.2), truth)
    assert np.median(np.diff(recording.time)) == pytest.approx(0.2)
    limits = {
        "true_airspeed": ("true_airspeed", 3.0 * knot, 0.8 * knot),
        "bank": ("bank", 1.4 * degree, 0.3 * degree),
        "lateral_acceleration": ("lateral_acceleration", 0.02 * standard_gravity, 0.015 * standard_gravity),
    }
    for channel, (name, bias, noise) in limits.items():
        error = getattr(recording, channel) - truth.at(name, recording.time)
        assert abs(error.mean()) < bias, channel
        assert 0.0 < error.std() < noise, channel


def test_avionics_biases_differ_from_flight_to_flight(truth: Truth) -> None:
    means = []
    for chance in range(60):
        recording = recorded(Avionics(interval=5.0), truth, chance)
        assert recording.bank is not None
        means.append(np.mean(recording.bank - truth.at("bank", recording.time)) / degree)
    assert np.std(means) == pytest.approx(0.4, rel=0.3)


def test_avionics_heading_is_magnetic(truth: Truth) -> None:
    recording = recorded(Avionics(day=Day(variation=8 * degree), heading_bias_sd=0.0), truth)
    assert recording.heading_magnetic is not None
    off = difference(truth.at("heading", recording.time), recording.heading_magnetic)
    assert off / degree == pytest.approx(8.0, abs=0.06)
    assert recording.heading is None


def test_normal_acceleration_is_the_load_factor_of_the_turn(truth: Truth) -> None:
    recording = recorded(Avionics(), truth)
    assert recording.normal_acceleration is not None
    bank = truth.at("bank", recording.time)
    turning = (np.abs(bank) > 19 * degree) & (np.abs(truth.at("climb_rate", recording.time)) < 0.05)
    assert turning.sum() > 100
    factor = recording.normal_acceleration[turning] / standard_gravity * np.cos(bank[turning])
    assert factor.mean() == pytest.approx(1.0, abs=0.02)


def test_pressure_altitude_is_that_of_the_altimeter_setting(truth: Truth) -> None:
    day = Day(altimeter_setting=1000 * hectopascal, warmer=0.0)
    recording = recorded(Avionics(day=day), truth)
    assert recording.altitude_pressure is not None
    expected = atmosphere.pressure_altitude_from_indicated(truth.at("altitude", recording.time), 100_000.0)
    np.testing.assert_allclose(recording.altitude_pressure, expected, atol=0.6 * foot)
    # 1,000 hPa lies at 111 m in the standard atmosphere (ICAO Doc 7488, altitude by pressure).
    assert np.mean(recording.altitude_pressure - truth.at("altitude", recording.time)) == pytest.approx(
        111, abs=1
    )


def test_warm_air_makes_the_altimeter_show_too_little(truth: Truth) -> None:
    cold = Day(warmer=0.0).pressure_altitude(truth, truth.time)
    warm = Day(warmer=28.0).pressure_altitude(truth, truth.time)
    # Common practice: 4 % of the height above the field for every 11 °C from standard.
    assert np.mean((cold - warm) / truth.height) == pytest.approx(0.04 * 28 / 11, abs=0.015)


def test_adsb_steps_and_times(truth: Truth) -> None:
    recording = recorded(Adsb(), truth)
    steps = np.diff(recording.time)
    assert steps.min() >= 0.5
    assert steps.max() <= 3.01
    assert steps.mean() == pytest.approx(1.2, abs=0.05)
    assert steps.std() > 0.4
    speed, track = recording.ground_speed, recording.track
    assert speed is not None
    assert track is not None
    for component, name in (
        (speed * np.sin(track), "velocity_east"),
        (speed * np.cos(track), "velocity_north"),
    ):
        np.testing.assert_allclose(component / knot, np.round(component / knot), atol=1e-9)
        error = (component - truth.at(name, recording.time)) / knot
        assert error.std() == pytest.approx(np.hypot(1 / np.sqrt(12), 0.1 / knot), rel=0.05)
    for channel, step in (
        (recording.altitude_pressure, 25 * foot),
        (recording.altitude_ellipsoid, 25 * foot),
        (recording.vertical_speed, 64 * foot_per_minute),
    ):
        assert channel is not None
        np.testing.assert_allclose(channel / step, np.round(channel / step), atol=1e-6)
    assert recording.altitude_msl is None


def test_adsb_position_steps_are_some_five_metres(truth: Truth) -> None:
    recording = recorded(Adsb(drift_sd=0.0), truth)
    for error in errors(recording, truth):
        assert 1.0 < error.std() < 2.0  # a step of 5.1 m has a standard deviation of 1.5 m
        assert np.abs(error).max() < 3.0


def test_recorders_by_name() -> None:
    assert named_recorder("phone", 0.5) == Phone(interval=0.5)
    with pytest.raises(UsageError, match="recorder"):
        named_recorder("wax cylinder")
    with pytest.raises(UsageError, match="interval"):
        named_recorder("phone", 0.0)
