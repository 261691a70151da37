"""A map as SVG, to be laid beneath a picture in the picture's own units."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from markupsafe import Markup

from groundref.errors import InputError
from groundref.reports import svg
from groundref.web.maps import archive as archives
from groundref.web.maps.archive import Archive
from groundref.web.maps.names import written
from groundref.web.maps.papers import Paper, Tile, placed, tiles, zoom_for
from groundref.web.maps.shapes import Drawing
from groundref.web.maps.source import MapSource

_IMAGE_TILE, _VECTOR_TILE = 256.0, 512.0  # paper that a tile is meant for
_OVERLAP: Final = 0.002  # of an image, so that no paper shows between two
NOTHING: Final = "The map has nothing here."
TOO_WIDE: Final = "The map is not made for so wide a picture."
_IMAGE: Final = {"width": 1, "height": 1, "preserveAspectRatio": "none"}


def beneath(source: MapSource, paper: Paper) -> bytes:
    """Return an SVG document whose one group is the map; its `data-says` says why there is none.

    Parameters
    ----------
    source
        Of the map.
    paper
        The picture that it is for.

    Raises
    ------
    InputError
        When the map is damaged.
    """
    vector = source.archive is not None and source.archive.image is None
    size = _VECTOR_TILE if vector else _IMAGE_TILE
    zoom = zoom_for(paper, size, least=source.least_zoom, most=source.most_zoom)
    wanted = list(tiles(paper, zoom))
    says = "" if wanted else TOO_WIDE
    if source.archive is None:
        drawn = [_image(paper, tile, source.address(tile)) for tile in wanted]
    else:
        content = archives.read(source.archive, wanted)
        there = [(tile, one) for tile, one in zip(wanted, content, strict=True) if one]
        draw = _shapes if vector else _images
        drawn = list(draw(paper, there, source.archive))
    whole = svg.tag(
        "svg",
        svg.group(*drawn, class_="beneath" if vector else "beneath images"),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {paper.width:g} {paper.height:g}",
        data_says=says or ("" if drawn else NOTHING),
    )
    return str(whole).encode()


def _images(paper: Paper, there: list[tuple[Tile, bytes]], archive: Archive) -> Iterator[Markup]:
    for tile, content in there:
        yield _image(paper, tile, f"data:{archive.image};base64,{b64encode(content).decode()}")


def _image(paper: Paper, tile: Tile, address: str) -> Markup:
    a, b, c, d, e, f = placed(paper, tile)
    grown = 1.0 + 2 * _OVERLAP
    a, b, c, d, e, f = (
        a * grown, b * grown, c * grown, d * grown, e - _OVERLAP * (a + c), f - _OVERLAP * (b + d)
    )  # fmt: skip
    matrix = " ".join(f"{value:.3f}" for value in (a, b, c, d, e, f))
    return svg.tag("image", href=address, transform=f"matrix({matrix})", **_IMAGE)


def _shapes(paper: Paper, there: list[tuple[Tile, bytes]], archive: Archive) -> Iterator[Markup]:
    drawing = Drawing(paper)
    try:
        for tile, content in there:
            drawing.add(tile, content)
    except ValueError as problem:
        name = Path(archive.path).name
        raise InputError(f"the map is damaged: {problem}", name, archives.ANEW) from problem
    yield from drawing.paths()
    yield from written(drawing.names, paper)
