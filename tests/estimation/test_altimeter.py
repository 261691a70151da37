"""Pressure altitude read with an altimeter setting: altitude above the sea, and how sure it is."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundref.debriefing import debrief
from groundref.errors import UsageError
from groundref.estimation.altimeter import HIGHEST, LOWEST, as_set, check_setting, warmth_sd
from groundref.estimation.estimate import Given
from groundref.simulation import simulate
from groundref.simulation.adsb import Adsb
from groundref.simulation.sensing import Day
from groundref.track.recording import Recording
from groundref.units import foot, hectopascal, inch_hg

from .air import states
from .test_height import airborne, on_the_ground_first


def pressure_only(feet: float) -> Recording:
    return airborne(altitude_pressure=feet * foot)


@pytest.mark.parametrize(
    ("setting_inhg", "pressure_altitude_ft"),
    [
        (28.0, 1824),
        (28.5, 1340),
        (29.0, 863),
        (29.5, 392),
        (29.92, 0),
        (30.0, -73),
        (30.5, -531),
        (31.0, -983),
    ],
)
def test_table_of_pressure_altitude_by_altimeter_setting(
    setting_inhg: float, pressure_altitude_ft: float
) -> None:
    """FAA-H-8083-25, Pilot's Handbook of Aeronautical Knowledge, chapter 11, pressure altitude conversion.

    From memory: a field at sea level has this pressure altitude with such a setting, and the altimeter shows
    zero there. The table's figures are rounded.
    """
    shown = as_set(np.array([pressure_altitude_ft * foot]), setting_inhg * inch_hg)
    assert shown[0] / foot == pytest.approx(0.0, abs=2.5)


@given(st.floats(25.0, 32.0), st.floats(0.0, 3000.0))
def test_a_setting_turns_the_whole_scale(setting: float, altitude: float) -> None:
    shown = as_set(np.array([altitude, altitude + 100.0]), setting * inch_hg)
    assert shown[1] - shown[0] == pytest.approx(100.0)


def test_the_height_above_a_given_ground_follows() -> None:
    """1,000 hPa lies at 364 ft in the standard atmosphere (ICAO Doc 7488)."""
    found = states(pressure_only(1864), Given(ground=500 * foot, altimeter=1000 * hectopascal))
    assert found.altitude_datum == "indicated"
    assert found.altitude is not None
    assert np.median(found.altitude) / foot == pytest.approx(1500.0, abs=2.0)
    assert found.height is not None
    assert np.median(found.height) / foot == pytest.approx(1000.0, abs=2.0)
    assert found.height_source == "ground elevation given"
    assert any("29.53 inHg (1000.0 hPa)" in note for note in found.notes)


def test_the_deviation_of_a_height_holds_the_unknown_temperature() -> None:
    """At 1,000 ft 10 °C are 35 ft (4 % for 11 °C: common practice); on the ground they are nothing."""
    assert warmth_sd(np.array([1000 * foot]))[0] / foot == pytest.approx(40 * 10 / 11, rel=0.06)
    known = Given(ground=500 * foot, altimeter=1000 * hectopascal)
    high, low = states(pressure_only(2864), known), states(pressure_only(964), known)
    assert high.height_sd is not None
    assert low.height_sd is not None
    assert np.median(high.height_sd) / foot == pytest.approx(np.sqrt(69.4**2 + 20**2 + 5**2), abs=2.0)
    assert np.median(low.height_sd) / foot == pytest.approx(np.sqrt(3.5**2 + 20**2 + 5**2), abs=2.0)


def test_without_a_setting_the_temperature_counts_too_where_height_is_told_by_pressure() -> None:
    by_pressure = states(on_the_ground_first({"pressure": 163.0}))
    above_sea = states(on_the_ground_first({"msl": 163.0}))
    assert by_pressure.height_sd is not None
    assert above_sea.height_sd is not None
    assert np.hypot(8.0, warmth_sd(np.array([240.0]))[0]) < by_pressure.height_sd[-30] < 13.0
    assert above_sea.height_sd[-30] < 10.0


@pytest.mark.parametrize(
    ("recording", "says"),
    [
        (airborne(altitude_msl=540.0), "above mean sea level already"),
        (airborne(altitude_msl=540.0, altitude_pressure=600.0), "above mean sea level already"),
        (airborne(altitude_ellipsoid=540.0), "no pressure altitude was recorded"),
        (airborne(), "no pressure altitude was recorded"),
    ],
)
def test_refused_where_no_altitude_is_known_to_be_of_pressure(recording: Recording, says: str) -> None:
    with pytest.raises(UsageError, match=says):
        states(recording, Given(altimeter=1000 * hectopascal))


@pytest.mark.parametrize("setting", [0.0, -1.0, 29.92, 1013.25, LOWEST - 1.0, HIGHEST + 1.0, float("nan")])
def test_refused_when_it_is_no_setting(setting: float) -> None:
    with pytest.raises(UsageError, match="out of range"):
        check_setting(pressure_only(1000), setting)


@pytest.mark.parametrize("warmer", [-10.0, 0.0, 7.0])
def test_a_simulated_lesson_heard_by_a_receiver(warmer: float) -> None:
    """Height within its deviation of the truth; judged, and rightly, where it was not without the setting."""
    setting = 30.31 * inch_hg
    day = Day(altimeter_setting=setting, warmer=warmer)
    whole, truth = simulate("turns-around-a-point", seed=5, recorder=Adsb(day=day))
    (maneuver,) = truth.maneuvers
    recording = whole.take((whole.time > maneuver.start - 120.0) & (whole.time < maneuver.end + 60.0))
    ground = truth.ground_elevation
    without = debrief(recording, ground=ground)
    assert without.states.height is None
    assert without.to_dict()["flight"]["altimeter_setting_hpa"] is None
    found = debrief(recording, ground=ground, altimeter=setting)
    states_found = found.states
    assert states_found.height is not None
    assert states_found.height_sd is not None
    off = states_found.height - truth.at("height", states_found.time)
    assert np.abs(off / states_found.height_sd).mean() < 1.3
    assert np.median(off) / np.median(truth.height) == pytest.approx(-warmer / 288, abs=0.012)
    band = next(e for e in found.maneuvers[0].elements if e.code == "PA.V.B.S3c" or "height" in e.what)
    assert band.verdict == "met"
    assert found.to_dict()["flight"]["altimeter_setting_hpa"] == pytest.approx(1026.4, abs=0.05)
    assert found.to_dict()["maneuvers"][0]["altitude"]["datum"] == "indicated"


def test_altitudes_are_left_alone_but_for_their_zero() -> None:
    """A setting moves altitude and height; how the altitude was held is judged as without it."""
    recording, truth = simulate("steep-turns", seed=2, recorder="adsb")
    setting = Day().altimeter_setting
    one = debrief(recording, ground=truth.ground_elevation)
    other = debrief(recording, ground=truth.ground_elevation, altimeter=setting)
    assert one.states.altitude is not None
    assert other.states.altitude is not None
    moved = one.states.altitude - other.states.altitude
    assert np.ptp(moved) < 1e-6
    assert moved[0] == pytest.approx(float(truth_zero(setting)))
    verdicts = [
        [e.verdict for e in each.maneuvers[0].elements if e.what.startswith("altitude")]
        for each in (one, other)
    ]
    assert verdicts[0] == verdicts[1]


def truth_zero(setting: float) -> float:
    """Return the altitude at which the standard atmosphere has a pressure, by its own formula [m].

    Manual of the ICAO Standard Atmosphere, Doc 7488/3: H = (T₀/L)(1 − (p/p₀)^(RL/g)).
    """
    return 288.15 / 0.0065 * (1.0 - (setting / 101325.0) ** (287.05287 * 0.0065 / 9.80665))


def test_mostly_missing_pressure_altitude_is_refused() -> None:
    whole = pressure_only(1000)
    assert whole.altitude_pressure is not None
    thin = np.array(whole.altitude_pressure)
    thin[: int(0.7 * thin.size)] = np.nan
    with pytest.raises(UsageError, match="no pressure altitude"):
        states(replace(whole, altitude_pressure=thin), Given(altimeter=1000 * hectopascal))
