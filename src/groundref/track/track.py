"""A track: the kept samples of a recording, in time order, in a local metric frame."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from groundref.geo.frame import LocalFrame
from groundref.track.recording import Recording, Rejection

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Gap:
    """A stretch of time without usable samples, never bridged [s]."""

    start: float
    end: float


@dataclass(frozen=True, slots=True)
class Track:
    """Clean samples of one flight.

    Attributes
    ----------
    recording
        The kept samples as the file stated them, in time order, all of the same length as ``time``.
    frame
        The local frame of ``east`` and ``north``.
    time
        Strictly increasing, from the recording's epoch [s]
    east, north
        Position in the frame [m]
    piece
        Number of the gapless piece each sample belongs to, from 0.
    interval
        Usual time between samples: their median [s]
    samples
        Number of samples in the file before cleaning.
    rejected
        Samples not used, each with the reason.
    gaps
        Stretches without samples.
    notes
        What was found and decided, one plain sentence each.
    """

    recording: Recording
    frame: LocalFrame
    time: Floats
    east: Floats
    north: Floats
    piece: NDArray[np.int64]
    interval: float
    samples: int
    rejected: tuple[Rejection, ...]
    gaps: tuple[Gap, ...]
    notes: tuple[str, ...]

    def __len__(self) -> int:
        """Return the number of kept samples."""
        return int(self.time.size)
