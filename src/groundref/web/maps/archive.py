"""Tiles out of a PMTiles file, version 3, that the user has on disk.

https://github.com/protomaps/PMTiles/blob/main/spec/v3/spec.md. The file is somebody else's: nothing that it
claims is taken for granted, and no more of it is unpacked than a tile or a directory may sensibly hold.
"""

from __future__ import annotations

import json
import os
import re
import zlib
from dataclasses import dataclass
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from typing import Any, BinaryIO, Final

from pmtiles.tile import (
    Compression,
    Entry,
    HeaderDict,
    MagicNumberNotFound,
    SpecVersionUnsupported,
    TileType,
    deserialize_directory,
    deserialize_header,
    find_tile,
    zxy_to_tileid,
)

from groundref.errors import InputError
from groundref.web.maps.papers import Tile

IMAGES: Final = {
    TileType.PNG: "image/png",
    TileType.JPEG: "image/jpeg",
    TileType.WEBP: "image/webp",
    TileType.AVIF: "image/avif",
}
_HEADER: Final = 127
_PACKED, _UNPACKED = 4 << 20, 16 << 20  # [byte]  of a directory, tile or the metadata; usual are 0.01 to 1 MB
_DEEPEST: Final = 4  # directories within one another, as PMTiles' own readers have it
_HIGHEST: Final = 26  # zoom at which tiles are half a metre wide
ANEW: Final = "get the file anew, or name another"


@dataclass(frozen=True, slots=True)
class Archive:
    """What is known of a file after it was opened once.

    Attributes
    ----------
    path
        Of the file.
    header
        As it says.
    credit
        Whom the map is owed to, in plain text; empty where it does not say.
    layers
        Of vector tiles.
    """

    path: str
    header: HeaderDict
    credit: str
    layers: frozenset[str]

    @property
    def image(self) -> str | None:
        """Media type of tiles that are images, None of vector tiles."""
        return IMAGES.get(self.header["tile_type"])


def opened(path: Path) -> Archive:
    """Return a file's description.

    Parameters
    ----------
    path
        Of the file.

    Raises
    ------
    InputError
        When it is no PMTiles file, damaged, or of a make that cannot be shown.
    """
    try:
        with path.open("rb") as stream:
            header = _header(stream)
            size = os.fstat(stream.fileno()).st_size
            _complete(header, size)
            said = _metadata(stream, header)
            _directory(stream, header["root_offset"], header["root_length"])
    except MagicNumberNotFound as problem:
        raise InputError("it is no PMTiles file", str(path), "name a file that ends in .pmtiles") from problem
    except SpecVersionUnsupported as problem:
        raise InputError("it is not PMTiles version 3", str(path), "convert it to version 3") from problem
    except (EOFError, ValueError, LookupError, OverflowError, zlib.error, RecursionError) as problem:
        raise InputError("the map is damaged", str(path), ANEW) from problem
    except OSError as problem:
        reason = (problem.strerror or "unknown reason").lower()
        raise InputError(f"the map cannot be read ({reason})", str(path), "name another") from problem
    except InputError as problem:
        raise InputError(problem.what, str(path), problem.remedy) from problem
    return Archive(str(path), header, _plain(said.get("attribution")), _layers(said))


def read(archive: Archive, tiles: list[Tile]) -> list[bytes | None]:
    """Return the content of tiles, unpacked; None for those that the file does not have.

    Raises
    ------
    InputError
        When the file is damaged, or gone.
    """
    try:
        with Path(archive.path).open("rb") as stream:

            @cache
            def directory(offset: int, length: int) -> list[Entry]:
                return _directory(stream, offset, length)

            return [_tile(stream, archive.header, tile, directory) for tile in tiles]
    except (EOFError, ValueError, LookupError, OverflowError, zlib.error, OSError) as problem:
        raise InputError("the map is damaged or gone", Path(archive.path).name, ANEW) from problem


