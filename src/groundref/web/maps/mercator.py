"""The Web Mercator plane that map tiles are cut from: the world as a square of side 1, (0, 0) its north-west.

EPSG:3857 takes the latitude of WGS 84 as that of a sphere. At zoom z the square is cut into 2ᶻ by 2ᶻ tiles,
counted from the north-west (the XYZ scheme of OpenStreetMap, PMTiles and others).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def world(latitude: ArrayLike, longitude: ArrayLike) -> tuple[Floats, Floats]:
    """Return places of the square.

    Parameters
    ----------
    latitude, longitude
        On WGS 84 [rad]
    """
    u = (np.asarray(longitude, dtype=np.float64) / np.pi + 1.0) / 2.0
    v = (1.0 - np.arcsinh(np.tan(np.asarray(latitude, dtype=np.float64))) / np.pi) / 2.0
    return u, v


def geographic(u: ArrayLike, v: ArrayLike) -> tuple[Floats, Floats]:
    """Return latitude and longitude of places of the square [rad]."""
    latitude = np.arctan(np.sinh(np.pi * (1.0 - 2.0 * np.asarray(v, dtype=np.float64))))
    return latitude, np.pi * (2.0 * np.asarray(u, dtype=np.float64) - 1.0)
