"""Too shallow a bank while flying downwind: the circle opens and the airplane is carried away."""

from __future__ import annotations

from typing import Final

from groundref.assessment import places
from groundref.assessment.assessed import Finding
from groundref.assessment.faults.arc import Arc, effect, look_at
from groundref.assessment.faults.mention import point_gives
from groundref.assessment.faults.overbanked_upwind import THRESHOLD
from groundref.assessment.flown import Flown
from groundref.assessment.said import degrees, feet, laps_said
from groundref.units import degree, foot

NAME: Final = "underbanked-downwind"


def find(flown: Flown) -> Finding | None:
    """Test for less bank than needed over the downwind third of the circle."""
    arc = look_at(flown, places.downwind, -1.0, THRESHOLD)
    if arc is None:
        return None
    return Finding(
        fault=NAME,
        laps=arc.laps,
        size=arc.size / degree,
        size_sd=arc.sd / degree,
        size_unit="deg",
        start=float(flown.time[arc.samples][0]),
        end=float(flown.time[arc.samples][-1]),
        position=places.name(places.downwind),
        consequence_ft=arc.moved / foot if arc.moved is not None else None,
        consequence_sd_ft=arc.moved_sd / foot if arc.moved_sd is not None else None,
        consequence_at_least=arc.moved is not None and point_gives(flown),
        strength=arc.size / THRESHOLD,
        says=f"{laps_said(arc.laps)}, {places.name(places.downwind)}: bank {degrees(arc.size)} "
        f"(± {degrees(arc.sd)}) shallower than the {degrees(arc.needed)} needed there"
        f"{effect(flown, arc, 'opened')}.",
        cure=_cure(flown, arc),
    )


def _cure(flown: Flown, arc: Arc) -> str:
    """Return what to do: more bank, or a wider circle where that would be more than the limit."""
    wider = flown.smallest_radius()
    if arc.needed > flown.bank_limit and wider is not None:
        return (
            f"This circle needs {degrees(arc.needed)} downwind; start at least {feet(wider)} from the point, "
            f"where {degrees(flown.bank_limit)} is enough."
        )
    return (
        f"Steepen the bank to about {degrees(arc.needed)} as the track comes round downwind: "
        "ground speed is highest there."
    )
