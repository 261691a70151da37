"""A local metric frame: latitude and longitude to metres east and north of an origin, and back."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray
from pyproj import Proj

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class LocalFrame:
    """Azimuthal equidistant plane about an origin on WGS 84, good anywhere, poles and 180° included.

    Distances and directions from the origin are exact; the scale across them is off by r²/(6 a²), that is
    4·10⁻⁷ at 10 km and 4·10⁻⁵ at 100 km (a = earth radius).

    Attributes
    ----------
    latitude, longitude
        The origin [rad]
    """

    latitude: float
    longitude: float

    @cached_property
    def _projection(self) -> Proj:
        return Proj(
            proj="aeqd",
            lat_0=np.degrees(self.latitude),
            lon_0=np.degrees(self.longitude),
            ellps="WGS84",
        )

    def to_local(self, latitude: ArrayLike, longitude: ArrayLike) -> tuple[Floats, Floats]:
        """Return metres east and north of the origin.

        Parameters
        ----------
        latitude, longitude
            Position on WGS 84 [rad]
        """
        east, north = self._projection(np.asarray(longitude), np.asarray(latitude), radians=True)
        return np.asarray(east, dtype=np.float64), np.asarray(north, dtype=np.float64)

    def to_geographic(self, east: ArrayLike, north: ArrayLike) -> tuple[Floats, Floats]:
        """Return latitude and longitude on WGS 84 [rad].

        Parameters
        ----------
        east, north
            Distance from the origin [m]
        """
        longitude, latitude = self._projection(
            np.asarray(east), np.asarray(north), inverse=True, radians=True
        )
        return np.asarray(latitude, dtype=np.float64), np.asarray(longitude, dtype=np.float64)
