"""The picture from the pilot's seat, of a plan: a document as of a flight, its moments the positions."""

from __future__ import annotations

from typing import Any

import numpy as np

from groundref.planning import Plan
from groundref.units import degree, foot
from groundref.web.seat import WHAT
from groundref.web.sight import NOWHERE, Floats, Ints, Moments, Spot, airplane, columns, numbers, sights


def planned_seat(plan: Plan) -> dict[str, Any]:
    """Return a plan as the document that the picture from the seat is drawn from.

    Parameters
    ----------
    plan
        What was planned.
    """
    schedule, layout = plan.schedule, plan.layout
    spots, about = _spots(plan)
    now = Moments(
        east=schedule.east,
        north=schedule.north,
        up=schedule.height,
        heading=schedule.heading,
        bank=schedule.bank,
        about=about,
        side=np.nan_to_num(schedule.side),
    )
    radius = layout.radius
    return {
        "schema": "groundref/replay/1",
        "seconds": numbers(schedule.time, 1.0, 2),
        "east_m": numbers(schedule.east, 1.0, 1),
        "north_m": numbers(schedule.north, 1.0, 1),
        "height_agl_ft": numbers(schedule.height, foot, 0),
        "heading_deg": numbers(np.mod(schedule.heading, 2 * np.pi), degree, 1),
        "bank_deg": numbers(schedule.bank, degree, 1),
        "positions": list(schedule.name),
        "seat": {
            "airplane": airplane(plan.inputs.aircraft),
            "ground": [
                {
                    "type": layout.reference,
                    "places_m": [[round(east, 1), round(north, 1)] for east, north in layout.places],
                    "radius_m": None if radius is None else round(radius, 1),
                }
            ],
            "why": "",
            "spots": [
                {"what": one.what, "east_m": round(one.east, 1), "north_m": round(one.north, 1)}
                for one in spots
            ],
            "columns": columns(now, sights(now, spots, plan.inputs.aircraft)),
        },
    }


def _spots(plan: Plan) -> tuple[tuple[Spot, ...], Ints]:
    """Return what is looked at, each place once, and which of them at each position."""
    schedule = plan.schedule
    known = np.isfinite(schedule.distance)
    east, north = _place(schedule.east, schedule.north, schedule.distance, schedule.bearing)
    places = np.round(np.stack([east, north], axis=-1)[known], 3)
    each, which = np.unique(places, axis=0, return_inverse=True)
    about = np.full(known.size, NOWHERE, dtype=np.int64)
    about[known] = which.reshape(-1)
    what = WHAT.get(plan.layout.reference, "the place")
    return tuple(Spot(what, float(e), float(n)) for e, n in each), about


def _place(east: Floats, north: Floats, distance: Floats, bearing: Floats) -> tuple[Floats, Floats]:
    """Return the place that positions are so far and in such a direction from [m]."""
    return east - distance * np.sin(bearing), north - distance * np.cos(bearing)
