"""Where on a picture a place of the world's square lies, and which tiles a picture lies on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Final, Protocol

import numpy as np

from groundref.geo.frame import LocalFrame
from groundref.web.maps.mercator import Floats, geographic, world

_AROUND: Final = 40_075_016.686  # [m]  2π·6,378,137 m, the equator of WGS 84
MOST: Final = 64  # tiles beneath one picture


class Paper(Protocol):
    """A picture as a map sees it, in its own units."""

    @property
    def width(self) -> float:
        """Of the picture."""

    @property
    def height(self) -> float:
        """Of the picture."""

    @property
    def around(self) -> float:
        """How many units of paper the whole world would be wide, at the scale of the picture's middle."""

    def xy(self, u: Floats, v: Floats) -> tuple[Floats, Floats]:
        """Return places on paper."""

    def uv(self, x: Floats, y: Floats) -> tuple[Floats, Floats]:
        """Return places of the world's square."""


@dataclass(frozen=True)
class Local:
    """A north-up picture in metres of a local frame, as debriefs and plans are drawn.

    Attributes
    ----------
    frame
        Of the metres.
    x, y
        Where its origin lies on paper; it may lie off it.
    scale
        Paper for each metre.
    width, height
        Of the picture.
    """

    frame: LocalFrame
    x: float
    y: float
    scale: float
    width: float
    height: float

    @cached_property
    def around(self) -> float:
        """As above."""
        _, v = self.uv(np.array([self.width / 2]), np.array([self.height / 2]))
        latitude, _ = geographic(0.0, v[0])
        return float(_AROUND * np.cos(latitude) * self.scale)

    def xy(self, u: Floats, v: Floats) -> tuple[Floats, Floats]:
        """As above."""
        east, north = self.frame.to_local(*geographic(u, v))
        return self.x + east * self.scale, self.y - north * self.scale

    def uv(self, x: Floats, y: Floats) -> tuple[Floats, Floats]:
        """As above."""
        east, north = (x - self.x) / self.scale, (self.y - y) / self.scale
        return world(*self.frame.to_geographic(east, north))


@dataclass(frozen=True)
class Flat:
    """A map about a place, of the Web Mercator plane itself, to look for places on.

    Attributes
    ----------
    u, v
        The middle.
    zoom
        The whole world is 256·2^zoom units wide.
    width, height
        Of the picture.
    """

    u: float
    v: float
    zoom: int
    width: float
    height: float

    @property
    def around(self) -> float:
        """As above."""
        return 256.0 * 2.0**self.zoom

    def xy(self, u: Floats, v: Floats) -> tuple[Floats, Floats]:
        """As above."""
        return self.width / 2 + (u - self.u) * self.around, self.height / 2 + (v - self.v) * self.around

    def uv(self, x: Floats, y: Floats) -> tuple[Floats, Floats]:
        """As above."""
        return self.u + (x - self.width / 2) / self.around, self.v + (y - self.height / 2) / self.around


@dataclass(frozen=True, slots=True)
class Tile:
    """One tile; the column counts on past the edges of the world, so that neighbors have neighboring ones."""

    zoom: int
    column: int
    row: int

    @property
    def wrapped(self) -> int:
        """The column within the world."""
        return self.column % (1 << self.zoom)


def zoom_for(paper: Paper, size: float, *, least: int, most: int) -> int:
    """Return the zoom at which a tile is nearest to a size on paper, of those that there are."""
    return min(max(round(float(np.log2(paper.around / size))), least), most)


def tiles(paper: Paper, zoom: int) -> Iterator[Tile]:
    """Yield the tiles that a picture lies on, row by row; none where they would be more than ``MOST``.

    The picture is looked at on a grid, and the tiles between the outermost found are all taken: pictures of
    some hundred kilometers have hardly bent edges in the square.
    """
    x, y = (
        grid.ravel() for grid in np.meshgrid(np.linspace(0, paper.width, 9), np.linspace(0, paper.height, 9))
    )
    u, v = paper.uv(x, y)
    u = u - np.round(u - u[u.size // 2])  # beyond 180° the square goes on
    side = 1 << zoom
    left, right = (int(np.floor(edge * side)) for edge in (u.min(), u.max()))
    top, bottom = (int(np.clip(np.floor(edge * side), 0, side - 1)) for edge in (v.min(), v.max()))
    if (right - left + 1) * (bottom - top + 1) > MOST:
        return
    for row in range(top, bottom + 1):
        for column in range(left, right + 1):
            yield Tile(zoom, column, row)


def placed(paper: Paper, tile: Tile) -> tuple[float, ...]:
    """Return the matrix (a, b, c, d, e, f) of SVG that lays a tile, as a square of side 1, on paper.

    It is the linear map nearest to where corners, edges and middle of the tile lie. What it leaves out grows
    with the square of the tile's size: on a tile that is L metres and l units of paper wide it is less than
    l L tan(latitude) / 4R, R being the earth's radius: 0.02 of 256 units for a tile of 2 km at 45°.
    """
    across, down = (grid.ravel() for grid in np.meshgrid([0.0, 0.5, 1.0], [0.0, 0.5, 1.0]))
    side = 1 << tile.zoom
    x, y = paper.xy((tile.column + across) / side, (tile.row + down) / side)
    rows = np.column_stack((across, down, np.ones(9)))
    (a, b), (c, d), (e, f) = np.linalg.lstsq(rows, np.column_stack((x, y)), rcond=None)[0].tolist()
    return a, b, c, d, e, f
