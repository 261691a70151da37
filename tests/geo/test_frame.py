"""The local frame against an independent geodesic library (C. F. F. Karney, J. Geodesy 87 (2013) 43)."""

from __future__ import annotations

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given
from hypothesis import strategies as st

from groundref.geo.frame import LocalFrame

PLACES = [
    (0.0, 0.0),
    (40.1, -90.2),
    (-33.0, 179.95),
    (67.0, -179.99),
    (89.99, 10.0),
    (-89.9, 60.0),
    (90.0, 0.0),
]


@pytest.mark.parametrize(("latitude", "longitude"), PLACES)
def test_distance_and_azimuth_from_the_origin(latitude: float, longitude: float) -> None:
    frame = LocalFrame(np.radians(latitude), np.radians(longitude))
    for distance in (1.0, 400.0, 10_000.0, 100_000.0):
        for azimuth in range(0, 360, 45):
            end = Geodesic.WGS84.Direct(latitude, longitude, azimuth, distance)
            east, north = frame.to_local(np.radians(end["lat2"]), np.radians(end["lon2"]))
            assert np.hypot(east, north) == pytest.approx(distance, abs=1e-5)  # a hundredth of a millimetre
            assert float(east) == pytest.approx(distance * np.sin(np.radians(azimuth)), abs=1e-4)
            assert float(north) == pytest.approx(distance * np.cos(np.radians(azimuth)), abs=1e-4)


@pytest.mark.parametrize(("reach", "error"), [(10_000.0, 4.1e-7), (100_000.0, 4.1e-5)])
def test_scale_across_is_what_the_frame_says(reach: float, error: float) -> None:
    """r²/(6a²) at 10 and 100 km; a pair of points 100 m apart square to the direction of the origin."""
    frame = LocalFrame(np.radians(40.1), np.radians(-90.2))
    for bearing in np.radians([0.0, 60.0, 200.0]):
        east = reach * np.sin(bearing) + np.array([-50.0, 50.0]) * np.cos(bearing)
        north = reach * np.cos(bearing) - np.array([-50.0, 50.0]) * np.sin(bearing)
        latitude, longitude = np.degrees(frame.to_geographic(east, north))
        true = Geodesic.WGS84.Inverse(latitude[0], longitude[0], latitude[1], longitude[1])["s12"]
        assert 0.9 * error < 100.0 / true - 1.0 < 1.1 * error


@given(
    latitude=st.floats(-90.0, 90.0),
    longitude=st.floats(-180.0, 180.0),
    east=st.floats(-5e4, 5e4),
    north=st.floats(-5e4, 5e4),
)
def test_there_and_back(latitude: float, longitude: float, east: float, north: float) -> None:
    frame = LocalFrame(np.radians(latitude), np.radians(longitude))
    back = frame.to_local(*frame.to_geographic(east, north))
    assert (float(back[0]), float(back[1])) == pytest.approx((east, north), abs=1e-5)


@pytest.mark.parametrize("latitude", [-60.0, 0.0, 71.0])
def test_continuous_across_180_degrees(latitude: float) -> None:
    frame = LocalFrame(np.radians(latitude), np.radians(179.999))
    longitude = np.radians([179.998, 179.9999, -179.9999, -179.998])
    east, _ = frame.to_local(np.full(4, np.radians(latitude)), longitude)
    assert np.all(np.diff(east) > 0)
    assert np.ptp(east) < 500.0


def test_over_the_pole() -> None:
    """A kilometre beyond the pole on the other side lies as far from an origin a kilometre before it."""
    frame = LocalFrame(np.radians(89.991), 0.0)
    east, north = frame.to_local(np.radians([89.991, 90.0, 89.991]), np.radians([0.0, 33.0, 180.0]))
    assert np.allclose(east, 0.0, atol=1e-3)
    assert np.allclose(np.diff(north), 1005.2, atol=1.0)
