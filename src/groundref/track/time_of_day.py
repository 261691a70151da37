"""Times of day as everything says them: UTC, to the nearest second, rounded in one place and one way."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Final

_HALF: Final = timedelta(seconds=0.5)


def time_of_day(moment: datetime) -> str:
    """Return the time of day of a moment, UTC, such as `14:05:30`.

    Parameters
    ----------
    moment
        With its time zone.
    """
    return f"{moment.astimezone(UTC) + _HALF:%H:%M:%S}"
