"""``groundref record site``: practice sites, listed, added, changed."""

from __future__ import annotations

from dataclasses import asdict
from math import degrees
from typing import TYPE_CHECKING, Annotated, Final

from groundref.asking import words
from groundref.asking.places import Places, places
from groundref.cli import options
from groundref.cli.record.common import JsonOption, RecordOption, opened, write_json
from groundref.errors import UsageError

if TYPE_CHECKING:
    from groundref.record.asked import Degrees
    from groundref.record.sites import Site

_TYPES: Final = {"point": "point", "line": "line", "corners": "rectangle", "pylons": "pylons"}


def site(
    name: str | None = None,
    /,
    *,
    point: Annotated[str | None, options.taking("LAT,LON")] = None,
    line: Annotated[str | None, options.taking("LAT,LON,LAT,LON")] = None,
    corners: Annotated[str | None, options.taking("LAT,LON,LAT,LON,LAT,LON,LAT,LON")] = None,
    pylons: Annotated[str | None, options.taking("LAT,LON,LAT,LON")] = None,
    ground_ft: Annotated[float | None, options.taking("N")] = None,
    remarks: Annotated[str | None, options.taking("TEXT")] = None,
    json: JsonOption = None,
    record: RecordOption = None,
) -> None:
    """List practice sites, show one, add one, or change what is said of it.

    Lessons that were flown there before keep the place that they were debriefed with.

    Parameters
    ----------
    name
        Of the site; all of them unless given.
    point
        It is a point to turn about, as latitude,longitude in degrees.
    line
        It is a line or road, given by two places on it.
    corners
        It is a rectangular field, given by its corners in order round it.
    pylons
        It is two pylons.
    ground_ft
        Elevation of the ground, feet above mean sea level.
    remarks
        What to know of it.
    json
        Write the sites as JSON to this file; - is standard output.
    record
        The record: a file, or postgresql://user@host/database of a school's.
    """
    place = _place(places(point=point, line=line, corners=corners, pylons=pylons))
    if ground_ft is not None:
        words.within(ground_ft, -2000, 30000, "--ground-ft")
    changes = place is not None or ground_ft is not None or remarks is not None
    if changes and name is None:
        raise UsageError("the site is not named", "record site", "write its name before the options")
    from groundref.record.sites import put_site, site_called, sites

    store = opened(record, make=changes)
    said = ""
    if changes and name is not None:
        found, new = put_site(store, name, place=place, ground_ft=ground_ft, remarks=remarks)
        shown: tuple[Site, ...] = (found,)
        said = f"{found.name} is {'in the record' if new else 'changed'}."
    else:
        with store.reading() as connection:
            shown = sites(connection) if name is None else (site_called(connection, name),)
    if json is not None:
        write_json("record-sites", {"sites": [asdict(one) for one in shown]}, json)
    if json != "-":
        _show(shown, said)


def _place(given: Places) -> tuple[str, tuple[Degrees, ...]] | None:
    """Return type and places of a site, None where nothing was said."""
    said = [
        (_TYPES[option], tuple((round(degrees(one[0]), 10), round(degrees(one[1]), 10)) for one in found))
        for option in _TYPES
        for found in (getattr(given, option),)
        if found is not None
    ]
    if len(said) > 1:
        raise UsageError("a site is one place", "record site", "make a site of each")
    return said[0] if said else None


def _show(shown: tuple[Site, ...], said: str) -> None:
    from rich.table import Table
    from rich.text import Text

    from groundref.cli.screen import console

    out = console()
    if said:
        out.print(said, markup=False)
    if not shown:
        out.print("There is no site in the record; groundref record site NAME --point LAT,LON adds one.")
        return
    table = Table(box=None, pad_edge=False)
    for name in ("site", "type", "places", "ground", "remarks"):
        table.add_column(name, overflow="fold")
    for one in shown:
        at = "\n".join(f"{latitude:.5f}, {longitude:.5f}" for latitude, longitude in one.places)
        ground = "–" if one.ground_ft is None else f"{one.ground_ft:,.0f} ft"
        table.add_row(Text(one.name), one.type, at, ground, Text(one.remarks or "–"))
    out.print(table)
