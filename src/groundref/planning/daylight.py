"""Light: sunrise, sunset and civil twilight at the plan's place and time, and where the sun stands."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from math import isnan

from groundref.mechanics import sun
from groundref.planning.inputs import Inputs


@dataclass(frozen=True, slots=True)
class Daylight:
    """The solar day about the time planned for, UTC; None where the sun does not pass that elevation.

    Attributes
    ----------
    twilight_begins, sunrise, sunset, twilight_ends
        Civil twilight: the sun 6° below the horizon.
    elevation
        Of the sun as the maneuver begins, below the horizon negative [rad]
    azimuth
        Direction toward it, true [rad]
    begins, ends
        Of the maneuver.
    """

    twilight_begins: datetime | None
    sunrise: datetime | None
    sunset: datetime | None
    twilight_ends: datetime | None
    elevation: float
    azimuth: float
    begins: datetime
    ends: datetime

    @property
    def dark(self) -> bool:
        """Whether a part of the maneuver is flown at night: outside civil twilight."""
        return self._outside(self.twilight_begins, self.twilight_ends, sun.CIVIL)

    @property
    def sun_down(self) -> bool:
        """Whether the sun is below the horizon in a part of it."""
        return self._outside(self.sunrise, self.sunset, sun.RISING)

    def _outside(self, rises: datetime | None, sets: datetime | None, height: float) -> bool:
        if rises is None or sets is None:
            return self.elevation < height
        return self.begins < rises or self.ends > sets


def daylight(inputs: Inputs, duration: float) -> Daylight | None:
    """Return the light at the place and time of a plan; None where either is not known.

    Parameters
    ----------
    inputs
        Of the plan.
    duration
        Of the whole maneuver [s]
    """
    if inputs.when is None or inputs.latitude is None or inputs.longitude is None:
        return None
    begins = inputs.when.astimezone(UTC) if inputs.when.tzinfo else inputs.when.replace(tzinfo=UTC)
    place = (begins.timestamp(), inputs.latitude, inputs.longitude)
    dawn, dusk = (_moment(float(each)) for each in sun.crossings(*place, sun.CIVIL))
    rises, sets = (_moment(float(each)) for each in sun.crossings(*place, sun.RISING))
    return Daylight(
        twilight_begins=dawn,
        sunrise=rises,
        sunset=sets,
        twilight_ends=dusk,
        elevation=float(sun.elevation(*place)),
        azimuth=float(sun.azimuth(*place)),
        begins=begins,
        ends=begins + timedelta(seconds=duration),
    )


def _moment(time: float) -> datetime | None:
    return None if isnan(time) else datetime.fromtimestamp(time, UTC)
