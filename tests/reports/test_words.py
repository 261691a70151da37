"""Numbers in words; the exact multipliers are those of the international foot and nautical mile."""

from __future__ import annotations

import math
from datetime import UTC, datetime

import pytest

from groundref.estimation.wind_value import Wind
from groundref.reports import words
from groundref.units import degree, knot

EPOCH = datetime(2026, 5, 1, 23, 59, 30, tzinfo=UTC)


def wind(speed_kt=14.0, from_deg=240.0, sd_kt=0.8):
    to = (from_deg + 180) * degree
    east, north = speed_kt * knot * math.sin(to), speed_kt * knot * math.cos(to)
    return Wind(0, 60, east, north, sd_kt * knot, sd_kt * knot, 0.0, 90 * knot, 1 * knot)


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (words.length(304.8), "1,000 ft"),
        (words.length_beside(304.8), "305 m"),
        (words.length(-3.048, signed=True), "−10 ft"),
        (words.length(3.048, signed=True), "+10 ft"),
        (words.length(-0.1), "0 ft"),
        (words.speed(100 * 1852 / 3600), "100 kt"),
        (words.speed_beside(100 / 3.6), "100 km/h"),
        (words.degrees(math.pi / 4), "45°"),
        (words.bearing(0.0), "360°"),
        (words.bearing(359.7 * degree), "360°"),
        (words.bearing(5 * degree), "005°"),
        (words.both_lengths(307.85, 2.743), "1,010 ±9 ft (308 m)"),
        (words.size(6.2, 1.1, "deg"), "6.2 ±1.1°"),
        (words.size(0.98, 0.04, "fraction"), "98 ±4%"),
        (words.size(0.123, None, "g"), "0.12 g"),
        (words.limit(100.0, "ft"), "100 ft"),
        (words.limit(0.1, "g"), "0.1 g"),
        (words.moment(EPOCH, 31.4), "00:00:01"),
        (words.day(EPOCH), "1 May 2026"),
        (words.day(EPOCH, 31), "2 May 2026"),
        (words.duration(59.4), "59 s"),
        (words.duration(59.6), "1 min 00 s"),
        (words.duration(3661), "1 h 01 min"),
        (words.count(0, "maneuver"), "no maneuvers"),
        (
            words.measured(["latitude", "longitude", "altitude_msl"]),
            "position and altitude above mean sea level",
        ),
    ],
)
def test_numbers_read_as_people_write_them(said, expected):
    assert said == expected


@pytest.mark.parametrize("missing", [None, math.nan, math.inf])
@pytest.mark.parametrize(
    "say",
    [
        words.number, words.length, words.length_beside, words.speed, words.speed_beside, words.degrees,
        words.bearing, words.both_lengths, words.both_speeds, words.duration,
        lambda value: words.with_sd(value, 1.0),
    ],
)  # fmt: skip
def test_what_is_missing_is_said_to_be_missing(say, missing):
    assert say(missing) == "can't tell"


def test_wind_is_said_with_its_uncertainty():
    # atan(0.8 / 14) = 3.3°, rounded up; 14 kt = 25.9 km/h.
    assert words.wind(wind()) == "240° ±4° at 14.0 ±0.8 kt (26 km/h)"


def test_a_wind_within_its_own_uncertainty_has_no_direction():
    assert words.wind(wind(speed_kt=1.0)) == "light, 1.0 ±0.8 kt (2 km/h); its direction can't be told"
    assert words.wind(None) == "can't tell"


def test_control_characters_and_broken_bytes_are_replaced():
    assert words.plain("a\x1b[31m\udcff\x00b") == "a�[31m��b"


def test_no_direction_of_the_wind_is_known_to_nothing():
    assert words.wind(wind(sd_kt=0.02)).startswith("240° ±1° at")


def test_one_moment_is_said_once():
    assert words.from_to(EPOCH, 10.2, 10.4) == "23:59:40 UTC"
    assert words.from_to(EPOCH, 10.2, 40.0) == "23:59:40 to 00:00:10 UTC"


@pytest.mark.parametrize(
    ("datum", "name"),
    [
        ("msl", "altitude above mean sea level"),
        ("ellipsoid", "altitude above the ellipsoid"),
        ("pressure", "pressure altitude"),
    ],
)
def test_an_altitude_is_named_by_its_datum(datum, name):
    assert words.altitude(datum) == name


def test_times_are_never_printed_backwards():
    assert words.from_to(EPOCH, 6.0, 5.0) == words.from_to(EPOCH, 5.0, 6.0)


def test_no_share_is_more_than_the_whole():
    assert words.size(1.05, 0.07, "fraction") == "100 ±7%"
    assert words.size(0.41, 0.07, "fraction") == "41 ±7%"