def _header(stream: BinaryIO) -> HeaderDict:
    head = stream.read(_HEADER)
    if head[:7] != b"PMTiles":
        raise MagicNumberNotFound
    if len(head) < _HEADER:
        raise EOFError
    header = deserialize_header(head)
    if not 0 <= header["min_zoom"] <= header["max_zoom"] <= _HIGHEST:
        raise ValueError
    if header["tile_type"] not in IMAGES and header["tile_type"] is not TileType.MVT:
        made = header["tile_type"].name
        raise InputError(f"its tiles are {made}", remedy="name a map of images or of MVT vector tiles")
    packed = {header["tile_compression"], header["internal_compression"]} - {
        Compression.NONE,
        Compression.GZIP,
    }
    if packed or header["internal_compression"] is not Compression.GZIP:
        how = ", ".join(sorted(one.name.lower() for one in packed)) or "not at all"
        raise InputError(f"it is packed otherwise than with gzip ({how})", remedy="name one that is")
    return header


def _complete(header: HeaderDict, size: int) -> None:
    """Refuse a file that is shorter than it says."""
    ends = (
        header["root_offset"] + header["root_length"],
        header["metadata_offset"] + header["metadata_length"],
        header["leaf_directory_offset"] + header["leaf_directory_length"],
        header["tile_data_offset"] + header["tile_data_length"],
    )
    if max(ends) > size:
        raise InputError(f"the map is cut off, {max(ends) - size} bytes are missing", remedy=ANEW)


def _tile(stream: BinaryIO, header: HeaderDict, tile: Tile, directory: Any) -> bytes | None:
    number = zxy_to_tileid(tile.zoom, tile.wrapped, tile.row)
    offset, length = header["root_offset"], header["root_length"]
    for _ in range(_DEEPEST):
        entry = find_tile(directory(offset, length), number)
        if entry is None:
            return None
        if entry.run_length:
            content = _bytes(stream, header["tile_data_offset"] + entry.offset, entry.length)
            return _unpacked(content) if header["tile_compression"] is Compression.GZIP else content
        offset, length = header["leaf_directory_offset"] + entry.offset, entry.length
    raise ValueError


def _directory(stream: BinaryIO, offset: int, length: int) -> list[Entry]:
    packed = _bytes(stream, offset, length)
    _unpacked(packed)  # is of a sensible size
    return deserialize_directory(packed)


def _metadata(stream: BinaryIO, header: HeaderDict) -> dict[str, Any]:
    if not header["metadata_length"]:
        return {}
    said = json.loads(_unpacked(_bytes(stream, header["metadata_offset"], header["metadata_length"])))
    if not isinstance(said, dict):
        raise ValueError
    return said


def _bytes(stream: BinaryIO, offset: int, length: int) -> bytes:
    if not 0 <= length <= _PACKED or offset < 0:
        raise ValueError
    stream.seek(offset)
    content = stream.read(length)
    if len(content) < length:
        raise EOFError
    return content


def _unpacked(packed: bytes) -> bytes:
    """Return what gzip packed, if that is no more than may be."""
    unpacking = zlib.decompressobj(wbits=31)
    content = unpacking.decompress(packed, _UNPACKED)
    if not unpacking.eof:
        raise ValueError
    return content


def _layers(said: dict[str, Any]) -> frozenset[str]:
    named = said.get("vector_layers")
    layers = named if isinstance(named, list) else []
    return frozenset(str(one.get("id")) for one in layers if isinstance(one, dict))


class _Text(HTMLParser):
    """Gathers the text of an attribution, which is often written as HTML."""

    def __init__(self) -> None:
        super().__init__()
        self.text = ""

    def handle_data(self, data: str) -> None:
        self.text += data


def _plain(attribution: object) -> str:
    if not isinstance(attribution, str):
        return ""
    gathered = _Text()
    gathered.feed(attribution[:4000])
    gathered.close()
    return re.sub(r"\s+", " ", gathered.text).strip()[:300]
