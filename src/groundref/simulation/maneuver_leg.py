"""Legs that are a whole maneuver, and what they have in common: when a roll began and ended."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol, runtime_checkable

import numpy as np
from numpy.typing import NDArray

from groundref.simulation.legs import Leg
from groundref.simulation.truth import TrueManeuver

Floats = NDArray[np.float64]
Columns = Mapping[str, Floats]  # of the flight: time, east, north, height, velocity_east, bank and so on


@runtime_checkable
class ManeuverLeg(Leg, Protocol):
    """A leg that flies a whole maneuver and can say afterwards what was flown."""

    def flown(self, begin: float, finish: float, column: Columns) -> TrueManeuver:
        """Return the facts about the maneuver from the samples of the flight.

        Parameters
        ----------
        begin, finish
            When the leg was begun and ended [s]
        column
            Samples of the whole flight by name, SI.
        """


def roll_in(time: Floats, bank: Floats, begin: float) -> float:
    """Return when the bank passed half of the first value at which it stopped growing after ``begin`` [s].

    Parameters
    ----------
    time, bank
        Samples, bank positive in the direction of the turn [s], [rad]
    begin
        When the roll was begun [s]
    """
    first = int(np.searchsorted(time, begin))
    rate = np.gradient(bank, time)
    settled = (np.arange(bank.size) > first) & (bank > np.radians(8)) & (rate < np.radians(1))
    last = int(np.argmax(settled))
    return _passes(time, bank, 0.5 * bank[last], first, last)


def roll_out(time: Floats, bank: Floats, finish: float) -> float:
    """Return when the bank passed half of the value it had at ``finish`` [s].

    Parameters
    ----------
    time, bank
        Samples, bank positive in the direction of the turn [s], [rad]
    finish
        When rolling out was begun [s]
    """
    first = int(np.searchsorted(time, finish))
    below = np.flatnonzero(bank[first:] < 0.5 * bank[first])
    last = first + int(below[0]) if below.size else bank.size - 1
    return _passes(time, bank, 0.5 * bank[first], max(first - 1, 0), last)


def _passes(time: Floats, values: Floats, level: float, first: int, last: int) -> float:
    """Return the last time between two samples at which the values pass a level [s]."""
    over = values[first : last + 1] > level
    change = np.flatnonzero(over[1:] != over[:-1])
    if change.size == 0:
        return float(time[last])
    at = first + int(change[-1])
    part = (level - values[at]) / (values[at + 1] - values[at])
    return float(time[at] + part * (time[at + 1] - time[at]))
