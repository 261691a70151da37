"""Atmosphere and airspeeds against JSBSim's, an independent flight dynamics library."""

from __future__ import annotations

from collections.abc import Mapping

import jsbsim
import numpy as np
import pytest

from groundref.mechanics import airspeed, atmosphere
from groundref.units import foot, knot

POUND_PER_SQUARE_FOOT = 4.4482216152605 / foot**2  # [Pa]
SLUG_PER_CUBIC_FOOT = 14.593902937 / foot**3  # [kg m⁻³]
RANKINE = 5 / 9  # [K]
EARTH_RADIUS = 6_356_766.0  # [m]  of geopotential altitude, U.S. Standard Atmosphere, 1976

# JSBSim carries the gas constant and sea-level pressure in English units, rounded to six digits: the
# speeds and densities differ by 3 in a million, altitudes by a few inches.
SHARED = 5e-6
SHARED_ALTITUDE = 0.25 * foot


@pytest.fixture(scope="module")
def flight() -> jsbsim.FGFDMExec:
    jsbsim.FGJSBBase().debug_lvl = 0
    simulator = jsbsim.FGFDMExec(None)
    simulator.set_debug_level(0)
    assert simulator.load_model("c172p")
    return simulator


@pytest.mark.parametrize("warmer_f", [-36.0, 0.0, 18.0, 36.0])
@pytest.mark.parametrize(
    ("altitude_ft", "calibrated_kt"),
    [(-900, 70), (0, 90), (1000, 100), (5000, 100), (10_000, 120), (35_000, 200)],
)
def test_air_and_airspeeds(
    flight: jsbsim.FGFDMExec, warmer_f: float, altitude_ft: float, calibrated_kt: float
) -> None:
    flight["atmosphere/delta-T"] = warmer_f
    flight["ic/h-sl-ft"] = altitude_ft
    flight["ic/vc-kts"] = calibrated_kt
    assert flight.run_ic()
    theirs: Mapping[str, float] = {
        name: flight[name]
        for name in (
            "atmosphere/T-R",
            "atmosphere/P-psf",
            "atmosphere/rho-slugs_ft3",
            "atmosphere/density-altitude",
            "atmosphere/pressure-altitude",
            "atmosphere/a-fps",
            "velocities/vc-kts",
            "velocities/ve-kts",
            "velocities/vt-fps",
        )
    }
    pressure = theirs["atmosphere/P-psf"] * POUND_PER_SQUARE_FOOT
    temperature = theirs["atmosphere/T-R"] * RANKINE
    true = theirs["velocities/vt-fps"] * foot
    calibrated = theirs["velocities/vc-kts"] * knot
    altitude = atmosphere.pressure_altitude(pressure)
    density_altitude = atmosphere.density_altitude(altitude, temperature)
    assert geometric(altitude) == pytest.approx(
        theirs["atmosphere/pressure-altitude"] * foot, abs=SHARED_ALTITUDE
    )
    assert geometric(density_altitude) == pytest.approx(
        theirs["atmosphere/density-altitude"] * foot, abs=SHARED_ALTITUDE
    )
    density = theirs["atmosphere/rho-slugs_ft3"] * SLUG_PER_CUBIC_FOOT
    assert atmosphere.air_density(pressure, temperature) == pytest.approx(density, rel=SHARED)
    sound = theirs["atmosphere/a-fps"] * foot
    assert atmosphere.speed_of_sound(temperature) == pytest.approx(sound, rel=SHARED)
    assert airspeed.true_airspeed(calibrated, altitude, temperature) == pytest.approx(true, rel=SHARED)
    assert airspeed.calibrated_airspeed(true, altitude, temperature) == pytest.approx(calibrated, rel=SHARED)
    equivalent = theirs["velocities/ve-kts"] * knot
    assert airspeed.equivalent_airspeed(true, altitude, temperature) == pytest.approx(equivalent, rel=SHARED)


def geometric(geopotential: np.ndarray) -> np.ndarray:
    """Return the geometric altitude, which is what JSBSim counts in."""
    return EARTH_RADIUS * geopotential / (EARTH_RADIUS - geopotential)
