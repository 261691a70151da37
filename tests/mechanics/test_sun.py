"""The sun against a worked example of a textbook and against a general library of astronomy."""

from __future__ import annotations

from datetime import UTC, datetime

import ephem
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundref.mechanics import sun
from groundref.units import degree

minute = 60.0
moments = st.datetimes(datetime(2000, 1, 1), datetime(2049, 12, 31)).map(
    lambda each: each.replace(tzinfo=UTC)
)
latitudes, longitudes = st.floats(-58.0, 58.0), st.floats(-179.0, 179.0)


def observer(latitude: float, longitude: float, when: datetime, height: str = "0") -> ephem.Observer:
    place = ephem.Observer()
    place.lat, place.lon = latitude * degree, longitude * degree
    place.pressure, place.elevation, place.horizon = 0, 0, height
    place.date = when.replace(tzinfo=None)
    return place


def test_the_worked_example_of_the_textbook() -> None:
    # J. Meeus, Astronomical Algorithms, example 25.a (from memory): 1992 October 13, 0h of dynamical time,
    # low accuracy: apparent right ascension 198.38083°, declination −7.78507°.
    time = datetime(1992, 10, 13, tzinfo=UTC).timestamp()
    ascension, declination = sun.place_in_the_sky(time)
    assert float(ascension) / degree == pytest.approx(198.38083, abs=2e-5)
    assert float(declination) / degree == pytest.approx(-7.78507, abs=2e-5)
    # Example 28.a (from memory): equation of time 13 min 42.6 s that day; 7 s more by noon.
    assert float(sun.hour_angle(time + 12 * 3600, 0.0)) / degree * 4 == pytest.approx(13.7 + 0.12, abs=0.1)


@given(moments, latitudes, longitudes)
def test_elevation_and_azimuth_are_those_of_a_library(
    when: datetime, latitude: float, longitude: float
) -> None:
    seen = ephem.Sun(observer(latitude, longitude, when))
    place = latitude * degree, longitude * degree
    ours = sun.elevation(when.timestamp(), *place), sun.azimuth(when.timestamp(), *place)
    assert float(ours[0]) == pytest.approx(float(seen.alt), abs=0.02 * degree)
    apart = (float(ours[1]) - float(seen.az) + np.pi) % (2 * np.pi) - np.pi
    assert abs(apart) * np.cos(float(ours[0])) <= 0.02 * degree


@given(moments, latitudes, longitudes, st.sampled_from([(sun.RISING, "-0.833"), (sun.CIVIL, "-6")]))
def test_rising_and_setting_are_those_of_a_library(
    when: datetime, latitude: float, longitude: float, height: tuple[float, str]
) -> None:
    place = latitude * degree, longitude * degree
    rises, sets = (float(each) for each in sun.crossings(when.timestamp(), *place, height[0]))
    there = observer(latitude, longitude, datetime.fromtimestamp(0.5 * (rises + sets), UTC), height[1])
    for ours, theirs in (
        (rises, there.previous_rising(ephem.Sun(), use_center=True)),
        (sets, there.next_setting(ephem.Sun(), use_center=True)),
    ):
        assert ours == pytest.approx(theirs.datetime().replace(tzinfo=UTC).timestamp(), abs=0.25 * minute)


@pytest.mark.parametrize(("month", "high"), [(6, True), (12, False)])
def test_beyond_the_polar_circle_it_neither_rises_nor_sets(month: int, high: bool) -> None:
    time = datetime(2026, month, 21, 12, tzinfo=UTC).timestamp()
    assert np.isnan(sun.crossings(time, 78 * degree, 15 * degree)).all()
    assert (float(sun.elevation(time, 78 * degree, 15 * degree)) > 0) is high


def test_the_day_is_the_one_about_the_time() -> None:
    place = 40.1 * degree, -90.2 * degree
    noon = datetime(2026, 5, 1, 18, tzinfo=UTC).timestamp()
    for hours in (-11.0, -4.0, 0.0, 5.0, 11.0):
        assert sun.crossings(noon + hours * 3600, *place) == pytest.approx(
            sun.crossings(noon, *place), abs=1.0
        )


def test_shapes_broadcast() -> None:
    times, north = np.array([[0.0], [1e9]]), np.array([0.1, 0.5, 0.9])
    assert sun.elevation(times, north, 0.0).shape == (2, 3)
    assert sun.crossings(times, north, 0.0)[0].shape == (2, 3)
