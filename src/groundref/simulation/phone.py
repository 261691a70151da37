"""A phone's recording: position and height once a second, with errors that wander for minutes.

The figures are round ones for equipment in good order (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from groundref.simulation.sensing import Chance, Floats, clock, place, stepped, wandering
from groundref.simulation.truth import Truth
from groundref.track.recording import Recording
from groundref.units import degree


@dataclass(frozen=True, slots=True)
class Phone:
    """A phone with satellite positioning, carried in the cockpit.

    Attributes
    ----------
    interval
        Time between samples [s]
    drift_sd, drift_time
        Slowly wandering error of position on each axis [m], [s]
    white_sd
        Error of position from sample to sample on each axis [m]
    height_offset_sd, height_drift_sd, height_drift_time, height_white_sd
        The same of height, with a fixed part [m], [s]
    lost
        Share of samples lost.
    repeated
        Share of samples written twice.
    gap
        Length of one gap outside the maneuver; 0 for none [s]
    """

    interval: float = 1.0
    drift_sd: float = 2.5
    drift_time: float = 120.0
    white_sd: float = 0.4
    height_offset_sd: float = 3.0
    height_drift_sd: float = 5.0
    height_drift_time: float = 300.0
    height_white_sd: float = 0.5
    lost: float = 0.002
    repeated: float = 0.001
    gap: float = 8.0

    def record(self, truth: Truth, chance: Chance) -> Recording:
        """Return what the phone wrote."""
        time = _written(clock(truth, self.interval), self, truth, chance)
        off_east, off_north = (
            wandering(time, self.drift_sd, self.drift_time, chance)
            + chance.normal(0.0, self.white_sd, time.size)
            for _ in range(2)
        )
        latitude, longitude = place(truth, time, off_east, off_north)
        height_error = (
            chance.normal(0.0, self.height_offset_sd)
            + wandering(time, self.height_drift_sd, self.height_drift_time, chance)
            + chance.normal(0.0, self.height_white_sd, time.size)
        )
        kept = _with_repeats(time.size, self.repeated, chance)
        return Recording(
            source="simulated phone",
            format="simulated",
            epoch=truth.epoch,
            time=time[kept],
            latitude=stepped(latitude, 1e-7 * degree)[kept],
            longitude=stepped(longitude, 1e-7 * degree)[kept],
            altitude_msl=stepped(truth.at("altitude", time) + height_error, 0.1)[kept],
        )


def _written(time: Floats, phone: Phone, truth: Truth, chance: Chance) -> Floats:
    """Return the times of the samples that were not lost."""
    kept = chance.random(time.size) >= phone.lost
    if phone.gap > 0.0:
        begin = _gap_start(truth, phone.gap, chance)
        kept &= (time < begin) | (time > begin + phone.gap)
    return time[kept]


def _gap_start(truth: Truth, gap: float, chance: Chance) -> float:
    """Return the start of a gap in flight and at least half a minute away from every maneuver [s]."""
    possible = ~truth.on_ground & (truth.time < truth.time[-1] - gap)
    for maneuver in truth.maneuvers:
        possible &= (truth.time < maneuver.start - 30.0 - gap) | (truth.time > maneuver.end + 30.0)
    times = truth.time[possible]
    return float(times[int(chance.random() * times.size)]) if times.size else -2.0 * gap


def _with_repeats(count: int, share: float, chance: Chance) -> NDArray[np.int64]:
    """Return indices of samples in which some come twice."""
    return np.repeat(np.arange(count), 1 + (chance.random(count) < share))
