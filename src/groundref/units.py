"""Units at the edges, as exact multipliers to SI: ``10 * knot`` is ten knots in m/s."""

from __future__ import annotations

from math import pi
from typing import Final

nautical_mile: Final = 1852.0  # [m]  exact (International Hydrographic Conference, 1929)
foot: Final = 0.3048  # [m]  exact (international yard and pound agreement, 1959)
statute_mile: Final = 5280 * foot  # [m]
kilometre: Final = 1000.0  # [m]
hour: Final = 3600.0  # [s]
minute: Final = 60.0  # [s]
knot: Final = nautical_mile / hour  # [m s⁻¹]
mile_per_hour: Final = statute_mile / hour  # [m s⁻¹]
kilometre_per_hour: Final = kilometre / hour  # [m s⁻¹]
foot_per_minute: Final = foot / minute  # [m s⁻¹]
degree: Final = pi / 180  # [rad]
hectopascal: Final = 100.0  # [Pa]
inch_hg: Final = 3386.389  # [Pa]  conventional inch of mercury at 0 °C (NIST SP 811, appendix B)
pound: Final = 0.45359237  # [kg]  exact (international yard and pound agreement, 1959)
standard_gravity: Final = 9.80665  # [m s⁻²]  exact (3rd CGPM, 1901)
celsius_zero: Final = 273.15  # [K]
