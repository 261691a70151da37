"""The source of a map that the user names: a PMTiles file on disk, or the address of tiles on a server."""

from __future__ import annotations

import hashlib
import os
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Final
from urllib.parse import SplitResult, urlsplit

from groundref.errors import InputError, UsageError
from groundref.web.maps import archive as archives
from groundref.web.maps.archive import Archive
from groundref.web.maps.layers import KNOWN
from groundref.web.maps.papers import Tile

VARIABLE: Final = "GROUNDREF_MAP"
CREDIT: Final = "GROUNDREF_MAP_CREDIT"
_DEEPEST_ZOOM: Final = 17  # that common tile servers have everywhere
_PARTS: Final = ("{z}", "{x}", "{y}")
_EXAMPLE: Final = "write it as https://tiles.example/{z}/{x}/{y}.png"


@dataclass(frozen=True, slots=True)
class MapSource:
    """Where the map beneath comes from.

    Attributes
    ----------
    credit
        Whom it is owed to.
    least_zoom, most_zoom
        That there are tiles of.
    archive
        A file on disk; None of tiles on a server.
    template
        Address of tiles on a server, empty of a file.
    """

    credit: str
    least_zoom: int
    most_zoom: int
    archive: Archive | None = None
    template: str = ""

    @property
    def origin(self) -> str | None:
        """The server that the page may fetch from; None where nothing leaves this machine."""
        if not self.template:
            return None
        found = urlsplit(self.template)
        return f"{found.scheme}://{found.netloc}"

    @property
    def mark(self) -> str:
        """A few letters that differ from one source to another, for what browsers keep."""
        if self.archive is None:
            return hashlib.sha256(self.template.encode()).hexdigest()[:12]
        known = repr((self.archive.path, sorted(self.archive.header.items(), key=lambda item: item[0])))
        return hashlib.sha256(known.encode()).hexdigest()[:12]

    @property
    def middle(self) -> tuple[float, float] | None:
        """Latitude and longitude that the file says to begin at [deg]; None where it says none."""
        if self.archive is None:
            return None
        said = self.archive.header
        return said["center_lat_e7"] / 1e7, said["center_lon_e7"] / 1e7

    def address(self, tile: Tile) -> str:
        """Return where a tile is fetched from."""
        numbers = (tile.zoom, tile.wrapped, tile.row)
        address = self.template
        for part, number in zip(_PARTS, numbers, strict=True):
            address = address.replace(part, str(number))
        return address


def source_of(named: str | None, credit: str | None = None) -> MapSource | None:
    """Return the source that an option or the variables `GROUNDREF_MAP` and `GROUNDREF_MAP_CREDIT` name.

    Parameters
    ----------
    named, credit
        What the options say, before the variables.

    Raises
    ------
    UsageError, InputError
        When it can be no source, or its file cannot be shown. None is returned where nothing is named.
    """
    place = (named if named is not None else os.environ.get(VARIABLE, "")).strip()
    owed = (credit if credit is not None else os.environ.get(CREDIT, "")).strip()
    if not place:
        if credit:
            raise UsageError("there is no map to credit", "--map-credit", "give --map too")
        return None
    return _of_server(place, owed) if "://" in place else _of_file(Path(place), owed)


def _of_server(template: str, credit: str) -> MapSource:
    address = _split(template)
    if address is None or address.scheme != "https" or not address.hostname or "@" in address.netloc:
        raise UsageError("this is no address of tiles", f"--map {template[:200]}", _EXAMPLE)
    inside = template[len(f"https://{address.netloc}") :]
    others = set(re.findall(r"\{[^}]*\}", template)) - set(_PARTS)
    if others or not all(inside.count(part) == 1 for part in _PARTS) or "{" in address.netloc:
        raise UsageError("it wants {z}, {x} and {y} once each, and no others", f"--map {template}", _EXAMPLE)
    if re.search(r"[\s\"'<>;,\\]", template) or not template.isascii():
        raise UsageError("it has characters that no address has", f"--map {template[:200]}", _EXAMPLE)
    if not credit:
        raise UsageError(
            "whoever offers the tiles wants to be named", "--map-credit", 'give it, such as "© the mapmakers"'
        )
    return MapSource(credit, 0, _DEEPEST_ZOOM, template=template)


def _split(template: str) -> SplitResult | None:
    try:
        found = urlsplit(template)
        _ = found.port
    except ValueError:
        return None
    return found


def _of_file(path: Path, credit: str) -> MapSource:
    archive = archives.opened(path)
    if archive.image is None and not archive.layers & KNOWN:
        there = ", ".join(sorted(archive.layers)[:6]) or "none named"
        raise InputError(
            f"none of its layers is known ({there})",
            str(path),
            "name a map with the layers of Protomaps, OpenMapTiles or Shortbread, or one of images",
        )
    header = archive.header
    return MapSource(
        credit or archive.credit or path.name, header["min_zoom"], header["max_zoom"], archive=archive
    )
