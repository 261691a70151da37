"""What a plan after a debrief takes over from it: place, day, ground, line, field and pylons.

Places are those of the debrief. Distances on the ground are short, so the sphere's tangent plane does.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import atan2, cos, degrees, hypot, radians, remainder
from typing import Final

from groundref.angles import full_turn, half_turn, quarter_turn
from groundref.planning.asked import Blowing, Day, Wanted, Where
from groundref.planning.last_flown import Last, LastManeuver
from groundref.standards.usual import OUTSIDE
from groundref.units import degree, foot, knot

_EARTH: Final = 6_371_009.0  # mean radius [m]; IUGG, from memory
_LEAST: Final = 200.0 * foot  # of half a field's side: less is refused by a plan
_ABOUT: Final = "From the debrief: "


@dataclass(frozen=True, slots=True)
class Carried:
    """What a plan is made from once the debrief has filled in what nobody gave.

    Attributes
    ----------
    wanted, day, where
        As the plan takes them; the day's assumptions say what is from the debrief.
    wind
        Given, else as flown in; None where neither is known.
    """

    wanted: Wanted
    day: Day
    where: Where
    wind: Blowing | None


def carry(last: Last, asked: Wanted, wind: Blowing | None, day: Day, where: Where) -> Carried:
    """Fill in from a debrief what was not given.

    Parameters
    ----------
    last
        Of the debrief.
    asked
        What is asked for anyway: that stands.
    wind, day, where
        As given; None, or None in them, where nothing was said.

    Notes
    -----
    With another place given, nothing that lies on the ground is taken over.
    """
    flown, said = last.last, list[str]()
    wind = wind or _wind(flown)
    wanted = _as_flown(flown, asked, said)
    if where.latitude is None:
        where, day, wanted = _on_the_ground(last, wanted, wind, day, where, said)
    else:
        said.append("nothing of the place, as another is given")
    words = f"{_ABOUT}{'; '.join(said)}."
    return Carried(wanted, replace(day, assumptions=(*day.assumptions, words)), where, wind)


def _wind(flown: LastManeuver) -> Blowing | None:
    if flown.wind is None:
        return None
    return Blowing(
        speed=flown.wind.speed_kt * knot,
        direction_from=flown.wind.from_deg * degree,
        how="that of the flight debriefed",
    )


def _as_flown(flown: LastManeuver, asked: Wanted, said: list[str]) -> Wanted:
    """Return radius, direction and airspeed as flown, where nothing else is asked for."""
    radius, speed = asked.radius, asked.true_airspeed
    if radius is None and flown.radius_ft is not None and asked.bank_limit is None:
        radius = 10.0 * foot * round(flown.radius_ft / 10.0)
        said.append(f"a radius of {radius / foot:,.0f} ft flown")
    if speed is None and asked.calibrated_airspeed is None and flown.wind is not None:
        speed = flown.wind.tas_kt * knot
        said.append(f"{flown.wind.tas_kt:.0f} kt true")
    return replace(asked, radius=radius, true_airspeed=speed, direction=flown.first_turn or asked.direction)


def _on_the_ground(
    last: Last, wanted: Wanted, wind: Blowing | None, day: Day, where: Where, said: list[str]
) -> tuple[Where, Day, Wanted]:
    """Return place, day and ground, and what lies on it."""
    ground = last.elevation
    if ground is None and day.elevation is None:
        said.append("the ground's elevation is not known from it")
    elif day.elevation is None or day.elevation == ground:
        said.append(f"the ground at {(ground or 0.0) / foot:,.0f} ft")
        day = replace(day, elevation=ground)
    places = _places(last.last)
    if places:
        latitude = sum(place[0] for place in places) / len(places)
        longitude = sum(place[1] for place in places) / len(places)
        where = replace(where, latitude=radians(latitude), longitude=radians(longitude))
        said.append(f"the place {_spoken(latitude, 'NS')}, {_spoken(longitude, 'EW')}")
        if where.when is None and where.variation is None and last.day is not None:
            where = replace(where, when=last.day)
            said.append(f"the day {last.day:%Y-%m-%d}, for the magnetic variation")
        wanted = _laid(last.last, wanted, wind, said)
    return where, day, wanted


def _places(flown: LastManeuver) -> list[tuple[float, float]]:
    """Return the places on the ground that the plan's origin lies amid."""
    found = flown.reference
    if found is None:
        return []
    if found.type == "point" and found.lat is not None and found.lon is not None:
        return [(found.lat, found.lon)]
    return {"line": found.ends, "rectangle": found.corners, "pylons": found.points}.get(found.type, [])


