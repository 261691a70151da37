"""METARs: published examples, the wind group read a second time by hand, and what must be refused."""

from __future__ import annotations

from math import degrees

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundref.errors import InputError
from groundref.weather.metar import EXAMPLE, SurfaceReport, read_metar

KNOT = 1852 / 3600
UNITS = {"KT": KNOT, "MPS": 1.0, "KMH": 1 / 3.6}


def wind_of(group: str) -> SurfaceReport:
    return read_metar(f"METAR KXYZ 121753Z {group} 9999 SCT045 22/12 Q1013")


def knots(speed: float | None) -> float | None:
    return None if speed is None else round(speed / KNOT, 9)


def whence(direction: float | None) -> float | None:
    return None if direction is None else round(degrees(direction), 9)


# FAA Aeronautical Information Manual, 7-1, key to METAR, item 5 (read in a secondary copy); the last two from
# a Navy flight manual, P-304 (read in a secondary copy).
@pytest.mark.parametrize(
    ("group", "direction", "speed", "gust", "between"),
    [
        ("13008KT", 130, 8, None, None),
        ("08032G45KT", 80, 32, 45, None),
        ("VRB04KT", None, 4, None, None),
        ("00000KT", None, 0, None, None),
        ("210103G130KT", 210, 103, 130, None),
        ("32012G22KT 280V350", 320, 12, 22, (280, 350)),
        ("270112KT", 270, 112, None, None),
        ("33065G105KT", 330, 65, 105, None),
    ],
)
def test_winds_of_the_manuals(
    group: str, direction: float | None, speed: float, gust: float | None, between: tuple[float, float] | None
) -> None:
    report = wind_of(group)
    assert (whence(report.wind_from), knots(report.wind_speed)) == (direction, speed)
    assert knots(report.gust) == gust
    sector = report.wind_between
    assert (sector and (whence(sector[0]), whence(sector[1]))) == between


def test_the_example_of_annex_3() -> None:
    """ICAO Annex 3, example A3-1, same in WMO-No. 306, FM 15 (read in secondary copies)."""
    report = read_metar(
        "METAR YUDO 221630Z 24004MPS 0600 R12/1000U DZ FG SCT010 OVC020 17/16 Q1018\n"
        "  BECMG TL1700 0800 FG BECMG AT1800 9999 NSW="
    )
    assert (report.station, report.day, report.time_of_day) == ("YUDO", 22, 16.5 * 3600)
    assert (whence(report.wind_from), report.wind_speed, report.gust) == (240, 4.0, None)
    assert (report.temperature, report.dew_point) == (290.15, 289.15)
    assert (report.altimeter_setting, report.visibility) == (101_800.0, 600.0)
    assert report.ceiling == pytest.approx(2000 * 0.3048)
    assert report.notes == ()


def test_the_example_of_a_navy_manual() -> None:
    """P-304, figure 1-6 (read in a secondary copy): remarks, fractions of a mile, an A setting."""
    report = read_metar(
        "METAR KNPA 082255Z 27004KT 7/8SM R04/4500FT DZ FG SCT000 BKN011 OVC380 19/18 A2997 "
        "RMK VIS1/2V1 CIG009V013 FG SCT000 BKN TOPS 027 SLP149"
    )
    assert (report.station, whence(report.wind_from), knots(report.wind_speed)) == ("KNPA", 270, 4)
    assert report.visibility == pytest.approx(7 / 8 * 1609.344)
    assert report.ceiling == pytest.approx(1100 * 0.3048)
    assert report.altimeter_setting == pytest.approx(29.97 * 3386.389)
    assert report.notes == ()


def by_hand(group: str) -> tuple[int | None, float, float | None]:
    """Read a wind group letter by letter, apart from any library: direction [deg], speed and gust [m s⁻¹]."""
    body, scale = group, 0.0
    for unit, meters_a_second in UNITS.items():
        if group.endswith(unit):
            body, scale = group[: -len(unit)], meters_a_second
    head, _, gust = body[3:].partition("G")
    direction = None if body[:3] == "VRB" or int(head) == 0 else int(body[:3]) % 360
    return direction, int(head) * scale, int(gust) * scale if gust else None


@given(
    direction=st.one_of(st.just("VRB"), st.integers(1, 36).map(lambda tens: f"{10 * tens:03d}")),
    speed=st.integers(1, 150),
    excess=st.one_of(st.none(), st.integers(0, 60)),
    unit=st.sampled_from(sorted(UNITS)),
    head=st.sampled_from(["METAR ", "SPECI ", "METAR COR ", "", "speci cor "]),
    modifier=st.sampled_from(["", "AUTO ", "COR "]),
    tail=st.sampled_from(["=", " RMK AO2 SLP132 T02170117 $", " NOSIG=", " TEMPO 36045G60KT 2000 TSRA", ""]),
    small=st.booleans(),
)
def test_the_wind_group_against_a_reading_by_hand(
    direction: str,
    speed: int,
    excess: int | None,
    unit: str,
    head: str,
    modifier: str,
    tail: str,
    small: bool,
) -> None:
    group = f"{direction}{speed:02d}{'' if excess is None else f'G{speed + excess:02d}'}{unit}"
    text = f"{head}EGXX 121753Z {modifier}{group} 9999 -SHRA FEW020CB BKN033 M03/M05 Q0998{tail}"
    report = read_metar(text.lower() if small else text)
    whence_by_hand, speed_by_hand, gust_by_hand = by_hand(group)
    assert whence(report.wind_from) == whence_by_hand
    assert report.wind_speed == pytest.approx(speed_by_hand)
    assert report.gust == (None if gust_by_hand is None else pytest.approx(gust_by_hand))
    assert (report.station, report.temperature, report.dew_point) == (
        "EGXX",
        pytest.approx(270.15),
        pytest.approx(268.15),
    )
    assert report.altimeter_setting == 99_800.0


