"""The map beneath a picture, where the user named a source for one."""

from __future__ import annotations

from math import isfinite, radians
from typing import Final

from litestar import Response, get
from litestar.exceptions import NotFoundException
from litestar.params import FromQuery

from groundref.errors import UsageError
from groundref.geo.frame import LocalFrame
from groundref.web.described import refusals
from groundref.web.maps.drawn import beneath
from groundref.web.maps.mercator import world
from groundref.web.maps.papers import Flat, Local, Paper
from groundref.web.served import Here, Served

_SVG: Final = "image/svg+xml"
_LARGEST: Final = 2000.0  # units of paper
_FLATTEST: Final = 85.0511  # [deg]  where the Web Mercator square ends
_DEEPEST: Final = 20
_BEYOND: Final = 1e5  # units of paper that a frame's origin may lie off the picture
_KEPT: Final = {"cache-control": "private, max-age=86400"}  # addresses name the source, see `MapSource.mark`


@get("/api/map/beneath", media_type=_SVG, responses=refusals("There is no map"))
async def map_beneath(
    served: Here,
    lat: FromQuery[float],
    lon: FromQuery[float],
    x: FromQuery[float],
    y: FromQuery[float],
    scale: FromQuery[float],
    width: FromQuery[float],
    height: FromQuery[float],
) -> Response[bytes]:
    """Return the map beneath a picture in local metres, as SVG.

    The origin of the metres is at `lat`, `lon` and lies at `x`, `y` on a picture of `width` by `height`,
    north up, which takes `scale` units for each metre.
    """
    _within("lat", lat, -90.0, 90.0)
    _within("lon", lon, -180.0, 180.0)
    _within("x", x, -_BEYOND, _BEYOND)
    _within("y", y, -_BEYOND, _BEYOND)
    _within("scale", scale, 0.001, 10.0)
    _sized(width, height)
    frame = LocalFrame(radians(lat), radians(lon))
    return await _drawn(served, Local(frame, x, y, scale, width, height))


@get("/api/map/around", media_type=_SVG, responses=refusals("There is no map"))
async def map_around(
    served: Here,
    lat: FromQuery[float],
    lon: FromQuery[float],
    zoom: FromQuery[int],
    width: FromQuery[float],
    height: FromQuery[float],
) -> Response[bytes]:
    """Return a map about a place, as SVG, on which the whole world would be 256·2^zoom units wide."""
    _within("lat", lat, -_FLATTEST, _FLATTEST)
    _within("lon", lon, -180.0, 180.0)
    _within("zoom", zoom, 0, _DEEPEST)
    _sized(width, height)
    u, v = world(radians(lat), radians(lon))
    return await _drawn(served, Flat(float(u), float(v), zoom, width, height))


async def _drawn(served: Served, paper: Paper) -> Response[bytes]:
    if served.map is None:
        raise NotFoundException("No map was named; start the server with --map.")
    return Response(
        await served.workers.run(beneath, served.map, paper, remedy="name a plainer map"),
        media_type=_SVG,
        headers=dict(_KEPT),
    )


def _sized(width: float, height: float) -> None:
    _within("width", width, 16.0, _LARGEST)
    _within("height", height, 16.0, _LARGEST)


def _within(name: str, value: float, least: float, most: float) -> None:
    if not isfinite(value) or not least <= value <= most:
        raise UsageError(f"{value:g} is out of range", name, f"give {least:g} to {most:g}")