def _laid(flown: LastManeuver, wanted: Wanted, wind: Blowing | None, said: list[str]) -> Wanted:
    """Return the course, the spacing and the size of what was flown about, where not asked for."""
    found = flown.reference
    if found is None or wanted.course is not None:
        return wanted
    downwind = None if wind is None else wind.direction_from + half_turn
    side = 1.0 if wanted.direction == "right" else -1.0
    if found.type == "line" and found.bearing_deg is not None:
        course = found.bearing_deg * degree
        said.append(f"the line along {_axis(course)}")
        return replace(wanted, course=_toward(course, downwind, -side * quarter_turn))
    if found.type == "pylons" and len(found.points) == 2:
        course, apart = _course(*found.points)
        wanted = replace(wanted, course=_toward(course, downwind, -side * quarter_turn))
        # Where a pilot holds a place on the wing line, the distance follows from speed and bank anew.
        own = flown.kind == "eights-on-pylons"
        said.append(
            f"the line of the pylons along {_axis(course)}, though not their {apart / foot:,.0f} ft: by "
            "speed and bank the plan chooses how far apart they stand"
            if own
            else f"the pylons {apart / foot:,.0f} ft apart along {_axis(course)}"
        )
        return wanted if own or wanted.spacing is not None else replace(wanted, spacing=apart)
    if found.type == "rectangle" and len(found.corners) == 4:
        return _field(flown, wanted, downwind, said)
    return wanted


def _field(flown: LastManeuver, wanted: Wanted, downwind: float | None, said: list[str]) -> Wanted:
    """Return the field of a rectangular course; where it was not given, that inside of the course flown."""
    found = flown.reference
    legs = [leg.course_deg for lap in flown.laps for leg in lap.legs if leg.name == "downwind"]
    if found is None or not legs or legs[0] is None:
        return wanted
    course, corners = legs[0] * degree, found.corners
    sides = [_course(corners[at], corners[at + 1]) for at in (0, 1)]
    off = [abs(cos(bearing - course)) for bearing, _ in sides]
    along, across = sides if off[0] > off[1] else sides[::-1]
    outside = 0.0 if found.source == "given" else OUTSIDE
    length, width = along[1] - 2.0 * outside, across[1] - 2.0 * outside
    size = f"{along[1] / foot:,.0f} by {across[1] / foot:,.0f} ft"
    if wanted.spacing is not None or wanted.radius is not None:
        return replace(wanted, course=_toward(course, downwind, 0.0))
    if min(length, width) < 2.0 * _LEAST:
        said.append(
            f"the course flown, {size}, is too small to have a field inside; the usual one is planned"
        )
        return wanted
    said.append(
        f"the field, {size}"
        if not outside
        else f"the course flown, {size}, taken to be {outside / foot:,.0f} ft outside of the field, "
        "whose corners were not given"
    )
    return replace(wanted, course=_toward(course, downwind, 0.0), spacing=length, radius=0.5 * width)


def _course(one: tuple[float, float], other: tuple[float, float]) -> tuple[float, float]:
    """Return the direction [rad] and the distance [m] from one place to another, both in degrees."""
    north = _EARTH * radians(other[0] - one[0])
    east = _EARTH * radians(other[1] - one[1]) * cos(radians(0.5 * (one[0] + other[0])))
    return atan2(east, north) % full_turn, hypot(east, north)


def _toward(course: float, downwind: float | None, off: float) -> float:
    """Return a course or its opposite, whichever is nearer to what is usual off the wind planned for."""
    if downwind is None:
        return course % full_turn
    away = abs(remainder(course - downwind - off, full_turn))
    return (course + (half_turn if away > quarter_turn + 1e-9 else 0.0)) % full_turn


def _axis(course: float) -> str:
    one = degrees(course) % 180.0
    return f"{one:03.0f}°/{one + 180.0:03.0f}°"


def _spoken(value: float, sides: str) -> str:
    return f"{abs(value):.4f}° {sides[0] if value >= 0.0 else sides[1]}"
