"""What lies around the maneuver: what is below, where to land should the engine stop, who wants quiet."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin
from typing import Final

from groundref.errors import UsageError
from groundref.planning.pieces import Place
from groundref.planning.rules import DEFAULT, load_rules
from groundref.units import foot, nautical_mile

FARTHEST: Final = 50 * nautical_mile
HIGHEST: Final = 3_000 * foot


@dataclass(frozen=True, slots=True)
class Around:
    """What is known of the surroundings, as asked for; None leaves out what depends on it.

    Attributes
    ----------
    surroundings
        One of ``rules.SURROUNDINGS``.
    obstacle
        Height above the ground of the highest obstacle within the rule's distance [m]
    rules
        On the least height: `us` or `europe`.
    landing
        Latitude and longitude of the place to land on should the engine stop [rad]
    landing_from_origin
        The same as true bearing and distance from the plan's origin [rad], [m]
    noise_place
        Latitude and longitude of a place that wants quiet [rad]
    """

    surroundings: str | None = None
    obstacle: float | None = None
    rules: str = DEFAULT
    landing: tuple[float, float] | None = None
    landing_from_origin: tuple[float, float] | None = None
    noise_place: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Surrounded:
    """The same settled: places east and north of the plan's origin [m].

    Attributes
    ----------
    surroundings, obstacle, rules
        As in `Around`.
    landing, noise_place
        None where not given [m]
    reaction_time
        From the failure to the begin of the turn [s]
    glide_bank
        Of the gliding turn [rad]
    """

    surroundings: str | None = None
    obstacle: float | None = None
    rules: str = DEFAULT
    landing: Place | None = None
    noise_place: Place | None = None
    reaction_time: float = 4.0
    glide_bank: float = radians(30)


def settled(around: Around, latitude: float | None, longitude: float | None) -> Surrounded:
    """Return the surroundings with places in the plan's frame.

    Parameters
    ----------
    around
        As asked for.
    latitude, longitude
        Of the plan's origin [rad]

    Raises
    ------
    UsageError
        When something named is unknown, out of range, given twice, or cannot be placed without the origin.
    """
    rules = load_rules(around.rules)
    if around.surroundings is not None:
        rules.over(around.surroundings)
    if around.obstacle is not None and not 0.0 <= around.obstacle <= HIGHEST:
        raise UsageError(
            "the obstacle's height is out of range", "obstacle", "give 0 to 3,000 ft above the ground"
        )
    if around.landing is not None and around.landing_from_origin is not None:
        raise UsageError("two landing places are given", "landing place", "give one of them")
    landing = _placed(around.landing, latitude, longitude, "landing place")
    if around.landing_from_origin is not None:
        bearing, distance = around.landing_from_origin
        landing = _near((distance * sin(bearing), distance * cos(bearing)), "landing place")
    return Surrounded(
        surroundings=around.surroundings,
        obstacle=around.obstacle,
        rules=around.rules,
        landing=landing,
        noise_place=_placed(around.noise_place, latitude, longitude, "place that wants quiet"),
    )


def _placed(
    place: tuple[float, float] | None, latitude: float | None, longitude: float | None, what: str
) -> Place | None:
    """Return a place east and north of the origin [m]."""
    if place is None:
        return None
    if latitude is None or longitude is None:
        raise UsageError(
            "its latitude and longitude are of no use without those of the maneuver",
            what,
            "give --point too",
        )
    from groundref.geo.frame import LocalFrame

    east, north = LocalFrame(latitude, longitude).to_local(*place)
    return _near((float(east), float(north)), what)


def _near(place: Place, what: str) -> Place:
    if not place[0] ** 2 + place[1] ** 2 <= FARTHEST**2:
        raise UsageError("it is more than 50 NM from the maneuver", what, "check the place")
    return place
