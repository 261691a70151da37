"""Too steep a bank while flying upwind: the circle closes on the point."""

from __future__ import annotations

from typing import Final

from groundref.assessment import places
from groundref.assessment.assessed import Finding
from groundref.assessment.faults.arc import effect, look_at
from groundref.assessment.faults.mention import point_gives
from groundref.assessment.flown import Flown
from groundref.assessment.said import degrees, laps_said
from groundref.units import degree, foot

NAME: Final = "overbanked-upwind"
THRESHOLD: Final = 3.0 * degree  # common practice, no source: what shows against the horizon


def find(flown: Flown) -> Finding | None:
    """Test for more bank than needed over the upwind third of the circle."""
    arc = look_at(flown, places.upwind, 1.0, THRESHOLD)
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
        position=places.name(places.upwind),
        consequence_ft=arc.moved / foot if arc.moved is not None else None,
        consequence_sd_ft=arc.moved_sd / foot if arc.moved_sd is not None else None,
        consequence_at_least=arc.moved is not None and point_gives(flown),
        strength=arc.size / THRESHOLD,
        says=f"{laps_said(arc.laps)}, {places.name(places.upwind)}: bank {degrees(arc.size)} "
        f"(± {degrees(arc.sd)}) steeper than the {degrees(arc.needed)} needed there"
        f"{effect(flown, arc, 'closed')}.",
        cure=f"Shallow the bank steadily from the crosswind place on, to about {degrees(arc.needed)} "
        "when the track points into the wind: ground speed is lowest there.",
    )
