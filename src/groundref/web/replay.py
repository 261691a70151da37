"""The flight sample by sample, in local metres: what the replay and the pictures move along.

Everything is worked out by the debrief; the page only draws it.
"""

from __future__ import annotations

from typing import Any, Final

import msgspec
import numpy as np
from numpy.typing import NDArray

from groundref.debriefing import Debrief
from groundref.reports.figures import overview
from groundref.units import degree, foot, knot
from groundref.web.seat import seat

MOST: Final = 10_000  # samples; of a longer flight every so many
Floats = NDArray[np.float64]


def replay(debrief: Debrief) -> bytes:
    """Return the JSON `groundref/replay/1`: columns of one length, and where each maneuver lies in them.

    `overview` is where each sample lies in the picture of the whole flight.

    Parameters
    ----------
    debrief
        Of the flight.
    """
    states = debrief.states
    steps = np.unique(np.linspace(0, len(states) - 1, min(MOST, len(states))).round().astype(np.int64))

    def column(values: Floats | None, unit: float, digits: int) -> list[float] | None:
        return None if values is None else list(np.round(values[steps] / unit, digits).tolist())

    x, y, _ = overview.places(debrief)
    document: dict[str, Any] = {
        "schema": "groundref/replay/1",
        "start": debrief.to_dict()["flight"]["start"],
        "seconds": column(states.time - states.time[0], 1.0, 2),
        "east_m": column(states.east, 1.0, 1),
        "north_m": column(states.north, 1.0, 1),
        "altitude_ft": column(states.altitude, foot, 0),
        "height_agl_ft": column(states.height, foot, 0),
        "ground_speed_kt": column(states.ground_speed, knot, 1),
        "track_deg": column(np.mod(states.track, 2 * np.pi), degree, 1),
        "tas_kt": column(states.true_airspeed, knot, 1),
        "heading_deg": column(np.mod(states.heading, 2 * np.pi), degree, 1),
        "crab_deg": column(states.crab, degree, 1),
        "bank_deg": column(states.bank, degree, 1),
        "bank_sd_deg": column(states.bank_sd, degree, 1),
        "wind_from_deg": column(
            np.mod(np.arctan2(-states.wind_east, -states.wind_north), 2 * np.pi), degree, 0
        ),
        "wind_kt": column(np.hypot(states.wind_east, states.wind_north), knot, 1),
        "overview": np.round(np.column_stack((x, y))[steps], 1).tolist(),
        "seat": seat(debrief, steps),
        "maneuvers": [
            {
                "number": number,
                "kind": one.maneuver.kind,
                "start_s": round(float(one.maneuver.start - states.time[0]), 2),
                "end_s": round(float(one.maneuver.end - states.time[0]), 2),
            }
            for number, one in enumerate(debrief.maneuvers, start=1)
        ],
    }
    return msgspec.json.encode(document)  # what is not finite becomes null
