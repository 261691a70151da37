"""What a receiver on the ground hears of an airplane's ADS-B.

The steps are those of the message's standard: whole knots of velocity east and north, 25 ft of pressure
altitude, 64 ft/min of vertical rate, 17 bits for 6° of latitude (RTCA DO-260B, from memory). The other
figures are round ones (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from groundref.angles import full_turn, wrap
from groundref.simulation.sensing import Chance, Day, Floats, place, stepped, wandering
from groundref.simulation.truth import Truth
from groundref.track.recording import Recording
from groundref.units import foot, foot_per_minute, knot


@dataclass(frozen=True, slots=True)
class Adsb:
    """A receiver on the ground that hears the airplane's ADS-B.

    Attributes
    ----------
    interval
        Mean time between state vectors [s]
    spread
        Shortest and longest time between two, over the mean.
    day
        The day's air.
    drift_sd, drift_time
        Error of position on each axis [m], [s]
    velocity_sd
        Error of each velocity component before rounding [m s⁻¹]
    """

    interval: float = 1.2
    spread: tuple[float, float] = (0.42, 2.5)
    day: Day = field(default_factory=Day)
    drift_sd: float = 1.5
    drift_time: float = 120.0
    velocity_sd: float = 0.1

    def record(self, truth: Truth, chance: Chance) -> Recording:
        """Return what the receiver wrote."""
        time = self._times(truth, chance)
        errors = [wandering(time, self.drift_sd, self.drift_time, chance) for _ in range(2)]
        latitude, longitude = place(truth, time, errors[0], errors[1])
        latitude, longitude = _compact(latitude, longitude)
        east, north = (
            stepped(truth.at(name, time) + chance.normal(0.0, self.velocity_sd, time.size), knot)
            for name in ("velocity_east", "velocity_north")
        )
        height = truth.at("altitude", time) + self.day.geoid + wandering(time, 4.0, 300.0, chance)
        return Recording(
            source="simulated ads-b receiver",
            format="simulated",
            epoch=truth.epoch,
            time=time,
            latitude=latitude,
            longitude=longitude,
            altitude_ellipsoid=stepped(height, 25 * foot),
            altitude_pressure=stepped(self.day.pressure_altitude(truth, time), 25 * foot),
            ground_speed=np.hypot(east, north),
            track=wrap(np.arctan2(east, north)),
            vertical_speed=stepped(truth.at("climb", time), 64 * foot_per_minute),
            on_ground=truth.at("on_ground", time) > 0.5,
        )

    def _times(self, truth: Truth, chance: Chance) -> Floats:
        """Return uneven times of reception, to the millisecond [s]."""
        shortest, longest = self.spread
        # A power of a uniform number, chosen so that the mean between the two ends is 1.
        power = (longest - 1.0) / (1.0 - shortest)
        count = int(truth.time[-1] / (self.interval * shortest)) + 1
        steps = shortest + (longest - shortest) * chance.random(count) ** power
        times = stepped(np.cumsum(steps) * self.interval, 0.001)
        heard: Floats = times[times < truth.time[-1]]
        return heard


def _compact(latitude: Floats, longitude: Floats) -> tuple[Floats, Floats]:
    """Round a position as the compact position report does: 17 bits for about 6° each way.

    Zones of longitude are counted so that their steps stay about as long as those of latitude.
    """
    zones = np.maximum(np.floor(59.0 * np.cos(latitude)), 1.0)
    return stepped(latitude, full_turn / 60.0 / 2**17), stepped(longitude, full_turn / zones / 2**17)
