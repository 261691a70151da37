"""How wind grows with height above the ground, and what lies between two known winds.

Two laws carry a wind measured near the ground upward: a power of the height, and the logarithm of the height
over the roughness of the ground. Both describe the lowest hundred meters or so in a wind strong enough to
stir the air. **Neither is valid to 300 m (1,000 ft) by day**, when rising air mixes the layer and its wind
grows less, **nor on a stable night**, when it grows much more. They are the best that a wind at 10 m and
nothing else can give, and what rests on them must say so.

The ground is that over which the wind was measured and blows there, not that under the airplane: the laws
extend one wind profile, and an anemometer usually stands on an open airfield even near a city.

Numbers or arrays that broadcast together in, their common shape out; NaN in, NaN out.
"""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.errors import NoSolutionError
from groundref.mechanics.wind_triangle import wind_components, wind_from
from groundref.units import foot

Floats = NDArray[np.float64]

# Height of an anemometer [m]; WMO-No. 8, Guide to Instruments and Methods of Observation, chapter 5 (m).
anemometer_height: Final = 10.0
# Above this neither law is stretched further: by the rule of thumb, friction is no longer felt at about
# 2,000 ft (common practice, no source) [m]
growth_ceiling: Final = 2000 * foot


class TerrainClass(NamedTuple):
    """What the ground does to the wind over it.

    Attributes
    ----------
    exponent
        α of the power law, of mean winds in neutral air
    roughness
        z₀ of the log law, the height at which it comes to zero [m]
    ground
        What such ground looks like, in words.
    """

    exponent: float
    roughness: float
    ground: str


# Roughness: the Davenport classes as revised by J. Wieringa (1992) and printed in WMO-No. 8, chapter 5 (m).
# Exponents: water, open, city from textbooks of wind engineering (read in secondary copies); suburb from the
# mean hourly profile of ASCE 7, exposure B, and forest from A. G. Davenport (1960) (both m).
# (m): from memory, to be verified.
TERRAIN: Final = {
    "water": TerrainClass(0.10, 0.0002, "open water for miles upwind"),
    "open": TerrainClass(1 / 7, 0.03, "grass or low crops, few obstacles; most airfields"),
    "suburb": TerrainClass(0.25, 0.5, "low houses and gardens"),
    "forest": TerrainClass(0.28, 1.0, "woods all around"),
    "city": TerrainClass(0.35, 2.0, "the dense middle of a large city"),
}


def _require_above(height: ArrayLike, floor: float, name: str) -> Floats:
    """Return a height as an array once it is known to lie above a floor."""
    value = np.asarray(height, dtype=np.float64)
    if np.any(value <= floor):
        raise NoSolutionError(
            f"a height of {np.nanmin(value):g} m is not above {floor:g} m", name, "check its unit and datum"
        )
    return value


def power_law(
    speed: ArrayLike, height: ArrayLike, exponent: ArrayLike, measured_at: ArrayLike = anemometer_height
) -> Floats:
    """Return the wind speed at a height, U(z) = U(z₁) (z/z₁)^α [m s⁻¹].

    Parameters
    ----------
    speed
        U(z₁), measured [m s⁻¹]
    height
        z, above the ground [m]
    exponent
        α
    measured_at
        z₁, above the ground [m]

    Raises
    ------
    NoSolutionError
        Where a height is not positive.

    Notes
    -----
    An empirical law; the exponents are those of neutral air.
    """
    ratio = _require_above(height, 0.0, "height") / _require_above(measured_at, 0.0, "height of the wind")
    return np.asarray(speed, dtype=np.float64) * ratio ** np.asarray(exponent, dtype=np.float64)


def log_law(
    speed: ArrayLike, height: ArrayLike, roughness: float, measured_at: ArrayLike = anemometer_height
) -> Floats:
    """Return the wind speed at a height in neutral air, U(z) = U(z₁) ln(z/z₀)/ln(z₁/z₀) [m s⁻¹].

    Friction that does not change with height, and eddies as large as their height above the ground, give
    dU/dz = u*/(κz), hence the logarithm.

    Parameters
    ----------
    speed
        U(z₁), measured [m s⁻¹]
    height
        z, above the ground [m]
    roughness
        z₀ [m]
    measured_at
        z₁, above the ground [m]

    Raises
    ------
    NoSolutionError
        Where a height is not above the roughness, or that is not positive.
    """
    rough = float(_require_above(roughness, 0.0, "roughness"))
    grown = np.log(_require_above(height, rough, "height") / rough)
    return (
        np.asarray(speed, dtype=np.float64)
        * grown
        / np.log(_require_above(measured_at, rough, "height of the wind") / rough)
    )


def local_exponent(height: ArrayLike, roughness: float) -> Floats:
    """Return the exponent of the power law that touches the log law at a height, α = 1/ln(z/z₀).

    Both laws have the same d ln U/d ln z there; it falls with height, so that no one exponent fits the log
    law.

    Parameters
    ----------
    height
        z, above the ground [m]
    roughness
        z₀ [m]

    Raises
    ------
    NoSolutionError
        Where the height is not above the roughness, or that is not positive.
    """
    rough = float(_require_above(roughness, 0.0, "roughness"))
    return 1.0 / np.log(_require_above(height, rough, "height") / rough)


def wind_between(
    lower: tuple[ArrayLike, ArrayLike, ArrayLike],
    upper: tuple[ArrayLike, ArrayLike, ArrayLike],
    height: ArrayLike,
) -> tuple[Floats, Floats]:
    """Return speed [m s⁻¹] and direction from, true [rad], between two winds: by vector, linear in height.

    Speed and direction apart would go the long way round between 350° and 010°, and would keep the speed
    between two opposite winds that cancel. A calm has speed 0 and any direction.

    Parameters
    ----------
    lower, upper
        Height [m], speed [m s⁻¹] and direction from, true [rad]; the heights above one datum.
    height
        Where the wind is wanted, above the same datum, from the lower to the upper [m]

    Raises
    ------
    NoSolutionError
        Where the height does not lie between the two, or the upper is not above the lower.

    Notes
    -----
    Common practice, no source. Near the ground the wind changes faster than by this.
    """
    bottom, top, wanted = (np.asarray(each, dtype=np.float64) for each in (lower[0], upper[0], height))
    if np.any((top <= bottom) | (wanted < bottom) | (wanted > top)):
        raise NoSolutionError(
            "the height does not lie between those of the two winds",
            "height",
            "give winds from below and from above it",
        )
    share = (wanted - bottom) / (top - bottom)
    low, high = wind_components(lower[1], lower[2]), wind_components(upper[1], upper[2])
    return wind_from(low[0] + share * (high[0] - low[0]), low[1] + share * (high[1] - low[1]))
