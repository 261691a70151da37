"""Quantities as hypothesis draws them: the range of light airplanes and more."""

from __future__ import annotations

import numpy as np
from hypothesis import strategies as st

from groundref.units import degree, knot

airspeeds = st.floats(40 * knot, 250 * knot)
wind_fractions = st.floats(0.0, 0.8)  # of the airspeed
angles = st.floats(-2 * np.pi, 2 * np.pi)
radii = st.floats(150.0, 5000.0)
banks = st.floats(5 * degree, 60 * degree)
directions = st.sampled_from([-1.0, 1.0])

# Two exact expressions of one quantity differ by rounding: a few units in the fifteenth digit, more
# where a square root or an inverse sine magnifies it.
ROUNDING = 1e-9
