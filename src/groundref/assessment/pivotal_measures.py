"""What of eights on pylons, and of the ways between any pylons, a standard can set a number to."""

from __future__ import annotations

from typing import Final

import numpy as np

from groundref.assessment.details import EightFlown, PivotalFlown
from groundref.assessment.flown import Flown
from groundref.assessment.measured import Measured

# [s]  of a time between two rolls: how well the bank shows when wings were level; found on simulated flights
level_sd: Final = {"measured": 0.25, "derived": 0.5}
of_interval: Final = 0.5  # and with samples more than 1 s apart half of what more


def pylon(flown: Flown) -> Measured | None:
    """Return how far the pylons stood off the wing line."""
    details = flown.details
    if not isinstance(details, PivotalFlown):
        return None
    return Measured(np.abs(details.ahead), details.ahead_sd, flown.time)


def pivotal_height(flown: Flown) -> Measured | None:
    """Return how far the height was off the pivotal height; None without a ground elevation."""
    details = flown.details
    if not isinstance(details, PivotalFlown) or details.height is None or details.height_sd is None:
        return None
    off = np.abs(details.height - details.pivotal)
    return Measured(off, np.hypot(details.height_sd, details.pivotal_sd), flown.time)


def straight_segment(flown: Flown) -> Measured | None:
    """Return how long the flight between the loops was straight; None where that was not told."""
    spans = _straight(flown)
    if not spans:
        return None
    start, end = np.array(spans).T
    coarse = of_interval * max(flown.interval - 1.0, 0.0)
    sd = float(np.hypot(level_sd[flown.states.bank_source], coarse))
    return Measured(end - start, np.full(end.size, sd), start)


def _straight(flown: Flown) -> list[tuple[float, float]]:
    """Return when the wings were level between loops on pylons, or the straight ways between loops [s]."""
    if isinstance(flown.details, PivotalFlown):
        return [(each.start, each.end) for each in flown.details.segments]
    if isinstance(flown.details, EightFlown):
        return [(leg.start, leg.end) for lap in flown.maneuver.laps for leg in lap.legs]
    return []
