"""Wind, point and moments as a user writes them."""

from __future__ import annotations

from datetime import UTC, datetime
from math import radians

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundref.angles import direction_of
from groundref.asking import words
from groundref.cli import options
from groundref.errors import UsageError
from groundref.track.recording import Recording


def recording(start: datetime, seconds: float) -> Recording:
    time = np.array([0.0, seconds])
    return Recording("x", "gpx", start, time, np.zeros(2), np.zeros(2))


@pytest.mark.parametrize(
    ("text", "east", "north"),
    [
        # The trade names a wind by where it is from: a north wind blows to the south, a west wind east.
        ("0/10", 0.0, -10.0),
        ("360/10", 0.0, -10.0),
        ("270/10kt", 10.0, 0.0),
        ("090/10", -10.0, 0.0),
        ("0/0", 0.0, 0.0),
        ("calm", 0.0, 0.0),
        ("27010KT", 10.0, 0.0),
    ],
)
def test_wind_blows_away_from_where_it_is_from(text: str, east: float, north: float) -> None:
    knot = 1852 / 3600
    assert words.wind_velocity(text) == pytest.approx((east * knot, north * knot), abs=1e-12)


@given(st.integers(0, 359), st.integers(1, 60))
def test_wind_round_trip(direction: int, speed: int) -> None:
    east, north = words.wind_velocity(f"{direction}/{speed}")
    assert float(np.degrees(direction_of(-east, -north))) == pytest.approx(direction, abs=1e-9)


@pytest.mark.parametrize("text", ["", "240", "240@12", "361/10", "240/-3", "x/y", "240/nan"])
def test_what_is_no_wind(text: str) -> None:
    with pytest.raises(UsageError, match=r"--wind: .* is not a wind"):
        words.wind_velocity(text)


@pytest.mark.parametrize("text", ["240/12G18", "24012G18KT", "24012g18kt", "240/12G18 kt"])
def test_a_wind_with_gusts_as_typed_and_as_a_report_has_it(text: str) -> None:
    knot = 1852 / 3600
    assert words.gusty_wind(text) == pytest.approx((radians(240), 12 * knot, 18 * knot))
    with pytest.raises(UsageError, match="has gusts, and a mean wind is asked for"):
        words.stated_wind(text)


def test_a_wind_without_a_direction_is_told_what_is_missing() -> None:
    with pytest.raises(UsageError, match="'VRB03KT' has no direction, and bank and crab hang on it"):
        words.gusty_wind("VRB03KT")


def test_point_north_and_east_positive() -> None:
    assert words.point("-33.5, 151.25") == pytest.approx((radians(-33.5), radians(151.25)))


@pytest.mark.parametrize("text", ["", "40.1", "40.1;-90.2", "91,0", "0,181", "nan,0", "40.1,-90.2,3"])
def test_what_is_no_point(text: str) -> None:
    with pytest.raises(UsageError, match="--point"):
        words.point(text)


NOON = datetime(2026, 5, 1, 12, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("14:05", datetime(2026, 5, 1, 14, 5, tzinfo=UTC)),
        ("14:05:30", datetime(2026, 5, 1, 14, 5, 30, tzinfo=UTC)),
        ("2026-05-01T14:05:30Z", datetime(2026, 5, 1, 14, 5, 30, tzinfo=UTC)),
        ("2026-05-01T14:05:30", datetime(2026, 5, 1, 14, 5, 30, tzinfo=UTC)),
        ("2026-05-01T16:05:30+02:00", datetime(2026, 5, 1, 14, 5, 30, tzinfo=UTC)),
    ],
)
def test_moments(text: str, expected: datetime) -> None:
    assert options.moment(text, recording(NOON, 7200), "--from") == expected


def test_a_clock_time_after_midnight_is_of_the_next_day() -> None:
    night = recording(datetime(2026, 5, 1, 23, 30, tzinfo=UTC), 3600)
    assert options.moment("00:10", night, "--to") == datetime(2026, 5, 2, 0, 10, tzinfo=UTC)
    assert options.moment("23:40", night, "--from") == datetime(2026, 5, 1, 23, 40, tzinfo=UTC)


@pytest.mark.parametrize("text", ["", "25:00", "14:61", "noon", "2026-13-01T00:00Z"])
def test_what_is_no_moment(text: str) -> None:
    with pytest.raises(UsageError, match=r"--from: .* is not a time"):
        options.moment(text, recording(NOON, 60), "--from")
