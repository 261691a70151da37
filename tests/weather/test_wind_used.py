"""The wind that a plan uses, by every way to it."""

from __future__ import annotations

from math import degrees, inf, nan, radians

import pytest

from groundref.errors import InputError
from groundref.weather.metar import SurfaceReport, read_metar
from groundref.weather.wind_used import Law, WindUsed, from_metar, from_typed, from_winds_aloft
from groundref.weather.winds_aloft import read_winds_aloft

KNOT = 1852 / 3600
FOOT = 0.3048
AT_1000_FT = 1000 * FOOT


def report(wind: str) -> SurfaceReport:
    return read_metar(f"METAR KXYZ 121753Z {wind} 10SM SCT045 22/12 A2992")


def whence(wind: WindUsed) -> float:
    assert wind.direction_from is not None
    return degrees(wind.direction_from)


def test_a_typed_wind_is_taken_as_it_is() -> None:
    wind = from_typed(14 * KNOT, radians(240), 20 * KNOT)
    assert (wind.speed, whence(wind), wind.gust, wind.sd) == (14 * KNOT, pytest.approx(240), 20 * KNOT, None)
    assert wind.how == "given: 240° at 14 kt gusting 20 kt"
    assert not wind.direction_missing
    assert from_typed(5 * KNOT, radians(360)).how == "given: 360° at 5 kt"


def test_a_calm_needs_no_direction() -> None:
    for wind in (from_typed(0.0, None), from_typed(0.0, 1.0), from_metar(report("00000KT"), AT_1000_FT)):
        assert (wind.speed, wind.direction_from, wind.direction_missing) == (0.0, None, False)
        assert wind.how.endswith("calm")


@pytest.mark.parametrize(
    ("numbers", "says"),
    [
        ((nan, 1.0, None), "not finite"),
        ((5.0, inf, None), "not finite"),
        ((-1.0, 1.0, None), "negative"),
        ((5.0, 1.0, 4.0), "the gust is less than the wind"),
        ((5.0, None, None), "the wind has no direction"),
    ],
)
def test_typed_nonsense_is_refused(numbers: tuple[float, float | None, float | None], says: str) -> None:
    with pytest.raises(InputError, match=says):
        from_typed(*numbers)


# Factors from 10 m to 1,000 ft: computed apart from this code, see tests/published/wind_profile.toml.
@pytest.mark.parametrize(
    ("terrain", "law", "factor"),
    [
        ("water", "power", 1.41),
        ("open", "power", 1.63),
        ("suburb", "power", 2.35),
        ("water", "log", 1.32),
        ("open", "log", 1.59),
        ("suburb", "log", 2.14),
    ],
)
def test_a_metar_grows_with_height(terrain: str, law: Law, factor: float) -> None:
    wind = from_metar(report("24014KT"), AT_1000_FT, terrain=terrain, law=law)
    assert wind.speed / (14 * KNOT) == pytest.approx(factor, abs=0.005)
    assert (whence(wind), wind.gust, wind.height, wind.sd) == (pytest.approx(240), None, AT_1000_FT, None)


def test_what_was_assumed_is_said_with_its_numbers() -> None:
    wind = from_metar(report("24014G22KT"), AT_1000_FT)
    assert wind.how == "METAR KXYZ, day 12 at 17:53 UTC: 240° at 14 kt gusting 22 kt"
    said = " ".join(wind.assumptions)
    assert (
        "From 14 kt at 10 m to 23 kt (42 km/h) at 1,000 ft (305 m) above the ground by the power law" in said
    )
    assert "(exponent 0.14); the neutral log law would give 22 kt (41 km/h)." in said
    assert "Neither law is valid to 1,000 ft by day" in said
    assert "No turn of the wind with height is assumed." in said
    assert wind.gust is not None
    assert wind.gust - wind.speed == pytest.approx(8 * KNOT)


def test_no_law_is_stretched_above_2000_ft() -> None:
    top, above = (from_metar(report("24014KT"), height) for height in (609.6, 1200.0))
    assert above.speed == top.speed
    said, of_top = " ".join(above.assumptions), " ".join(top.assumptions)
    assert "at 2,000 ft (610 m) above the ground by the power law" in said
    assert "is a guess and taken as at 2,000 ft (610 m), where the laws end" in said
    assert "is a guess" in of_top
    assert "taken as at" not in of_top


@pytest.mark.parametrize(("veer", "direction", "way"), [(30, 20, "right"), (-30, 320, "left")])
def test_veer_is_to_the_right(veer: float, direction: float, way: str) -> None:
    wind = from_metar(report("35010KT"), AT_1000_FT, veer=radians(veer))
    assert whence(wind) == pytest.approx(direction)
    assert f"The wind turns 30° to the {way} on the way up (common practice)." in wind.assumptions


def test_a_variable_wind_keeps_its_speed_and_asks_for_a_direction() -> None:
    wind = from_metar(report("VRB05KT"), AT_1000_FT)
    assert wind.direction_missing
    assert wind.speed == pytest.approx(5 * 1.63 * KNOT, rel=0.005)
    assert "direction variable or missing, 5 kt" in wind.how
    assert "The METAR gives no direction: the wind may come from anywhere." in wind.assumptions


