"""A maneuver cut into what is drawn and tabled lap by lap."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.assessment.assessed import Assessed
from groundref.assessment.held import steady
from groundref.debriefing import Debrief
from groundref.estimation.states import States
from groundref.units import degree, foot, knot

Floats = NDArray[np.float64]

# One pattern a lap, told apart without colour; from the seventh on they come round again.
DASHES: Final = (None, "10 5", "2 4", "14 4 2 4", "5 7", "18 3.5 2 3.5 2 3.5")
_TONES: Final = (
    3  # laps; from the next on lines are grey and broad, which parts those whose patterns are alike
)


def dash(lap: int) -> str | None:
    """Return the dash pattern of a lap, counted from 1; None is a solid line."""
    return DASHES[(lap - 1) % len(DASHES)]


def tone(lap: int) -> str:
    """Return the class of a lap's line where its colour says nothing else; later laps are grey and broad."""
    return "flown" if (lap - 1) % len(DASHES) < _TONES else "flown later"


@dataclass(frozen=True, slots=True)
class Extremes:
    """Highest and lowest values within one lap, None where they cannot be told; SI.

    Attributes
    ----------
    altitude_max, altitude_min
        Altitude in the recording's own datum [m]
    bank_max, bank_min
        Largest and smallest bank into the turn, between rolling in and rolling out [rad]
    airspeed_max, airspeed_min
        True airspeed [m s⁻¹]
    """

    altitude_max: float | None
    altitude_min: float | None
    bank_max: float | None
    bank_min: float | None
    airspeed_max: float | None
    airspeed_min: float | None


def turn_sign(assessed: Assessed) -> Floats:
    """Return for each sample +1 where it turns right, −1 where it turns left."""
    return assessed.profile.turn


def first_sign(assessed: Assessed) -> float:
    """Return +1 where the first turn was to the right, −1 where to the left."""
    return float(assessed.profile.turn[0])


def during(values: Floats, assessed: Assessed) -> Floats:
    """Return the part of a channel of the states that belongs to the maneuver."""
    return values[assessed.maneuver.first : assessed.maneuver.last + 1]


def extremes(states: States, assessed: Assessed) -> list[Extremes]:
    """Return the extremes of each lap."""
    settled = np.full(len(states), fill_value=False)
    settled[assessed.maneuver.first : assessed.maneuver.last + 1] = steady(states, assessed.maneuver)
    found = []
    for lap in assessed.maneuver.laps:
        inside = slice(lap.first, lap.last + 1)
        altitude = None if states.altitude is None else states.altitude[inside]
        bank = np.where(settled[inside], np.sign(lap.turn) * states.bank[inside], np.nan)
        airspeed = states.true_airspeed[inside]
        found.append(
            Extremes(
                _largest(altitude), _smallest(altitude), _largest(bank), _smallest(bank),
                _largest(airspeed), _smallest(airspeed),
            )
        )  # fmt: skip
    return found


def _largest(values: Floats | None) -> float | None:
    good = None if values is None else values[np.isfinite(values)]
    return None if good is None or good.size == 0 else float(good.max())


def _smallest(values: Floats | None) -> float | None:
    largest = None if values is None else _largest(-values)
    return None if largest is None else -largest


@dataclass(frozen=True, slots=True)
class Limits:
    """Limits of the standard that belong into the pictures, SI; None where it has none."""

    altitude: float | None
    airspeed: float | None
    height_low: float | None
    height_high: float | None
    radius: float | None
    radius_is_practice: bool
    bank_target: float | None
    bank_off: float | None
    leg_distance: float | None
    leg_distance_is_practice: bool
    pylon: float | None
    pylon_is_practice: bool


def limits(debrief: Debrief, assessed: Assessed) -> Limits:
    """Return the limits of the standard's task for this maneuver."""
    task = debrief.standard.task(assessed.maneuver.kind)
    by_quantity = {e.quantity: e for e in (task.elements if task else ()) if e.limit is not None}

    def limit(quantity: str, unit: float) -> float | None:
        found = by_quantity.get(quantity)
        return None if found is None or found.limit is None else found.limit * unit

    def practice(quantity: str) -> bool:
        found = by_quantity.get(quantity)
        return found is not None and not found.published

    band, held = by_quantity.get("height-band"), by_quantity.get("bank-held")
    return Limits(
        altitude=limit("altitude", foot),
        airspeed=limit("airspeed", knot),
        height_low=None if band is None or band.minimum is None else band.minimum * foot,
        height_high=limit("height-band", foot),
        radius=limit("radius", foot),
        radius_is_practice=practice("radius"),
        bank_target=None if held is None or held.target is None else held.target * degree,
        bank_off=limit("bank-held", degree),
        leg_distance=limit("leg-distance", foot),
        leg_distance_is_practice=practice("leg-distance"),
        pylon=limit("pylon", degree),
        pylon_is_practice=practice("pylon"),
    )
