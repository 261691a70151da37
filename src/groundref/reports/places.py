"""The four places of the circle, named by where the airplane flies relative to the wind."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import difference, full_turn, half_turn, quarter_turn, wrap
from groundref.assessment.as_planned import AsPlanned
from groundref.assessment.assessed import Assessed
from groundref.assessment.held import steady
from groundref.estimation.states import States
from groundref.reports import like_paper, naming, words
from groundref.reports.laps import during, first_sign, turn_sign
from groundref.units import degree

Floats = NDArray[np.float64]

NAMES: Final = ("downwind", "crosswind", "upwind", "crosswind")
AT: Final = (0.0, quarter_turn, half_turn, -quarter_turn)  # positions of the names [rad]
_NEAR: Final = 20.0 * degree  # a place is taken this far to either side

NOT_BY_PLACE: Final = "Bank by place in the circle was not judged"  # so the assessment's note begins

COMPASS: Final = ("north", "east", "south", "west")


@dataclass(frozen=True, slots=True)
class Round:
    """The circle unrolled: the angle along it and the names on it.

    Attributes
    ----------
    angle
        Of each sample of the maneuver, in one turn up from ``start`` [rad]
    names
        Of the places at 0°, 90°, 180° and 270°.
    by_wind
        Whether the places are named by the wind; else by the compass direction from the point.
    start
        Where the circle is cut open: the least angle shown [rad]
    """

    angle: Floats
    names: tuple[str, str, str, str]
    by_wind: bool
    start: float


def named_by_wind(assessed: Assessed) -> bool:
    """Return whether the wind is known and strong enough to name the places by it.

    What the assessment did not judge by its place in the circle, no page may name by it either.
    """
    like = like_paper.shared()
    if like is not None and not like.by_wind:
        return False
    if any(note.startswith(NOT_BY_PLACE) for note in assessed.notes):
        return False
    return words.has_direction(assessed.maneuver.wind) and bool(np.isfinite(assessed.profile.position).any())


def unrolled(assessed: Assessed) -> Round:
    """Return the angle round the circle: relative to the wind, or to north where the wind can't be told."""
    by_wind = named_by_wind(assessed)
    angle = _angle(assessed, by_wind=by_wind)
    start = _cut(assessed, angle)
    like = like_paper.shared()
    if like is not None:
        start = like.start + float(np.mod(start - like.start + 1e-9, half_turn))
    opened = _opened(assessed, angle, start)
    direction = assessed.maneuver.direction if like is None else like.direction
    names = NAMES if by_wind else _compass(direction)
    shown = start if like is None else like.start
    return Round(np.where(np.isfinite(angle), opened, np.nan), names, by_wind, shown)


def _angle(assessed: Assessed, *, by_wind: bool) -> Floats:
    profile = assessed.profile
    return profile.position if by_wind else turn_sign(assessed) * profile.azimuth


def cut(assessed: Assessed, *, by_wind: bool) -> float:
    """Return where the circle of a maneuver is cut open by itself, its places named so [rad]."""
    return _cut(assessed, _angle(assessed, by_wind=by_wind))


def planned_angle(assessed: Assessed, planned: AsPlanned) -> Floats:
    """Return the angle round the circle of each place of the planned arcs, as in `unrolled` [rad].

    The places are those of the flight, named by the wind that blew: where another wind was planned for, the
    bank planned stands where it would have been flown.
    """
    wind = assessed.maneuver.wind
    if wind is None or not named_by_wind(assessed):
        return planned.turn * planned.azimuth
    return planned.turn * (planned.track - wind.direction_to)


_CUT: Final = -quarter_turn  # before the first place, so that every place stands whole on the paper
_BEFORE: Final = 8.0 * degree  # a half circle may begin so much before the mean of all


def _opened(assessed: Assessed, angle: Floats, start: float) -> Floats:
    """Return the angles in one turn up from where the circle is cut open, half circles each in one piece."""
    opened = wrap(angle - start) + start
    if assessed.maneuver.kind != "s-turns":
        return opened
    for number in range(1, len(assessed.maneuver.laps) + 1):
        mine = np.flatnonzero((assessed.profile.lap == number) & np.isfinite(angle))
        if mine.size:
            unwound = np.unwrap(opened[mine])
            middle = float(unwound.mean())
            opened[mine] = unwound + float(wrap(middle - start)) + start - middle
    return opened


