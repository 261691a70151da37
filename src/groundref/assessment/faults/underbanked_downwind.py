"""Too shallow a bank while flying downwind: the circle opens and the airplane is carried away."""

from __future__ import annotations

from typing import Final

from groundref.assessment import places
from groundref.assessment.assessed import Finding
from groundref.assessment.faults.arc import THRESHOLD, Arc, finding, look_at
from groundref.assessment.flown import Flown
from groundref.assessment.said import degrees
from groundref.measures import at_least

NAME: Final = "underbanked-downwind"


def find(flown: Flown) -> Finding | None:
    """Test for less bank than needed over the downwind third of the circle."""
    arc = look_at(flown, places.downwind, -1.0, THRESHOLD)
    if arc is None:
        return None
    return finding(flown, arc, NAME, places.downwind, ("shallower", "opened"), _cure(flown, arc))


def _cure(flown: Flown, arc: Arc) -> str:
    """Return what to do: more bank, or a wider circle where that would be more than the limit."""
    wider = flown.smallest_radius()
    if arc.needed > flown.bank_limit and wider is not None:
        return (
            f"This {flown.words.shape} needs {degrees(arc.needed)} downwind; start at least "
            f"{at_least(wider)} from {flown.words.about}, where {degrees(flown.bank_limit)} is enough."
        )
    return (
        f"Steepen the bank to about {degrees(arc.needed)} as the track comes round downwind: "
        "ground speed is highest there."
    )
