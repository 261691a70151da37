"""Light at the place and time of a plan."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from math import radians

import ephem
import pytest

from groundref.planning import Plan, Where, plan
from groundref.units import degree

PLACE = {"latitude": radians(40.1), "longitude": radians(-90.2)}
SUNSET = datetime(2026, 5, 2, 0, 56, tzinfo=UTC)


def at(when: datetime | None, **place: float) -> Plan:
    return plan("turns-around-a-point", where=Where(**(place or PLACE), when=when))


def names(one: Plan) -> set[str]:
    return {each.name for each in one.cautions} & {"night", "sun-down", "near-sunset", "low-sun"}


def test_the_times_are_those_of_a_library() -> None:
    found = at(datetime(2026, 5, 1, 20, tzinfo=UTC)).safety.daylight
    assert found is not None
    there = ephem.Observer()
    there.lat, there.lon, there.pressure = "40.1", "-90.2", 0
    there.date = datetime(2026, 5, 1, 18)
    for height, rises, sets in (
        ("-0.833", found.sunrise, found.sunset),
        ("-6", found.twilight_begins, found.twilight_ends),
    ):
        there.horizon = height
        for ours, theirs in (
            (rises, there.previous_rising(ephem.Sun(), use_center=True)),
            (sets, there.next_setting(ephem.Sun(), use_center=True)),
        ):
            assert ours is not None
            assert abs(ours - theirs.datetime().replace(tzinfo=UTC)) < timedelta(seconds=15)


@pytest.mark.parametrize(
    ("minutes", "said"),
    [
        (-300, set()),
        (-50, {"low-sun"}),
        (-20, {"near-sunset", "low-sun"}),
        (10, {"sun-down"}),
        (60, {"night"}),
    ],
)
def test_the_later_the_more_serious(minutes: int, said: set[str]) -> None:
    assert names(at(SUNSET + timedelta(minutes=minutes))) == said


def test_before_sunrise_and_in_the_dark_morning() -> None:
    assert names(at(datetime(2026, 5, 1, 10, 45, tzinfo=UTC))) == {"sun-down"}
    dark = at(datetime(2026, 5, 1, 9, 0, tzinfo=UTC))
    assert names(dark) == {"night"}
    (said,) = (each for each in dark.cautions if each.name == "night")
    assert said.weight.name == "STOP"
    assert "civil twilight begins at 10:3" in said.says


def test_beyond_the_polar_circle() -> None:
    north = {"latitude": radians(78.0), "longitude": radians(15.0)}
    summer, winter = (at(datetime(2026, month, 21, 12, tzinfo=UTC), **north) for month in (6, 12))
    assert summer.safety.daylight is not None
    assert summer.safety.daylight.sunset is None
    assert names(summer) == set()
    assert names(winter) == {"night"}


def test_without_place_or_time_nothing_is_said() -> None:
    assert at(None).safety.daylight is None
    alone = plan("s-turns", where=Where(when=SUNSET))
    assert alone.safety.daylight is None


def test_a_time_without_zone_is_universal() -> None:
    naive = at(SUNSET.replace(tzinfo=None)).safety.daylight
    aware = at(SUNSET).safety.daylight
    assert naive == aware
    assert aware is not None
    assert aware.elevation / degree == pytest.approx(-0.833, abs=0.1)
