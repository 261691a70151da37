"""Entered on a track that is not downwind, so the steepest bank is not the first one needed."""

from __future__ import annotations

from typing import Final

from groundref.angles import difference, wrap
from groundref.assessment import places
from groundref.assessment.assessed import Finding
from groundref.assessment.details import LineFlown
from groundref.assessment.faults.entry_distance import entry_span
from groundref.assessment.faults.mention import supported
from groundref.assessment.flown import Flown
from groundref.assessment.said import degrees
from groundref.units import degree

NAME: Final = "entry-not-downwind"
THRESHOLD: Final = (
    20.0 * degree
)  # common practice, no source; within it cos is above 0.94, downwind to the eye


def find(flown: Flown) -> Finding | None:
    """Test the entry track against the wind."""
    measured = flown.entry_missed
    if measured is None or not flown.wind_felt or not supported(abs(measured[0]), measured[1], THRESHOLD):
        return None
    off, sd = measured
    entry, wind = flown.maneuver.entry, flown.maneuver.wind
    assert wind is not None  # `entry_missed` saw to it
    aim = wind.direction_to
    along = isinstance(flown.details, LineFlown)
    if along:
        aim = float(wrap(entry.track - flown.first_turn * off))
    begun = flown.first_turn * float(difference(entry.track, wind.direction_to))
    meant = "downwind, square to the line," if along else "downwind"
    start, end = entry_span(flown)
    return Finding(
        fault=NAME,
        laps=(1,),
        size=abs(off) / degree,
        size_sd=sd / degree,
        size_unit="deg",
        start=start,
        end=end,
        position=places.name(begun),
        consequence_ft=None,
        strength=abs(off) / THRESHOLD,
        says=f"Entry: the track was {degrees(entry.track)} where {meant} was {degrees(aim)}, "
        f"{degrees(abs(off))} (± {degrees(sd)}) off, so the turn began {begun_at(places.name(begun))}.",
        cure=_cure(degrees(wind.direction_from), along),
    )


def begun_at(place: str) -> str:
    """Say the place where a turn began, which is not yet turning from anywhere."""
    if not place.startswith("turning from "):
        return place
    one, other = place.removeprefix("turning from ").split(" to ")
    return f"between {one} and {other}"


def _cure(wind_from: str, along: bool) -> str:
    """Return what to do."""
    if along:
        return (
            f"Cross the line first with the wind, from {wind_from}, behind, square to the line: the steepest "
            "bank comes first and only gets shallower over the first half circle."
        )
    return (
        f"Have the wind, from {wind_from}, straight behind before coming abeam: "
        "the steepest bank comes first and only gets shallower over the first half."
    )
