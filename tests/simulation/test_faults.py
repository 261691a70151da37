"""Each common error is really flown: measured on the true motion, not on what the pilot was told."""

from __future__ import annotations

import numpy as np
import pytest

from groundref.errors import UsageError
from groundref.mechanics import trochoid
from groundref.simulation import simulate
from groundref.simulation.around_point import FAULTS_THAT_APPLY
from groundref.simulation.faults import FAULTS
from groundref.units import degree, foot, knot, standard_gravity

STEADY = {"unsteadiness": 0.0}


def near(position: np.ndarray, place: float, width: float = 6.0) -> np.ndarray:
    return np.abs((position - place + 180.0) % 360.0 - 180.0) < width


@pytest.mark.parametrize("direction", ["left", "right"])
@pytest.mark.parametrize("wind", [0.0, 12.0, 20.0])
def test_without_error_the_circle_is_round(flown, circle, direction: str, wind: float) -> None:
    _, truth = flown(direction=direction, wind_speed=wind * knot)
    measured = circle(truth)
    assert np.sqrt(np.mean(measured["radial"] ** 2)) < 25 * foot
    assert np.abs(measured["radial"]).max() < 70 * foot
    assert (
        np.abs(truth.height[truth.during(truth.maneuver.start, truth.maneuver.end)] / foot - 800).max() < 60
    )
    _, steady = flown(direction=direction, wind_speed=wind * knot, **STEADY)
    assert np.abs(circle(steady)["radial"]).max() < 25 * foot


def test_left_mirrors_right(flown) -> None:
    (_, left), (_, right) = flown(wind_from=0.0, **STEADY), flown(wind_from=0.0, direction="right", **STEADY)
    np.testing.assert_allclose(left.east, -right.east, atol=1e-5)
    np.testing.assert_allclose(left.north, right.north, atol=1e-5)
    np.testing.assert_allclose(left.bank, -right.bank, atol=1e-8)


def test_bank_held_constant_drifts_by_the_trochoid_formula(flown, circle) -> None:
    _, truth = flown({"bank-held-constant": None}, **STEADY)
    bank = circle(truth)["bank"]
    assert np.ptp(bank) < 0.2
    bounds = truth.maneuver.boundaries
    # Equal tracks one lap apart: compare the position at the first and the second lap boundary.
    east = np.interp(bounds[1:3], truth.time, truth.east)
    north = np.interp(bounds[1:3], truth.time, truth.north)
    drift = np.hypot(np.diff(east), np.diff(north))[0]
    speed = truth.true_airspeed[truth.during(bounds[1], bounds[2])].mean()
    assert drift == pytest.approx(
        float(trochoid.drift_per_lap(speed, 12 * knot, np.mean(bank) * degree)), rel=0.01
    )
    assert np.degrees(np.arctan2(np.diff(east), np.diff(north)))[0] == pytest.approx(60.0, abs=2.0)


def test_half_of_the_variation_not_made_leaves_half_of_it(flown, circle) -> None:
    _, good = flown(laps=1, **STEADY)
    _, half = flown({"bank-held-constant": 0.5}, laps=1, **STEADY)
    _, none = flown({"bank-held-constant": 1.0}, laps=1, **STEADY)
    ranges = [np.ptp(circle(truth)["bank"]) for truth in (good, half, none)]
    assert ranges[0] > 10.0
    assert 0.25 * ranges[0] < ranges[1] < 0.75 * ranges[0]
    assert ranges[2] < 0.2


def sideways(recording, truth) -> float:
    """Return the mean lateral acceleration recorded in the turn [g]."""
    turning = (recording.time > truth.maneuver.start + 5) & (recording.time < truth.maneuver.end - 5)
    return float(recording.lateral_acceleration[turning].mean() / standard_gravity)


@pytest.mark.parametrize("size", [4.0, 8.0])
def test_overbanked_upwind(flown, circle, size: float) -> None:
    _, truth = flown({"overbanked-upwind": size}, **STEADY)
    measured = circle(truth)
    upwind = near(measured["position"], 180.0)
    assert measured["excess"][upwind].mean() == pytest.approx(size, abs=1.0)
    # The path suffers: the airplane is then inside, which it never was by as much without the error.
    assert measured["radial"].min() < -8.0 * size * foot


@pytest.mark.parametrize("size", [4.0, 8.0])
def test_underbanked_downwind(flown, circle, size: float) -> None:
    _, truth = flown({"underbanked-downwind": size}, **STEADY)
    measured = circle(truth)
    downwind = near(measured["position"], 0.0) & (measured["lap"] > 1)
    assert measured["excess"][downwind].mean() == pytest.approx(-size, abs=1.0)
    assert measured["radial"].max() > 8.0 * size * foot


def test_errors_of_bank_in_one_lap_only(flown, circle) -> None:
    _, truth = flown({"overbanked-upwind": 6.0}, faulty_laps=(2,), **STEADY)
    measured = circle(truth)
    upwind = near(measured["position"], 180.0)
    excess = [measured["excess"][upwind & (measured["lap"] == lap)].mean() for lap in (1, 2, 3)]
    assert excess == pytest.approx([0.0, 6.0, 0.0], abs=1.0)