def test_what_a_metar_left_unread_stays_said() -> None:
    wind = from_metar(read_metar("EGXX 121753Z 24014KT W15/S2 9999 22/12 Q1013"), AT_1000_FT)
    assert "The group W15/S2 of the METAR was not understood." in wind.assumptions


@pytest.mark.parametrize(
    ("text", "height", "options", "says"),
    [
        ("/////KT", 300.0, {}, "the wind is missing from the report of KXYZ; give one with --wind"),
        ("24014KT", 300.0, {"terrain": "moon"}, "no terrain 'moon'; take one of water, open, suburb, forest"),
        ("24014KT", 9.0, {}, "a height of 30 ft above the ground is out of range"),
        ("24014KT", nan, {}, "out of range"),
        ("24014KT", 300.0, {"veer": radians(91)}, "a veer of 91° is out of range"),
        ("24014KT", 300.0, {"veer": nan}, "a veer of nan° is out of range"),
    ],
)
def test_a_metar_that_gives_no_wind_is_refused(
    text: str, height: float, options: dict[str, object], says: str
) -> None:
    with pytest.raises(InputError) as refused:
        from_metar(report(text), height, **options)
    assert says in str(refused.value)


def test_a_level_alone() -> None:
    aloft = read_winds_aloft("2412+05", 3000 * FOOT)
    wind = from_winds_aloft(aloft, elevation=700 * FOOT, height=AT_1000_FT)
    assert (wind.speed, whence(wind)) == (pytest.approx(12 * KNOT), pytest.approx(240))
    assert wind.how == "winds aloft 2412+05 at 3,000 ft (914 m)"
    assert wind.assumptions == ("The wind of the level is used 1,300 ft (396 m) below it.",)


def test_light_and_variable_asks_for_a_direction() -> None:
    wind = from_winds_aloft(read_winds_aloft("9900", 3000 * FOOT), elevation=0.0, height=AT_1000_FT)
    assert wind.direction_missing
    assert "Light and variable is taken as 5 kt from an unknown direction." in wind.assumptions


def test_between_two_levels_by_vector() -> None:
    """270° and 180°, both at 30 kt: a third of the way components of 20 and 10 kt, 22.4 kt from 243°."""
    low, high = read_winds_aloft("2730", 3000 * FOOT), read_winds_aloft("1830-02", 6000 * FOOT)
    wind = from_winds_aloft(high, elevation=3000 * FOOT, height=AT_1000_FT, below=low)
    assert wind.speed == pytest.approx(22.360680 * KNOT)
    assert whence(wind) == pytest.approx(243.434949)
    assert wind.how == (
        "between winds aloft 2730 at 3,000 ft (914 m) and winds aloft 1830-02 at 6,000 ft (1,829 m)"
    )


def test_between_the_ground_and_a_level() -> None:
    aloft = read_winds_aloft("2430+05", 3000 * FOOT)
    elevation = 3000 * FOOT - 1010.0
    wind = from_winds_aloft(aloft, elevation=elevation, height=510.0, below=report("24010KT"))
    assert (wind.speed, whence(wind)) == (pytest.approx(20 * KNOT), pytest.approx(240))
    assert wind.gust is None
    gusty = from_winds_aloft(aloft, elevation=elevation, height=510.0, below=report("24010G18KT"))
    assert gusty.gust == pytest.approx(28 * KNOT)
    assert "Gusts exceed the mean by as much as at 10 m." in gusty.assumptions
    calm = from_winds_aloft(aloft, elevation=elevation, height=510.0, below=report("00000KT"))
    assert (calm.speed, whence(calm)) == (pytest.approx(15 * KNOT), pytest.approx(240))


@pytest.mark.parametrize(
    ("group", "below", "height_ft", "says"),
    [
        ("9900", "24010KT", 1000, "the wind has no direction, so nothing can be said of the wind between"),
        ("2412", "VRB03KT", 1000, "METAR KXYZ: the wind has no direction"),
        ("2412", "/////KT", 1000, "METAR KXYZ: the wind has no direction"),
        ("2412", "24010KT", 5000, "5,700 ft (1,737 m) above sea level is not between"),
        ("2412", "24010KT", 20, "is not between"),
        ("2412", "24010KT", nan, "a height or elevation makes no sense"),
    ],
)
def test_nothing_is_made_up_between(group: str, below: str, height_ft: float, says: str) -> None:
    aloft = read_winds_aloft(group, 3000 * FOOT)
    with pytest.raises(InputError) as refused:
        from_winds_aloft(aloft, elevation=700 * FOOT, height=height_ft * FOOT, below=report(below))
    assert says in str(refused.value)


def test_a_level_below_the_ground_is_refused() -> None:
    with pytest.raises(InputError, match=r"the level of 3,000 ft \(914 m\) is below the ground"):
        from_winds_aloft(read_winds_aloft("2412", 3000 * FOOT), elevation=1000.0, height=300.0)


def test_a_lower_level_without_direction_is_refused() -> None:
    low, high = read_winds_aloft("9900", 3000 * FOOT), read_winds_aloft("1830-02", 6000 * FOOT)
    with pytest.raises(InputError, match="winds aloft 9900 at 3,000 ft"):
        from_winds_aloft(high, elevation=1000.0, height=300.0, below=low)
