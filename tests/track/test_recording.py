from __future__ import annotations

from dataclasses import FrozenInstanceError, fields
from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest

from groundref.track.recording import Recording, from_posix

NOON = datetime(2026, 5, 1, 12, 0, tzinfo=UTC)


def recording(count: int, epoch: datetime = NOON, **channels: Any) -> Recording:
    place = np.linspace(0.5, 0.501, count)
    return Recording("a.gpx", "gpx", epoch, np.arange(float(count)), place, -place, **channels)


def test_it_cannot_be_changed() -> None:
    whole = recording(5)
    for channel in fields(whole):
        with pytest.raises(FrozenInstanceError):
            setattr(whole, channel.name, "b")
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


def test_posix_seconds() -> None:
    """1,777,636,800 s after 1970 is 2026-05-01T12:00:00Z: 20,574 days of 86,400 s and twelve hours."""
    assert from_posix(20574 * 86400 + 12 * 3600) == NOON
