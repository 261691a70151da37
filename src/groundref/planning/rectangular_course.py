"""The rectangular course: four legs outside of a field, and corners of one radius between them.

The first leg is the downwind leg, along the longer side. The radius asked for is half of the field's shorter
side; the corners' own radius is the smallest that the bank limit allows where they are steepest, out of the
downwind leg, so bank in the others follows their ground speed.
"""

from __future__ import annotations

from math import ceil, cos, sin
from typing import Final

import numpy as np

from groundref.angles import quarter_turn
from groundref.errors import NoSolutionError
from groundref.mechanics import boundary
from groundref.planning.inputs import Inputs
from groundref.planning.layout import Entry, Layout
from groundref.planning.offered import both, or_more
from groundref.planning.pieces import Arc, Leg, Mark, Piece, Place
from groundref.standards.field import FieldCourse, field_course
from groundref.standards.usual import CORNER_BANK, ENTRY_ANGLE
from groundref.units import foot

LEGS: Final = ("downwind leg", "base leg", "upwind leg", "crosswind leg")


def layout(inputs: Inputs, radius: float) -> Layout:
    """Return the course about a field with its middle at the origin.

    Parameters
    ----------
    inputs
        Of the plan.
    radius
        Half of the field's shorter side [m]

    Raises
    ------
    NoSolutionError
        When the corners leave no straight legs.
    """
    air, side = inputs.air, inputs.side
    bank = inputs.bank_limit if inputs.bank_limit_given else CORNER_BANK
    course = field_course(air.true_airspeed, air.wind_speed, radius, inputs.spacing, bank)
    length, outside, corner = course.length, course.outside, course.corner_radius
    bearing = air.downwind if inputs.course is None else inputs.course
    _check(course)
    spans = (length + 2.0 * (outside - corner), 2.0 * (radius + outside - corner))
    away = (radius + outside, 0.5 * length + outside)
    pieces: list[Piece] = []
    for leg, name in enumerate(LEGS):
        track = bearing + side * leg * quarter_turn
        begin = _place(track, -side * away[leg % 2], -0.5 * spans[leg % 2])
        marks = (Mark(0.0, f"{name} begins"), Mark(0.5, name)) if leg == 0 else (Mark(0.5, name),)
        pieces.append(Leg(begin, track, spans[leg % 2], inputs.height, name, None, marks))
        center = _place(track, -side * (away[leg % 2] - corner), 0.5 * spans[leg % 2])
        turn = f"turn to {LEGS[(leg + 1) % 4].removesuffix(' leg')}"
        half = (Mark(0.0, f"{turn} begins"), Mark(0.5, turn), Mark(1.0, f"{turn} ends"))
        pieces.append(Arc(center, corner, side, track, quarter_turn, inputs.height, turn, None, half))
    east, north = boundary.corners(0.0, 0.0, bearing, length, 2.0 * radius, side)
    entry = pieces[0].at(air, np.array([0.0]))
    return Layout(
        reference="rectangle",
        places=tuple(zip(east.tolist(), north.tolist(), strict=True)),
        pieces=tuple(pieces),
        entry=Entry(
            place=(float(entry.east[0]), float(entry.north[0])),
            track=bearing + side * ENTRY_ANGLE,
            distance=outside,
            bank=0.0,
            how="At 45° to the downwind leg from outside, at the height of the course.",
        ),
        radius=None,
        notes=(
            f"Flown {outside / foot:,.0f} ft outside of the field, with corners of {corner / foot:,.0f} ft.",
        ),
    )


def _check(course: FieldCourse) -> None:
    """Refuse a longer side that is the shorter one, as the first leg lies along it, or too short to fly."""
    if course.length < course.width * (1.0 - 1e-9):
        raise NoSolutionError(
            f"the longer side of {both(course.length)} is shorter than the other of "
            f"{both(course.width)}, twice the radius",
            "spacing",
            f"choose {or_more(course.width)}, or a smaller radius",
        )
    spare = course.outside - course.corner_radius
    if course.length + 2.0 * spare < course.straight:
        least = ceil((course.straight - 2.0 * spare) / foot / 100.0) * 100
        raise NoSolutionError(
            "the longer side is too short: the downwind leg has no straight part",
            "spacing",
            f"choose {or_more(least * foot)}",
        )


def _place(track: float, right: float, along: float) -> Place:
    """Return a place to the right of a track through the origin, and along it."""
    return right * cos(track) + along * sin(track), -right * sin(track) + along * cos(track)
