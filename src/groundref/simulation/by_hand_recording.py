"""A flight flown by hand as the recording that a panel without errors would have made of it."""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from typing import Final

import numpy as np

from groundref.angles import wrap
from groundref.errors import NothingToWorkOnError
from groundref.geo.frame import LocalFrame
from groundref.simulation.avionics import Avionics
from groundref.simulation.by_hand import Flying, Try
from groundref.simulation.lesson import PRACTICE_ELEVATION, PRACTICE_LATITUDE, PRACTICE_LONGITUDE
from groundref.simulation.truth import Truth
from groundref.track.recording import Recording

_SOURCE: Final = "flown on the ground"
_GZIP: Final = b"\x1f\x8b"
SHORTEST: Final = 10.0  # [s]  below it there is no turn to talk about
_EXACT: Final = replace(
    Avionics(),
    drift_sd=0.0,
    white_sd=0.0,
    altitude_sd=0.0,
    airspeed_bias_sd=0.0,
    airspeed_white_sd=0.0,
    attitude_bias_sd=0.0,
    attitude_white_sd=0.0,
    heading_bias_sd=0.0,
    acceleration_bias_sd=0.0,
    acceleration_white_sd=0.0,
)


def recorded(flown: Sequence[Flying], task: Try, height: float, epoch: datetime) -> Recording:
    """Return the recording of a flight by hand, its point being that of the invented practice area.

    Parameters
    ----------
    flown
        Moments in order, several a second.
    task
        What was flown.
    height
        Held above the ground [m]
    epoch
        When it began, UTC.

    Raises
    ------
    NothingToWorkOnError
        When it is over too soon.
    """
    if not flown or flown[-1].time - flown[0].time < SHORTEST:
        raise NothingToWorkOnError(
            "there is nothing to debrief yet", "the try", f"fly for {SHORTEST:.0f} s and more"
        )
    recording = _EXACT.record(_truth(flown, task, height, epoch), np.random.default_rng(0))
    return replace(recording, source=_SOURCE)


def says_so(content: bytes) -> bool:
    """Return whether a recording says in its first line, as every such file does, that it was flown by hand.

    Parameters
    ----------
    content
        Of the file, packed or not.
    """
    begin = f"# {_SOURCE};".encode()
    if content.startswith(_GZIP):
        try:
            return zlib.decompressobj(wbits=31).decompress(content, len(begin)) == begin
        except zlib.error:  # cut short or damaged: whoever reads it says so
            return False
    return content.startswith(begin)


def _truth(flown: Sequence[Flying], task: Try, height: float, epoch: datetime) -> Truth:
    """Return what was really flown."""
    time, east, north, heading, bank = (
        np.array([getattr(one, name) for one in flown])
        for name in ("time", "east", "north", "heading", "bank")
    )

    def always(value: float) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
        return np.full(time.shape, value)

    return Truth(
        epoch=epoch,
        frame=LocalFrame(PRACTICE_LATITUDE, PRACTICE_LONGITUDE),
        time=time,
        east=east,
        north=north,
        altitude=always(PRACTICE_ELEVATION + height),
        height=always(height),
        velocity_east=task.true_airspeed * np.sin(heading) + task.wind_east,
        velocity_north=task.true_airspeed * np.cos(heading) + task.wind_north,
        climb=always(0.0),
        climb_rate=always(0.0),
        true_airspeed=always(task.true_airspeed),
        heading=wrap(heading),
        bank=bank,
        wind_east=always(task.wind_east),
        wind_north=always(task.wind_north),
        lateral_acceleration=always(0.0),
        on_ground=np.zeros(time.shape, dtype=np.bool_),
        ground_elevation=PRACTICE_ELEVATION,
        faults={},
        maneuvers=(),
    )