def test_as_it_is_pasted() -> None:
    plain = read_metar(EXAMPLE)
    assert plain.ceiling is None
    assert plain.visibility == pytest.approx(10 * 1609.344)
    for text in (EXAMPLE.lower(), f"\n {EXAMPLE} =\n", EXAMPLE.removeprefix("METAR "), EXAMPLE + " RMK AO2"):
        read = read_metar(text)
        assert all(getattr(read, name) == getattr(plain, name) for name in plain.__slots__ if name != "raw")


@pytest.mark.parametrize(
    "text",
    [
        "LFXX 121200Z AUTO /////KT //// // ////// 15/12 Q1013",
        "LFXX 121200Z AUTO //// // ////// 15/12 Q1013",
        "LFXX 121200Z AUTO 240//KT //// // ////// 15/12 Q1013",
        "LFXX 121200Z AUTO /////MPS ////NDV ///// 15/12 Q1013=",
    ],
)
def test_what_an_automatic_station_does_not_tell_is_none(text: str) -> None:
    report = read_metar(text)
    assert (report.wind_speed, report.wind_from, report.visibility, report.ceiling) == (None,) * 4
    assert (report.temperature, report.altimeter_setting, report.notes) == (288.15, 101_300.0, ())


def test_missing_temperature_and_setting() -> None:
    report = read_metar("EGXX 121753Z AUTO 24014KT 9999 ///// Q////")
    assert (report.temperature, report.dew_point, report.altimeter_setting) == (None, None, None)
    assert read_metar("KXYZ 121753Z 24014KT CAVOK 22/ A2992").dew_point is None


def test_what_is_not_understood_is_said() -> None:
    report = read_metar("EGXX 121753Z 24014KT W15/S2 9999 OVC/// 22/12 Q1013")
    assert knots(report.wind_speed) == 14
    assert "The group W15/S2 of the METAR was not understood." in report.notes
    assert "The METAR tells of a ceiling without its height." in report.notes


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "there is no report"),
        (" = ", "there is no report"),
        ("METAR", "'METAR' is not the four letters of a station"),
        ("KX 121753Z 24014KT 9999", "'KX' is not the four letters"),
        ("24014KT", "'24014KT' is not the four letters"),
        ("TAF KXYZ 121720Z 1218/1318 24014KT P6SM SKC", "this is a TAF, a forecast"),
        ("KXYZ 121753Z NIL=", "nothing was observed"),
        ("KXYZ 121753Z 24014KT 9999= KXYZ 121853Z 25014KT 9999=", "more than one report"),
        ("METAR KXYZ 121753Z 24014KT METAR KXYZ 121853Z 25014KT", "more than one report"),
        ("KXYZ 121753Z 24014KT " + "X" * 1000, "more than one report"),
        ("KXYZ 121753Z 24014 10SM 22/12 A2992", "24014 has no unit; write KT, MPS or KMH"),
        ("EGXX 121753Z VRB03 9999 22/12 Q1013", "VRB03 has no unit"),
        ("KXYZ 121753Z 2401KT 10SM 22/12 A2992", "there is no wind group"),
        ("THIS IS NO WEATHER", "there is no wind group"),
        ("KXYZ 121753Z 40014KT 10SM", "the group 40014KT makes no sense"),
        (
            "KXYZ 121753Z 00005KT 10SM",
            "000 in 00005KT is the direction of a calm; north is 360: check that group",
        ),
        ("KXYZ 321753Z 24014KT 10SM", "the group 321753Z makes no sense"),
        ("KXYZ 122553Z 24014KT 10SM", "the group 122553Z makes no sense"),
        ("KXYZ 121753Z 24014G09KT 10SM", "the gust in 24014G09KT is less than the wind"),
        ("KXYZ 121753Z 10SM 22/12 24014KT A2992", "24014KT stands in the wrong place"),
        ("KXYZ 121753Z 24014KT 10SM 22/12 Q2992", "an altimeter setting of 2992 is out of range"),
        ("KXYZ 121753Z 24014KT 10SM 22/12 A1013", "an altimeter setting of 10.13 is out of range"),
    ],
)
def test_refused_in_one_sentence(text: str, says: str) -> None:
    with pytest.raises(InputError) as refused:
        read_metar(text)
    assert str(refused.value).startswith("METAR: ")
    assert says in str(refused.value)
    assert "\n" not in str(refused.value)


GROUPS = f"""
{EXAMPLE} AUTO COR RMK TEMPO NOSIG = /////KT // //// ////// VRB04KT 24014 200V270 CAVOK 1/2SM 1 R12/1000U
OVC/// VV002 Q1013 A//// 99/99 M01/ SNOCLO R24/CLRD// W15/S2 $ 'X' ÆØ 240P99KT 999999Z ///14KT
"""


def refusal(text: str) -> str:
    try:
        report = read_metar(text)
    except InputError as refused:
        return str(refused)
    assert report.wind_speed is None or report.wind_speed >= 0.0
    return ""


@given(st.lists(st.sampled_from(GROUPS.split()), max_size=12).map(" ".join) | st.text(max_size=40))
def test_anything_at_all_is_read_or_refused_in_one_line(text: str) -> None:
    assert "\n" not in refusal(text)
