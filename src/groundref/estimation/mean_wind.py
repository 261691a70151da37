"""Mean wind and true airspeed over a stretch of a flight."""

from __future__ import annotations

from typing import Final

import numpy as np

from groundref.estimation.states import States
from groundref.estimation.wind_value import Wind
from groundref.track.clean import FLYING_SPEED

MEAN_AIRSPEED_SD: Final = 0.045  # [m s⁻¹] what is left of smoothed velocity's noise in a mean over a lap
CALM_WANDER: Final = 0.38  # [m s⁻¹] a pilot's wander in smooth air; more is gusts. Found on simulated flights
GUST_MEMORY: Final = 15.0  # [s] how long gusts and a pilot's answer to them last; found on simulated flights
STRETCH: Final = 300.0  # [s] longest stretch over which one wind is stated


def wind_over(states: States, first: int, last: int) -> Wind | None:
    """Return the mean wind and true airspeed over samples ``first`` to ``last``; None when it cannot be told.

    The wind hardly changes within minutes, so its covariance is the mean one. An error δw of the wind changes
    the airspeed at heading û by −û·δw, so the mean airspeed is uncertain by the mean of û only: on a whole
    circle that is nearly nothing.
    """
    part = slice(first, last + 1)
    if not np.isfinite(states.wind_east[part]).all():
        return None
    covariance = np.array(
        [
            [np.mean(states.wind_east_sd[part] ** 2), np.mean(states.wind_covariance[part])],
            [np.mean(states.wind_covariance[part]), np.mean(states.wind_north_sd[part] ** 2)],
        ]
    )
    # Of gusts with memory τ the mean over a time t keeps 2τ/t of the variance. Without recorded airspeed the
    # posterior of the wind holds them already, since there they look like airspeed.
    lasted = max(float(states.time[last] - states.time[first]), 2.0 * GUST_MEMORY)
    gusts = max(states.airspeed_wander**2 - CALM_WANDER**2, 0.0) * 2.0 * GUST_MEMORY / lasted
    if states.airspeed_source == "measured":
        covariance += np.diag([gusts, gusts])
    heading = states.heading[part]
    mean = np.array([np.mean(np.sin(heading)), np.mean(np.cos(heading))])
    shared = float(np.sqrt(mean @ covariance @ mean))
    # Ground velocity less wind is nearer the truth than most airspeed systems.
    speeds = np.hypot(
        states.velocity_east[part] - states.wind_east[part],
        states.velocity_north[part] - states.wind_north[part],
    )
    return Wind(
        start=float(states.time[first]),
        end=float(states.time[last]),
        east=float(np.mean(states.wind_east[part])),
        north=float(np.mean(states.wind_north[part])),
        east_sd=float(np.sqrt(covariance[0, 0])),
        north_sd=float(np.sqrt(covariance[1, 1])),
        covariance=float(covariance[0, 1]),
        true_airspeed=float(np.mean(speeds)),
        true_airspeed_sd=float(np.sqrt(shared**2 + MEAN_AIRSPEED_SD**2 + gusts)),
    )


def winds(states: States) -> tuple[Wind, ...]:
    """Return the wind along the flight, one for each stretch of some minutes in which it could be told.

    What is slower than flight is left out: the airspeed of an airplane that taxies is no airspeed.
    """
    known = np.isfinite(states.wind_east) & (states.ground_speed > FLYING_SPEED)
    label = np.where(known, np.floor((states.time - states.time[0]) / STRETCH), -1)
    cut = np.flatnonzero((np.diff(label) != 0) | (np.diff(states.piece) != 0)) + 1
    found = []
    for run in np.split(np.arange(len(states)), cut):
        if known[run[0]] and run.size > 1 and (wind := wind_over(states, int(run[0]), int(run[-1]))):
            found.append(wind)
    return tuple(found)
