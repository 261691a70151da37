"""Which layers of vector tiles are drawn, and how they look: those of the three common open schemas.

Protomaps basemap (https://docs.protomaps.com/basemaps/layers, versions 3 and 4), OpenMapTiles
(https://openmaptiles.org/schema/) and Shortbread (https://shortbread-tiles.org/schema/). A name that two of
them share means the same in both. Farmland is the paper itself; boundaries and points of interest, but for
airfields, are left out, since this is to find one's way by.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

# From the lowest to the uppermost.
AREAS: Final = ("green", "wood", "built", "airfield", "water", "building", "apron", "runway")
LINES: Final = ("stream", "path", "rail", "road", "main", "great", "apron", "runway")
_KEYS: Final = ("kind_detail", "pmap:kind_detail", "kind", "pmap:kind", "class", "subclass")


@dataclass(frozen=True, slots=True)
class Layer:
    """How a layer is drawn.

    Attributes
    ----------
    areas, lines
        The look by what kind of thing it is.
    area, line
        The look of any other kind; None where that is not drawn.
    """

    areas: Mapping[str, str]
    lines: Mapping[str, str]
    area: str | None = None
    line: str | None = None


def _looks(**kinds: str) -> dict[str, str]:
    return {kind: look for look, names in kinds.items() for kind in names.split()}


_GROUND: Final = _looks(
    green="park grass grassland meadow golf_course nature_reserve cemetery scrub heath village_green "
    "allotments recreation_ground garden playground pitch orchard vineyard greenfield wetland bog marsh",
    wood="forest wood",
    built="residential industrial commercial retail urban_area railway garages landfill quarry",
    airfield="aerodrome airfield",
    runway="runway",
    apron="taxiway apron",
)
_WAYS: Final = _looks(
    great="highway motorway trunk",
    main="major_road medium_road primary secondary tertiary",
    road="minor_road minor service busway bus_guideway unclassified residential living_street pedestrian",
    path="path track footway cycleway bridleway steps",
    rail="rail transit narrow_gauge light_rail tram funicular preserved monorail",
    runway="runway",
    apron="taxiway",
)
_HARD: Final = _looks(runway="runway", apron="taxiway apron", airfield="aerodrome")
_GROUNDS: Final = Layer(_GROUND, {})
_ROADS: Final = Layer(_HARD, _WAYS)
_WATER: Final = Layer({}, {}, "water", "stream")
_HOUSES: Final = Layer({}, {}, "building")

LAYERS: Final[Mapping[str, Layer]] = {
    "landcover": _GROUNDS,
    "landuse": _GROUNDS,
    "land": _GROUNDS,
    "water": _WATER,
    "ocean": _WATER,
    "waterway": _WATER,
    "water_polygons": _WATER,
    "water_lines": _WATER,
    "physical_line": Layer({}, _looks(stream="river stream canal")),
    "buildings": _HOUSES,
    "building": _HOUSES,
    "roads": _ROADS,
    "transit": _ROADS,
    "transportation": _ROADS,
    "streets": _ROADS,
    "street_polygons": _ROADS,
    "aeroway": _ROADS,
}
# Layers of names; where kinds are given, only they are named.
NAMES: Final[Mapping[str, frozenset[str]]] = {
    "places": frozenset({"locality", "city", "town", "village", "hamlet"}),
    "place": frozenset({"city", "town", "village", "hamlet"}),
    "place_labels": frozenset({"city", "capital", "state_capital", "town", "village", "hamlet"}),
    "pois": frozenset({"aerodrome", "airfield"}),
    "aerodrome_label": frozenset(),
}
KNOWN: Final = frozenset(LAYERS)

Tags = Mapping[str, object]


def look_of(layer: str, tags: Tags, *, area: bool) -> str | None:
    """Return the look of something; None where it is not drawn.

    Parameters
    ----------
    layer
        That it stands in.
    tags
        What is said of it.
    area
        Whether it is an area, and not a line.
    """
    known = LAYERS[layer]
    by_kind, usual = (known.areas, known.area) if area else (known.lines, known.line)
    kinds = (tags.get(key) for key in _KEYS)
    return next((by_kind[kind] for kind in kinds if isinstance(kind, str) and kind in by_kind), usual)


def name_of(layer: str, tags: Tags) -> tuple[str, float] | None:
    """Return a name to write and how far it stands back behind others; None where there is none."""
    name, kinds = tags.get("name"), NAMES[layer]
    if not isinstance(name, str) or not name.strip():
        return None
    if kinds and not any(tags.get(key) in kinds for key in _KEYS):
        return None
    people = tags.get("population")
    if isinstance(people, int | float) and people > 0:
        return name.strip(), -float(people)
    rank = tags.get("rank")
    return name.strip(), float(rank) if isinstance(rank, int | float) else 0.0