def _cut(assessed: Assessed, angle: Floats) -> float:
    """Return where the circle is cut open: of half circles where they begin, so that none is torn [rad]."""
    m = assessed.maneuver
    if m.kind != "s-turns":
        return _CUT
    starts = angle[[lap.first - m.first for lap in m.laps]]
    starts = starts[np.isfinite(starts)]
    # They begin half a turn apart: doubled, the angles of all are alike.
    return float(np.angle(np.exp(2j * starts).sum()) / 2) - _BEFORE if starts.size else _CUT


def _compass(direction: str) -> tuple[str, str, str, str]:
    """Return the directions from the point in the order flown: a left turn meets west after north."""
    north, east, south, west = COMPASS
    if direction == "both":
        return north, f"{east} or {west}", south, f"{west} or {east}"
    return (north, east, south, west) if direction == "right" else (north, west, south, east)


def azimuth_of(assessed: Assessed, position: float) -> float | None:
    """Return the true direction from the point to a position relative to the wind; None without wind [rad].

    On the circle the track is square to the direction from the point, so a circle to the right is flown
    downwind where the point lies to the right of the downwind track: the airplane is 90° to the left of
    where the wind blows to, seen from the point.
    """
    wind = assessed.maneuver.wind
    if wind is None or not named_by_wind(assessed):
        return None
    sign = first_sign(assessed)
    return float(wrap(wind.direction_to - sign * quarter_turn + sign * position))


@dataclass(frozen=True, slots=True)
class Place:
    """Mean of what was flown near one place of one lap; SI, bank into the turn; None where not known.

    The place is named by the wind or, where that names none, by its direction from ``owner``.
    """

    lap: int
    name: str
    by_wind: bool
    owner: str
    bank: float | None
    bank_required: float | None
    radial: float | None
    ground_speed: float | None
    crab: float | None


def visited(states: States, assessed: Assessed) -> list[Place]:
    """Return every place of every lap that was flown, in the order flown.

    Rolling in and out is no part of it: the mean near a place would show less bank than was held there.
    """
    round_ = unrolled(assessed)
    sign = turn_sign(assessed)
    settled = steady(states, assessed.maneuver)
    channels = {
        "bank": sign * during(states.bank, assessed),
        "bank_required": sign * assessed.profile.bank_required,
        "radial": assessed.profile.radial,
        "ground_speed": during(states.ground_speed, assessed),
        "crab": during(states.crab, assessed),
    }
    places = []
    owner = naming.place_of(assessed.maneuver.kind)
    for lap, flown in enumerate(assessed.maneuver.laps, 1):
        names = NAMES if round_.by_wind else _compass("right" if flown.turn > 0 else "left")
        for quarter in _in_order(round_.angle[assessed.profile.lap == lap]):
            off = difference(round_.angle, quarter * full_turn / 4)
            near = settled & (assessed.profile.lap == lap) & (np.abs(off) <= _NEAR)
            if not near.any():
                continue
            values = {key: _mean(channel[near]) for key, channel in channels.items()}
            places.append(Place(lap, names[quarter], round_.by_wind, owner, **values))
    return places


def _in_order(angle: Floats) -> list[int]:
    """Return the four quarters in the order in which a lap meets them, from the one it begins nearest to."""
    known = angle[np.isfinite(angle)]
    first = round(float(known[0]) / quarter_turn) if known.size else 0
    return [(first + n) % 4 for n in range(4)]


def _mean(values: Floats) -> float | None:
    good = values[np.isfinite(values)]
    return float(good.mean()) if good.size else None


def where(place: Place) -> str:
    """Return the name of a place by itself, such as ``downwind`` or ``north of the point``."""
    return place.name if place.by_wind else f"{place.name} of {place.owner}"


def in_words(place: Place, lap_word: str = "lap") -> str:
    """Return a place in one clause, for those who cannot see the pictures."""
    return (
        f"{lap_word} {place.lap} {where(place)}: bank {words.degrees(place.bank)} flown,"
        f" {words.degrees(place.bank_required)} required, {side(place.radial)}"
    )


def side(radial: float | None) -> str:
    """Return how far outside or inside the circle in words; ``radial`` in [m]."""
    if radial is None or not np.isfinite(radial):
        return f"distance {words.CANNOT_TELL}"
    far = words.length(abs(radial))
    if far == words.length(0.0):
        return "on the circle"
    return f"{far} {'outside' if radial > 0 else 'inside'}"
