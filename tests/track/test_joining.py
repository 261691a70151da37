"""Parts of one flight put together; what is no part of it is told apart."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest
from pyproj import Geod

from groundref.errors import InputError, UsageError
from groundref.track.joining import join
from groundref.track.recording import Recording, Rejection

NOON = datetime(2026, 5, 1, 12, 0, tzinfo=UTC)


def recording(count: int, epoch: datetime = NOON, **channels: Any) -> Recording:
    place = np.linspace(0.5, 0.501, count)
    return Recording("a.gpx", "gpx", epoch, np.arange(float(count)), place, -place, **channels)


def flight(
    name: str, first: float, last: float, *, north: float = 0.0, step: float = 1.0, **channels: Any
) -> Recording:
    """Return a straight flight due north at 50 m/s along the date line, so many metres to the north."""
    time = np.arange(first, last, step)
    latitude = 0.7 + (50.0 * time + north) / 6.371e6
    longitude = np.where(np.arange(time.size) % 2, np.pi, -np.pi)
    return Recording(name, "gpx", NOON, time, latitude, longitude, **channels)


def test_join_puts_parts_in_order_and_shifts_their_times() -> None:
    later = recording(
        3, NOON + timedelta(hours=13), bank=np.ones(3), rejected=(Rejection(1.0, "x"),), notes=("n",)
    )
    earlier = recording(2, rejected=(Rejection(None, "y"),), notes=("n",))
    whole = join([later, earlier])
    assert whole.epoch == NOON
    assert whole.time.tolist() == [0.0, 1.0, 46800.0, 46801.0, 46802.0]
    assert whole.bank is not None
    assert np.isnan(whole.bank[:2]).all()
    assert np.all(whole.bank[2:] == 1.0)
    assert whole.rejected == (Rejection(None, "y"), Rejection(46801.0, "x"))
    assert whole.notes == ("n",)
    assert whole.source == "a.gpx + a.gpx"


def test_join_goes_by_the_first_times_and_not_by_the_epochs() -> None:
    first = replace(recording(2), source="first", epoch=NOON + timedelta(seconds=30))
    second = replace(recording(2), source="second", time=np.array([50.0, 51.0]))
    whole = join([second, first])
    assert whole.source == "first + second"
    assert (whole.epoch - NOON).total_seconds() == 30.0
    assert whole.time.tolist() == [0.0, 1.0, 20.0, 21.0]


def test_joining_one_or_none() -> None:
    one = recording(2)
    assert join([one]) is one
    with pytest.raises(InputError, match="no recording"):
        join([])


def test_pieces_of_each_part_are_numbered_through() -> None:
    first = flight("a", 0, 4, part=np.array([0, 0, 1, 1]))
    second = flight("b", 10, 12)
    third = flight("c", 20, 23, part=np.array([0, 1, 1]))
    whole = join([third, first, second])
    assert whole.part is not None
    assert whole.part.tolist() == [0, 0, 1, 1, 2, 2, 3, 4, 4]


def test_two_airplanes_at_one_time_are_refused_with_their_distance() -> None:
    north = 0.7 + 5000.0 / 6.371e6
    metres = Geod(ellps="WGS84").line_length([180, 180], np.degrees([0.7, north]))
    with pytest.raises(UsageError) as caught:
        join([flight("a.gpx", 0, 100), flight("b.gpx", 50, 150, north=5000.0)])
    assert caught.value.where == "a.gpx and b.gpx"
    assert caught.value.what.startswith(
        f"these are two airplanes, or clocks that differ: {metres / 1852:.1f} NM apart at 12:0"
    )
    assert caught.value.remedy == "debrief each by itself"


def test_parts_without_a_date_are_refused_with_what_they_lack() -> None:
    undated = datetime(1970, 1, 1, tzinfo=UTC)
    parts = [
        replace(flight(name, 0, 100, north=north), epoch=undated)
        for name, north in (("a.csv", 0.0), ("b.csv", 5000.0))
    ]
    with pytest.raises(UsageError, match=r"state their dates, see docs/recordings\.md"):
        join(parts)


def test_two_airplanes_that_begin_on_one_apron_are_refused() -> None:
    parked = np.linspace(0.7, 0.7, 300)
    one = np.concatenate([parked, 0.7 + np.arange(60.0) * 50 / 6.371e6])
    two = np.concatenate([parked, 0.7 - np.arange(60.0) * 50 / 6.371e6])
    time, longitude = np.arange(360.0), np.zeros(360)
    parts = [Recording(name, "gpx", NOON, time, way, longitude) for name, way in (("one", one), ("two", two))]
    with pytest.raises(UsageError, match="two airplanes"):
        join(parts)


def test_a_part_given_twice_is_used_once() -> None:
    one = flight("a.gpx", 0, 100, notes=("n",))
    whole = join([one, one, flight("b.gpx", 100, 120)])
    assert len(whole) == 120
    assert whole.notes == ("a.gpx was given more than once; it was used once.", "n")
    assert join([one, one]).source == "a.gpx"


@pytest.mark.parametrize("first", [0, 30])
def test_a_part_that_stands_in_another_is_used_once(first: int) -> None:
    whole = join([flight("b.gpx", first, 60), flight("a.gpx", 0, 100)])
    assert len(whole) == 100
    assert whole.notes == ("All samples of b.gpx also stand in a.gpx; they were used once.",)


def test_what_says_more_is_kept() -> None:
    plain, rich = flight("a.gpx", 0, 50), flight("b.csv", 0, 50, indicated_airspeed=np.full(50, 45.0))
    whole = join([plain, rich])
    assert whole.source == "b.csv"
    assert whole.indicated_airspeed is not None


def test_two_recorders_of_one_airplane_are_joined_with_a_note() -> None:
    phone, panel = flight("a", 0.5, 100), flight("b", 20, 120, north=30.0, bank=np.zeros(100))
    whole = join([panel, phone])
    assert len(whole) == 200
    assert whole.notes == (
        "a and b overlap in time; of two samples of one moment, that of the first was used.",
    )


def test_a_part_in_a_gap_of_another_is_no_second_airplane() -> None:
    around = flight("a", 0, 200)
    gap = around.take((around.time < 50) | (around.time > 150))
    elsewhere = flight("b", 80, 120, north=4000.0)
    whole = join([gap, elsewhere])
    assert len(whole) == len(gap) + 40
    assert whole.notes == ()


def test_a_few_leaps_of_a_receiver_are_no_second_airplane() -> None:
    wild = flight("b", 0.5, 100)
    latitude = wild.latitude.copy()
    latitude[::20] += 0.01
    assert len(join([flight("a", 0, 100), replace(wild, latitude=latitude)])) == 200
