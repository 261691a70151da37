"""Whether airspeed, radius and bank limit fit together in this wind, and what gives way if they do not.

The turns of a ground-reference maneuver are flown through tracks that its shape gives, whatever its size, and
at each place tan φ = G²/(g R cos δ). So with the steepest bank φ at one radius R, the smallest radius for a
bank limit φ₀ is R tan φ / tan φ₀, exactly; with a distance between pylons given the tracks move a little with
the radius, and the step is repeated until it no longer changes. Airspeed and wind enter through G and δ, and
what they may be is found by steps.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import sqrt, tan
from typing import Final

from groundref.errors import NoSolutionError
from groundref.planning.air import Air
from groundref.planning.inputs import Inputs
from groundref.planning.steepest import Steepest
from groundref.units import degree, knot, standard_gravity

CEILING: Final = 45.0 * degree
"""Airplane Flying Handbook (FAA-H-8083-3C, p. 7-5): avoid more; if more is needed, leave and widen."""
TEACHING: Final = 30.0 * degree
"""Largest bank that many instructors teach with; common practice, no source."""

TOLERANCE: Final = 0.05 * degree
"""By which a bank may pass its limit and still keep it: radii are told in whole feet."""
LOOKED: Final = 0.6
"""Of the airspeed: a wind limit is not looked for beyond, where no one flies about a place on the ground."""

_EXACT: Final = 1e-6  # relative, of a radius; and of √tan of a bank
_CLOSE: Final = 1e-4  # relative, of an airspeed or a wind: a hundredth of a knot
_STEPS: Final = 40
_FASTEST: Final = 130.0  # [m s⁻¹]
_WINDIEST: Final = 0.95  # of the airspeed
_TRIED: Final = (1.0, 0.75, 0.5, 0.25, 0.0)  # of the way from the slowest airspeed to the planned one


@dataclass(frozen=True, slots=True)
class Fit:
    """What airspeed, radius and bank limit ask of each other.

    Where the spacing asked for leaves no room for a radius that is needed, it is told for the usual spacing.

    Attributes
    ----------
    radius
        The one planned [m]
    bank_limit
        The one planned with [rad]
    bank_needed, bank_needed_still
        Steepest bank at this airspeed and radius, in this wind and in still air [rad]
    bank_needed_gust
        Steepest bank if a gust held all around; None without gusts, and where it could not be flown [rad]
    radius_needed, radius_needed_still
        Smallest radius at this airspeed and bank limit [m]
    radius_at_ceiling
        Smallest radius at the handbook's ceiling of 45°, in this wind [m]
    radius_at_teaching
        Smallest radius at the 30° that many instructors teach with, in this wind [m]
    airspeed_needed, airspeed_needed_still
        Greatest true airspeed at this radius and bank limit; None where none is faster than the wind [m s⁻¹]
    wind_limit
        Strongest wind from this direction in which the bank limit holds at this radius, at most `LOOKED` of
        the airspeed; None where it does not even in still air [m s⁻¹]
    works
        Whether the steepest bank is within the limit.
    """

    radius: float
    bank_limit: float
    bank_needed: float
    bank_needed_still: float
    bank_needed_gust: float | None
    radius_needed: float
    radius_needed_still: float
    radius_at_ceiling: float
    radius_at_teaching: float
    airspeed_needed: float | None
    airspeed_needed_still: float | None
    wind_limit: float | None
    works: bool

    @property
    def wider(self) -> float:
        """How much more radius the bank limit asks for in this wind; 0 or less where it holds [m]."""
        return self.radius_needed - self.radius


def smallest_radius(steepest: Steepest, air: Air, bank_limit: float, start: float) -> float:
    """Return the smallest radius that nowhere needs more than a bank limit [m].

    Parameters
    ----------
    steepest
        Of the maneuver.
    air
        It is flown in.
    bank_limit
        [rad]
    start
        Any radius that can be laid out [m]

    Raises
    ------
    NoSolutionError
        When none is found, such as between pylons too close together for it.

    Notes
    -----
    R tan φ is constant but for what the radius moves the tracks; by how much it changes is taken from the
    last two radii.
    """
    limit, radius, slope, last = tan(bank_limit), start, 0.0, (start, 0.0)
    for count in range(_STEPS):
        product = radius * tan(steepest(air, radius))
        if abs(product / limit - radius) <= _EXACT * radius:
            return product / limit
        if count:
            slope = (product - last[1]) / (radius - last[0])
        last = radius, product
        # Where the radius changes nearly as much as it asks for, a plain step is the safer one.
        slope = slope if abs(slope) < 0.5 * limit else 0.0
        radius = (product - slope * radius) / (limit - slope)
    raise NoSolutionError(
        "no radius keeps within the bank limit with this spacing",
        "bank limit",
        "set the places further apart",
    )


def fit(steepest: Steepest, roomy: Steepest, inputs: Inputs, radius: float) -> Fit:
    """Return how airspeed, radius and bank limit of a plan fit together.

    Parameters
    ----------
    steepest
        Of the maneuver.
    roomy
        The same at the usual spacing, for radii that the one asked for leaves no room for.
    inputs
        Of the plan.
    radius
        Planned [m]
    """
    air, limit = inputs.air, inputs.bank_limit
    still = replace(air, wind_speed=0.0)
    needed = steepest(air, radius)
    return Fit(
        radius=radius,
        bank_limit=limit,
        bank_needed=needed,
        bank_needed_still=steepest(still, radius),
        bank_needed_gust=_in_gust(steepest, inputs, radius),
        radius_needed=_needed(steepest, roomy, air, limit, radius),
        radius_needed_still=_needed(steepest, roomy, still, limit, radius),
        radius_at_ceiling=_needed(steepest, roomy, air, CEILING, radius),
        radius_at_teaching=_needed(steepest, roomy, air, TEACHING, radius),
        airspeed_needed=_fastest(steepest, air, limit, radius),
        airspeed_needed_still=_fastest(steepest, still, limit, radius),
        wind_limit=_windiest(steepest, air, limit, radius),
        works=needed <= limit + TOLERANCE,
    )


def _needed(steepest: Steepest, roomy: Steepest, air: Air, bank_limit: float, start: float) -> float:
    """Return the smallest radius for a bank limit, at the usual spacing where the one given is too small."""
    try:
        return smallest_radius(steepest, air, bank_limit, start)
    except NoSolutionError:
        if roomy is steepest:
            raise
        return smallest_radius(roomy, air, bank_limit, start)


def _in_gust(steepest: Steepest, inputs: Inputs, radius: float) -> float | None:
    """Return the steepest bank in the wind of the gusts [rad]."""
    gust = inputs.wind_speed + inputs.gust
    if not inputs.gust or gust >= _WINDIEST * inputs.true_airspeed:
        return None
    try:
        return steepest(replace(inputs.air, wind_speed=gust), radius)
    except NoSolutionError:
        return None


def _fastest(steepest: Steepest, air: Air, bank_limit: float, radius: float) -> float | None:
    """Return the greatest true airspeed within the bank limit; None where none is above the wind [m s⁻¹]."""

    def left(speed: float) -> float:
        return _left(steepest, replace(air, true_airspeed=speed), bank_limit, radius)

    slowest = max(air.wind_speed / _WINDIEST, 5.0 * knot)
    # Hardly faster than the wind some kinds cannot be laid out though they can be at more.
    for share in _TRIED:
        speed = slowest + share * (air.true_airspeed - slowest)
        if left(speed) > -_EXACT:
            return largest(left, speed, _FASTEST, _falls(radius))
    return None


def _windiest(steepest: Steepest, air: Air, bank_limit: float, radius: float) -> float | None:
    """Return the strongest wind within the bank limit; None where there is none even in a calm [m s⁻¹]."""

    def left(wind: float) -> float:
        return _left(steepest, replace(air, wind_speed=wind), bank_limit, radius)

    return largest(left, 0.0, LOOKED * air.true_airspeed, _falls(radius))


def _left(steepest: Steepest, air: Air, bank_limit: float, radius: float) -> float:
    """Return what is left of the bank limit; its measure √tan is about linear in the ground speed.

    Nothing is left where the maneuver cannot even be laid out, such as where the wind leaves no way across.
    """
    try:
        return sqrt(tan(bank_limit)) - sqrt(tan(steepest(air, radius)))
    except NoSolutionError:
        return -1.0


def _falls(radius: float) -> float:
    """Return by how much less is left a unit of airspeed or wind: √tan φ = G / √(gR) straight downwind."""
    return 1.0 / sqrt(standard_gravity * radius)


def largest(left: Callable[[float], float], low: float, high: float, falls: float) -> float | None:
    """Return the largest value up to which something is left; None where nothing is left at the lowest.

    Parameters
    ----------
    left
        Falls with the value.
    low, high
        Bounds of the value.
    falls
        By how much less is left a unit of the value, about.

    Notes
    -----
    Source: one step by the slope, then false position with the Illinois rule, which halves the weight of an
    end that stays.
    """
    at_low = left(low)
    if at_low < _EXACT:
        return low if at_low > -_EXACT else None
    guess = low + at_low / falls
    if guess < high:
        here = left(guess)
        if abs(here) < _EXACT:
            return guess
        if here < 0.0:
            return _between(left, (low, at_low), (guess, here))
        low, at_low = guess, here
    at_high = left(high)
    return high if at_high >= 0.0 else _between(left, (low, at_low), (high, at_high))


def _between(left: Callable[[float], float], lower: tuple[float, float], upper: tuple[float, float]) -> float:
    """Return where nothing is left, between a value with something left and one with less than nothing."""
    (low, at_low), (high, at_high) = lower, upper
    for _ in range(_STEPS):
        middle = (low * at_high - high * at_low) / (at_high - at_low)
        here = left(middle)
        if abs(here) < _EXACT:
            return middle
        if high - low < _CLOSE * high:
            return low
        if here > 0.0:
            low, at_low, at_high = middle, here, 0.5 * at_high
        else:
            high, at_high, at_low = middle, here, 0.5 * at_low
    return low
