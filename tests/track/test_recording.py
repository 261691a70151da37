from __future__ import annotations

from dataclasses import FrozenInstanceError, replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from groundref.errors import InputError
from groundref.track.recording import Recording, Rejection, from_posix, join

NOON = datetime(2026, 5, 1, 12, 0, tzinfo=UTC)


def recording(count: int, epoch: datetime = NOON, **channels: object) -> Recording:
    place = np.linspace(0.5, 0.501, count)
    return Recording("a.gpx", "gpx", epoch, np.arange(float(count)), place, -place, **channels)  # type: ignore[arg-type]


def test_it_cannot_be_changed() -> None:
    whole = recording(5)
    with pytest.raises(FrozenInstanceError):
        whole.source = "b"  # type: ignore[misc]
    with pytest.raises(ValueError, match="read-only"):
        whole.time[0] = 9.0


def test_channels_of_another_length_and_epochs_without_a_zone_are_refused() -> None:
    with pytest.raises(ValueError, match="samples"):
        recording(5, heading=np.zeros(4))
    with pytest.raises(ValueError, match="time zone"):
        recording(5, datetime(2026, 5, 1))


def test_measured_names_what_holds_a_value() -> None:
    whole = recording(
        3,
        heading=np.full(3, np.nan),
        altitude_msl=np.array([np.nan, 1.0, 2.0]),
        on_ground=np.zeros(3, dtype=bool),
    )
    assert whole.measured == ("latitude", "longitude", "altitude_msl", "on_ground")


def test_take_keeps_every_channel_together() -> None:
    whole = recording(6, bank=np.arange(6.0), part=np.arange(6))
    part = whole.take(np.array([4, 1]))
    assert part.time.tolist() == [4.0, 1.0]
    assert part.bank is not None
    assert part.bank.tolist() == [4.0, 1.0]
    assert part.heading is None
    assert part.part is not None
    assert part.part.tolist() == [4, 1]


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


def test_posix_seconds() -> None:
    """1,777,636,800 s after 1970 is 2026-05-01T12:00:00Z: 20,574 days of 86,400 s and twelve hours."""
    assert from_posix(20574 * 86400 + 12 * 3600) == NOON
