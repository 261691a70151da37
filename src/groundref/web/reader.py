"""Who reads: the units chosen in a browser, known while a request of it is answered."""

from __future__ import annotations

from contextvars import ContextVar
from typing import Any, Final

from litestar.connection import ASGIConnection
from litestar.datastructures import Cookie

from groundref.reports.reading import METRIC, US

COOKIE: Final = "units"
_YEAR: Final = 365 * 24 * 3600  # [s]
_units: ContextVar[str] = ContextVar("units", default=US)


def of(connection: ASGIConnection[Any, Any, Any, Any]) -> str:
    """Return the units that a browser chose, :data:`US` where it chose none."""
    chosen = connection.cookies.get(COOKIE)
    return METRIC if chosen == METRIC else US


async def seen(connection: ASGIConnection[Any, Any, Any, Any]) -> None:
    """Remember the units of a request for as long as it is answered."""
    _units.set(of(connection))


def units() -> str:
    """Return the units of the request that is being answered."""
    return _units.get()


def metric() -> bool:
    """Return whether the request that is being answered is of somebody who reads metric units."""
    return units() == METRIC


def chosen(value: str) -> Cookie:
    """Return what has a browser remember the units; of no use to any other site."""
    return Cookie(key=COOKIE, value=value, path="/", max_age=_YEAR, samesite="strict")
