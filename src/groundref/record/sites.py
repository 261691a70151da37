"""Practice sites: a place on the ground with its elevation, used by every lesson flown there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import msgspec
from sqlalchemy import Connection

from groundref.errors import UsageError
from groundref.record import schema
from groundref.record.asked import Asked, Degrees
from groundref.record.names import found, known, tidy
from groundref.record.sealed import change, put, whole
from groundref.record.store import Record

# The type of a site: what a debrief is asked with, and how many places that takes.
OPTIONS: Final = {"point": "point", "line": "line", "rectangle": "corners", "pylons": "pylons"}
COUNTS: Final = {"point": 1, "line": 2, "rectangle": 4, "pylons": 2}


@dataclass(frozen=True, slots=True)
class Site:
    """A practice site.

    Attributes
    ----------
    name
        What it is called.
    type
        `point`, `line`, `rectangle` or `pylons`.
    places
        Latitude and longitude of each place [deg]
    ground_ft
        Elevation of the ground above mean sea level; None when nobody said.
    remarks
        What to know of it.
    """

    name: str
    type: str
    places: tuple[Degrees, ...]
    ground_ft: float | None = None
    remarks: str = ""


def sites(connection: Connection) -> tuple[Site, ...]:
    """Return all sites, by name."""
    every = (_site(row) for row in whole(connection, schema.site))
    return tuple(sorted(every, key=lambda site: site.name.casefold()))


def site_called(connection: Connection, name: str) -> Site:
    """Return a site.

    Raises
    ------
    RecordError
        When there is none of that name.
    """
    return _site(known(connection, schema.site, name))


def site_of(connection: Connection, site_id: str) -> Site:
    """Return a site of the record by its id."""
    return next(_site(row) for row in whole(connection, schema.site) if row["id"] == site_id)


def put_site(
    record: Record,
    name: str,
    *,
    place: tuple[str, tuple[Degrees, ...]] | None = None,
    ground_ft: float | None = None,
    remarks: str | None = None,
) -> tuple[Site, bool]:
    """Put a site into the record, or change what is said in one that is there.

    Lessons that were flown there keep the place that they were debriefed with.

    Parameters
    ----------
    record
        The record.
    name
        Of the site.
    place
        Its type and places; None leaves them.
    ground_ft, remarks
        As in ``Site``; None leaves them.

    Returns
    -------
    tuple
        The site, and whether it is new.

    Raises
    ------
    UsageError
        When a new one has no place, or the name is none.
    """
    called = tidy(name, "site")
    with record.writing() as connection:
        there = found(connection, schema.site, called)
        said: dict[str, Any] = {}
        if place is not None:
            said |= {"type": place[0], "places": msgspec.json.encode(place[1]).decode()}
        if ground_ft is not None:
            said["ground_ft"] = ground_ft
        if remarks is not None:
            said["remarks"] = remarks
        if there:
            change(connection, schema.site, there[0], **said)
        elif place is None:
            raise UsageError(
                "a new site needs its place", called, "give --point, --line, --corners or --pylons"
            )
        else:
            put(connection, schema.site, [{"remarks": "", **said, "name": called}])
        return site_called(connection, called), not there


def at_site(asked: Asked, site: Site) -> Asked:
    """Return how a debrief is asked for at a site: its place and ground where nothing else was said."""
    option = OPTIONS[site.type]
    said: dict[str, Any] = {}
    if getattr(asked, option) is None:
        said[option] = site.places[0] if site.type == "point" else site.places
    if asked.ground_ft is None:
        said["ground_ft"] = site.ground_ft
    return msgspec.structs.replace(asked, **said)


def without_site(asked: Asked, site: Site) -> Asked:
    """Return how a debrief is asked for without what ``at_site`` took from a site."""
    option = OPTIONS[site.type]
    said: dict[str, Any] = {}
    if getattr(asked, option) == (site.places[0] if site.type == "point" else site.places):
        said[option] = None
    if asked.ground_ft == site.ground_ft:
        said["ground_ft"] = None
    return msgspec.structs.replace(asked, **said)


def _site(row: dict[str, Any]) -> Site:
    places = msgspec.json.decode(row["places"], type=tuple[Degrees, ...])
    return Site(row["name"], row["type"], places, row["ground_ft"], row["remarks"])
