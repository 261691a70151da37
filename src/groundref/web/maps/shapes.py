"""Vector tiles drawn: everything of one look is one path, so that a page stays light."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import Final

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from groundref.errors import InputError
from groundref.reports import svg
from groundref.web.maps import vector
from groundref.web.maps.layers import AREAS, LAYERS, LINES, NAMES, look_of, name_of
from groundref.web.maps.names import Name
from groundref.web.maps.papers import Paper, Tile

Floats = NDArray[np.float64]

_FINE: Final = 10  # paths are drawn in tenths of a unit of paper
_BEYOND: Final = 1.0  # tiles that what lies on a tile may reach into the next; commonly a sixteenth
_RIM: Final = 20.0  # paper beyond the picture that lines may reach into
_LEAST: Final = 1.5  # square units of paper that an area takes at least
_MOST: Final = 12 << 20  # letters of all paths together; a dense city takes a tenth
_WANTED: Final = LAYERS.keys() | NAMES.keys()


class Drawing:
    """What is drawn on one picture, tile after tile.

    Parameters
    ----------
    paper
        The picture.
    """

    def __init__(self, paper: Paper) -> None:
        self._paper = paper
        self._paths: dict[tuple[str, str], list[str]] = defaultdict(list)
        self._size = 0
        self.names: list[Name] = []

    def add(self, tile: Tile, content: bytes) -> None:
        """Draw a tile.

        Raises
        ------
        ValueError
            When it is no vector tile.
        """
        for layer, features in vector.decoded(content, _WANTED):
            found = [
                (*where, part)
                for feature in features
                for where in [self._where(layer, feature)]
                if where is not None
                for part in feature.parts
            ]
            if found:
                self._draw(tile, found)
            if layer in NAMES:
                self._name(tile, layer, features)

    def paths(self) -> Iterator[Markup]:
        """Yield the paths, from the lowest to the uppermost."""
        for form, looks in (("area", AREAS), ("line", LINES)):
            for look in looks:
                if self._paths[form, look]:
                    yield svg.tag(
                        "path",
                        d="".join(self._paths[form, look]),
                        transform=f"scale({1 / _FINE})",
                        class_=f"map-{form} map-{look}",
                    )

    @staticmethod
    def _where(layer: str, feature: vector.Feature) -> tuple[str, str] | None:
        """Return form and look of a feature; None where it is not drawn."""
        if layer not in LAYERS or feature.kind not in (vector.LINES, vector.AREAS):
            return None
        area = feature.kind == vector.AREAS
        look = look_of(layer, feature.tags, area=area)
        return None if look is None else ("area" if area else "line", look)

    def _draw(self, tile: Tile, found: list[tuple[str, str, Floats]]) -> None:
        """Draw lines and rings, all of them brought to paper at once."""
        places = self._on_paper(tile, np.concatenate([part for _, _, part in found]))
        ends = np.cumsum([len(part) for _, _, part in found])[:-1]
        for (form, look, _), part in zip(found, np.split(places, ends), strict=True):
            data = self._data(part, area=form == "area")
            self._size += len(data)
            if data:
                self._paths[form, look].append(data)
        if self._size > _MOST:
            raise InputError("there is too much on the map to draw it here", remedy="name a plainer map")

    def _on_paper(self, tile: Tile, places: Floats) -> Floats:
        side = 1 << tile.zoom
        places = np.clip(places, -_BEYOND, 1.0 + _BEYOND)
        x, y = self._paper.xy((tile.column + places[:, 0]) / side, (tile.row + places[:, 1]) / side)
        return np.column_stack((x, y))

    def _data(self, part: Floats, *, area: bool) -> str:
        """Return a line or ring as the `d` of a path; nothing where it cannot be seen."""
        if len(part) < (3 if area else 2) or not np.isfinite(part).all():
            return ""
        low, high = part.min(axis=0), part.max(axis=0)
        size = np.array([self._paper.width, self._paper.height])
        if (high < -_RIM).any() or (low > size + _RIM).any() or (area and np.prod(high - low) < _LEAST):
            return ""
        fine = np.rint(part * _FINE).astype(np.int64)
        kept = np.concatenate(([True], (np.diff(fine, axis=0) != 0).any(axis=1)))
        if kept.sum() < 2:
            return ""
        return f"M{' '.join(map(str, fine[kept].ravel().tolist()))}{'Z' if area else ''}"

    def _name(self, tile: Tile, layer: str, features: list[vector.Feature]) -> None:
        for feature in features:
            named = name_of(layer, feature.tags)
            if named is not None and feature.kind == vector.POINTS and feature.parts:
                x, y = self._on_paper(tile, feature.parts[0])[0].tolist()
                self.names.append(Name(named[0], x, y, named[1]))
