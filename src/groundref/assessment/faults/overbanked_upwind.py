"""Too steep a bank while flying upwind: the circle closes on the point."""

from __future__ import annotations

from typing import Final

from groundref.assessment import places
from groundref.assessment.assessed import Finding
from groundref.assessment.faults.arc import THRESHOLD, finding, look_at
from groundref.assessment.flown import Flown
from groundref.assessment.said import degrees

NAME: Final = "overbanked-upwind"


def find(flown: Flown) -> Finding | None:
    """Test for more bank than needed over the upwind third of the circle."""
    arc = look_at(flown, places.upwind, 1.0, THRESHOLD)
    if arc is None:
        return None
    cure = (
        f"Shallow the bank steadily from the crosswind place on, to about {degrees(arc.needed)} "
        "when the track points into the wind: ground speed is lowest there."
    )
    return finding(flown, arc, NAME, places.upwind, ("steeper", "closed"), cure)