@pytest.mark.parametrize("size", [2.0, 4.0])
def test_late_turn_entry(flown, size: float) -> None:
    (_, good), (_, late) = flown(**STEADY), flown({"late-turn-entry": size}, **STEADY)
    assert good.maneuver.start - good.maneuver.entry_time == pytest.approx(0.0, abs=0.5)
    assert late.maneuver.start - good.maneuver.start == pytest.approx(size, abs=0.6)
    outside = np.hypot(late.east, late.north)[late.during(late.maneuver.start, late.maneuver.end)]
    assert outside.max() - late.maneuver.radius > 60 * size * foot


@pytest.mark.parametrize("size", [-40.0, 30.0])
def test_entry_not_downwind(flown, size: float) -> None:
    _, truth = flown({"entry-not-downwind": size}, **STEADY)
    before = truth.during(truth.maneuver.start - 12.0, truth.maneuver.start - 6.0)
    assert np.degrees(truth.track[before]).mean() == pytest.approx(60.0 + size, abs=1.0)


@pytest.mark.parametrize(("fault", "sign"), [("entry-too-close", -1.0), ("entry-too-far", 1.0)])
def test_entry_distance(flown, circle, fault: str, sign: float) -> None:
    _, truth = flown({fault: 250.0}, **STEADY)
    assert truth.maneuver.entry_distance / foot == pytest.approx(1200.0 + sign * 250.0, abs=20.0)
    measured = circle(truth)
    assert np.abs(measured["radial"][measured["turned"] > 1.5 * np.pi]).max() < 30 * foot


def test_radius_changed_from_lap_to_lap(flown, circle) -> None:
    _, truth = flown({"radius-changed": 200.0}, laps=4, **STEADY)
    measured = circle(truth)
    means = []
    for lap in (1, 2, 3, 4):
        late = (measured["lap"] == lap) & ((measured["turned"] + 0.3) % (2 * np.pi) > np.pi)
        means.append(measured["radial"][late].mean() / foot)
    assert means == pytest.approx([100.0, -100.0, 100.0, -100.0], abs=25.0)


def test_bank_over_limit(flown, circle) -> None:
    _, truth = flown({"bank-over-limit": 6.0}, **STEADY)
    measured = circle(truth)
    for lap in (2, 3):
        assert measured["bank"][measured["lap"] == lap].max() == pytest.approx(51.0, abs=1.0)
    over = measured["bank"] > 45.0
    assert 3.0 < 0.1 * over.sum() < 15.0  # seconds
    _, good = flown(**STEADY)
    assert circle(good)["bank"].max() < 45.0


@pytest.mark.parametrize("size", [150.0, -180.0])
def test_altitude_not_held(flown, size: float) -> None:
    _, truth = flown({"altitude-not-held": size}, **STEADY)
    height = truth.height[truth.during(truth.maneuver.start, truth.maneuver.end)] / foot
    worst = height.min() if size > 0 else height.max()
    assert worst == pytest.approx(800.0 - size, abs=20.0)
    speed = truth.true_airspeed[truth.during(truth.maneuver.start, truth.maneuver.end)]
    lowest, highest = np.argmin(height), np.argmax(height)
    assert np.ptp(speed) > 2 * knot  # height was traded for speed
    assert lowest != highest


def test_airspeed_not_held(flown) -> None:
    _, truth = flown({"airspeed-not-held": 12.0}, **STEADY)
    speed = truth.true_airspeed[truth.during(truth.maneuver.start, truth.maneuver.end)] / knot
    assert speed.max() - speed.min() == pytest.approx(12.0, abs=2.5)


@pytest.mark.parametrize(("size", "height"), [(150.0, 1150.0), (-100.0, 500.0)])
def test_outside_height_band(flown, size: float, height: float) -> None:
    _, truth = flown({"outside-height-band": size}, **STEADY)
    inside = truth.during(truth.maneuver.start, truth.maneuver.end)
    assert truth.height[inside] / foot == pytest.approx(height, abs=10.0)


@pytest.mark.parametrize("direction", ["left", "right"])
def test_uncoordinated_shows_on_the_accelerometer_alone(flown, circle, direction: str) -> None:
    options = {"direction": direction, "recorder": "avionics", **STEADY}
    recording, truth = flown({"uncoordinated": 0.1}, **options)
    good, well = flown({}, **options)
    side = 1.0 if direction == "right" else -1.0
    assert side * sideways(recording, truth) == pytest.approx(0.1, abs=0.02)
    assert abs(sideways(good, well)) < 0.02
    assert np.abs(circle(truth)["radial"]).max() < 60 * foot


def test_every_fault_is_told_in_the_truth_with_its_default(flown) -> None:
    for name in FAULTS_THAT_APPLY:
        _, truth = flown({name: None}, laps=1)
        assert truth.faults == {name: FAULTS[name].default}


def test_a_fault_that_cannot_be_committed_is_refused_in_one_sentence(flown) -> None:
    for name in FAULTS.keys() - FAULTS_THAT_APPLY:
        with pytest.raises(UsageError, match=f"{name} cannot be committed in turns-around-a-point; choose"):
            flown({name: None}, laps=1)


@pytest.mark.parametrize(
    "faults",
    [{"no-such-error": None}, {"overbanked-upwind": 90.0}, {"overbanked-upwind": float("nan")}],
)
def test_nonsense_is_refused(faults: dict[str, float | None]) -> None:
    with pytest.raises(UsageError, match="fault"):
        simulate(faults=faults, flight="maneuver-only")
