"""Groups of winds aloft: published examples, there and back, and what must be refused."""

from __future__ import annotations

from math import degrees, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundref.errors import InputError
from groundref.weather.winds_aloft import read_winds_aloft

KNOT = 1852 / 3600
FOOT = 0.3048


# FAA weather handbook and its quotations, a Navy flight manual P-304, and an open encyclopedia (all read in
# secondary copies); 2412+05 is invented.
@pytest.mark.parametrize(
    ("group", "level_ft", "direction", "speed_kt", "celsius"),
    [
        ("731960", 34_000, 230, 119, -60),
        ("7799", 30_000, 270, 199, None),
        ("2435 +07", 9_000, 240, 35, 7),
        ("274650", 30_000, 270, 46, -50),
        ("750456", 39_000, 250, 104, -56),
        ("3127", 3_000, 310, 27, None),
        ("2635-05", 9_000, 260, 35, -5),
        ("7345", 24_000, 230, 145, None),
        ("2412+05", 3_000, 240, 12, 5),
        ("3610", 3_000, 0, 10, None),
    ],
)
def test_published_groups(
    group: str, level_ft: float, direction: float, speed_kt: float, celsius: float | None
) -> None:
    wind = read_winds_aloft(group, level_ft * FOOT)
    assert wind.direction_from is not None
    assert degrees(wind.direction_from) == pytest.approx(direction)
    assert wind.speed == pytest.approx(speed_kt * KNOT)
    assert wind.temperature == (None if celsius is None else pytest.approx(273.15 + celsius))
    assert wind.level == level_ft * FOOT


@pytest.mark.parametrize("group", ["9900", "9900+12", "9900-02"])
def test_light_and_variable_has_no_direction(group: str) -> None:
    wind = read_winds_aloft(group, 6000 * FOOT)
    assert wind.direction_from is None
    assert wind.speed == pytest.approx(5 * KNOT)


@given(tens=st.integers(1, 36), knots=st.integers(5, 199), celsius=st.integers(-60, 30))
def test_there_and_back(tens: int, knots: int, celsius: int) -> None:
    strong = knots >= 100
    group = f"{tens + 50 * strong:02d}{knots - 100 * strong:02d}{celsius:+03d}"
    wind = read_winds_aloft(group, 9000 * FOOT)
    assert wind.direction_from is not None
    assert wind.temperature is not None
    read = degrees(wind.direction_from) / 10, wind.speed / KNOT, wind.temperature - 273.15
    assert read == pytest.approx((tens % 36, knots, celsius), abs=1e-9)


@pytest.mark.parametrize(
    ("group", "level_ft", "says"),
    [
        ("", 3000, "'' is not a group of winds aloft"),
        ("24012KT", 3000, "'24012KT' is not a group"),
        ("241", 3000, "'241' is not a group"),
        ("0012", 3000, "its first two digits are 00"),
        ("3712+05", 3000, "its first two digits are 37"),
        ("8710", 3000, "its first two digits are 87"),
        ("9910", 3000, "its first two digits are 99"),
        ("241205", 9000, "has no sign"),
        ("2412+05", 300, "a level of 300 ft is out of range"),
        ("2412+05", 9e5, "out of range"),
        ("2412+05", nan, "out of range"),
    ],
)
def test_refused_in_one_sentence(group: str, level_ft: float, says: str) -> None:
    with pytest.raises(InputError) as refused:
        read_winds_aloft(group, level_ft * FOOT)
    assert says in str(refused.value)
    assert "\n" not in str(refused.value)
